"""Builders of the plain words of the book: settings, kit, areas, points, topics, facts, complaints."""

from __future__ import annotations

from coldiron.book.history import Complaint
from coldiron.book.words import Area, Kit, Point, Setting, Word
from coldiron.language.build.names import finding_of
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Statement
from coldiron.language.tree import Token as Written

MOST_MISTAKEN = 0.8
"""The share of people who may take one thing that a machine does for another: more, and its name is a poor one."""


def setting(lines: Lines) -> Setting:
    """Build a setting; its normal value must be one of its values."""
    values = lines.listed("values")
    line = lines.line("normal")
    normal = lines.word("normal")
    if line and normal not in values and not lines.block.damaged:
        lines.scope.unknown(f"value of {lines.block.id}", normal, lines.at(line, line.phrases[0].words[0]), values)
    springs, confirm = _springs(lines, values), _confirm(lines, values)
    return Setting(
        lines.block.id,
        lines.text("name"),
        values,
        normal,
        lines.minutes(),
        lines.place,
        springs=springs,
        confirm=confirm,
    )


def _springs(lines: Lines, values: tuple[str, ...]) -> tuple[str, ...]:
    """The value that lasts only while a step holds it, and the value it springs back to."""
    line = lines.line("springs")
    if line is None:
        return ()
    held, rest = line.phrases[0].words
    for word in (held, rest):
        _value_known(lines, line, word, values)
    return held.text, rest.text


def _confirm(lines: Lines, values: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """What a person says when the setting stands so: (value, words)."""
    said = []
    for line in lines.lines("confirm"):
        value, words = line.phrases
        _value_known(lines, line, value.words[0], values)
        said.append((value.words[0].text, words.words[0].text))
    return tuple(said)


def _value_known(lines: Lines, line: Statement, word: Written, values: tuple[str, ...]) -> None:
    if word.text not in values and not lines.block.damaged:
        lines.scope.unknown(f"value of {lines.block.id}", word.text, lines.at(line, word), values)


def kit(lines: Lines) -> Kit:
    """Build a kit."""
    return Kit(lines.block.id, lines.text("name"), lines.place)


def area(lines: Lines) -> Area:
    """Build an area."""
    beside = lines.known("beside", "area") if lines.line("beside") else ""
    return Area(lines.block.id, lines.text("name"), lines.minutes(), lines.place, beside)


def point(lines: Lines) -> Point:
    """Build a point."""
    return Point(lines.block.id, lines.text("name"), lines.known("area", "area"), lines.place)


def word(lines: Lines) -> Word:
    """Build a topic or a fact."""
    return Word(lines.block.id, lines.text("name"), lines.place)


def complaint(lines: Lines) -> Complaint:
    """Build a complaint."""
    return Complaint(
        id=lines.block.id,
        name=lines.text("name"),
        sees=findings_of(lines, "sees"),
        place=lines.place,
        there=comes_and_goes(lines),
        hears=lines.phrases("hears"),
        mistaken=_mistaken(lines),
    )


def _mistaken(lines: Lines) -> tuple[tuple[str, float], ...]:
    """Return the complaints that people tell instead, each with how often; all together leave some who do not."""
    found: dict[str, float] = {}
    for line in lines.lines("mistaken"):
        word, chance = line.phrases[0].words[0], line.find("chance")
        found[lines.check_id("complaint", line, word)] = lines.chance(line, chance)
        if word.text == lines.block.id or sum(found.values()) > MOST_MISTAKEN:
            what = f"the share of people who take {lines.block.id} for something else"
            value = f"{sum(found.values()):g}" if word.text != lines.block.id else "itself"
            lines.report("out-of-range", line, word, what=what, low=0, high=MOST_MISTAKEN, value=value)
    return tuple(found.items())


def comes_and_goes(lines: Lines) -> float:
    """Return how often what a block tells of is there; 1 where it says nothing of that."""
    line = lines.line("comes")
    return lines.chance(line, line.find("chance")) if line else 1.0


def findings_of(lines: Lines, keyword: str) -> tuple[tuple[str, str], ...]:
    """Return the checks, each with its finding, of the lines with a keyword."""
    found = []
    for line in lines.lines(keyword):
        check, finding = line.phrases[0].words
        found.append(finding_of(lines, line, check, finding))
    return tuple(found)
