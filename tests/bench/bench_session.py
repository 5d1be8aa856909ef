"""From an answer to the next page over whole jobs on the shipped book, and going on with a long job.

    python tests/bench/bench_session.py [JOBS]

Prints milliseconds of processor time and ratios; nothing here passes or fails. For each circuit so many jobs (12), a
seeded hidden fault each, worked to the hand-back by a simulated mechanic:
- answer: one line typed until the next page stands drawn, the judging of all evidence included (reach: median 20,
  worst 100), and the same counted in drawings of a page, the ratio that does not depend on the machine; first as in a
  script, each line right after the page, then as with a person, whose next line leaves time to think ahead of it (what
  that thinking takes in all is the last figure);
- compose: a process's first use of the circuit, everything solved and then from the cache (reach: 2000 and 50), the
  judging of the complaint included; the answers that name circuit and complaint count here and not above;
- resume: a job of 200 answers, corrections among them, read from the store to its page (reach: 300), in a process of
  its own with everything in its caches.
"""

from __future__ import annotations

import gc
import os
import random
import statistics
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron import Consultation
from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT
from coldiron.collector import quicken_collector
from coldiron.judging.composing import keep_solved, setup_of
from coldiron.screens.ahead import thoughts
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from coldiron.screens.saving import new_job
from support.mechanic import Mechanic, shipped

ANSWERS = 200

BYTECODE = "PYTHONDONTWRITEBYTECODE"
"""Where this is set every start compiles what was changed last; whoever has the program installed keeps it compiled."""

COMPOSE = """
import sys, time
import coldiron.judging.composing, coldiron.judging.judgement
from coldiron import Consultation, load_book
book, _ = load_book()
job = Consultation(book)
for answer in ("none", book.circuits[sys.argv[1]].volts):
    job = job.answer(job.next.id, str(answer))
start = time.process_time()
job = job.answer("circuit", sys.argv[1])
job = job.answer("complaint", job.next.choices[0])
job.next
print(1000 * (time.process_time() - start))
"""


RESUME = """
import time
from coldiron import load_book
from coldiron.screens.drawing import draw
from coldiron.screens.resuming import old_job
book, _ = load_book()
start = time.process_time()
_, driver = old_job(None, book, None)
draw(driver.page().blocks, 80)
end = time.process_time()
print(1000 * (end - start), 1000 * end)
"""


def drawn(driver: JobDriver) -> None:
    """Draw a page as a screen of 80 columns does."""
    draw(driver.page().blocks, 80)


def think(driver: JobDriver) -> float:
    """Think ahead as a screen does while a person types; milliseconds it took."""
    start = process_time()
    for _ in thoughts(driver):
        pass
    return 1000 * (process_time() - start)


def job_times(mechanic: Mechanic, thought: list[float] | None) -> list[float]:
    """Milliseconds from every typed answer to its page, over one job. `thought` takes the times of thinking ahead."""
    driver = JobDriver("bench", Consultation(mechanic.book))
    drawn(driver)
    taken: list[float] = []
    while (asked := driver.consultation.next) is not None and len(taken) < 120:
        line = mechanic.answer(asked)
        if thought is not None:
            thought.append(think(driver))
        start = process_time()
        step = driver.enter(line)
        if isinstance(step, JobDriver) and step.consultation is driver.consultation:
            step = step.enter(line)  # an implausible reading is kept when it comes again
        if not isinstance(step, JobDriver):
            raise TypeError(f"{asked.id} refused {line!r}")
        drawn(step)
        if asked.id not in ("circuit", COMPLAINT):
            taken.append(1000 * (process_time() - start))
        if line == "done":
            mechanic.do(asked)
        driver = step
    return taken


def answers(circuit: str, jobs: int) -> None:
    """Print what answers take on one circuit, without and with thinking ahead, neither profiting from the other."""
    plain, _ = whole_jobs(replace(shipped(), hash=f"{shipped().hash} plain"), circuit, jobs, None)
    taken, thought = whole_jobs(replace(shipped(), hash=f"{shipped().hash} ahead"), circuit, jobs, [])
    page = JobDriver("bench", Consultation(shipped()))
    start = process_time()
    for _ in range(100):
        drawn(page)
    drawing = 10 * (process_time() - start)
    figures = [*shape(plain), statistics.median(plain) / drawing, *shape(taken), max(thought)]
    print(f"{circuit:<14}{len(plain):>8}" + "".join(f"{figure:>11.1f}" for figure in figures))  # noqa: T201


def shape(taken: list[float]) -> tuple[float, float, float]:
    """Median, 95 of 100, and the worst."""
    return statistics.median(taken), sorted(taken)[int(0.95 * len(taken))], max(taken)


def whole_jobs(book: Book, circuit: str, jobs: int, thought: list[float] | None) -> tuple[list[float], list[float]]:
    """The times of all answers of so many jobs, and of all thoughts."""
    known = setup_of(book, circuit).machine
    gc.collect()  # a command has one machine: what other circuits left is not walked in the middle of an answer
    names = sorted(known.faults)
    chance = random.Random(f"bench {circuit}")  # noqa: S311 - no secret
    faults = chance.choices(names, weights=[known.odds[name] for name in names], k=jobs)
    taken = [ms for fault in faults for ms in job_times(Mechanic(book, circuit, frozenset((fault,))), thought)]
    return taken, thought or []


def compose(circuit: str) -> None:
    """Print what composing costs in a fresh process, without and with a cache."""
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "COLDIRON_CACHE": folder}
        command = [sys.executable, "-c", COMPOSE, circuit]
        runs = [subprocess.run(command, env=env, capture_output=True, text=True, check=True) for _ in range(3)]
    first, *cached = [float(run.stdout) for run in runs]
    print(f"{circuit:<14}{first:>10.0f}{min(cached):>10.1f}{first / min(cached):>10.1f}")  # noqa: T201


def long_job(home: str) -> int:
    """A saved job of so many entries: a whole job, its readings changed to and fro again and again."""
    os.environ["COLDIRON_HOME"] = home
    mechanic = Mechanic(shipped(), "isolator_24", frozenset(("run_feed.chafed", "run_link.blown")))
    job = new_job("bench", shipped(), None)
    driver = JobDriver(job.title, Consultation(shipped()))
    while (
        (asked := driver.consultation.next) is not None
        and asked.kind != "repair"
        and len(driver.consultation.steps) < 60
    ):
        driver = _saved(job, driver, mechanic.answer(asked))
    name = next(n for n in driver.consultation.findings if n in shipped().checks and not shipped().checks[n].each)
    while len(driver.consultation.steps) < ANSWERS:
        driver = _saved(job, driver, f"change {name} {'not sure' if len(driver.consultation.steps) % 2 else '1'}")
    keep_solved()  # as the command does at its end
    return len(driver.consultation.steps)


def _saved(job: object, driver: JobDriver, line: str) -> JobDriver:
    step = driver.enter(line)
    if isinstance(step, JobDriver) and step.consultation is driver.consultation:
        step = step.enter(line)
    if not isinstance(step, JobDriver):
        step = driver.enter(f"note {line}")
    job.save(step.unsaved)  # type: ignore[attr-defined, union-attr]
    return step.saved()  # type: ignore[union-attr]


def main() -> None:
    """Print the tables."""
    quicken_collector()  # as the command does
    os.environ.pop(BYTECODE, None)
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    heads = ("median", "95 %", "worst", "in pages", "ahead: med", "95 %", "worst", "thinking")
    print(f"{'answer, ms':<14}{'answers':>8}" + "".join(f"{head:>11}" for head in heads))  # noqa: T201
    for circuit in shipped().circuits:
        answers(circuit, jobs)
    print(f"\n{'compose, ms':<14}{'first':>10}{'cached':>10}{'ratio':>10}")  # noqa: T201
    for circuit in shipped().circuits:
        compose(circuit)
    with tempfile.TemporaryDirectory() as home:
        entries = long_job(home)
        command = [sys.executable, "-c", RESUME]
        runs = [subprocess.run(command, capture_output=True, text=True, check=True) for _ in range(5)]
    inside, whole = (min(float(run.stdout.split()[place]) for run in runs) for place in (0, 1))
    print(  # noqa: T201
        f"\nresume of {entries} answers: {inside:.0f} ms to its page, {whole:.0f} ms with imports and book (reach 300)"
    )


if __name__ == "__main__":
    main()
