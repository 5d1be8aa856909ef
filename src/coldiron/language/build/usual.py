"""Builder of the sorts of machines that people name."""

from __future__ import annotations

from coldiron.book.machines import Like, UsualMachine
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Statement


def usual(lines: Lines) -> UsualMachine:
    """Build a sort of machine as people name it."""
    return UsualMachine(
        id=lines.block.id,
        name=lines.text("name"),
        hears=lines.phrases("hears"),
        likes=tuple([_like(lines, line) for line in lines.lines("like")]),
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def _like(lines: Lines, line: Statement) -> Like:
    """Build one circuit that such a machine may have."""
    sort, besides, chance = line.phrases[0].words[0], line.find("besides"), line.find("chance")
    options = tuple([lines.check_id("option", line, word) for word in besides.words]) if besides else ()
    return Like(lines.check_id("circuit", line, sort), options, lines.chance(line, chance), lines.at(line, sort))
