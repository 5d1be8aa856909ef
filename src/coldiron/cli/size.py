"""`coldiron size`: wire, fuse and splice for a repair where the maker's are not known."""

from __future__ import annotations

import argparse

from coldiron.cli.arguments import above_nothing
from coldiron.cli.exits import DONE
from coldiron.sizing.gauge import METERS_A_FOOT
from coldiron.sizing.report import sizes
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("amps", type=above_nothing, help="amps of the load")
    parser.add_argument("length", type=_length, help="length of the wire, there and back, such as 20ft or 6m")
    parser.add_argument("volts", type=int, choices=(12, 24), help="of the machine")
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    tell(sizes(given.amps, given.length, given.volts))
    return DONE


def _length(text: str) -> float:
    """A length with its unit, in meters: 20ft or 6m. A bare number is refused, since feet and meters both fit.

    Raises:
        ArgumentTypeError: it has no unit, or no repair is that long.
        ValueError: it is no number.
    """
    for unit, meters in (("ft", METERS_A_FOOT), ("m", 1.0)):
        if text.endswith(unit):
            return above_nothing(text.removesuffix(unit)) * meters
    number = f"{above_nothing(text):g}"
    raise argparse.ArgumentTypeError(f"{number} of what? Type {number}ft or {number}m")
