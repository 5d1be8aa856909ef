"""The collector of reference cycles, set for a process that works one job and ends."""

from __future__ import annotations

import gc

THRESHOLDS = 500_000, 50, 1_000
"""New objects before the youngest are walked, and such walks before older ones are.

A book and a machine are some 100,000 objects that are never let go. With the interpreter's own thresholds (700, 10, 10
in CPython 3.11) a walk of them took up to 130 ms in the middle of an answer, and at 100,000 still 20 to 40. With these
a job has none, and three jobs in one process took no more memory: some 400 objects a job are left to a walk.
"""


def quicken_collector() -> None:
    """Walk less often. Only a command does this: whoever uses the package keeps the collector of his own process."""
    gc.set_threshold(*THRESHOLDS)
