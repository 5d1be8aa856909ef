"""The wheel carries the book and the recorded jobs, and finds them when it is installed from anywhere."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder into which the project's wheel is unpacked, as an installer would."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = folder.glob("*.whl")
    zipfile.ZipFile(wheel).extractall(folder / "site")
    return folder / "site"


def run(installed: Path, tmp_path: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run Python with the unpacked wheel before everything else, from a folder that has nothing of the project."""
    environment = {
        "PYTHONPATH": str(installed),
        "PATH": "/usr/bin:/bin",
        "COLDIRON_CACHE": str(installed / "cache"),
        "COLDIRON_HOME": str(tmp_path / "home"),
    }
    return subprocess.run(
        [sys.executable, *arguments], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )


def test_an_installed_package_finds_its_own_book(installed: Path, tmp_path: Path) -> None:
    """`load_book()` reads the rule files inside the package, without errors."""
    program = (
        "import coldiron, pathlib\n"
        "book, problems = coldiron.load_book()\n"
        "print(pathlib.Path(coldiron.__file__).parent)\n"
        "print(len(book.checks) > 40, [str(p.place) for p in problems if p.weight == 'error'])\n"
    )
    done = run(installed, tmp_path, "-c", program)
    assert done.stdout.splitlines() == [str(installed / "coldiron"), "True []"], done.stderr


def test_an_installed_package_shows_its_demonstration(installed: Path, tmp_path: Path) -> None:
    """`find --demo` finds the recorded job inside the package."""
    done = run(installed, tmp_path, "-m", "coldiron", "find", "--demo")
    assert done.returncode == 0, done.stderr
    assert "Handed back" in done.stdout
