"""The drawing of a machine as lines of text: lanes of numbered points, and the list of what the numbers mean."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.map.marks import SIGNS, Marks
from coldiron.map.sketch import Lane, Sketch, Stretch
from coldiron.plaintext import columns, wrap

LEGEND = ", ".join(f"{sign} {known}" for known, sign in SIGNS.items())
"""The signs in words."""

FEED, RETURN = "Feed, from the battery on:", "Ground, from the battery on:"


def lanes(sketch: Sketch, marks: Marks, width: int) -> list[str]:
    """The lanes, at most `width` columns wide, with a heading before the feed and one before the ground side."""
    found = [FEED]
    for lane in sketch.lanes:
        if lane.returns and RETURN not in found:
            found.append(RETURN)
        found += _lane(sketch, lane, marks, width)
    return found


def _lane(sketch: Sketch, lane: Lane, marks: Marks, width: int) -> Iterator[str]:
    """A lane, in as many lines as it takes: the others begin with the point where the one before ended."""
    line = f"  {_at(sketch, lane.start, marks)}"
    last = lane.stretches[-1]
    for one in lane.stretches:
        more = f"{marks.sign(one.part)}{_at(sketch, one.b, marks)}"
        if columns(line + more) > width:
            yield line
            line = f"    {_at(sketch, one.a, marks)}"
        line += more
    tail = f"  {last.label}"
    if columns(line + tail) <= width:
        yield line + tail
    else:
        yield line
        yield from wrap(tail.strip(), width, "      ", "      ")


def _at(sketch: Sketch, point: str, marks: Marks) -> str:
    """The number of a point, in brackets with the color of its probe where one goes."""
    number = str(sketch.spots[point].number)
    probes = marks.probes(point)
    return f"[{number} {probes}]" if probes else number


def legend(sketch: Sketch, marks: Marks, width: int) -> list[str]:
    """What each number means: the point, what was read there, the parts that lead to it and what is known of them."""
    leads: dict[str, list[Stretch]] = {}
    for lane in sketch.lanes:
        for one in lane.stretches:
            leads.setdefault(one.b, []).append(one)
    found = []
    for spot in sketch.spots.values():
        read = f": {marks.volts[spot.id]}" if spot.id in marks.volts else ""
        found += wrap(f"{spot.name}{read}", width, f"{spot.number:>3}  ", "     ")
        for one in leads.get(spot.id, ()):
            known = marks.known.get(one.part, "not known")
            words = "" if known == "not known" else f", {known}"
            mark = f"     {sketch.spots[one.a].number}{marks.sign(one.part)}{spot.number}  "
            found += wrap(f"{one.label}{words}", width, mark, " " * len(mark))
    return found


def strip(sketch: Sketch, marks: Marks, width: int) -> list[str]:
    """The way from the battery to the red probe in one line, with the black probe behind it; nothing if it is wider."""
    way = sketch.way_to(marks.red)
    if not way:
        return []
    line = "Map: " + _at(sketch, way[0].a, marks)
    for one in way:
        line += f"{marks.sign(one.part)}{_at(sketch, one.b, marks)}"
    if "black" not in line and marks.black in sketch.spots:
        line += f" to {_at(sketch, marks.black, marks)}"
    return [line] if columns(line) <= width else []
