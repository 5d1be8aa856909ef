"""Builders of trouble codes: what a controller says by numbers, and the codes a case gives."""

from __future__ import annotations

from coldiron.book.conditions import CodeGiven, ControllerTalks
from coldiron.book.history import LARGEST_FMI, LARGEST_SPN, Code
from coldiron.language.build.asking import shifts_of
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Phrase, Statement, Token


def code(lines: Lines) -> Code:
    """Build a trouble code."""
    spn = lines.line("spn")
    lines.listed("fmi")  # says what is listed twice
    fmis = [(line, word) for line in lines.lines("fmi") for word in line.phrases[0].words]
    return Code(
        id=lines.block.id,
        name=lines.text("name"),
        spn=_spn(lines, spn, spn.phrases[0].words[0]) if spn else 0,
        fmis=tuple(_fmi(lines, line, word) for line, word in fmis),
        says=lines.text("says"),
        topic=lines.known("topic", "topic"),
        shifts=shifts_of(lines),
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def code_test(lines: Lines, line: Statement, phrase: Phrase) -> CodeGiven | ControllerTalks | None:
    """Build a test about trouble codes; nothing if the phrase is about something else."""
    if phrase.form == "controller talks":
        return ControllerTalks()
    if phrase.form == "code":
        return CodeGiven(lines.check_id("code", line, phrase.words[0]))
    return None


def check_given(lines: Lines, line: Statement, value: Token) -> None:
    """Report a code of a case that is not an SPN and an FMI, as in `given code 168 1`."""
    numbers = value.text.split()
    if len(numbers) != 2 or not all(number.isascii() and number.isdigit() for number in numbers):
        lines.report("bad-code", line, value)
        return
    second = value.column + value.text.rindex(numbers[1])
    _spn(lines, line, Token(numbers[0], value.column, value.column + len(numbers[0])))
    _fmi(lines, line, Token(numbers[1], second, second + len(numbers[1])))


def _spn(lines: Lines, line: Statement, word: Token) -> int:
    return int(lines.number(line, word, 0, LARGEST_SPN, "an SPN"))


def _fmi(lines: Lines, line: Statement, word: Token) -> int:
    return int(lines.number(line, word, 0, LARGEST_FMI, "an FMI"))
