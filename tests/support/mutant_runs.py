"""A mistake in a copy of the project, and the tests that run its line."""

from __future__ import annotations

import os
import re
import resource
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from support.code_mutants import Mutant
from support.ran_lines import Ran, file_of

FIRST = 4.0
"""Seconds of tests that are run at first; then three times as much, and so on."""

QUICK = 1.0
"""Seconds; a test that takes no longer is run with the others of its file."""

LONGER = 5
"""A test that takes so many times as long as without the mistake goes on for ever."""

STARTING = 40
"""Seconds of processor beside the tests: libraries, and what is kept between runs made anew."""


@dataclass(frozen=True)
class Fate:
    """What became of a mistake, and by which test or for want of what."""

    caught: bool
    by: str

    @property
    def word(self) -> str:
        """The one word for it."""
        return "caught" if self.caught else "SURVIVED"


class Bench:
    """Where mistakes are tried out: a copy of the project at `root`, `seconds` of tests for each at the most."""

    def __init__(self, root: Path, environment: dict[str, str], known: Ran, seconds: float) -> None:
        self._root = root
        self._environment = {**environment, "PYTHONDONTWRITEBYTECODE": "1"}
        self._known = known
        self._seconds = seconds
        self._words: dict[str, list[tuple[str, int]]] = {}
        for path in sorted((root / "src").rglob("*.py")):
            for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
                for word in set(re.findall(r"[A-Za-z_]\w*", line)):
                    self._words.setdefault(word, []).append((path.relative_to(root).as_posix(), number))

    def try_out(self, mutant: Mutant) -> Fate:
        """Make the mistake, run the tests, and undo it."""
        tests = self._tests(mutant)
        if not tests:
            return Fate(caught=False, by="no test runs it")
        path = self._root / mutant.path
        source, times = path.read_bytes(), path.stat()
        path.write_bytes(mutant.applied(source))
        try:
            for batch, cost in self._batches(tests):
                by = self._failed(batch, cost)
                if by:
                    return Fate(caught=True, by=by)
        finally:
            path.write_bytes(source)
            os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
        return Fate(caught=False, by=f"{len(tests)} tests run it")

    def _tests(self, mutant: Mutant) -> set[str]:
        """The tests that run it, or a line with one of its names."""
        if not mutant.needs:
            return self._known.tests_of(mutant.path, mutant.lines)
        places = {place for name in mutant.needs for place in self._words.get(name, ())}
        return set().union(*(self._known.lines.get(place, set()) for place in places)) & self._known.costs.keys()

    def _batches(self, tests: set[str]) -> Iterator[tuple[list[str], float]]:
        """The tests, the cheapest first, with the seconds that each batch takes; up to the limit."""
        batch: list[str] = []
        loaded: set[str] = set()
        spent, whole, most = 0.0, 0.0, FIRST
        for test in self._in_order(tests):
            cost = self._known.costs[test] + (0.0 if file_of(test) in loaded else self._known.loads[file_of(test)])
            if batch and spent + cost > most:
                yield batch, spent
                whole, spent, most, batch, loaded = whole + spent, 0.0, most * 3, [], set()
            if whole + spent > self._seconds:
                return
            batch.append(test)
            loaded.add(file_of(test))
            spent += cost
        if batch:
            yield batch, spent

    def _in_order(self, tests: set[str]) -> list[str]:
        """File by file, the cheapest first; the tests that take long come last of all."""
        costs = self._known.costs
        quick = sorted((test for test in tests if costs[test] <= QUICK), key=lambda test: (costs[test], test))
        files: dict[str, list[str]] = {}
        for test in quick:
            files.setdefault(file_of(test), []).append(test)
        totals = {name: self._known.loads[name] + sum(map(costs.__getitem__, ours)) for name, ours in files.items()}
        first = [test for name in sorted(files, key=lambda name: (totals[name], name)) for test in files[name]]
        return first + sorted(tests.difference(quick), key=lambda test: (costs[test], test))

    def _failed(self, tests: list[str], cost: float) -> str:
        """The first of some tests that fails; empty if none does."""
        most = int(cost * LONGER) + STARTING
        shutil.rmtree(self._root / ".hypothesis", ignore_errors=True)
        done = subprocess.run(
            [
                sys.executable,
                "-m",
                "pytest",
                "-x",
                "-q",
                "-p",
                "no:cacheprovider",
                "-p",
                "support.first_failure",
                *tests,
            ],
            cwd=self._root,
            env=self._environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (most, most + 5)),
            check=False,
        )
        if done.returncode in (0, 5):
            return ""
        if done.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
            return f"no end in {most} s"
        named = re.search(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
        return named[1] if named else f"pytest ended with {done.returncode}"
