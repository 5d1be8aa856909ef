"""The parser of the command line, the commands it is given, and what an argument may be."""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module

from coldiron.plaintext import one_line
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Container, Mapping
    from pathlib import Path
    from typing import Any, NoReturn

LONGEST = 18
"""Digits of a job's number: as many as its store can hold. Of a wrong word no more is shown."""


class Help(argparse.HelpFormatter):
    """Told its width: the usual one imports `shutil` for it, 4 ms of every start, even where no help is asked for."""

    def __init__(self, prog: str) -> None:
        try:
            width = int(os.environ.get("COLUMNS", "0")) or os.get_terminal_size().columns
        except (OSError, ValueError):
            width = 80
        super().__init__(prog, width=width - 2)


class Parser(argparse.ArgumentParser):
    """A parser whose commands get the same help as itself."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**{"formatter_class": Help, **given})

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the arguments, which may hold anything, in one line."""
        super().error(one_line(message))

    def _print_message(self, message: str, file: Any = None) -> None:
        if message:
            tell(message.rstrip("\n"), error=file is sys.stderr)


def add_commands(parsers: Any, commands: Mapping[str, str], words: Container[str], opening: str = "") -> None:
    """Add commands to a parser, each with the help that stands beside its name.

    Args:
        parsers: what `add_subparsers` has returned.
        commands: name and help of each.
        words: the command line: the files of the commands that it names are loaded, the others only listed.
        opening: of the names of their files.
    """
    for name, help_ in commands.items():
        parser = parsers.add_parser(name, help=help_)
        if name in words:
            import_module(f"coldiron.cli.{opening}{name}").arguments(parser, words)


def path(text: str) -> Path:
    """A file or a folder."""
    from pathlib import Path

    return Path(text)


def name(text: str) -> str:
    """A name; what of it is no UTF-8 is replaced: it can be neither shown nor saved."""
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def job_number(text: str) -> int:
    """The number of a job.

    Raises:
        ArgumentTypeError: it is none.
    """
    if not (text.isdecimal() and len(text) <= LONGEST):
        raise argparse.ArgumentTypeError(f"the number of a job, as coldiron jobs lists them, not {text[:LONGEST]}")
    return int(text)


def above_nothing(text: str) -> float:
    """A number of amps, meters and the like.

    Raises:
        ArgumentTypeError: there is no repair of that size.
        ValueError: it is no number.
    """
    number = float(text.replace(",", "."))
    if not 0 < number < 10_000:
        raise argparse.ArgumentTypeError(f"more than 0 and less than 10000, not {text[:LONGEST]}")
    return number


def add_common(parser: argparse.ArgumentParser) -> None:
    """Add what every command that works a job takes."""
    parser.add_argument("--plain", action="store_true", help="plain lines: no colors, no redrawing")
    add_book(parser)


def add_book(parser: argparse.ArgumentParser) -> None:
    """Add what every command that needs a book takes."""
    parser.add_argument(
        "--book", type=path, metavar="PATH", help="rule files to use instead of the shipped book and yours"
    )
