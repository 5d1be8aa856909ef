"""What it costs to compose a machine and to solve what its checks would read, and plain Python against numpy.

    python tests/bench/bench_circuits.py [CIRCUIT ...]

Prints milliseconds of processor time and ratios; nothing here passes or fails. For each circuit of the shipped book:
- compose: the machine with all single faults solved, the first time and read from the file of kept values;
- single, pair: all levels of severity of a fault, or of a seeded pair of faults, in one state of the machine with every
  check read in it; `complaint` is a pair in all states that the complaints speak of;
- matrix: the sound machine held at start, its relays still. `all rows` works the whole network by elimination; `few
  rows` is what a fault costs, the rows it changes. Against them numpy's solution of the same conductances as one dense
  matrix (`numpy.linalg.solve`, the matrix ready made: what numpy is best at), and how far the two answers are apart.
"""

from __future__ import annotations

import gc
import random
import sys
import tempfile
from collections.abc import Callable, Iterable
from time import process_time

import numpy as np

from coldiron import load_book
from coldiron.book.book import Book
from coldiron.circuits import Machine, Predictor, compose
from coldiron.circuits.elimination import Factor
from coldiron.circuits.layout import Layout
from coldiron.circuits.trial import Bench
from coldiron.store.cache import Cache

ROUNDS = 300
SETS = 80


def milliseconds(act: Callable[[], object], times: int = 1) -> float:
    """Processor time of one call, the mean of so many."""
    start = process_time()
    for _ in range(times):
        act()
    return 1e3 * (process_time() - start) / times


def show_compose(book: Book, circuit: str) -> None:
    """First time and from the file."""
    with tempfile.TemporaryDirectory() as folder:
        cold = milliseconds(lambda: Predictor(compose(book, circuit), Cache(folder)))
        gc.collect()  # what other machines left behind is none of this one's cost
        warm = milliseconds(lambda: Predictor(compose(book, circuit), Cache(folder)))
    print(f"  compose     first {cold:8.1f} ms   kept {warm:6.1f} ms   ratio {cold / warm:6.1f}")  # noqa: T201


def ask(machine: Machine, sets: Iterable[frozenset[str]], checks: Iterable[str]) -> float:
    """Milliseconds for each set to have all these checks solved."""
    predictor = Predictor(machine)
    checks = tuple(checks)
    for fault in ("", *machine.faults):  # what any consultation has already
        for check in checks:
            predictor.values(check, frozenset(filter(None, [fault])))
    sets = [faults for faults in sets if len(faults) > 1]
    return milliseconds(lambda: [predictor.values(check, faults) for faults in sets for check in checks]) / len(sets)


def show_sets(machine: Machine) -> None:
    """One set in one state, and what the complaint of a pair costs."""
    draw = random.Random("pairs")  # noqa: S311 - not for secrets
    pairs = [frozenset(draw.sample(sorted(machine.faults), 2)) for _ in range(SETS)]
    predictor = Predictor(machine)
    states = {tuple(sorted(machine.book.checks[check].state.items())) for check in predictor.checks}
    singles = [frozenset((fault,)) for fault in machine.faults]
    single = milliseconds(lambda: [predictor.values(check, faults) for faults in singles for check in predictor.checks])
    single /= len(singles) * len(states)
    pair = ask(machine, pairs, predictor.checks) / len(states)
    sees = {check for complaint in machine.book.complaints.values() for check, _ in complaint.sees}
    told = ask(machine, pairs, [check for check in predictor.checks if check in sees])
    print(  # noqa: T201
        f"  a set       single {single:6.2f} ms   pair {pair:6.2f} ms a state   ratio {pair / single:4.2f}"
        f"   complaint of a pair {told:5.2f} ms"
    )


def show_matrix(machine: Machine) -> None:
    """Elimination in plain Python against numpy on the same conductances."""
    bench = Bench(machine)
    layout, plan = bench.layout, bench.layout.plan
    state = layout.state({"key": "start"} if "key" in machine.book.settings else {})
    siemens = next(iter(bench.trials(()))).solution(state).stills[0].siemens
    base = layout.base(siemens)
    matrix = dense(layout, base)
    amps = np.zeros(plan.size)
    amps[0] = 1.0
    factor = Factor.blank(plan)

    def all_rows() -> list[float]:
        factor.rework(plan, base, range(plan.top))
        return finish()

    def finish() -> list[float]:
        factor.rework_last(plan, factor.gathered(plan, base))
        return factor.volts(plan, [*amps.tolist(), 0.0])

    def few_rows() -> list[float]:
        factor.rework(plan, base, plan.climb[0])
        return finish()

    ours = np.array(all_rows()[:-1])
    theirs = np.linalg.solve(matrix, amps)
    apart = float(np.max(np.abs(ours - theirs)) / np.max(np.abs(ours)))
    whole, few = milliseconds(all_rows, ROUNDS), milliseconds(few_rows, ROUNDS)
    numpy = milliseconds(lambda: np.linalg.solve(matrix, amps), ROUNDS)
    print(  # noqa: T201
        f"  matrix      {plan.size} rows: all {whole:6.3f} ms   few {few:6.3f} ms   numpy {numpy:6.3f} ms"
        f"   all/numpy {whole / numpy:5.2f}   few/numpy {few / numpy:5.2f}   apart {apart:.0e}"
    )


def dense(layout: Layout, base: list[float]) -> np.ndarray:
    """The conductances by slot as a matrix of nodes."""
    size = layout.plan.size
    matrix = np.zeros((size + 1, size + 1))
    for (a, b), slot in layout.plan.slots.items():
        for one, other in ((a, b), (b, a)):
            matrix[one, one] += base[slot]
            matrix[one, other] -= base[slot]
    return matrix[:size, :size]


def main() -> None:
    """All circuits of the shipped book, or those named."""
    book, _ = load_book()
    for circuit in sys.argv[1:] or book.circuits:
        machine = compose(book, circuit)
        print(f"{circuit}: {len(machine.faults)} faults, {len(machine.checks)} checks")  # noqa: T201
        show_compose(book, circuit)
        show_sets(machine)
        show_matrix(machine)


if __name__ == "__main__":
    main()
