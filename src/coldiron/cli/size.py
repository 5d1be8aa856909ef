"""`coldiron size`: wire, fuse and splice for a repair where the maker's are not known."""

from __future__ import annotations

from coldiron.cli.arguments import above_nothing
from coldiron.cli.exits import DONE
from coldiron.sizing.report import sizes
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("amps", type=above_nothing, help="amps of the load")
    parser.add_argument("metres", type=above_nothing, help="length of the wire, there and back")
    parser.add_argument("volts", type=int, choices=(12, 24), help="of the machine")
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    tell(sizes(given.amps, given.metres, given.volts))
    return DONE
