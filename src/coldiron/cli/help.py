"""`coldiron help`: what to type first, and what each command takes."""

from __future__ import annotations

from coldiron.cli.commands import parser_for
from coldiron.cli.exits import DONE

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Add the arguments of this command to its parser, and what runs."""
    parser.add_argument("command", nargs="*", metavar="COMMAND", help="show what this command takes")
    parser.set_defaults(run=_run)


def _run(given: argparse.Namespace) -> int:
    if given.command:
        # Ends with 0 by itself, or with 2 where there is no such command.
        parser_for(given.command).parse_args([*given.command, "--help"])
    parser_for(()).print_help()
    return DONE
