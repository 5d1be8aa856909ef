"""Builder of the card of one machine of the shop, which is read beside a book and is no part of it."""

from __future__ import annotations

from coldiron.book.machines import LONGEST_NOTE, Card
from coldiron.language.build.names import circuit_of
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Statement

MOST = {"has": 40, "besides": 10, "without": 10, "lacks": 40, "note": 200, "healthy": 60, "fixed": 40}
"""Lines of a sort that are read: a card is looked at in a yard."""

PLACES = "part, point or check"
"""What a note is about, as mistakes call it, and where a declaration has the ids of all three."""


def in_book(lines: Lines) -> None:
    """Refuse a card among the rules of a book."""
    lines.report("card-in-book", lines.block.opener)


def card(lines: Lines) -> Card:
    """Build the card of a machine; what it names must be in the book that it is read beside."""
    said = [(keyword, lines.known(keyword, "usual")) for keyword in ("usual",) if lines.line(keyword)]
    said += [("volts", word) for word in [lines.word("volts")] if word]
    said += [("circuit", circuit_of(lines, line)) for line in lines.lines("circuit")]
    said += [_has(lines, line) for line in _some(lines, "has")]
    if besides := _options(lines, "besides"):
        said.append(("fitted", ",".join(besides)))
    said += [
        (f"not_fitted.{lines.check_id('check', line, line.phrases[0].words[0])}", "not fitted")
        for line in _some(lines, "lacks")
    ]
    return Card(
        name=lines.text("name"),
        said=tuple(said),
        notes=_told(lines, "note", PLACES),
        healthy=_told(lines, "healthy", "check"),
        fixed=_told(lines, "fixed", "fault"),
        bare=_options(lines, "without"),
        place=lines.place,
    )


def _some(lines: Lines, keyword: str) -> list[Statement]:
    """The lines of a sort; that there are too many is a problem of the first too much."""
    found = lines.lines(keyword)
    if len(found) > MOST[keyword]:
        lines.report("card-too-long", found[MOST[keyword]], most=MOST[keyword], word=keyword)
    return found[: MOST[keyword]]


def _options(lines: Lines, keyword: str) -> tuple[str, ...]:
    found = ((line, word) for line in _some(lines, keyword) for word in line.phrases[0].words)
    return tuple(dict.fromkeys(lines.check_id("option", line, word) for line, word in found))


def _has(lines: Lines, line: Statement) -> tuple[str, str]:
    feature, answer = line.phrases[0].words
    name = lines.check_id("feature", line, feature)
    allowed = lines.declared.options.get(name)
    if allowed and answer.text not in allowed:
        lines.scope.unknown(f"answer to {name}", answer.text, lines.at(line, answer), allowed)
    return f"has.{name}", answer.text


def _told(lines: Lines, keyword: str, space: str) -> tuple[tuple[str, str], ...]:
    """What is told of something, line by line, each text as long as one is kept."""
    pairs = [(line, line.phrases[0].words) for line in _some(lines, keyword)]
    return tuple((lines.check_id(space, line, words[0]), words[1].text[:LONGEST_NOTE]) for line, words in pairs)
