"""The pieces of a circuit joined at points of the same name: its parts, its checks, and what may hurt several parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coldiron.book.checks import Check
from coldiron.book.machines import Circuit, Part, Route, RouteEvent, Section
from coldiron.record import replace

NEXT = "next"
"""The end of a piece at which it meets the first end of whatever piece comes after it in the circuit."""

LEAST_TOGETHER = 2
"""A machine that has fewer of the parts of a route does not have that route: nothing there is hurt together."""


def can_make(sections: Mapping[str, Section], circuit: Circuit, check: Check) -> bool:
    """Whether a circuit has everything that a check names, without composing it."""
    parts = joined(sections, circuit)
    return applies(check, parts, tuple({point for part in parts.values() for point in part.joins.values()}))


def joined(sections: Mapping[str, Section], circuit: Circuit) -> dict[str, Part]:
    """The parts of a circuit by id, in the order of its pieces.

    Raises:
        ValueError: the book has no such piece, two pieces join a part differently, or one goes on and none follows.
    """
    parts: dict[str, Part] = {}
    for section, joining in in_order(sections, circuit):
        for part in joining:
            known = parts.setdefault(part.id, part)
            if (known.kind, known.joins) != (part.kind, part.joins):
                raise ValueError(f"circuit {circuit.id} has part {part.id} twice, joined differently, in {section}")
    return parts


def in_order(sections: Mapping[str, Section], circuit: Circuit) -> Iterator[tuple[str, tuple[Part, ...]]]:
    """The ids of the pieces of a circuit in their order, with their parts; `next` is the first end of what follows.

    Raises:
        ValueError: the book has no such piece, or one goes on and none follows it.
    """
    known = []
    for name in circuit.sections:
        if name not in sections:
            raise ValueError(f"circuit {circuit.id} uses section {name}, which the book does not have")
        known.append(sections[name])
    for place, section in enumerate(known):
        if NEXT not in section.ends:
            yield section.id, section.parts
        elif section is known[-1]:
            raise ValueError(f"circuit {circuit.id} ends with section {section.id}, which goes on")
        else:
            yield section.id, tuple([_onward(part, known[place + 1].ends[0]) for part in section.parts])


def ends_open(sections: Mapping[str, Section], circuit: Circuit) -> bool:
    """Whether the last piece of a circuit goes on, and nothing follows it."""
    return NEXT in sections[circuit.sections[-1]].ends


def _onward(part: Part, point: str) -> Part:
    """A part with the point that comes next in place of `next`."""
    if NEXT not in part.joins.values():
        return part
    return replace(part, joins={end: point if at == NEXT else at for end, at in part.joins.items()})


def applies(check: Check, parts: Mapping[str, Part], points: tuple[str, ...]) -> bool:
    """Whether everything a check names is on the machine; a template that stands for one check a part is none."""
    if check.each and check.id.partition(".")[2] not in parts:
        return False
    if check.reads.part and check.reads.part not in parts:
        return False
    return all(point_named(name, parts, points) is not None for name in (check.reads.a, check.reads.b) if name)


def point_named(name: str, parts: Mapping[str, Part], points: tuple[str, ...]) -> str | None:
    """The id of the point meant by `name`, a point or `part.end`; None if there is no such place."""
    part, dot, end = name.partition(".")
    if dot:
        return parts[part].joins.get(end) if part in parts else None
    return name if name in points else None


def routes_of(routes: Mapping[str, Route], parts: Mapping[str, object]) -> dict[str, tuple[str, ...]]:
    """The routes that a machine with such parts has, each with the parts that pass there."""
    found = {name: tuple([part for part in route.parts if part in parts]) for name, route in routes.items()}
    return {name: passing for name, passing in found.items() if len(passing) >= LEAST_TOGETHER}


def hurt_by(event: RouteEvent, passing: tuple[str, ...], kinds: Mapping[str, str]) -> dict[str, float]:
    """The faults that an event may make of the parts that pass a place, by id, with chances; `kinds` are theirs.

    Faults that a part's kind does not have are among them where a line speaks of them: the audit tells.
    """
    found: dict[str, float] = {}
    for part in passing:
        for one in event.hurts:
            if one.faults.fault and one.faults.matches(part, kinds[part], one.faults.fault):
                found.setdefault(f"{part}.{one.faults.fault}", one.chance)
    return found
