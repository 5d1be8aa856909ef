"""The engine beside others, on the same knowledge: load, one answer to the fixpoint, withdrawal, memory.

    python tests/bench/bench_engine.py [--sizes 100,1000,10000] [--rounds 3] [--seed 1] [--chart engine.svg]
        [--shapes book,crowd] [--engines coldiron,clips,expert]

Prints figures and ratios; nothing here passes or fails, but an engine that derives other facts than a fixpoint of three
lines does ends the run. The others come with `pip install -e '.[bench]'`: CLIPS, in C, by `clipspy`; `expert-ceylon`,
in plain Python. What is not installed is named and left out. The knowledge is made up (`support.knowledge`): `book` has
the shape of the shipped book, as many machines of it as make up the rules; in `crowd` all rules hang on the same 300
answers and 20 readings. In both, conclusions build on each other up to five deep, deeper than in the shipped book. An
engine is stopped at the size where one process takes longer than its limit (of the clock: 60 s in plain Python, else
900).

Each figure is the median over rounds, in which the engines take turns, each load in a fresh process; a ratio is the
median of the ratios of the rounds, ours to theirs. Time is of the processor.
- load: from the text that a person writes (ours not beyond 10,000 rules); load kept: from what the engine keeps.
- kept to text: our load of what is kept against their load of text (reach: at most .2).
- answer: one, to the fixpoint, the median and the mean over a job of 61 to 320 (reach at 10,000 rules: at most the time
  of the engine in C); withdraw: the median of 20 answers taken back one after another.
- afresh: a run of the whole job at once, what a consultation of the tool does after every answer (ours).
- memory: what a fresh process grows by from before the load of what is kept to the end of the job, at its peak.
The chart has time over rules, on logarithmic axes.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.chart import Line, Panel, svg
from support.engines import ENGINES, Coldiron, Engine
from support.knowledge import SHAPES, Answer, Knowledge, Shape, knowledge, plain_fixpoint, split

LIMITS = {"coldiron": 900, "clips": 900, "expert": 60}
"""Seconds that one process may take."""

WITHDRAWN, FEW = 20, 3
"""How many answers are taken back; and how many answers are timed where each is a run from the start."""

ROWS = {
    "load": ("load, ms", 1e3),
    "load kept": ("load kept, ms", 1e3),
    "answer": ("answer, us", 1e6),
    "mean": ("answer, mean, us", 1e6),
    "withdraw": ("withdraw, us", 1e6),
    "afresh": ("afresh, ms", 1e3),
    "memory": ("memory, MB", 1e-6),
}


def seconds(act: Callable[[], object]) -> float:
    """Processor time of one call."""
    start = process_time()
    act()
    return process_time() - start


def peak() -> int:
    """The most memory this process has had, in bytes; 0 where the system does not tell."""
    try:
        lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    except OSError:
        return 0
    return next((1024 * int(line.split()[1]) for line in lines if line.startswith("VmHWM")), 0)


def work(name: str, folder: Path, way: str) -> dict[str, object]:
    """In a process of its own: load, and with what is kept do the job. Figures by name, and what was derived."""
    engine = ENGINES[name]()
    before = peak()
    if way == "text":
        load = seconds(lambda: engine.load(folder))
        engine.keep(folder)
        return {"load": load}
    job: list[Answer] = [tuple(answer) for answer in json.loads((folder / "job.json").read_text(encoding="utf-8"))]
    figures: dict[str, object] = {"load kept": seconds(lambda: engine.load_kept(folder))}
    timed = job[-FEW:] if engine.again else job
    engine.start(job[: -len(timed)])
    answers = [seconds(lambda one=one: engine.answer(one)) for one in timed]  # type: ignore[misc]
    figures |= {"answer": statistics.median(answers), "mean": statistics.mean(answers)}
    figures["derived"] = sorted(engine.derived())
    taken = [seconds(lambda one=one: engine.withdraw(one)) for one in withdrawn(job, engine)]  # type: ignore[misc]
    figures |= {"withdraw": statistics.median(taken), "left": sorted(engine.derived()), "memory": peak() - before}
    if isinstance(engine, Coldiron):
        figures["afresh"] = statistics.median(seconds(lambda: engine.start(job)) for _ in range(5))
    return figures


def withdrawn(job: list[Answer], engine: Engine | type[Engine]) -> list[Answer]:
    """The answers taken back after a job."""
    return job[: FEW if engine.again else WITHDRAWN]


@dataclass
class Measured:
    """One engine at one size: its figures by name, one for each round; none where it was stopped."""

    figures: dict[str, list[float]] = field(default_factory=dict)

    def add(self, found: dict[str, object]) -> None:
        """Take in the figures of a process."""
        for name in ROWS:
            if isinstance(figure := found.get(name), (int, float)):
                self.figures.setdefault(name, []).append(figure)

    def median(self, name: str) -> float | None:
        """The figure of all rounds."""
        return statistics.median(self.figures[name]) if self.figures.get(name) else None


class Comparison:
    """All engines at work on one shape of knowledge."""

    def __init__(self, shape: Shape, seed: int, engines: list[str]) -> None:
        self.shape = shape
        self.seed = seed
        self.engines = engines
        self.stopped: set[str] = set()
        self.measured: dict[int, dict[str, Measured]] = {}

    def measure(self, size: int, rounds: int) -> None:
        """Measure one size and print its table."""
        known = knowledge(self.shape, size, self.seed)
        told, read = split(known.answers)
        derived = plain_fixpoint(known.rules, known.layers, known.answers)
        answers = f"{len(told)} answers and {len(read)} readings"
        print(f"\n{self.shape.name}, {size:,} rules: {answers}, {len(derived)} derived", flush=True)  # noqa: T201
        self.measured[size] = {}
        with tempfile.TemporaryDirectory() as place:
            for number in range(rounds):
                for name in self.engines[number % 2 :] + self.engines[: number % 2]:
                    if name not in self.stopped:
                        self._round(name, known, Path(place, name))
        self._table(size)

    def _round(self, name: str, known: Knowledge, folder: Path) -> None:
        """Both loads and the job, by one engine."""
        kind = ENGINES[name]
        if not folder.exists():
            folder.mkdir()
            (folder / "job.json").write_text(json.dumps(known.answers), encoding="utf-8")
            if not kind.write(known, folder):
                (folder / "kept only").touch()
        into = self.measured[len(known.rules)].setdefault(name, Measured())
        for way in ("kept",) if (folder / "kept only").exists() else ("text", "kept"):
            found = _process(name, folder, way)
            if found is None:
                self.stopped.add(name)
                print(f"  {name} stopped: more than {LIMITS[name]} s", flush=True)  # noqa: T201
                return
            if way == "kept":
                _compare(name, known, found, withdrawn(list(known.answers), kind))
            into.add(found)

    def _table(self, size: int) -> None:
        found = self.measured[size]
        others = [name for name in self.engines if name in found and name != "coldiron"]
        print(f"{'':20}{'coldiron':>12}" + "".join(f"{name:>12}{'ratio':>8}" for name in others))  # noqa: T201
        for row, (label, unit) in ROWS.items():
            line = f"{label:20}{_shown(found['coldiron'].median(row), unit)}"
            for name in others:
                line += _shown(found[name].median(row), unit) + _ratio(found["coldiron"], row, found[name], row)
            print(line)  # noqa: T201
        ratios = [f"{'':12}" + _ratio(found["coldiron"], "load kept", found[name], "load") for name in others]
        print(f"{'kept to text':20}{'':12}" + "".join(ratios), flush=True)  # noqa: T201

    def growth(self) -> None:
        """What ten times the rules cost, by size: 10 is linear."""
        sizes = sorted(self.measured)
        for name in self.engines:
            for row in ("load", "load kept", "answer", "afresh"):
                steps = [
                    f"{size:,}: {after / before:.1f}"
                    for last, size in pairwise(sizes)
                    if (before := self._median(last, name, row)) and (after := self._median(size, name, row))
                ]
                if steps:
                    print(f"  {name:10}{row:10} {'  '.join(steps)}")  # noqa: T201

    def panels(self) -> list[Panel]:
        """The charts of this shape."""
        loads = [line for name in self.engines for line in (self._line(name, "load"), self._line(name, "load kept"))]
        answers = [self._line(name, row) for name in self.engines for row in ("answer", "withdraw")]
        return [
            Panel(f"{self.shape.name}: {title}", "rules", "seconds of processor time", tuple(filter(None, lines)))
            for title, lines in (("load", loads), ("one answer, one withdrawal", answers))
        ]

    def _line(self, name: str, row: str) -> Line | None:
        found = {float(size): self._median(size, name, row) for size in self.measured}
        points = {size: figure for size, figure in found.items() if figure}
        label = {"load": "text", "load kept": "kept"}.get(row, row)
        ink, dashed = list(ENGINES).index(name), row in ("load kept", "withdraw")
        return Line(f"{name}, {label}", ink, points, dashed) if points else None

    def _median(self, size: int, name: str, row: str) -> float | None:
        return self.measured[size].get(name, Measured()).median(row)


def _process(name: str, folder: Path, way: str) -> dict[str, object] | None:
    """What `work` finds in a fresh process with an empty cache; None if it takes too long."""
    command = [sys.executable, __file__, "--work", name, str(folder), way]
    with tempfile.TemporaryDirectory() as cache:
        env = {**os.environ, "COLDIRON_CACHE": cache}
        try:
            done = subprocess.run(command, env=env, capture_output=True, text=True, timeout=LIMITS[name], check=False)
        except subprocess.TimeoutExpired:
            return None
    if done.returncode:
        sys.exit(f"{name} failed:\n{done.stderr[-2000:]}")
    line = next(line for line in done.stdout.splitlines() if line.startswith("{"))
    found: dict[str, object] = json.loads(line)
    return found


def _compare(name: str, known: Knowledge, found: dict[str, object], back: list[Answer]) -> None:
    """End the run where an engine derived other facts, after the job or after the withdrawals."""
    left = [answer for answer in known.answers if answer not in back]
    for what, answers in (("derived", list(known.answers)), ("left", left)):
        wanted = sorted(fact[1] for fact in plain_fixpoint(known.rules, known.layers, answers))
        if found[what] != wanted:
            sys.exit(f"{name} derives other facts than the plain fixpoint: {what}, {len(known.rules)} rules")


def _shown(figure: float | None, unit: float) -> str:
    return f"{'-':>12}" if figure is None else f"{figure * unit:>12,.1f}"


def _ratio(ours: Measured, row: str, theirs: Measured, other: str) -> str:
    pairs = list(zip(ours.figures.get(row, ()), theirs.figures.get(other, ()), strict=False))
    if not pairs or not all(second for _, second in pairs):
        return f"{'-':>8}"
    return f"{statistics.median(first / second for first, second in pairs):>8.2g}"


def main() -> None:
    """Print the tables and write the chart."""
    asked = argparse.ArgumentParser(description="The engine beside others.")
    asked.add_argument("--sizes", default="100,1000,10000", help="numbers of rules, with commas")
    asked.add_argument("--rounds", type=int, default=3, help="how often everything is done; once at 100,000 rules")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--chart", type=Path, default=Path("engine.svg"), help="where the chart is written")
    asked.add_argument("--shapes", default=",".join(SHAPES), help="of the knowledge, with commas")
    asked.add_argument("--engines", default=",".join(ENGINES), help="with commas; coldiron always is one")
    asked.add_argument("--work", nargs=3, help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.work:
        name, folder, way = given.work
        print(json.dumps(work(name, Path(folder), way)))  # noqa: T201
        return
    wanted = {name: ENGINES[name] for name in dict.fromkeys(["coldiron", *given.engines.split(",")])}
    there = [name for name, engine in wanted.items() if importlib.util.find_spec(engine.module)]
    for name, engine in wanted.items():
        print(f"{name}: {engine.how}" if name in there else f"{name}: not installed ({engine.module}), left out")  # noqa: T201
    panels = []
    for shape in given.shapes.split(","):
        compared = Comparison(SHAPES[shape], given.seed, there)
        for size in map(int, given.sizes.split(",")):
            compared.measure(size, given.rounds if size < 100_000 else 1)
        print(f"\n{shape}: times the figure at the size before (10 is linear from ten times the rules)")  # noqa: T201
        compared.growth()
        panels += compared.panels()
    given.chart.write_text(svg(panels), encoding="utf-8")
    print(f"\nchart: {given.chart}")  # noqa: T201


if __name__ == "__main__":
    main()
