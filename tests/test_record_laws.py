"""Whatever class `record` makes behaves as the one the standard library makes of the same text; or it is refused."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import typing  # noqa: F401 - an annotation in a text names it
from collections.abc import Callable
from dataclasses import KW_ONLY, InitVar
from functools import partial
from typing import Any, ClassVar, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import record

NAMES = ("a", "b", "self", "MISSING", "set_a", "make_a", "cls", "value", "get")
PLAIN = ("int", "tuple[int, ...]", "list[int]", int)
ODD = ("ClassVar[int]", "typing.ClassVar[int]", "InitVar[int]", "KW_ONLY", ClassVar[int], InitVar[int], KW_ONLY)
DEFAULTS: dict[str, Callable[[Any], Any]] = {
    "a number": lambda _: 3,
    "a tuple": lambda _: (1, 2),
    "aside": lambda made: made.field(default=7, compare=False),
    "made": lambda made: made.field(default_factory=list),
    "made aside": lambda made: made.field(default_factory=dict, compare=False),
}
WRONG: dict[str, Callable[[Any], Any]] = {
    "a list": lambda _: [],
    "a mapping": lambda made: made.field(default={}),
    "twice": lambda made: made.field(default=1, default_factory=list),
}
OWN = {
    "__eq__": lambda self, other: self is other,
    "__hash__": lambda _: 5,
    "__repr__": lambda _: "own",
    "__post_init__": lambda _: None,
}
REFUSED = {
    "__lt__": lambda *_: True,
    "__setattr__": lambda *_: None,
    "__init__": lambda *_: None,
    "__slots__": ("a",),
    "__reduce__": lambda self: (type(self), ()),
}


class Text(NamedTuple):
    """What stands in a class: fields with annotation and default, methods, and how it is made."""

    fields: dict[str, tuple[Any, str]]
    own: frozenset[str]
    options: dict[str, bool]
    base: Any = None

    def made_by(self, maker: Any) -> Any:
        """Let one of the two modules make the class."""
        bases = (self.base.made_by(maker),) if self.base else ()
        content: dict[str, Any] = {"__module__": __name__, "__annotations__": {}}
        for name, (kind, default) in self.fields.items():
            content["__annotations__"][name] = kind
            if default:
                content[name] = {**DEFAULTS, **WRONG}[default](maker)
        content |= {name: {**OWN, **REFUSED}[name] for name in self.own}
        return maker.dataclass(**self.options)(type("Drawn", bases, content))


def texts(kinds: tuple[Any, ...], defaults: tuple[str, ...], own: tuple[str, ...], base: Any) -> Any:
    """Draw the texts of classes."""
    fields = st.dictionaries(
        st.sampled_from(NAMES), st.tuples(st.sampled_from(kinds), st.sampled_from(defaults)), max_size=4
    )
    options = st.fixed_dictionaries({"frozen": st.booleans(), "order": st.booleans(), "slots": st.just(True)})
    return st.builds(Text, fields, st.frozensets(st.sampled_from(own), max_size=2), options, base)


def in_order(text: Text) -> Text:
    """The fields without a default first, as Python wants them."""
    return text._replace(fields=dict(sorted(text.fields.items(), key=lambda one: bool(one[1][1]))))


sound = texts(PLAIN, ("", *DEFAULTS), tuple(OWN), st.none()).map(in_order)
below = texts(PLAIN, ("", *DEFAULTS), tuple(OWN), sound)
anything = texts((*PLAIN, *ODD), ("", *DEFAULTS, *WRONG), (*OWN, *REFUSED), st.none() | sound)
values = st.integers(0, 2) | st.lists(st.integers(0, 1), max_size=1) | st.just(float("nan"))


def outcome(do: Callable[[], Any]) -> Any:
    """What comes of it: a value, or the sort of error."""
    try:
        return do()
    except (TypeError, ValueError, AttributeError) as error:
        return type(error)


def made(text: Text) -> tuple[Any, Any]:
    """What our module and the standard one make of a text: two classes, or the errors."""
    return outcome(lambda: text.made_by(record)), outcome(lambda: text.made_by(dataclasses))


def failed(result: Any) -> bool:
    """Whether it is an error."""
    return isinstance(result, type) and issubclass(result, Exception)


@given(sound, st.data())
def test_a_class_behaves_as_the_standard_one(text: Text, data: st.DataObject) -> None:
    """Made, shown, compared, hashed, sorted, changed, copied, replaced, looked into: all alike."""
    ours, theirs = made(text)
    assert not failed(ours)
    alike(ours, theirs, data)


@given(below, st.data())
def test_a_class_with_a_base_behaves_as_the_standard_one(text: Text, data: st.DataObject) -> None:
    """Or is refused: where the standard one is, where a field of the base is declared anew."""
    ours, theirs = made(text)
    if failed(theirs) or set(text.fields) & set(text.base.fields):
        assert failed(ours)
    else:
        alike(ours, theirs, data)


@given(anything, st.data())
def test_what_the_standard_one_refuses_is_refused_and_nothing_is_made_otherwise(
    text: Text, data: st.DataObject
) -> None:
    """Defaults that can be changed, annotations of a meaning of their own, methods that are made here."""
    ours, theirs = made(text)
    if not failed(ours):
        assert not failed(theirs)
        alike(ours, theirs, data)


def alike(ours: Any, theirs: Any, data: st.DataObject) -> None:
    """Do the same with both classes, and look for a difference."""
    names = ours.__match_args__
    assert names == theirs.__match_args__
    given_values = data.draw(st.lists(values, max_size=len(names) + 1))
    named = data.draw(st.dictionaries(st.sampled_from((*NAMES, "none of them")), values, max_size=2))
    other = data.draw(st.lists(values, max_size=len(names)))
    name = data.draw(st.sampled_from((*names, "none_of_them")))
    seen = [shown_of(kind, (given_values, named), other, name) for kind in (ours, theirs)]
    assert seen[0] == seen[1]


def shown_of(kind: Any, first: tuple[list[Any], dict[str, Any]], second: list[Any], name: str) -> list[object]:
    """What is to be seen of a class and of two records of it, one of whose fields is changed at last."""
    one, two = outcome(lambda: kind(*first[0], **first[1])), outcome(lambda: kind(*second))
    found = [repr(one), repr(two), kind.__hash__ is None, parameters(kind)]
    found += [[(entry.name, entry.compare) for entry in dataclasses.fields(kind)]]
    if failed(one) or failed(two):
        return found
    found += [outcome(partial(getattr(one, way), two)) for way in WAYS]
    found += [outcome(lambda: hash(one)), outcome(lambda: one == copy.deepcopy(one))]
    found += [repr(outcome(lambda: dataclasses.replace(one, **{name: 9})))]
    found += [failed(outcome(lambda: setattr(one, name, 4))), repr(one)]
    return [*found, failed(outcome(lambda: delattr(two, name))), outcome(lambda: repr(two))]


WAYS = ("__eq__", "__ne__", "__lt__", "__le__", "__gt__", "__ge__")


def parameters(kind: Any) -> list[tuple[str, bool, object]]:
    """What the signature of a class says: names, what may be left out, how it may be given."""
    found = inspect.signature(kind).parameters.values()
    return [(one.name, one.default is one.empty, one.kind) for one in found]


@pytest.mark.parametrize("option", ["eq", "repr", "init", "unsafe_hash", "kw_only", "weakref_slot", "match_args"])
def test_options_that_are_left_out_are_refused(option: str) -> None:
    """Not passed over."""
    anything: Any = record.dataclass
    with pytest.raises(TypeError):
        anything(**{option: True})
    anything = record.field
    with pytest.raises(TypeError):
        anything(**{option: True})


def test_a_record_has_slots_always() -> None:
    """Whoever asks for none is told."""
    with pytest.raises(TypeError, match="slots"):
        record.dataclass(slots=False)


def test_a_base_of_a_base_has_its_fields_once() -> None:
    """In the order of the classes."""

    @record.dataclass(frozen=True)
    class One:
        a: int

    @record.dataclass(frozen=True)
    class Two(One):
        b: int = 2

    @record.dataclass(frozen=True)
    class Three(Two):
        c: int = 3

    assert repr(Three(1)).endswith("Three(a=1, b=2, c=3)")


def test_a_field_without_an_annotation_is_refused() -> None:
    """As by the standard one."""
    for maker in (record, dataclasses):
        anything: Any = maker
        with pytest.raises(TypeError):
            anything.dataclass(type("Drawn", (), {"a": anything.field(default=1)}))
