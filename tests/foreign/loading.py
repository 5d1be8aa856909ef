"""A file of a machine, read strictly: what is wrong in it is told in plain sentences with its place."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel, ValidationError

from foreign.elements import Any_, Starter
from foreign.record import Machine

FOLDER = Path(__file__).parent / "machines"


class FileError(Exception):
    """A file that cannot be used: one plain sentence a line, each with its place."""


def files() -> list[Path]:
    """All files of machines, in order."""
    return sorted(FOLDER.rglob("*.toml"))


def load(path: Path) -> Machine:
    """The machine of a file."""
    return read(path.read_text(encoding="utf-8"), path.name)


def read(text: str, name: str) -> Machine:
    """The machine that a text is of; `name` is how its file is called in what is said of it."""
    try:
        machine = Machine.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise FileError(f"{name}: {error}.") from error
    except ValidationError as error:
        said = [f"{name}: {_place(problem['loc'])}: {problem['msg']}." for problem in error.errors()]
        raise FileError("\n".join(said)) from error
    if wrong := list(problems(machine)):
        raise FileError("\n".join(f"{name}: {line}" for line in wrong))
    return machine


def points_of(element: Any_) -> list[str]:
    """The points an element lies between."""
    names = ("plus", "minus", "a", "b", "out", "stud", "s", "motor", "case")
    ends = (getattr(element, name, None) for name in names)
    found: list[str] = [point for point in ends if isinstance(point, str)]
    for field in ("coil", "contact", "rest"):
        found += getattr(element, field, None) or ()
    for need in getattr(element, "needs", ()):
        found += [need.plus, need.minus]
    return found


def points(machine: Machine) -> list[str]:
    """All points of a machine, in order."""
    return list(dict.fromkeys(point for element in machine.elements for point in points_of(element)))


def part_of(element: Any_) -> str:
    """The trade part an element belongs to."""
    return element.part or element.id


def problems(machine: Machine) -> Iterator[str]:
    """What a reader of single fields cannot see: names that lead nowhere, said twice, or used once."""
    ids = [element.id for element in machine.elements]
    yield from (f"element {each} is there twice." for each in sorted({each for each in ids if ids.count(each) > 1}))
    ends = [point for element in machine.elements for point in points_of(element)]
    ends += [element.motor for element in machine.elements if isinstance(element, Starter)]  # a path goes through it
    yield from (
        f"point {point} has one end only: a path that leads nowhere."
        for point in dict.fromkeys(ends)
        if ends.count(point) < 2
    )
    if machine.reference not in ends:
        yield f"the reference {machine.reference} is no point."
    for element in machine.elements:
        for setting in element.only:
            if setting.partition("=")[0] not in machine.stands:
                yield f"element {element.id}: setting {setting} is not among [stands]."
    for runs in machine.runs:
        yield from (f"runs: {point} is no point." for point in (runs.plus, runs.minus) if point not in ends)
    yield from (f"healthy: {point} is no point." for point in machine.healthy.volts if point not in ends)
    yield from _wrong_faults(machine, ends)


def _wrong_faults(machine: Machine, ends: list[str]) -> Iterator[str]:
    elements = {element.id: element for element in machine.elements}
    names = [fault.name for fault in machine.faults]
    yield from (f"fault {each} is there twice." for each in sorted({each for each in names if names.count(each) > 1}))
    for fault in machine.faults:
        if not (fault.change or fault.add or fault.stands):
            yield f"fault {fault.name} changes nothing."
        for change in fault.change:
            if change.of not in elements:
                yield f"fault {fault.name}: {change.of} is no element."
            elif not change.open and change.what not in fields(elements[change.of]):
                yield f"fault {fault.name}: element {change.of} has no '{change.what}'."
            elif not change.open and change.to is None:
                yield f"fault {fault.name}: what becomes of {change.of} {change.what}? Say `to`, or `open = true`."
        for added in fault.add:
            yield from (
                f"fault {fault.name}: {point} is no point." for point in (added.a, added.b) if point not in ends
            )
        yield from (
            f"fault {fault.name}: setting {each} is not among [stands]."
            for each in fault.stands
            if each not in machine.stands
        )
        yield from (
            f"fault {fault.name}: its victim {each} is no fault." for each in fault.victims if each not in names
        )
    for event in machine.events:
        yield from (f"event {event.name}: {each} is no fault." for each in event.faults if each not in names)


def fields(element: BaseModel) -> set[str]:
    """What can be changed of an element."""
    return set(type(element).model_fields) - {"id", "kind", "part", "words"}


def _place(loc: tuple[int | str, ...]) -> str:
    return ".".join(str(each) for each in loc)
