"""The stamp of the code: it changes with every file that has a say in what is kept, and with no other."""

from __future__ import annotations

import ast
import importlib
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from coldiron.cards.reading import CARD
from coldiron.circuits.solved import SOLVED
from coldiron.inference.kept import OPENING, ROWS
from coldiron.language.building import TREE
from coldiron.language.load import BOOK, SEEN
from coldiron.store import stamp
from coldiron.store.cache import KeptSort
from support.imports import imported

PACKAGE = Path(stamp.PACKAGE)

MAKERS: dict[str, tuple[KeptSort, tuple[str, ...]]] = {
    "TREE": (TREE, ("coldiron.language.read",)),
    "SOLVED": (SOLVED, ("coldiron.circuits.predictor",)),
    "ROWS": (ROWS, ("coldiron.inference.table", "coldiron.inference.kept", "coldiron.choice.judge")),
    "OPENING": (OPENING, ("coldiron.inference.table", "coldiron.inference.kept", "coldiron.choice.judge")),
    "CARD": (CARD, ("coldiron.cards.building",)),
    "BOOK": (BOOK, ("coldiron.books", "coldiron.audit")),
    "SEEN": (SEEN, ("coldiron.books", "coldiron.audit")),
}
"""Every sort of what is kept, and the modules that make it."""


def all_imported(wanted: list[str]) -> set[str]:
    """The modules of the package that these import, directly or through others, they among them."""
    seen: set[str] = set()
    while wanted:
        name = wanted.pop()
        path = PACKAGE.parent / name.replace(".", "/")
        path = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
        if name in seen or not name.startswith("coldiron.") or not path.exists():
            continue
        seen.add(name)
        wanted += imported(path)
    return seen


def room(module: str) -> str:
    """The room a module lies in."""
    parts = module.split(".")
    return parts[1] if len(parts) > 2 or (PACKAGE / parts[1]).is_dir() else stamp.TOP


@pytest.mark.parametrize("name", sorted(MAKERS))
def test_all_code_that_has_a_say_is_in_the_key(name: str) -> None:
    """Whatever the makers come to import lies in the rooms of the sort."""
    sort, makers = MAKERS[name]
    used = {room(module) for module in all_imported(list(makers))}
    assert used
    assert used <= set(stamp._all() if sort.rooms is None else sort.rooms), f"name the rooms in the Sort {name}"


def test_no_sort_is_left_out_here() -> None:
    """Each `Sort(...)` of the package has its makers above."""
    found = {
        ast.unparse(node.targets[0])
        for path in PACKAGE.rglob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.Assign)
        and isinstance(node.value, ast.Call)
        and ast.unparse(node.value.func) == "KeptSort"
    }
    assert found == set(MAKERS)


def forget() -> None:
    """Let stamps be made as in a new process."""
    stamp._all.cache_clear()
    stamp._room.cache_clear()


@pytest.fixture(name="package")
def _package(tmp_path: Path) -> Iterator[Path]:
    """A copy of the package, whose stamps are made."""
    shutil.copytree(PACKAGE, tmp_path / "package", ignore=shutil.ignore_patterns("__pycache__"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(stamp, "PACKAGE", str(tmp_path / "package"))
        yield tmp_path / "package"
    forget()


def stamps() -> list[str]:
    """Of all, of a room, of what lies in none, of a room with a folder in it."""
    forget()
    return [stamp.code_of(rooms) for rooms in (None, ("circuits",), (stamp.TOP,), ("language",))]


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("circuits/stamps.py", [True, True, False, False]),
        ("language/build/book.py", [True, False, False, True]),
        ("record.py", [True, False, True, False]),
        ("sizing/report.py", [True, False, False, False]),
    ],
)
@pytest.mark.parametrize("how", ["longer", "later", "added", "gone"])
def test_the_stamp_changes_with_the_code_of_its_rooms(package: Path, name: str, changed: list[bool], how: str) -> None:
    """A file grown, touched, added or taken away, in a package of its own."""
    before = stamps()
    assert before == stamps()
    file = package / name
    if how == "longer":
        file.write_text(file.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    elif how == "later":
        os.utime(file, (1, 1))
    elif how == "added":
        file.with_name("added.py").write_bytes(b"")
    else:
        file.unlink()
    assert [one != other for one, other in zip(before, stamps(), strict=True)] == changed


def test_what_is_no_code_has_no_say(package: Path) -> None:
    """Compiled files, and the rule files that an installed package holds."""
    before = stamps()
    for folder in ("circuits/__pycache__", "shipped/words"):
        (package / folder).mkdir(parents=True)
        (package / folder / "more.py").write_bytes(b"")
    assert stamps() == before


def test_every_room_is_a_package() -> None:
    """Each can be imported; the files outside of them are a room of their own."""
    assert stamp._all()[0] == stamp.TOP
    for name in stamp._all()[1:]:
        assert importlib.import_module(f"coldiron.{name}").__file__
