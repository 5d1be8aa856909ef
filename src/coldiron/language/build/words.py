"""Builders of the plain words of the book: settings, kit, areas, points, topics, facts, complaints."""

from __future__ import annotations

from coldiron.language.build.names import finding_of
from coldiron.language.build.scope import Lines
from coldiron.model import Area, Complaint, Kit, Point, Setting, Word


def setting(lines: Lines) -> Setting:
    """Build a setting; its normal value must be one of its values."""
    values = lines.listed("values")
    line = lines.line("normal")
    normal = lines.word("normal")
    if line and normal not in values and not lines.block.damaged:
        lines.scope.unknown(f"value of {lines.block.id}", normal, lines.at(line, line.phrases[0].words[0]), values)
    return Setting(lines.block.id, lines.text("name"), values, normal, lines.minutes(), lines.place)


def kit(lines: Lines) -> Kit:
    """Build a kit."""
    return Kit(lines.block.id, lines.text("name"), lines.place)


def area(lines: Lines) -> Area:
    """Build an area."""
    return Area(lines.block.id, lines.text("name"), lines.minutes(), lines.place)


def point(lines: Lines) -> Point:
    """Build a point."""
    return Point(lines.block.id, lines.text("name"), lines.known("area", "area"), lines.place)


def word(lines: Lines) -> Word:
    """Build a topic or a fact."""
    return Word(lines.block.id, lines.text("name"), lines.place)


def complaint(lines: Lines) -> Complaint:
    """Build a complaint."""
    return Complaint(lines.block.id, lines.text("name"), sees_of(lines), lines.place)


def sees_of(lines: Lines) -> tuple[tuple[str, str], ...]:
    """Return the checks, each with its finding, that a block sees."""
    sees = []
    for line in lines.lines("sees"):
        check, finding = line.phrases[0].words
        sees.append(finding_of(lines, line, check, finding))
    return tuple(sees)
