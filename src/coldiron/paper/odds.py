"""The odds of the likeliest causes over the course of a job, as a picture: places and lines, drawn by its template.

Nothing in it rests on color: each cause has its own dashes, its own mark and its name at the end of its line.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.job.steps import RepairStep
from coldiron.paper.course import LogLine
from coldiron.record import dataclass
from coldiron.telling.so_far import SoFar

MOST = 5
"""Causes that are drawn; more lines cannot be told apart in gray."""

WORTH = 0.08
"""A cause that was never likelier than that is not drawn."""

DASHES = ("", "9 4", "2 4", "12 4 2 4", "5 2")
MARKS = (
    "M-4,0a4,4 0 1,0 8,0a4,4 0 1,0 -8,0",
    "M-4,-4h8v8h-8z",
    "M0,-5l5,9h-10z",
    "M0,-5l5,5l-5,5l-5,-5z",
    "M-4,-4l8,8m0,-8l-8,8",
)
"""Dashes of a line, and its mark around 0,0, as SVG writes them: disk, square, triangle, diamond, cross."""

LEFT, TOP, WIDE, HIGH = 44, 14, 640, 220
"""Of the drawn area, in the units of the picture."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One cause: its name, its highest and its last odds in 100, the points of its line, and how it is drawn."""

    name: str
    highest: int
    last: int
    points: tuple[tuple[float, float], ...]
    dashes: str
    mark: str


@dataclass(frozen=True, slots=True)
class Picture:
    """The whole picture: its curves, the entries along the bottom (place, number), and the fixes (place, number)."""

    curves: tuple[Curve, ...]
    entries: tuple[tuple[float, int], ...]
    fixes: tuple[tuple[float, int], ...]


def picture(course: Sequence[SoFar], lines: Sequence[LogLine]) -> Picture | None:
    """Return the picture of a job; None where no cause ever had odds to be drawn."""
    moments = _moments(course, lines)
    job = course[-1]
    names = {name for moment in moments for name in moment.odds if name in job.book.faults}
    highest = {name: max(moment.odds.get(name, 0.0) for moment in moments) for name in names}
    drawn = sorted((name for name in names if highest[name] >= WORTH), key=lambda name: (-highest[name], name))[:MOST]
    if len(moments) < 2 or not drawn:
        return None
    across = [round(LEFT + WIDE * place / (len(moments) - 1), 1) for place in range(len(moments))]
    curves = [
        Curve(
            name=job.book.faults[name].name,
            highest=round(100 * highest[name]),
            last=round(100 * moments[-1].odds.get(name, 0.0)),
            points=tuple((x, _down(one.odds.get(name, 0.0))) for x, one in zip(across, moments, strict=True)),
            dashes=DASHES[number],
            mark=MARKS[number],
        )
        for number, name in enumerate(drawn)
    ]
    placed = list(zip(across, moments, strict=True))
    every = max(1, -(-len(placed) // MOST_NUMBERS))
    entries = tuple((x, one.number) for x, one in placed[::every])
    return Picture(tuple(curves), entries, tuple((x, one.number) for x, one in placed if one.fixed))


MOST_NUMBERS = 16
"""Numbers of entries along the bottom: more run into each other."""


def _down(share: float) -> float:
    """Where a chance stands: 1 at the top, 0 at the bottom."""
    return round(TOP + HIGH * (1 - share), 1)


@dataclass(frozen=True, slots=True)
class Moment:
    """The odds after one entry of the log, and whether that was a fix."""

    number: int
    odds: dict[str, float]
    fixed: bool


def _moments(course: Sequence[SoFar], lines: Sequence[LogLine]) -> list[Moment]:
    """The entries after which the odds were others than before, and the fixes."""
    found: list[Moment] = []
    for line, now in zip(lines, course[1:], strict=True):
        step = now.steps[-1]
        fixed = isinstance(step, RepairStep) and step.word == "done"
        odds = dict(now.judged.belief.in_view) if now.judged else {}
        if odds and (fixed or not found or odds != found[-1].odds):
            found.append(Moment(line.number, odds, fixed))
    return found
