"""The pieces of a circuit joined at points of the same name: which parts it has, and which checks can be made on it."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.checks import Check
from coldiron.book.machines import Circuit, Part, Section


def can_make(sections: Mapping[str, Section], circuit: Circuit, check: Check) -> bool:
    """Whether a circuit has everything that a check names, without composing it."""
    parts = joined(sections, circuit)
    return applies(check, parts, tuple({point for part in parts.values() for point in part.joins.values()}))


def joined(sections: Mapping[str, Section], circuit: Circuit) -> dict[str, Part]:
    """The parts of a circuit by id, in the order of its pieces.

    Raises:
        ValueError: the book has no such piece, or two pieces join a part differently.
    """
    parts: dict[str, Part] = {}
    for section in circuit.sections:
        if section not in sections:
            raise ValueError(f"circuit {circuit.id} uses section {section}, which the book does not have")
        for part in sections[section].parts:
            known = parts.setdefault(part.id, part)
            if (known.kind, known.joins) != (part.kind, part.joins):
                raise ValueError(f"circuit {circuit.id} has part {part.id} twice, joined differently")
    return parts


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
