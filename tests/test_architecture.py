"""The rooms of the house and the doors between them."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

from support.imports import imported, lazy, longest_chain

PACKAGE = Path(__file__).parents[1] / "src" / "coldiron"
FILES = sorted(PACKAGE.rglob("*.py"))

MAY_IMPORT: dict[str, set[str]] = {
    "book": {"record"},
    "engine": set(),
    "jobs": {"folders", "record"},
    "planner": {"entropy", "record"},
    "store": {"folders", "version"},
    "mistakes": {"book", "record"},
    "readings": {"book", "phrases", "record"},
    "ruling": {"book", "engine", "record"},
    "circuits": {"book", "record", "store"},
    "inference": {"book", "circuits", "record", "store"},
    "language": {"book", "mistakes", "phrases", "record", "store"},
    "map": {"book", "circuits", "plaintext", "record"},
    "sizing": {"circuits"},
    "machine": {"book", "circuits", "entropy", "readings", "record"},
    "choice": {"entropy", "inference", "planner", "record"},
    "job": {"book", "entropy", "machine", "readings", "record"},
    "cards": {"book", "drawing", "job", "jobs", "language", "mistakes", "plaintext", "record", "store"},
    "questions": {"book", "job", "machine", "readings", "record"},
    "audit": {"book", "job", "mistakes", "phrases", "record"},
    "judging": {"book", "choice", "circuits", "entropy", "inference", "job", "machine", "readings", "ruling", "store"},
    "agenda": {"book", "choice", "job", "judging", "machine", "questions", "readings"},
    "telling": {"agenda", "book", "choice", "engine", "job", "judging", "machine", "questions", "readings", "record"},
    "consult": {"agenda", "book", "engine", "job", "judging", "map", "questions", "readings", "record", "telling"},
    "proving": {
        "audit",
        "book",
        "checkup",
        "circuits",
        "drawing",
        "engine",
        "inference",
        "readings",
        "record",
        "ruling",
        "store",
    },
    "screens": {
        "book",
        "books",
        "bounded",
        "cards",
        "choice",
        "consult",
        "job",
        "jobs",
        "language",
        "machine",
        "map",
        "plaintext",
        "questions",
        "readings",
        "record",
        "telling",
        "terminal",
        "version",
    },
    "paper": {
        "agenda",
        "book",
        "bounded",
        "consult",
        "job",
        "jobs",
        "machine",
        "map",
        "plaintext",
        "questions",
        "record",
        "screens",
        "telling",
        "version",
    },
    "drill": {
        "book",
        "cards",
        "circuits",
        "consult",
        "entropy",
        "job",
        "jobs",
        "judging",
        "map",
        "planner",
        "record",
        "screens",
    },
    "lessons": {"book", "circuits", "drill", "jobs", "map", "record", "screens"},
    "web": {"consult", "jobs", "plaintext", "record", "screens", "telling"},
    "cli": {
        "book",
        "books",
        "bounded",
        "cards",
        "checkup",
        "collector",
        "consult",
        "drill",
        "jobs",
        "judging",
        "lessons",
        "map",
        "outlets",
        "paper",
        "plaintext",
        "proving",
        "screens",
        "sizing",
        "terminal",
        "version",
        "web",
    },
}
"""What each room may use of the others, the lowest first."""


def rooms(modules: set[str]) -> set[str]:
    """The parts of the project among some modules."""
    return {name.split(".")[1] for name in modules if name.startswith("coldiron.") and name.count(".") >= 1}


@pytest.mark.parametrize("package", sorted(MAY_IMPORT))
def test_imports_point_one_way(package: str) -> None:
    """A package uses only what stands below it."""
    known = {path.stem for path in PACKAGE.glob("*.py")} | {path.name for path in PACKAGE.iterdir() if path.is_dir()}
    for path in (PACKAGE / package).rglob("*.py"):
        used = (rooms(imported(path)) & known) - {package}
        assert used <= MAY_IMPORT[package], f"{path.name} uses {sorted(used - MAY_IMPORT[package])}"


def test_every_room_has_its_line_and_stands_above_what_it_uses() -> None:
    """The table names all rooms, the lowest first, and none of them uses one that stands below it."""
    folders = [path.name for path in PACKAGE.iterdir() if any(path.glob("*.py"))]
    assert sorted(MAY_IMPORT) == sorted(folders)
    order = list(MAY_IMPORT)
    assert all(order.index(used) < order.index(room) for room in order for used in MAY_IMPORT[room] & set(order))


MOST_FILES = 20
"""Files of a room: more cannot be seen at a glance."""


def test_no_room_is_crowded() -> None:
    """A room has at most so many files."""
    folders = {path.parent for path in FILES}
    crowded = {str(room.relative_to(PACKAGE)): len(list(room.glob("*.py"))) for room in folders}
    assert {room: files for room, files in crowded.items() if files > MOST_FILES} == {}


def test_no_name_is_that_of_two_types() -> None:
    """Who reads the name of a type knows which is meant."""
    homes: dict[str, list[str]] = {}
    for path in FILES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                homes.setdefault(node.name, []).append(str(path.relative_to(PACKAGE)))
    assert {name: where for name, where in homes.items() if len(where) > 1} == {}


LONGEST_FUNCTION = 40
"""Lines of a function, its docstring left out: more do not fit one look."""


def lines_of(node: ast.FunctionDef) -> int:
    """Lines of a function without its docstring."""
    told = node.body[0] if ast.get_docstring(node) is not None else None
    spoken = (told.end_lineno or 0) - told.lineno + 1 if told else 0
    return (node.end_lineno or 0) - node.lineno + 1 - spoken


def test_no_function_is_longer_than_a_look() -> None:
    """No function has more lines than that."""
    found = {
        f"{path.relative_to(PACKAGE)}: {node.name}": lines_of(node)
        for path in FILES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef)
    }
    assert max(found.values()) > LONGEST_FUNCTION / 2
    assert {name: lines for name, lines in found.items() if lines > LONGEST_FUNCTION} == {}


def doors() -> dict[str, set[str]]:
    """Every module of the package with those of the package that it imports anywhere, for types only included."""
    known = {".".join(("coldiron", *path.relative_to(PACKAGE).with_suffix("").parts)): path for path in FILES}
    known = {name.removesuffix(".__init__"): path for name, path in known.items()}
    return {
        name: {
            called for called in imported(path) & known.keys() if called != name and not name.startswith(f"{called}.")
        }
        for name, path in known.items()
    }


def circle(found: dict[str, set[str]]) -> list[str]:
    """A way from a module back to itself, if there is any."""
    over: set[str] = set()

    def walk(name: str, way: list[str]) -> list[str]:
        if name in way:
            return [*way[way.index(name) :], name]
        if name in over:
            return []
        longer = next((met for called in sorted(found[name]) if (met := walk(called, [*way, name]))), [])
        over.add(name)
        return longer

    return next((met for name in sorted(found) if (met := walk(name, []))), [])


def test_no_module_leads_back_to_itself() -> None:
    """Nowhere, imports inside functions and for types only included."""
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b", "c", "b"]
    assert circle(doors()) == []


LONGEST_CHAIN = 21
"""Modules that import each other in a row, for types only included: what each of them rests on must be known first."""


def test_no_chain_of_imports_is_longer_than_it_was() -> None:
    """The house stays as flat as it is."""
    assert longest_chain({"a": set(), "b": {"a"}, "c": {"a", "b"}}) == ("a", "b", "c")
    assert len(longest_chain(doors())) <= LONGEST_CHAIN, longest_chain(doors())


MOST_LAZY = 28
"""Imports inside functions: only where a heavy library or a command begins, or an extra may be missing."""


def test_few_imports_wait() -> None:
    """Whatever is imported later than its file hides what a file needs."""
    found = [f"{path.relative_to(PACKAGE)} {waits}" for path in FILES for waits in lazy(path)]
    assert len(found) <= MOST_LAZY, "\n".join(found)


def test_one_reading_walks_no_further_than_it_did() -> None:
    """A figure typed at a check, to the next page: modules and rooms entered, calls back into an earlier room.

    In a process of its own: what other tests have loaded and kept makes the walk longer or shorter.
    """
    script = Path(__file__).with_name("support") / "walk.py"
    printed = subprocess.run([sys.executable, script], capture_output=True, text=True, check=True).stdout
    found = json.loads(printed.partition("\n")[0])
    ceiling = {"modules": 69, "rooms": 12, "turns": 7, "read": 1}
    assert found.keys() == ceiling.keys()
    assert all(found[name] <= most for name, most in ceiling.items()), printed
    assert min(found.values()) > 0


def test_only_the_language_knows_the_parser() -> None:
    """The parser and the validator stay behind one door; scripts are held to their forms by the validator too."""
    for path in FILES:
        used = {"pyparsing", "pydantic"} & {name.partition(".")[0] for name in imported(path)}
        if used and not path.is_relative_to(PACKAGE / "language"):
            assert (path.name, used) == ("script_forms.py", {"pydantic"})


def test_only_one_file_knows_the_terminal() -> None:
    """prompt_toolkit is imported by the terminal screen alone."""
    users = [path.name for path in FILES if any(name.startswith("prompt_toolkit") for name in imported(path))]
    assert users == ["screen.py"]


WAYS_OUT = {"print", "input", "breakpoint"}
"""Functions that write to a terminal by themselves."""

OUTPUTS = {"stdout", "stderr", "__stdout__", "__stderr__"}
"""Names by which a terminal is had."""


def ways_out(path: Path) -> set[str]:
    """Whatever in a file writes to a terminal, or could: outputs by name, what prints, an end with words of its own."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and node.attr in OUTPUTS | {"write_raw"}:
            found.add(node.attr)
        elif isinstance(node, ast.ImportFrom) and node.module == "sys":
            found |= {name.name for name in node.names} & OUTPUTS
        elif isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            found |= {called} & {*WAYS_OUT, "os.write", "os.system", "os.popen", "sys.excepthook", "warnings.warn"}
            if called in ("SystemExit", "sys.exit", "exit") and any(
                isinstance(word, ast.Constant) for word in node.args
            ):
                found.add(called)
    return found


def test_only_one_file_writes_to_a_terminal() -> None:
    """Whatever is shown goes through `terminal.py`, which makes it harmless.

    Besides it the screen hands its library what that module has made harmless, and the commands name the output for
    errors, to tell it from the other; `outlets.py` sees to it that they are open and end quietly.
    """
    found = {str(path.relative_to(PACKAGE)): ways_out(path) for path in FILES}
    allowed = {
        "terminal.py": OUTPUTS,
        "cli/arguments.py": {"stderr"},
        "screens/screen.py": {"write_raw"},
        "outlets.py": OUTPUTS,
    }
    left = {name: sorted(ways - allowed.get(name, set())) for name, ways in found.items()}
    assert {name: ways for name, ways in left.items() if ways} == {}
    assert "stdout" in found["terminal.py"]
    assert ".write(" not in (PACKAGE / "outlets.py").read_text(encoding="utf-8")
    screen = ast.parse((PACKAGE / "screens" / "screen.py").read_text(encoding="utf-8"))
    calls = [node for node in ast.walk(screen) if isinstance(node, ast.Call)]
    written = [ast.unparse(call.args[0]) for call in calls if ast.unparse(call.func).endswith((".write", ".write_raw"))]
    assert len(written) == 2
    assert all(text.startswith(("lines(", "frame(")) for text in written)


HEAVY = (
    "pyparsing",
    "pydantic",
    "prompt_toolkit",
    "platformdirs",
    "coldiron.circuits",
    "coldiron.inference",
    "coldiron.choice",
    "sqlite3",
)


def test_the_first_plain_question_loads_nothing_heavy(tmp_path: Path) -> None:
    """On a warm cache the first question on plain lines needs no parser, validator, solver or terminal library."""
    program = (
        "import sys\n"
        "from coldiron import Consultation, load_book\n"
        "book, _ = load_book()\n"
        "assert Consultation(book).next is not None\n"
        f"print([name for name in {HEAVY[:-1]!r} if name in sys.modules])\n"
    )
    environment = {"COLDIRON_CACHE": str(tmp_path), "PATH": "/usr/bin:/bin", "PYTHONPATH": str(PACKAGE.parent)}
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True
        )
    assert done.stdout.strip() == "[]"
