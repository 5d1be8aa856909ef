"""Walk at random through jobs and say whether any step that can hurt came without its caution.

    python tests/walks.py [WALKS] [FROM]

WALKS (2,000) in all, shared out evenly over the circuits of the shipped book, on all processors; one in 200 types on
the plain screen and one in 1,000 at the terminal screen. A walk is the same whenever it has the same number; FROM (0)
is the first of each circuit, so that a run can go on where another stopped. After every round of the circuits: walks
so far, states looked at, states that needed a caution, how the jobs ended, what was wrong, processor seconds. Ends
with 1 if anything was wrong.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[0]))

from support.mechanic import shipped
from support.screens import at_terminal, on_plain_lines
from support.walks import BLOCK, Tally, walks

PLAIN, TERMINAL = 200, 1000
"""One walk in so many is on a screen."""


def main(arguments: list[str]) -> int:
    """Walk, print, and say whether all was well."""
    number, first = (int(text) for text in (*arguments, *("2000", "0")[len(arguments) :]))
    circuits = list(shipped().circuits)
    last = first - (-number // len(circuits))
    starts = range(first, last, BLOCK)
    blocks = [(circuit, range(start, min(start + BLOCK, last))) for start in starts for circuit in circuits]
    every, seconds = Tally(), 0.0
    with ProcessPoolExecutor() as pool:
        for done, (tally, took) in enumerate(pool.map(block, *zip(*blocks, strict=True)), 1):
            every.add(tally)
            seconds += took
            if done % len(circuits) == 0:
                print(f"{every}, {seconds:.0f} s", flush=True)  # noqa: T201
    for wrong in every.wrong:
        print(wrong)  # noqa: T201
    return 1 if every.wrong else 0


def block(circuit: str, seeds: range) -> tuple[Tally, float]:
    """Some walks over one circuit, and the processor seconds they took."""
    begun = process_time()
    tally = walks(circuit, seeds)
    tally.wrong += _on_screens(circuit, seeds)
    return tally, process_time() - begun


def _on_screens(circuit: str, seeds: range) -> Iterator[str]:
    """What was wrong on the walks at a screen."""
    for seed in seeds:
        if seed % PLAIN == 0:
            yield from on_plain_lines(circuit, seed).wrong
        if seed % TERMINAL == 0:
            yield from at_terminal(circuit, seed).wrong


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
