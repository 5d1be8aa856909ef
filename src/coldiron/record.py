"""A quick `dataclass` for records: the part of the standard one we use, at a fifth of its cost when a program starts.

The standard module imports `inspect` and compiles six functions a class: measured on CPython 3.11, it takes the first
question on plain lines from 72 ms of the processor to 138, bare Python being 14. Here a class costs one compiled
function. For a type checker this is the standard `dataclass`; `dataclasses.fields`, `replace` and `is_dataclass`, and
pydantic, take these classes as they take standard ones, whose module is imported when they ask.

What is left out is refused, and what the standard one refuses is refused here; a test draws classes and compares.
"""

from __future__ import annotations

import re
from operator import attrgetter, eq, ge, gt, le, lt

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from dataclasses import dataclass, field, replace
    from typing import Any

__all__ = ["dataclass", "field", "replace"]

_MISSING = object()


class _Field:
    """What `field()` was given."""

    __slots__ = ("compare", "default", "factory")

    def __init__(self, default: object, factory: Callable[[], object] | None, *, compare: bool = True) -> None:
        self.default = default
        self.factory = factory
        self.compare = compare


def _standard() -> Any:
    """The module of the standard library, only where it is asked for."""
    import dataclasses  # noqa: PLC0415 - the point of this module is to do without it

    return dataclasses


class _Standard:
    """An attribute that only the standard library asks for, made by it when it does."""

    __slots__ = ("name",)

    def __init__(self, name: str) -> None:
        self.name = name

    def __get__(self, instance: object, owner: type) -> Any:
        dataclasses = _standard()
        home = next(base for base in owner.__mro__ if "__record__" in base.__dict__)
        entries = []
        for name, kind, given in home.__record__:  # type: ignore[attr-defined]
            if given.factory:
                standard = dataclasses.field(default_factory=given.factory, compare=given.compare)
            else:
                default = dataclasses.MISSING if given.default is _MISSING else given.default
                standard = dataclasses.field(default=default, compare=given.compare)
            entries.append((name, kind, standard))
        twin = dataclasses.make_dataclass(home.__name__, entries, frozen=home.__frozen__)  # type: ignore[attr-defined]
        value = getattr(twin, self.name)
        setattr(home, self.name, value)
        return value


def _repr(self: Any) -> str:
    values = ", ".join(f"{name}={getattr(self, name)!r}" for name, _, _ in self.__record__)
    return f"{type(self).__qualname__}({values})"


def _refuse_set(self: object, name: str, value: object) -> None:  # noqa: ARG001 - the signature is Python's
    raise _standard().FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_del(self: object, name: str) -> None:  # noqa: ARG001 - likewise
    raise _standard().FrozenInstanceError(f"cannot delete field {name!r}")


def _reduce(self: Any) -> Any:
    return type(self), tuple([getattr(self, name) for name, _, _ in self.__record__])


def _compared(way: Callable[[Any, Any], bool], get: Callable[[Any], Any]) -> Callable[[Any, Any], Any]:
    """Compare records of one class by their fields."""
    return lambda self, other: way(get(self), get(other)) if type(other) is type(self) else NotImplemented


def _getter(names: list[str]) -> Callable[[Any], tuple[Any, ...]]:
    """Get some fields of a record as a tuple, as the standard library compares them: what is itself is equal."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda self: tuple([getattr(self, name) for name in names])


def _init_of(cls: Any, *, post: bool) -> Any:
    """Compile `__init__`: one argument a field, each put straight into its slot."""
    names: dict[str, Any] = {"__missing__": _MISSING}
    arguments, lines = [], []
    for name, _, given in cls.__record__:
        names[f"__set__{name}"] = cls.__dict__[name].__set__ if name in cls.__slots__ else getattr(cls, name).__set__
        value = name
        if given.factory:
            names[f"__make__{name}"] = given.factory
            arguments.append(f"{name}=__missing__")
            value = f"__make__{name}() if {name} is __missing__ else {name}"
        elif given.default is not _MISSING:
            names[f"__default__{name}"] = given.default
            arguments.append(f"{name}=__default__{name}")
        else:
            arguments.append(name)
        lines.append(f" __set__{name}(__self__, {value})\n")
    if post:
        lines.append(" __self__.__post_init__()\n")
    exec(f"def __init__(__self__, {', '.join(arguments)}):\n{''.join(lines) or ' pass'}", names)  # noqa: S102 - our own names
    init = names["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    init.__module__ = cls.__module__
    init.__annotations__ = {name: kind for name, kind, _ in cls.__record__} | {"return": None}
    return init


def _first_init(cls: Any) -> Any:
    """Stand in for `__init__` until the first record is made: most classes of a run never make one."""

    def __init__(self: Any, /, *values: Any, **named: Any) -> None:  # noqa: N807 - that is what it is
        if cls.__dict__["__init__"] is __init__:
            cls.__init__ = _init_of(cls, post=hasattr(cls, "__post_init__"))
        cls.__init__(self, *values, **named)

    return __init__


class _Signature:
    """What `inspect.signature` of a class asks for: that of its real `__init__`."""

    __slots__ = ()

    def __get__(self, instance: object, owner: type) -> Any:
        import inspect  # noqa: PLC0415 - only those who ask for it need it

        home = next(base for base in owner.__mro__ if "__record__" in base.__dict__)
        whole = inspect.signature(_init_of(home, post=False))
        return whole.replace(parameters=list(whole.parameters.values())[1:])


_OWN_MEANING = re.compile(r"\W*(?:\w+\.)*(?:ClassVar|InitVar|_?KW_ONLY(?:_TYPE)?)\b").match
"""Tells annotations that make no plain field in a standard dataclass."""

_NOT_OWN = {"__slots__", "__init__", "__setattr__", "__delattr__", "__getstate__", "__setstate__", "__reduce__"}
"""What a record does not bring itself: it is made here."""

_ORDERING = {"__lt__", "__le__", "__gt__", "__ge__"}


def _refuse_what_is_left_out(
    cls: Any, own: Mapping[str, Any], record: list[tuple[str, Any, _Field]], *, frozen: bool, order: bool
) -> None:
    """Refuse to make a class that would not be what the standard library makes of it.

    Raises:
        TypeError: a class or a field of a sort that records are not.
        ValueError: a default that all records would share and could change.
    """
    for name in own.keys() & (_NOT_OWN | _ORDERING if order else _NOT_OWN):
        raise TypeError(f"{cls.__name__} brings a {name} of its own")
    for base in cls.__mro__[1:-1]:
        if base.__dict__.get("__frozen__", frozen) is not frozen:
            raise TypeError(f"one of {cls.__name__} and {base.__name__} is frozen and the other is not")
        if "__record__" not in base.__dict__ and "__slots__" not in base.__dict__:
            raise TypeError(f"{base.__name__}, a base of {cls.__name__}, is no record")
    _refuse_fields(record)


def _refuse_fields(record: list[tuple[str, Any, _Field]]) -> None:
    """Refuse fields that are no plain ones, a default that can be changed, one before a field without."""
    given_before = ""
    for name, kind, given in record:
        if _OWN_MEANING(kind if isinstance(kind, str) else repr(kind)):
            raise TypeError(f"the field {name} is {kind}: records have plain fields only")
        if given.default is not _MISSING and type(given.default).__hash__ is None:
            raise ValueError(f"the default of the field {name} can be changed: give it by default_factory")
        if given.default is not _MISSING or given.factory:
            given_before = name
        elif given_before:
            raise TypeError(f"the field {name} has no default and stands after {given_before}, which has one")


def _make(cls: Any, *, frozen: bool, order: bool) -> Any:
    """Make the slotted class that stands for a plain annotated one."""
    record = list(next((base.__dict__["__record__"] for base in cls.__mro__[1:] if "__record__" in base.__dict__), ()))
    inherited = {name for name, _, _ in record}
    own = dict(cls.__dict__)
    for name, kind in own.get("__annotations__", {}).items():
        if name in inherited:
            raise TypeError(f"the field {name} of {cls.__name__} is one of its base too")
        given = own.pop(name, _MISSING)
        record.append((name, kind, given if isinstance(given, _Field) else _Field(given, None)))
    for name, given in own.items():
        if isinstance(given, _Field):
            raise TypeError(f"the field {name} of {cls.__name__} has no annotation")
    _refuse_what_is_left_out(cls, own, record, frozen=frozen, order=order)
    own.pop("__dict__", None)
    own.pop("__weakref__", None)
    names = tuple([name for name, _, _ in record])
    compared = [name for name, _, given in record if given.compare]
    get = _getter(compared)
    own |= {
        "__slots__": tuple([name for name in names if name not in inherited]),
        "__match_args__": names,
        "__record__": tuple(record),
        "__frozen__": frozen,
        "__dataclass_fields__": _Standard("__dataclass_fields__"),
        "__dataclass_params__": _Standard("__dataclass_params__"),
        "__reduce__": _reduce,
        "__signature__": _Signature(),
    }
    own.setdefault("__repr__", _repr)
    if own.get("__hash__") is None:
        own["__hash__"] = (lambda self: hash(get(self))) if frozen else None
    own.setdefault("__eq__", _compared(eq, get))
    if frozen:
        own |= {"__setattr__": _refuse_set, "__delattr__": _refuse_del}
    if order:
        own |= {f"__{way.__name__}__": _compared(way, get) for way in (lt, le, gt, ge)}
    made = type(cls)(cls.__name__, cls.__bases__, own)
    made.__qualname__ = cls.__qualname__
    made.__init__ = _first_init(made)
    return made


if not TYPE_CHECKING:

    def dataclass(cls=None, /, *, frozen=False, slots=True, order=False):  # noqa: ANN001, ANN201
        """Make a record class: slotted always, compared by value, hashable if frozen, sorted by `<` if ordered."""
        if not slots:
            raise TypeError("a record has slots always")

        def wrap(plain):  # noqa: ANN001, ANN202
            return _make(plain, frozen=frozen, order=order)

        return wrap if cls is None else wrap(cls)

    def field(*, default=_MISSING, default_factory=None, compare=True):  # noqa: ANN001, ANN201
        """Give a field a default, or what makes one; or leave it out of comparisons."""
        if default is not _MISSING and default_factory is not None:
            raise ValueError("a field has a default or a default_factory, not both")
        return _Field(default, default_factory, compare=compare)

    def replace(record, /, **changes):  # noqa: ANN001, ANN003, ANN201
        """Return a copy of a record with some fields changed."""
        values = {name: getattr(record, name) for name, _, _ in record.__record__ if name not in changes}
        return type(record)(**values, **changes)
