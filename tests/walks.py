"""Walk at random through jobs and say whether any step that can hurt came without its caution.

    python tests/walks.py [WALKS] [FROM]

WALKS (2,000) in all, shared out evenly over the circuits of the shipped book; one in 200 types on the plain screen
and one in 1,000 at the terminal screen. A walk is the same whenever it has the same number; FROM (0) is the first of
each circuit, so that a run can go on where another stopped. After every circuit: walks, states looked at, states that
needed a caution, how the jobs ended, what was wrong, processor seconds. Ends with 1 if anything was wrong.
"""

from __future__ import annotations

import sys
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
    share = -(-number // len(circuits))
    every = Tally()
    begun = process_time()
    for start in range(first, first + share, BLOCK):
        for circuit in circuits:
            seeds = range(start, min(start + BLOCK, first + share))
            every.add(walks(circuit, seeds))
            screens = [on_plain_lines(circuit, seed) for seed in seeds if seed % PLAIN == 0]
            screens += [at_terminal(circuit, seed) for seed in seeds if seed % TERMINAL == 0]
            every.wrong += [wrong for watch in screens for wrong in watch.wrong]
        print(f"{every}, {process_time() - begun:.0f} s", flush=True)  # noqa: T201
    for wrong in every.wrong:
        print(wrong)  # noqa: T201
    return 1 if every.wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
