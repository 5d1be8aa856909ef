"""Draws problems for a reader: place, sentence, an excerpt with the span marked, what could stand there.

Columns of the excerpt follow what a terminal shows: a tab takes four, wide characters two, combining marks none.
Nothing that a terminal could take for a command is ever passed on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache

from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.plaintext import clean, columns, seen

TAB = 4
WIDEST = 100
"""Columns from one tab stop to the next, and characters of a line that are drawn around a mistake."""

MOST_WORDS = 12
"""Words that are listed where one of them was wanted, and places where a mistake was made again: one line of them."""

MOST_ALIKE = 3
"""Mistakes of one kind that are drawn: after three the reader knows it."""

MOST_DRAWN = 60
"""Kinds of mistakes that are drawn: some ten screens, and whoever mends those runs the check again."""

TextOf = Callable[[str], str | None]
"""Gives the text of a file by the name problems call it, or nothing if it cannot be had."""


def draw(problem: Problem, text_of: TextOf) -> str:
    """Return one problem as lines of text."""
    lines = [clean(f"{problem.place}: {problem.weight}: {problem.sentence}")]
    lines += _excerpt(problem.place, text_of)
    if problem.allowed:
        lines.append(f"   could stand here: {clean(_some(problem.allowed, _marked(problem.place, text_of)))}")
    if problem.nearest:
        lines.append(f"   did you mean '{clean(problem.nearest)}'?")
    for note, place in problem.related:
        lines.append(clean(f"   {note}: {place}"))
        lines += _excerpt(place, text_of)
    return "\n".join(lines)


def draw_all(problems: Iterable[Problem], text_of: TextOf) -> str:
    """Return problems drawn one after another, errors first; of many, and of many alike, only the first are drawn."""
    groups: dict[tuple[str, str], list[Problem]] = {}
    for problem in sorted(problems, key=lambda one: one.weight == "warning"):
        groups.setdefault((problem.kind, problem.sentence), []).append(problem)
    drawn = []
    for alike in list(groups.values())[:MOST_DRAWN]:
        drawn += [draw(problem, text_of) for problem in alike[:MOST_ALIKE]]
        if len(alike) > MOST_ALIKE:
            places = [clean(str(problem.place)) for problem in alike[MOST_ALIKE : MOST_ALIKE + MOST_WORDS]]
            more = len(alike) - MOST_ALIKE - len(places)
            drawn.append(f"the same again at {', '.join(places)}" + (f" and {more} more" if more else ""))
    if len(groups) > MOST_DRAWN:
        drawn.append(f"{sum(len(alike) for alike in list(groups.values())[MOST_DRAWN:])} more are not shown")
    return "\n\n".join(drawn)


@lru_cache(maxsize=64)
def _split(content: str) -> tuple[str, ...]:
    return tuple(content.split("\n"))


def _line(place: Place, text_of: TextOf, number: int) -> str | None:
    lines = _split(text_of(place.file) or "")
    return lines[number - 1].removesuffix("\r") if 0 < number <= len(lines) else None


def _marked(place: Place, text_of: TextOf) -> str:
    return (_line(place, text_of, place.line) or "")[place.column - 1 : place.end - 1]


def _excerpt(place: Place, text_of: TextOf) -> Iterator[str]:
    """Yield the line before, the line, and the marks under it; nothing for a place outside any text."""
    line = _line(place, text_of, place.line)
    if line is None:
        return
    margin = len(str(place.line))
    before = _line(place, text_of, place.line - 1)
    shown, start, end = _window(line, place.column - 1, place.end - 1)
    if before and before.strip():
        yield f"   {place.line - 1:>{margin}} | {_window(before, 0, 0)[0]}"
    yield f"   {place.line:>{margin}} | {shown}"
    yield f"   {'':>{margin}} | {' ' * start}{'^' * max(end - start, 1)}"


def _window(line: str, start: int, end: int) -> tuple[str, int, int]:
    """Return a line as shown, cut around the marked characters if it is long, and the marked columns on screen."""
    first = max(0, start - WIDEST // 2) if len(line) > WIDEST else 0
    edges = [0]
    shown = []
    for letter in line[first : first + WIDEST]:
        if letter == "\t":
            wide = TAB - edges[-1] % TAB
            shown.append(" " * wide)
        else:
            letter = seen(letter)  # noqa: PLW2901 - the character as it is shown
            wide = columns(letter)
            shown.append(letter)
        edges.append(edges[-1] + wide)
    head = "... " if first else ""
    tail = " ..." if len(line) > first + WIDEST else ""
    at = [edges[min(max(place - first, 0), len(edges) - 1)] + len(head) for place in (start, end)]
    return head + "".join(shown) + tail, at[0], at[1]


def _some(words: Sequence[str], found: str) -> str:
    """Return the words, or of many those most like what was found."""
    if len(words) <= MOST_WORDS:
        return ", ".join(words)
    best = sorted(words, key=lambda word: (-_alike(word, found), word))[:MOST_WORDS]
    return f"{', '.join(word for word in words if word in best)} and {len(words) - len(best)} more"


def _alike(word: str, other: str) -> float:
    """How many letter pairs two words share, of all they have (Dice 1945)."""
    pairs, others = ({text[at : at + 2] for at in range(len(text) - 1)} for text in (word, other))
    return 2 * len(pairs & others) / (len(pairs) + len(others) or 1)
