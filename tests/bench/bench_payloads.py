"""How many texts reach a terminal raw, and how many flipped bits of a job file go unnoticed.

    python tests/bench/bench_payloads.py [TEXTS [FLIPS]]

So many hostile texts (2,000) are sent through every output of every command; printed are the runs in which something
reached the terminal that it could take for a command, that hides or that paints over other text. Then so many single
bits (2,000) of a job file are flipped, one at a time; printed is how many changed what is read and how many of those
were noticed. Nothing here passes or fails.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import StoreTrouble
from support.outputs import counted
from support.payloads import payloads


def flips(count: int) -> tuple[int, int]:
    """Single bits flipped in the file of a job of 60 answers: how many changed what is read, how many were noticed."""
    chance = random.Random(11)  # noqa: S311 - no secret
    changed = noticed = 0
    with tempfile.TemporaryDirectory() as place:
        whole = Path(place) / "whole"
        with open_store(whole) as store:
            store.create("roller", "book", "1")
            store.append_all(1, 0, [Entry("answer", f"check_{n}", f"12.{n}") for n in range(60)])
            before = [tuple(event) for event in store.events(1)]
        content = whole.read_bytes()
        for number in range(count):
            spoilt = bytearray(content)
            spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
            path = Path(place) / f"spoilt{number}"
            path.write_bytes(spoilt)
            told, after = read(path)
            noticed += told
            changed += told or after != before
    return changed, noticed


def read(path: Path) -> tuple[bool, list[tuple[object, ...]]]:
    """Whether damage of a file is told of, and the entries of its job."""
    try:
        with open_store(path) as store:
            return not store.health(1).whole, [tuple(event) for event in store.events(1)]
    except StoreTrouble:
        return True, []


texts = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000
start = time.monotonic()
counts = counted(payloads(texts))
print(f"{texts} texts, {time.monotonic() - start:.0f} s: runs in which something reached the terminal raw")  # noqa: T201
for name, count in counts.items():
    print(f"  {name:<22} {count:>6}")  # noqa: T201
print(f"  {'in all':<22} {sum(counts.values()):>6}")  # noqa: T201
bits = int(sys.argv[2]) if len(sys.argv) > 2 else 2_000
changed, noticed = flips(bits)
print(f"{bits} bits flipped in a job file: {changed} changed what is read or were told, {noticed} told")  # noqa: T201
