"""`coldiron book prove`: hold rule files against the solved circuits."""

from __future__ import annotations

from coldiron.cli.arguments import path
from coldiron.cli.exits import BOOK, DONE
from coldiron.proving.report import proved
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("path", nargs="?", type=path, help="as for check")
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    text, clean = proved(given.path)
    tell(text)
    return DONE if clean else BOOK
