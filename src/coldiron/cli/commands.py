"""One command of the command line, run. Each has a file of its own, which is loaded when its word is given."""

from __future__ import annotations

import sys

from coldiron import terminal
from coldiron.cli.arguments import Parser, add_commands
from coldiron.cli.exits import DONE, STORE, USAGE
from coldiron.collector import quicken_collector
from coldiron.jobs.trouble import StoreTrouble
from coldiron.outlets import guarded
from coldiron.plaintext import one_line
from coldiron.version import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

COMMANDS = {
    "find": "find out why a machine is dead",
    "resume": "go on with a parked job",
    "jobs": "list the jobs",
    "serve": "a job as pages for a phone",
    "report": "the sheet of a job for owner and shop, or the tag for its machine",
    "machine": "the cards of your machines: list, show, add a note",
    "lesson": "learn to measure on a live circuit",
    "drill": "practice on a machine with a hidden fault",
    "size": "wire, fuse and splice for a fix where the maker's are not known",
    "book": "check the rule files",
    "schema": "print the JSON schema of scripts and their events",
    "help": "what to type first; help COMMAND: how to use a command",
}
"""What each command does, in the order of the help; `cli/WORD.py` has its arguments and what runs."""

FIRST_STEPS = """\
coldiron takes you from a dead machine to a proven cause.

  The machine is dead. Type:        coldiron find
  You stopped halfway. Type:        coldiron resume
  The machine has a card. Type:     coldiron find NAME
  You want to watch a job. Type:    coldiron find --demo
  You want to learn. Type:          coldiron lesson 1
  You keep the rules. Type:         coldiron book check FOLDER

It asks how the machine stands. Answer that before you touch the machine.
At any prompt type help to see all the words it knows.

"""


class FrontParser(Parser):
    """The parser of `coldiron` alone: its help begins with the line to type first."""

    def format_help(self) -> str:
        """Return the first steps, then what the library says."""
        return FIRST_STEPS + super().format_help()


def run(argv: Sequence[str] | None) -> int:
    """Run one command and return its exit code."""
    sys.excepthook = terminal.fell
    quicken_collector()
    words = sys.argv[1:] if argv is None else argv
    return guarded(lambda: _command(words))


def parser_for(words: Sequence[str]) -> Parser:
    """Return the parser of a command line; a command that is not among its words has no arguments in it."""
    parser = FrontParser(prog="coldiron")
    parser.add_argument("--version", action="store_true", help="print the version")
    below = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=Parser)
    add_commands(below, COMMANDS, words)
    return parser


def _command(words: Sequence[str]) -> int:
    parser = parser_for(words)
    arguments = parser.parse_args(words)
    if arguments.version:
        terminal.tell(__version__)
        return DONE
    if not hasattr(arguments, "run"):
        parser.print_help()
        return USAGE
    try:
        code: int = arguments.run(arguments)
    except StoreTrouble as trouble:
        terminal.tell(" ".join((one_line(trouble.sentence, 1_000), trouble.suggestion)), error=True)
        return STORE
    finally:
        _keep_solved()
    return code


def _keep_solved() -> None:
    """What was solved for this job is kept for the next one, after all answers; not where no machine was composed."""
    composing = sys.modules.get("coldiron.judging.composing")
    if composing is not None:
        composing.keep_solved()
