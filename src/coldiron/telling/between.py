"""Where the trouble lies when no check tells any more: what is good, between which points, and where to halve."""

from __future__ import annotations

from coldiron.judging.judgement import Judgement

OPEN = 0.03
"""Chance from which a part is still open: about one in thirty."""

GOOD = 0.01
"""Chance below which a part is called good, if readings took most of its odds away ..."""

TAKEN_AWAY = 0.1
"""... that is, left it less than a tenth of what it had before any answer."""

NAMED = 4
"""Most parts named in one sentence."""


def where_it_lies(judged: Judgement) -> str:
    """What the readings prove good, between which points the trouble lies, and the reading that halves the way."""
    chances = _chances(judged)
    good = _good(judged, chances)
    left = _in_order(judged, [part for part, chance in chances.items() if chance >= OPEN])
    said = [f"Proven good by the readings: {_names(judged, good)}."] if good else []
    if left:
        said.append(f"Still open, in the order of the current: {_names(judged, left)}.")
        first, last = _ends(judged, left[0])[0], _ends(judged, left[-1])[-1]
        if first != last:
            said.append(f"So the trouble lies between {_point(judged, first)} and {_point(judged, last)}.")
    if len(left) > 1:
        middle = _ends(judged, left[_half(left, chances)])[-1]
        said.append(
            f"Halve the way: with all set as when it fails, measure volts at {_point(judged, middle)}. "
            "Full volts there clear what lies before it; anything less, what lies behind."
        )
    return " ".join(said)


def _chances(judged: Judgement) -> dict[str, float]:
    """Every part with the chance that the trouble is at it, whether the book knows that trouble or not."""
    belief = judged.belief
    alike = dict(belief.alike)
    parts = judged.setup.machine.parts  # a route is no part of the current's way
    return {part: chance + alike.get(part, 0.0) for part, chance in belief.parts if part in parts}


def _good(judged: Judgement, chances: dict[str, float]) -> list[str]:
    before: dict[str, float] = {}
    for name, odds in judged.setup.judge.model.odds.items():
        part = judged.setup.judge.model.part(name)
        before[part] = before.get(part, 0.0) + odds
    return _in_order(
        judged,
        [part for part, chance in chances.items() if chance < min(GOOD, TAKEN_AWAY * before.get(part, 0.0))],
    )


def _in_order(judged: Judgement, parts: list[str]) -> list[str]:
    """Parts from the source on."""
    return sorted(parts, key=lambda part: (len(judged.setup.machine.upstream[part]), part))


def _half(left: list[str], chances: dict[str, float]) -> int:
    """The part behind which half of the chances lie, or a little less; never the last."""
    whole, before = sum(chances[part] for part in left), 0.0
    for place, part in enumerate(left[:-1]):
        before += chances[part]
        if before >= whole / 2:
            return place
    return len(left) - 2


def _ends(judged: Judgement, part: str) -> list[str]:
    """The points at the ends of a part, in order."""
    machine = judged.setup.machine
    return [machine.parts[part].joins[end] for end in machine.ends(part)]


def _point(judged: Judgement, point: str) -> str:
    known = judged.state.book.points.get(point)
    return known.name if known else point.replace("_", " ")


def _names(judged: Judgement, parts: list[str]) -> str:
    """Names of the first parts; the rest are counted."""
    more = f" and {len(parts) - NAMED} more" if len(parts) > NAMED else ""
    return ", ".join(judged.setup.machine.parts[part].name for part in parts[:NAMED]) + more
