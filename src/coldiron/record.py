"""A quick `dataclass` for records: the part of the standard one we use, at a fifth of its cost when a program starts.

The standard module imports `inspect` and compiles six functions a class: measured on CPython 3.11, 16 ms and then
0.6 ms a class, which for the records of this project was most of the time to the first question. Here a class costs
one compiled function. For a type checker this is the standard `dataclass`; `dataclasses.fields`, `replace` and
`is_dataclass`, and pydantic, take these classes as they take standard ones, whose module is imported when they ask.
"""

from __future__ import annotations

from operator import attrgetter, eq, ge, gt, le, lt

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
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


class _Standard:
    """An attribute that only the standard library asks for, made by it when it does."""

    __slots__ = ("name",)

    def __init__(self, name: str) -> None:
        self.name = name

    def __get__(self, instance: object, owner: type) -> Any:
        import dataclasses  # noqa: PLC0415 - the point of this module is to do without it

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
    from dataclasses import FrozenInstanceError  # noqa: PLC0415 - see the module

    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_del(self: object, name: str) -> None:  # noqa: ARG001 - likewise
    from dataclasses import FrozenInstanceError  # noqa: PLC0415 - see the module

    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _reduce(self: Any) -> Any:
    return type(self), tuple([getattr(self, name) for name, _, _ in self.__record__])


def _compared(way: Callable[[Any, Any], bool], get: Callable[[Any], Any]) -> Callable[[Any, Any], Any]:
    """Compare records of one class by their fields."""
    return lambda self, other: way(get(self), get(other)) if type(other) is type(self) else NotImplemented


def _nothing(self: object) -> tuple[()]:  # noqa: ARG001 - what `attrgetter` would be called with
    return ()


def _init_of(cls: Any, *, post: bool) -> Any:
    """Compile `__init__`: one argument a field, each put straight into its slot."""
    names: dict[str, Any] = {"MISSING": _MISSING}
    arguments, lines = [], []
    for name, _, given in cls.__record__:
        names[f"set_{name}"] = cls.__dict__[name].__set__ if name in cls.__slots__ else getattr(cls, name).__set__
        value = name
        if given.factory:
            names[f"make_{name}"] = given.factory
            arguments.append(f"{name}=MISSING")
            value = f"make_{name}() if {name} is MISSING else {name}"
        elif given.default is not _MISSING:
            names[f"default_{name}"] = given.default
            arguments.append(f"{name}=default_{name}")
        else:
            arguments.append(name)
        lines.append(f" set_{name}(self, {value})\n")
    if post:
        lines.append(" self.__post_init__()\n")
    exec(f"def __init__(self, {', '.join(arguments)}):\n{''.join(lines) or ' pass'}", names)  # noqa: S102 - our own names
    init = names["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    init.__module__ = cls.__module__
    init.__annotations__ = {name: kind for name, kind, _ in cls.__record__} | {"return": None}
    return init


def _first_init(cls: Any) -> Any:
    """Stand in for `__init__` until the first record is made: most classes of a run never make one."""

    def __init__(self: Any, *values: Any, **named: Any) -> None:  # noqa: N807 - that is what it is
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


def _make(cls: Any, *, frozen: bool, order: bool) -> Any:
    """Make the slotted class that stands for a plain annotated one."""
    record = [entry for base in cls.__mro__[1:] for entry in base.__dict__.get("__record__", ())]
    inherited = {name for name, _, _ in record}
    own = dict(cls.__dict__)
    for name, kind in own.get("__annotations__", {}).items():
        given = own.pop(name, _MISSING)
        record.append((name, kind, given if isinstance(given, _Field) else _Field(given, None)))
    own.pop("__dict__", None)
    own.pop("__weakref__", None)
    names = tuple([name for name, _, _ in record])
    compared = [name for name, _, given in record if given.compare]
    get = attrgetter(*compared) if compared else _nothing
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
        del slots

        def wrap(plain):  # noqa: ANN001, ANN202
            return _make(plain, frozen=frozen, order=order)

        return wrap if cls is None else wrap(cls)

    def field(*, default=_MISSING, default_factory=None, compare=True):  # noqa: ANN001, ANN201
        """Give a field a default, or what makes one; or leave it out of comparisons."""
        return _Field(default, default_factory, compare=compare)

    def replace(record, /, **changes):  # noqa: ANN001, ANN003, ANN201
        """Return a copy of a record with some fields changed."""
        values = {name: getattr(record, name) for name, _, _ in record.__record__ if name not in changes}
        return type(record)(**values, **changes)
