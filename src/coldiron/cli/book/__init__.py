"""`coldiron book`: the commands for whoever writes rule files."""

from __future__ import annotations

from coldiron.cli.arguments import add_commands

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container

COMMANDS = {
    "check": "say what is wrong in the rule files",
    "prove": "test the rule files against the solved circuits",
}
"""What each does; `cli/book/WORD.py` has its arguments and what runs."""


def arguments(parser: argparse.ArgumentParser, words: Container[str]) -> None:
    """Add the commands on a book to the parser of this one."""
    add_commands(parser.add_subparsers(metavar="WHAT", required=True), COMMANDS, words, "book.")
