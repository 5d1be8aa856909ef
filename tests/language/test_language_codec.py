"""What is kept of a record comes back as it was, or is refused before it is kept."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from typing import Any, Literal, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book import problem
from coldiron.book.book import Book
from coldiron.language import codec, kept, tree
from coldiron.language.codec import ShapeError
from coldiron.record import dataclass

Way = Literal["in", "out"]


@dataclass(frozen=True)
class Leaf:
    """A record with one field."""

    name: str


@dataclass(frozen=True)
class Pair:
    """A record with two."""

    left: Leaf | None
    right: tuple[Leaf, ...] = ()


@dataclass(frozen=True)
class Twin:
    """Another with two, which a list of two could be as well."""

    left: int
    right: int


NAMES = vars(sys.modules[__name__])
leaves = st.builds(Leaf, st.text())
pairs = st.builds(Pair, st.none() | leaves, st.lists(leaves, max_size=3).map(tuple))
plain: dict[str, Any] = {
    "str": st.text(st.characters()),
    "int": st.integers(),
    "float": st.floats(allow_nan=False),
    "bool": st.booleans(),
    "Way": st.sampled_from(("in", "out")),
    "Literal['', 'before', 'after']": st.sampled_from(("", "before", "after")),
    "str | float | None": st.text() | st.floats(allow_nan=False) | st.none(),
}
records: dict[str, Any] = {
    "Leaf": leaves,
    "Pair": pairs,
    "Leaf | None": st.none() | leaves,
    "Leaf | Pair | None": st.none() | leaves | pairs,
}


def typed(of: tuple[str, Any]) -> st.SearchStrategy[tuple[str, Any]]:
    """Types made of a type, each with what draws its values."""
    kind, of_kind = of
    several = st.lists(of_kind, max_size=3).map(tuple)
    return st.sampled_from(
        (
            (f"tuple[{kind}, ...]", several),
            (f"tuple[{kind}, str]", st.tuples(of_kind, st.text())),
            (f"tuple[int, {kind}, {kind}]", st.tuples(st.integers(), of_kind, of_kind)),
            (f"Mapping[str, {kind}]", st.dictionaries(st.text(), of_kind, max_size=3)),
        )
    )


simple = st.sampled_from(sorted({**plain, **records}.items(), key=lambda one: one[0]))
types = simple | simple.flatmap(typed) | simple.flatmap(typed).flatmap(typed)


@given(types, st.data())
def test_a_value_of_any_type_comes_back_as_it_was(drawn: tuple[str, Any], data: st.DataObject) -> None:
    """Through JSON, types in types."""
    kind, of_kind = drawn
    value = data.draw(of_kind)
    assert back(kind, value) == value


def back(kind: str, value: object) -> object:
    """A value kept and brought back."""
    return codec.decode(kind, json.loads(json.dumps(codec.encode(value))), NAMES)


REFUSED = (
    *("list[str]", "set[str]", "frozenset[str]", "dict[str, str]", "bytes", "complex", "Unknown", "Sequence[Leaf]"),
    *(
        "Mapping[int, str]",
        "Mapping[str]",
        "Pair | Twin",
        "Leaf | str",
        "tuple[str, ...] | None",
        "Leaf | tuple[int, int]",
    ),
    *("tuple", "tuple[list[str], ...]", "Mapping[str, set[int]]", "tuple[str, Pair | Twin]", "object", "Any"),
)


@pytest.mark.parametrize("kind", REFUSED)
def test_a_type_that_would_come_back_otherwise_is_refused(kind: str) -> None:
    """Whatever value is kept of it."""
    with pytest.raises(ShapeError):
        codec.decode(kind, [], NAMES)


@pytest.mark.parametrize("value", [{1: "a"}, {"a": {None: 1}}, frozenset("ab"), b"a", object(), (Leaf("a"), {3})])
def test_a_value_that_would_come_back_otherwise_is_not_kept(value: object) -> None:
    """Keys that are no texts, sets, bytes."""
    with pytest.raises(ShapeError):
        codec.encode(value)


@pytest.mark.parametrize("record", [Book, tree.Tree, problem.Problem], ids=lambda record: record.__name__)
def test_every_record_that_is_kept_can_be_brought_back(record: Any) -> None:
    """Whatever a book, a syntax tree and a problem hold, fields of fields included."""
    wanted, seen = [record], set[Any]()
    while wanted:
        one = wanted.pop()
        if one in seen:
            continue
        seen.add(one)
        names = vars(sys.modules[one.__module__])
        if one is Book:
            names = {name: found for section in Book.__match_args__ for name, found in kept.names_of(section).items()}
        for _, kind in codec.fields_of(one):
            codec._decoder(kind, names)
        text = " ".join(kind for _, kind in codec.fields_of(one))
        words = {word.strip(",") for word in text.replace("[", " ").replace("]", " ").split()}
        held = [form for word in words for form in get_args(names.get(word)) or (names.get(word),)]
        wanted += [form for form in held if hasattr(form, "__record__")]
    assert len(seen) > 1


def test_a_mapping_is_one_as_it_was() -> None:
    """Its order too."""
    held: Mapping[str, tuple[int, ...]] = {"b": (1,), "a": ()}
    assert list(back("Mapping[str, tuple[int, ...]]", held).items()) == list(held.items())  # type: ignore[attr-defined]
