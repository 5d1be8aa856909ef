"""Order along the feed: which parts stand between the source and a part, and which come after it."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.machines import Kind, Part
from coldiron.circuits.stamps import path_ends, paths
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Feed:
    """For every part, the parts before and after it, each list running from the source to the return.

    A part is before another when current that runs through the parts in the direction of their ends (from, to) can
    come from the one to the other. A relay passes nothing from its coil to its contact here. Batteries have no order:
    all current comes from them and returns to them.
    """

    before: Mapping[str, tuple[str, ...]]
    after: Mapping[str, tuple[str, ...]]


def _passages(part: Part, kind: Kind, ends: tuple[str, ...]) -> list[tuple[str, str]]:
    """The (from, to) points of the paths of a part."""
    points = [part.joins[end] for end in ends]
    found = [(points[a], points[b]) for a, b in (path_ends(kind.acts, path) for path in paths(kind.acts))]
    if kind.acts == "starter":
        found.append((points[2], points[3]))
    return found


def _reached(start: frozenset[str], onward: Mapping[str, list[str]]) -> frozenset[str]:
    seen = set(start)
    waiting = sorted(start)
    while waiting:
        for point in onward.get(waiting.pop(), ()):
            if point not in seen:
                seen.add(point)
                waiting.append(point)
    return frozenset(seen)


def feed_order(parts: Mapping[str, Part], kinds: Mapping[str, Kind], ends: Mapping[str, tuple[str, ...]]) -> Feed:
    """The order of the parts of a machine; `ends` are the names of the ends of each part, in order."""
    passages = {id_: _passages(part, kinds[part.kind], ends[id_]) for id_, part in sorted(parts.items())}
    onward: dict[str, list[str]] = {}
    for found in passages.values():
        for a, b in found:
            onward.setdefault(a, []).append(b)
    reached = {id_: _reached(frozenset(b for _, b in found), onward) for id_, found in passages.items()}
    starts = {id_: frozenset(a for a, _ in found) for id_, found in passages.items()}
    leads = {
        one: {other for other in passages if other != one and reached[one] & starts[other]}
        for one, found in passages.items()
    }
    after = {one: {other for other in others if one not in leads[other]} for one, others in leads.items()}
    before: dict[str, set[str]] = {one: set() for one in passages}
    for one, others in after.items():
        for other in others:
            before[other].add(one)

    def place(id_: str) -> tuple[int, str]:
        return len(before[id_]), id_

    return Feed(
        before={one: tuple(sorted(others, key=place)) for one, others in before.items()},
        after={one: tuple(sorted(others, key=place)) for one, others in after.items()},
    )
