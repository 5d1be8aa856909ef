"""`coldiron book check`: say what is wrong in rule files."""

from __future__ import annotations

from coldiron.book.problem import errors
from coldiron.checkup import judged, report
from coldiron.cli.arguments import path
from coldiron.cli.exits import BOOK, DONE
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument(
        "path", nargs="?", type=path, help="rule files to check; if left out, the shipped book and yours"
    )
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    tell(report(given.path))
    return BOOK if errors(judged(given.path)[1]) else DONE
