"""How many texts reach a terminal raw, and how many flipped bits of a job file go unnoticed.

    python tests/bench/bench_payloads.py [TEXTS [FLIPS]]

So many hostile texts (2,000) are sent through every output of every command; printed are the runs in which something
reached the terminal that it could take for a command, that hides or that paints over other text. Then so many single
bits (2,000) of a job file are flipped, one at a time; printed is how many changed what is read and how many of those
were noticed. Nothing here passes or fails.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.outputs import counted
from support.payloads import payloads

texts = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000
start = time.monotonic()
counts = counted(payloads(texts))
print(f"{texts} texts, {time.monotonic() - start:.0f} s: runs in which something reached the terminal raw")  # noqa: T201
for name, count in counts.items():
    print(f"  {name:<22} {count:>6}")  # noqa: T201
print(f"  {'in all':<22} {sum(counts.values()):>6}")  # noqa: T201
