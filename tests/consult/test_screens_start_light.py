"""A start pays only for what the first question needs."""

from __future__ import annotations

import subprocess
import sys

import pytest

LOADED = """
import importlib, sys
before = set(sys.modules)
importlib.import_module(sys.argv[1])
print("\\n".join(sorted({name.partition(".")[0] for name in set(sys.modules) - before})))
"""


def loaded_by(module: str) -> set[str]:
    """The packages a module brings in, in a fresh process."""
    done = subprocess.run([sys.executable, "-c", LOADED, module], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


@pytest.mark.parametrize("module", ["coldiron.screens.plain", "coldiron.readings.reading", "coldiron.jobs.store"])
def test_plain_lines_and_the_store_need_only_the_standard_library(module: str) -> None:
    """No library is loaded for the plain screen, the readings or the job file."""
    assert loaded_by(module) - sys.stdlib_module_names == {"coldiron"}
    assert "asyncio" not in loaded_by(module)


def test_the_terminal_screen_adds_prompt_toolkit_alone() -> None:
    """Beside what prompt_toolkit itself needs, nothing comes with the terminal screen."""
    with_screen = loaded_by("coldiron.screens.screen") - sys.stdlib_module_names
    assert with_screen - loaded_by("prompt_toolkit") <= {"coldiron"}


def test_the_first_page_leaves_most_of_the_book_unread() -> None:
    """A book from the cache is read section by section; checks, rules and circuits wait. SQLite and `shutil` too."""
    program = """
import sys
from coldiron import cli
from coldiron.books import load
load()
sys.stdin = open("/dev/null")
cli.main(["find", "--plain"])
book, _ = load()
print(sorted({"sqlite3", "shutil", "pathlib", "coldiron.circuits"} & set(sys.modules)))
from coldiron.screens.driver import JobDriver
from coldiron.consult.session import Consultation
JobDriver("", Consultation(book)).page()
print([name for name in ("checks", "rules", "circuits", "kinds", "cases") if getattr(book, name)._made is not None])
"""
    subprocess.run([sys.executable, "-c", "from coldiron.books import load; load()"], check=True)  # into the cache
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-2:] == ["[]", "[]"]
