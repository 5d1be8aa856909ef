"""Records: the quick dataclass means what the standard one means."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from coldiron import record
from support.imports import imported


@record.dataclass(frozen=True)
class Quick:
    """A record with every sort of field."""

    name: str
    size: int = 3
    marks: tuple[str, ...] = ()
    notes: Mapping[str, str] = record.field(default_factory=dict)
    aside: int = record.field(default=0, compare=False)


@dataclasses.dataclass(frozen=True, slots=True)
class Standard:
    """The same by the standard library."""

    name: str
    size: int = 3
    marks: tuple[str, ...] = ()
    notes: Mapping[str, str] = dataclasses.field(default_factory=dict)
    aside: int = dataclasses.field(default=0, compare=False)


@record.dataclass
class Loose:
    """A record that may be changed."""

    name: str
    seen: list[str] = record.field(default_factory=list)

    def __post_init__(self) -> None:
        self.name = self.name.strip()


def test_it_is_made_and_shown_like_a_standard_one() -> None:
    """Arguments by place and by name, defaults, and the text it shows."""
    for kind in (Quick, Standard):
        made: Any = kind("a", marks=("x",))
        assert (made.name, made.size, made.marks, made.notes) == ("a", 3, ("x",), {})
        assert repr(made) == f"{kind.__name__}(name='a', size=3, marks=('x',), notes={{}}, aside=0)"


def test_wrong_arguments_are_refused_like_by_a_standard_one() -> None:
    """Too few, too many, unknown: TypeError."""
    for kind in (Quick, Standard):
        anything: Any = kind
        for arguments, names in (((), {}), (("a", 1, (), {}, 0, 5), {}), (("a",), {"colour": 1})):
            with pytest.raises(TypeError):
                anything(*arguments, **names)


def test_two_records_are_equal_when_their_fields_are_and_never_across_classes() -> None:
    """By value, within one class; a frozen one without unhashable fields can be a key."""

    @record.dataclass(frozen=True)
    class Pair:
        name: str
        size: int

    assert Quick("a") == Quick("a")
    assert Quick("a") != Quick("b")
    assert Quick("a") == Quick("a", aside=1)
    standard: Any = Standard("a")
    assert Quick("a") != standard
    assert len({Pair("a", 1), Pair("a", 1), Pair("a", 2)}) == 2


def test_a_frozen_record_cannot_be_changed_and_has_no_other_fields() -> None:
    """Setting, deleting, inventing: refused with the standard error."""
    made = Quick("a")
    with pytest.raises(dataclasses.FrozenInstanceError):
        made.name = "b"  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        del made.name
    with pytest.raises(AttributeError):
        object.__setattr__(made, "colour", "red")


def test_a_loose_record_can_be_changed_and_finishes_itself() -> None:
    """`__post_init__` runs; lists are its own."""
    one, two = Loose(" a "), Loose("b")
    one.seen.append("x")
    assert (one.name, one.seen, two.seen) == ("a", ["x"], [])
    with pytest.raises(TypeError):
        hash(one)


def test_replace_changes_what_it_is_told_and_nothing_else() -> None:
    """Ours and the standard one agree."""
    made = Quick("a", 5, ("x",))
    assert record.replace(made, size=6) == Quick("a", 6, ("x",)) == dataclasses.replace(made, size=6)


def test_it_can_be_copied_and_pickled() -> None:
    """As any value."""
    made = Quick("a", 5, ("x",), {"k": "v"})
    assert copy.copy(made) == copy.deepcopy(made) == pickle.loads(pickle.dumps(made)) == made  # noqa: S301 - our own


def test_ordered_records_sort_by_their_fields() -> None:
    """All four comparisons, within one class."""

    @record.dataclass(frozen=True, order=True)
    class Mark:
        line: int
        name: str = ""

    one, two = Mark(1, "b"), Mark(2, "a")
    assert (one < two, one <= two, one > two, one >= two) == (True, True, False, False)
    assert sorted([two, one]) == [one, two]
    with pytest.raises(TypeError):
        assert one < (1, "b")  # type: ignore[operator]


def test_a_class_keeps_its_own_methods() -> None:
    """What it defines itself is not replaced."""

    @record.dataclass(frozen=True)
    class Mark:
        name: str

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Mark) and other.name.lower() == self.name.lower()

        def __hash__(self) -> int:
            return hash(self.name.lower())

        def __repr__(self) -> str:
            return self.name

    assert Mark("A") == Mark("a")
    assert len({Mark("A"), Mark("a")}) == 1
    assert repr(Mark("A")) == "A"


def test_its_signature_is_that_of_a_standard_one() -> None:
    """For whoever asks: tools, and tests that make records up."""
    for kind in (Quick, Standard):
        names = list(inspect.signature(kind).parameters.values())
        assert [(one.name, one.default is one.empty) for one in names][:3] == [
            ("name", True),
            ("size", False),
            ("marks", False),
        ]


def test_it_matches_by_place() -> None:
    """`match` takes its fields in order."""
    match Quick("a", 7):
        case Quick(name, size):
            assert (name, size) == ("a", 7)


def test_fields_of_a_base_come_first() -> None:
    """Inheritance adds fields behind."""

    @record.dataclass(frozen=True)
    class Wide(Quick):
        colour: str = "red"

    made = Wide("a", colour="blue")
    assert (made.name, made.colour) == ("a", "blue")
    assert [entry.name for entry in dataclasses.fields(made)] == ["name", "size", "marks", "notes", "aside", "colour"]


def test_the_standard_library_and_pydantic_take_it_for_a_dataclass() -> None:
    """`is_dataclass`, `fields`, and strict validation."""
    assert dataclasses.is_dataclass(Quick)
    assert [entry.name for entry in dataclasses.fields(Quick)] == [e.name for e in dataclasses.fields(Standard)]
    adapter = TypeAdapter(Quick)
    assert adapter.validate_json('{"name": "a", "marks": ["x"]}', strict=True) == Quick("a", 3, ("x",))
    with pytest.raises(ValidationError):
        adapter.validate_json('{"name": 4}', strict=True)


def test_making_records_imports_neither_dataclasses_nor_inspect() -> None:
    """That is what it is for."""
    folder = Path(record.__file__).parent
    program = (
        f"import sys; sys.path.insert(0, {str(folder)!r}); import record\n"
        "record.dataclass(frozen=True)(type('Mark', (), {'__annotations__': {'name': 'str'}}))('a')\n"
        "print({'dataclasses', 'inspect', 'typing'} & set(sys.modules))"
    )
    found = subprocess.run([sys.executable, "-I", "-c", program], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "set()"


def test_records_and_problems_stand_at_the_bottom() -> None:
    """Their modules import nothing of the project but each other."""
    home = Path(record.__file__)
    for path in (home, *(home.parent / "book").glob("*.py")):
        own = {name for name in imported(path) if name.startswith("coldiron")}
        assert all(name.startswith(("coldiron.record", "coldiron.book")) for name in own), path.name
