"""Which tests run a line of the package: found out once for each file of tests, and kept."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from coverage import CoverageData

ELSEWHERE = ("audit", "bench", "book", "circuits", "engine", "language", "outside", "sizing", "store")
"""Folders of tests that are not looked at: they run other rooms, or whole jobs by the hundred."""

LONGEST = 900
"""Seconds that the tests of one file may take."""


ROOMS = ("inference", "choice", "job", "questions", "judging", "agenda", "screens")
"""The rooms whose lines are looked at."""


def test_files(tests: Path) -> list[Path]:
    """The files of tests that are looked at."""
    return [path for path in sorted(tests.rglob("test_*.py")) if path.parent.name not in ELSEWHERE]


def code_hash(files: Iterable[Path]) -> str:
    """A hash of what stands in some files."""
    return hashlib.sha256(b"\0".join(path.read_bytes() for path in sorted(files))).hexdigest()[:16]


@dataclass
class Ran:
    """What tests run and cost.

    `lines` has the tests by file of the package and line, `loading` the files of tests by the same, `costs` the seconds
    of a test, `loads` those of loading a file of tests.
    """

    lines: dict[tuple[str, int], set[str]] = field(default_factory=dict)
    loading: dict[tuple[str, int], set[str]] = field(default_factory=dict)
    costs: dict[str, float] = field(default_factory=dict)
    loads: dict[str, float] = field(default_factory=dict)

    def tests_of(self, path: str, lines: Iterable[int]) -> set[str]:
        """The tests that run any of these lines; those of a whole file where it runs them while it is loaded."""
        found: set[str] = set()
        loaded: set[str] = set()
        for line in lines:
            found |= self.lines.get((path, line), set())
            loaded |= self.loading.get((path, line), set())
        return {test for test in self.costs if test in found or file_of(test) in loaded}


def file_of(test: str) -> str:
    """The file of a test."""
    return test.partition("::")[0]


def ran(root: Path, kept: Path, environment: dict[str, str], files: list[Path]) -> Ran:
    """What some files of tests of a copy of the project run, each in a process of its own."""
    kept.mkdir(parents=True, exist_ok=True)
    code = code_hash((root / "src").rglob("*.py"))
    found = Ran()
    for number, path in enumerate(files, start=1):
        name = str(path.relative_to(root))
        log = kept / f"{name.replace('/', '.')}-{code}-{code_hash([path])}.lines"
        if not log.with_suffix(".costs").exists():
            sys.stderr.write(f"{number} of {len(files)}: what {name} runs\n")
            command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-m", "not slow"]
            with suppress(subprocess.TimeoutExpired):
                subprocess.run(
                    [*command, "-p", "support.line_log", "-p", "support.first_failure", name],
                    cwd=root,
                    env={**environment, "LINE_LOG": str(log), "LINE_ROOMS": " ".join(ROOMS)},
                    stdout=subprocess.DEVNULL,
                    timeout=LONGEST,
                    check=False,
                )
        _add(found, name, log)
    return found


def _add(found: Ran, name: str, log: Path) -> None:
    if not log.with_suffix(".costs").exists():
        sys.stderr.write(f"{name} took too long, or stopped: its tests are left out\n")
        return
    costs = dict(_costs(log.with_suffix(".costs")))
    found.loads[name] = costs.pop("", 0.0)
    found.costs |= costs
    data = CoverageData(str(log))
    data.read()
    for path in data.measured_files():
        inside = "src/" + path.rpartition("/src/")[2]
        for line, tests in data.contexts_by_lineno(path).items():
            found.lines.setdefault((inside, line), set()).update(tests)
            if "" in tests:
                found.loading.setdefault((inside, line), set()).add(name)


def _costs(path: Path) -> Iterator[tuple[str, float]]:
    for line in path.read_text(encoding="utf-8").splitlines():
        cost, _, test = line.partition("\t")
        yield test, float(cost)
