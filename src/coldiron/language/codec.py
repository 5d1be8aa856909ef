"""Records to plain lists and back: the form in which books and syntax trees lie in the cache.

A record becomes the list of its fields in order. What a field holds is read from its annotation, whose names are those
of the record's module, so a new field or a new record needs nothing here. Only fields that hold records or tuples are
touched on the way back: JSON gives the rest as it was.
"""

from __future__ import annotations

import sys
from functools import cache

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any

    Decode = Callable[[Any], Any]
    Names = Mapping[str, Any]


def encode(value: Any) -> Any:
    """Return a record, and all in it, as lists, mappings, texts and numbers."""
    if isinstance(value, (str, int, float)) or value is None:
        return value
    if isinstance(value, (tuple, list)):
        return [encode(one) for one in value]
    if hasattr(value, "items"):
        return {key: encode(one) for key, one in value.items()}
    return [encode(getattr(value, name)) for name, _, _ in value.__record__]


def fields_of(record: Any) -> list[tuple[str, str]]:
    """Name and annotation of every field of a record."""
    return [(name, kind) for name, kind, _ in record.__record__]


def decode(annotation: str, value: Any, names: Names) -> Any:
    """Return a value of an annotated type from its encoded form, which is used up; `names` are those it may use."""
    step = _decoder(annotation, names)
    return value if step is None else step(value)


def _decoder(annotation: str, names: Names) -> Decode | None:
    """Return what turns the encoded form of an annotated type back; nothing if it already is as it should be."""
    if hasattr(names.get(annotation), "__record__"):
        return _record(names[annotation])
    if " | " in annotation and "[" not in annotation:
        return _either(annotation, names)
    outer, _, inner = annotation.partition("[")
    inner = inner.removesuffix("]")
    if outer == "tuple":
        return _tuple(inner, names)
    if outer == "Mapping":
        return _mapping(_decoder(inner.partition(", ")[2], names))
    return None


@cache
def _record(record: Any) -> Decode:
    """Make the decoder of one record; its fields are looked at once, when it is first used."""
    steps: list[tuple[int, Decode]] = []
    ready = False

    def decode_record(row: list[Any]) -> Any:
        nonlocal ready
        if not ready:
            names = vars(sys.modules[record.__module__])
            found = ((at, _decoder(kind, names)) for at, (_, kind) in enumerate(fields_of(record)))
            steps.extend((at, step) for at, step in found if step)
            ready = True
        for at, step in steps:
            row[at] = step(row[at])
        return record(*row)

    return decode_record


def _tuple(inner: str, names: Names) -> Decode:
    if not inner.endswith(", ...") and " | " not in inner:
        return _fixed([_decoder(part, names) for part in inner.split(", ")])
    each = _decoder(inner.removesuffix(", ..."), names)
    if each is None:
        return tuple
    return lambda row: tuple([each(one) for one in row])


def _fixed(steps: list[Decode | None]) -> Decode:
    if not any(steps):
        return tuple
    return lambda row: tuple([step(one) if step else one for step, one in zip(steps, row, strict=True)])


def _mapping(each: Decode | None) -> Decode | None:
    return each and (lambda found: {key: each(one) for key, one in found.items()})


def _either(annotation: str, names: Names) -> Decode | None:
    """One of several records, told apart by how many fields they have; or one, or nothing."""
    records = [names[name] for name in annotation.split(" | ") if hasattr(names.get(name), "__record__")]
    steps = {len(fields_of(record)): _record(record) for record in records}
    if not steps:
        return None
    return lambda value: None if value is None else steps[len(value)](value)
