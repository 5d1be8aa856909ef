"""The drawing of a machine as SVG: the same lanes as the text, each part named under its line, no color needed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from coldiron.map.marks import Known, Marks
from coldiron.map.sketch import Lane, Sketch, Stretch
from coldiron.map.text import FEED, LEGEND, RETURN
from coldiron.plaintext import one_line, wrap

STEP, HIGH, EDGE = 116, 74, 30
"""Units from point to point, from row to row, and around everything."""

ABREAST = 7
"""Parts in one row: more would be too small on a printed page."""

ROUND = 13
"""The circle of a point."""

LETTERS, ROWS = 19, 3
"""Characters of a part's name in one row under its line, and the rows it may take."""

NAME = 13
"""Units from one row of the list of points to the next."""

LINES: dict[Known, str] = {
    "proven good": 'stroke-width="4"',
    "likely cause": 'stroke-width="2" stroke-dasharray="7 4"',
    "condemned": 'stroke-width="2" stroke-dasharray="2 4"',
    "not known": 'stroke-width="1"',
}
"""How a part is drawn by what is known of it; its sign and its name say the same."""


def svg(sketch: Sketch, marks: Marks) -> str:
    """The whole drawing with its list of points, as one `<svg>` element for a page of its own or of others."""
    rows = [*_rows(sketch)]
    drawn: list[str] = []
    down = EDGE
    for row in rows:
        drawn += [_text(EDGE, down, row)] if isinstance(row, str) else _row(sketch, row, marks, down)
        down += NAME * 2 if isinstance(row, str) else HIGH
    listed = [*_points(sketch, marks, down)]
    wide, high = EDGE * 2 + STEP * ABREAST, down + NAME * (len(sketch.spots) + 3)
    opening = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" role="img"'
    style = 'font-family="sans-serif" font-size="10" fill="black" stroke="none"'
    return "\n".join([f"{opening} {style}>", "<title>The drawing of the machine</title>", *drawn, *listed, "</svg>"])


def _rows(sketch: Sketch) -> Iterator[str | tuple[Stretch, ...]]:
    """The headings, and the lanes cut into rows."""
    yield FEED
    for before, lane in zip((None, *sketch.lanes), sketch.lanes, strict=False):
        if lane.returns and not (isinstance(before, Lane) and before.returns):
            yield RETURN
        for at in range(0, len(lane.stretches), ABREAST):
            yield lane.stretches[at : at + ABREAST]


def _row(sketch: Sketch, row: Sequence[Stretch], marks: Marks, down: int) -> Iterator[str]:
    for place, one in enumerate(row):
        left, right = EDGE + STEP * place, EDGE + STEP * (place + 1)
        known = marks.known.get(one.part, "not known")
        yield f'<path d="M{left + ROUND} {down}H{right - ROUND}" stroke="black" fill="none" {LINES[known]}/>'
        if known != "not known":
            yield _text((left + right) // 2 - 3, down - 4, marks.sign(one.part))
        name = one.label + ("" if known == "not known" else f": {known}")
        for number, line in enumerate(wrap(one_line(name), LETTERS)[:ROWS], 1):
            yield _text(left + ROUND, down + 2 + NAME * number, line)
    for place, point in enumerate((row[0].a, *(one.b for one in row))):
        yield from _spot(sketch, point, marks, EDGE + STEP * place, down)


def _spot(sketch: Sketch, point: str, marks: Marks, along: int, down: int) -> Iterator[str]:
    spot = sketch.spots[point]
    probes = marks.probes(point)
    title = f"<title>{escape(one_line(spot.name))}</title>"
    heavy = 3 if probes else 1
    circle = f'cx="{along}" cy="{down}" r="{ROUND}" fill="white" stroke="black" stroke-width="{heavy}"'
    yield f"<circle {circle}>{title}</circle>"
    yield f'<text x="{along}" y="{down + 4}" text-anchor="middle">{spot.number}</text>'
    if probes:
        yield _text(along - ROUND, down - ROUND - 3, probes)


def _points(sketch: Sketch, marks: Marks, down: int) -> Iterator[str]:
    """What each number stands for, with what was read there; the signs in words above."""
    yield _text(EDGE, down, LEGEND)
    for number, spot in enumerate(sketch.spots.values(), 1):
        read = f": {marks.volts[spot.id]}" if spot.id in marks.volts else ""
        yield _text(EDGE, down + NAME * (number + 1), f"{spot.number}  {spot.name}{read}")


def _text(along: int, down: int, text: str) -> str:
    return f'<text x="{along}" y="{down}">{escape(one_line(text))}</text>'
