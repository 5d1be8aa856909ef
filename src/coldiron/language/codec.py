"""Records to plain lists and back: the form in which books and syntax trees lie in the cache.

A record becomes the list of its fields in order. What a field holds is read from its annotation, so a new field or a
new record needs nothing here. Only fields that hold records or tuples are touched on the way back: JSON gives the rest
as it was.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import lru_cache
from typing import Any

from coldiron import model, problem, source
from coldiron.language import tree

Decode = Callable[[Any], Any]

_RECORDS: dict[str, type] = {
    name: thing
    for module in (source, problem, tree, model)
    for name, thing in vars(module).items()
    if isinstance(thing, type) and is_dataclass(thing)
}


def encode(value: Any) -> Any:
    """Return a record, and all in it, as lists, mappings, texts and numbers."""
    if isinstance(value, (str, int, float)) or value is None:
        return value
    if isinstance(value, (tuple, list)):
        return [encode(one) for one in value]
    if isinstance(value, dict):
        return {key: encode(one) for key, one in value.items()}
    return [encode(getattr(value, name)) for name in _names(type(value))]


@lru_cache(maxsize=None)
def _names(record: type) -> tuple[str, ...]:
    return tuple(entry.name for entry in fields(record))


def decoder(annotation: str) -> Decode | None:
    """Return what turns the encoded form of an annotated type back; nothing if it already is as it should be."""
    if annotation in _RECORDS:
        return _record(_RECORDS[annotation])
    if " | " in annotation and "[" not in annotation:
        return _either(annotation)
    outer, _, inner = annotation.partition("[")
    inner = inner.removesuffix("]")
    if outer == "tuple":
        return _tuple(inner)
    if outer == "Mapping":
        return _mapping(decoder(inner.partition(", ")[2]))
    return None


@lru_cache(maxsize=None)
def _record(record: type) -> Decode:
    """Make the decoder of one record; its fields are looked at once, when it is first used."""
    steps: list[tuple[int, Decode]] = []
    ready = False

    def decode(row: list[Any]) -> Any:
        nonlocal ready
        if not ready:
            found = ((at, decoder(str(entry.type))) for at, entry in enumerate(fields(record)))
            steps.extend((at, step) for at, step in found if step)
            ready = True
        for at, step in steps:
            row[at] = step(row[at])
        return record(*row)

    return decode


def _tuple(inner: str) -> Decode:
    if not inner.endswith(", ..."):
        return _fixed([decoder(part) for part in inner.split(", ")])
    each = decoder(inner.removesuffix(", ..."))
    if each is None:
        return tuple
    return lambda row: tuple([each(one) for one in row])


def _fixed(steps: list[Decode | None]) -> Decode:
    if not any(steps):
        return tuple
    return lambda row: tuple([step(one) if step else one for step, one in zip(steps, row, strict=True)])


def _mapping(each: Decode | None) -> Decode | None:
    return each and (lambda found: {key: each(one) for key, one in found.items()})


def _either(annotation: str) -> Decode | None:
    """One of several records, told apart by how many fields they have; or one, or nothing."""
    names = [name for name in annotation.split(" | ") if name in _RECORDS]
    steps = {len(fields(_RECORDS[name])): _record(_RECORDS[name]) for name in names}
    if not steps:
        return None
    return lambda value: None if value is None else steps[len(value)](value)
