"""Records to plain lists and back: the form in which books and syntax trees lie in the cache.

A record becomes the list of its fields in order. What a field holds is read from its annotation, whose names are those
of the record's module, so a new field or a new record needs nothing here. Only fields that hold records or tuples are
touched on the way back: JSON gives the rest as it was. A name that stands for one of several records is told apart by
their last field, `form`. What JSON would give back otherwise is refused (`ShapeError`).
"""

from __future__ import annotations

import sys
from functools import cache
from types import UnionType
from typing import Literal

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any

    Decode = Callable[[Any], Any]
    Names = Mapping[str, Any]

PLAIN = ("str", "int", "float", "bool", "None")
"""Types that JSON gives back as they were."""


class ShapeError(TypeError):
    """A field or a value of a shape that would not come back as it was; the sentence names it."""


def encode(value: Any) -> Any:
    """Return a record, and all in it, as lists, mappings, texts and numbers.

    Raises:
        ShapeError: in it is something else than that, or a mapping whose keys are no texts.
    """
    if isinstance(value, (str, int, float)) or value is None:
        return value
    if isinstance(value, (tuple, list)):
        return [encode(one) for one in value]
    if hasattr(value, "items"):
        if not all(isinstance(key, str) for key in value):
            raise ShapeError(f"a mapping whose keys are no texts cannot be kept: {value!r:.200}")
        return {key: encode(one) for key, one in value.items()}
    if not hasattr(value, "__record__"):
        raise ShapeError(f"a {type(value).__name__} cannot be kept: {value!r:.200}")
    return [encode(getattr(value, name)) for name, _, _ in value.__record__]


def fields_of(record: Any) -> list[tuple[str, str]]:
    """Name and annotation of every field of a record."""
    return [(name, kind) for name, kind, _ in record.__record__]


def decode(annotation: str, value: Any, names: Names) -> Any:
    """Return a value of an annotated type from its encoded form, which is used up; `names` are those it may use.

    Raises:
        ShapeError: the type, or a field in it, is of a shape that cannot be brought back.
    """
    step = _decoder(annotation, names)
    return value if step is None else step(value)


def _decoder(annotation: str, names: Names) -> Decode | None:
    """Return what turns the encoded form of an annotated type back; nothing if it already is as it should be."""
    found = names.get(annotation)
    if hasattr(found, "__record__"):
        return _record(found)
    if isinstance(found, UnionType):
        return _one_of(annotation, found.__args__)
    if annotation in PLAIN or getattr(found, "__origin__", None) is Literal:
        return None
    options = _split(annotation, " | ")
    if len(options) > 1:
        return _either(annotation, options, names)
    outer, _, inner = annotation.partition("[")
    parts = _split(inner.removesuffix("]"), ", ")
    if outer == "Literal":
        return None
    if outer == "tuple" and inner:
        return _tuple(parts, names)
    if outer == "Mapping" and len(parts) == 2 and parts[0] == "str":
        return _mapping(_decoder(parts[1], names))
    raise ShapeError(f"a field of the type {annotation} cannot be brought back from what is kept")


def _split(text: str, between: str) -> list[str]:
    """Split the text of a type where it is in no brackets."""
    parts, depth = [""], 0
    for piece in text.split(between):
        parts[-1] += (between if parts[-1] and depth else "") + piece
        depth += piece.count("[") - piece.count("]")
        if depth == 0:
            parts.append("")
    return parts[:-1] if depth == 0 else parts


@cache
def _record(record: Any) -> Decode:
    """Make the decoder of one record; its fields are looked at once, when it is first used."""
    steps: list[tuple[int, Decode]] = []
    ready = False

    def decode_record(row: list[Any]) -> Any:
        nonlocal ready
        if not ready:
            steps.extend(field_steps(record))
            ready = True
        for at, step in steps:
            row[at] = step(row[at])
        return record(*row)

    return decode_record


def field_steps(record: Any) -> list[tuple[int, Decode]]:
    """Return the places of the fields of a record that have to be turned back, each with what does it.

    Raises:
        ShapeError: a field is of a shape that cannot be brought back.
    """
    names = vars(sys.modules[record.__module__])
    found = ((at, _decoder(kind, names)) for at, (_, kind) in enumerate(fields_of(record)))
    return [(at, step) for at, step in found if step]


def _tuple(parts: list[str], names: Names) -> Decode:
    if parts[1:] != ["..."]:
        return _fixed([_decoder(part, names) for part in parts])
    each = _decoder(parts[0], names)
    if each is None:
        return tuple
    return lambda row: tuple([each(one) for one in row])


def _fixed(steps: list[Decode | None]) -> Decode:
    if not any(steps):
        return tuple
    return lambda row: tuple([step(one) if step else one for step, one in zip(steps, row, strict=True)])


def _mapping(each: Decode | None) -> Decode | None:
    return each and (lambda found: {key: each(one) for key, one in found.items()})


def _either(annotation: str, options: list[str], names: Names) -> Decode | None:
    """One of several records, told apart by how many fields they have, or nothing; or one of several plain types."""
    records = [names[name] for name in options if hasattr(names.get(name), "__record__")]
    steps = {len(fields_of(record)): _record(record) for record in records}
    others = [_decoder(name, names) for name in options if not hasattr(names.get(name), "__record__")]
    if not records and not any(others):
        return None
    if len(steps) < len(records) or len(options) - len(records) > options.count("None"):
        raise ShapeError(f"which of {annotation} was kept could not be told when it is brought back")
    return lambda value: None if value is None else steps[len(value)](value)


def _one_of(name: str, records: tuple[Any, ...]) -> Decode:
    """One of several records that tell their form in their last field."""
    last = [record.__record__[-1] for record in records]
    steps = {field.default: _record(record) for record, (_, _, field) in zip(records, last, strict=True)}
    if len(steps) < len(records) or any(field != "form" for field, _, _ in last):
        raise ShapeError(f"which of {name} was kept could not be told when it is brought back")
    return lambda row: steps[row[-1]](row)
