"""Kills a process that appends to a job's log, at random moments and at chosen writes, and looks what is left.

Run as a program: `kill_loop.py FOLDER KILLS SEED [MODE ...]`; it prints a tally as JSON. It is a program of its own so
that each victim is a cheap fork of a small process that has the store imported but no database open.

The victim tells every step in a file that outlives it: `open`, `begin N` before an append, `ack SEQ VALUE` after it.
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sqlite3
import sys
import time
import traceback
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from coldiron.jobs.log import Entry, Event
from coldiron.jobs.store import Store, connect, open_store

PER_FILE = 20
"""Kills before a fresh job file is begun, so that reading it back stays quick."""

SHARED = 32768
"""Bytes of SQLite's shared-memory file, which every opening makes at once."""

MODES = ("append", "append", "checkpoint", "reopen", "rollback", "write")
"""What the victim does while it is killed, in turn. `write` is killed by the system at its N-th write, not by time.

Beside these there is `lying`, a victim that acknowledges too early: the loop must find it out.
"""


def kills_wanted() -> int:
    """How many kills a test is to make: COLDIRON_KILLS, or else what this run's size is."""
    from support.sizes import size  # the loop itself starts without it

    return max(60, int(os.environ.get("COLDIRON_KILLS") or size(60, 300, 1000)))


def connect_without_wal(path: Path, wait: float) -> sqlite3.Connection:
    """A file where WAL is refused, as on a network share: this way of opening it has no shared memory."""
    return sqlite3.connect(f"file:{path}?vfs=unix-none", timeout=wait, isolation_level=None, uri=True)


def opened(path: Path, mode: str) -> Store:
    store = open_store(path, connect=connect_without_wal if mode == "rollback" else connect)
    if mode == "checkpoint":
        store._connection.execute("PRAGMA wal_autocheckpoint = 1")
    return store


def victim(path: Path, mode: str, token: str, told: int) -> None:
    """Append for ever. Every fifth answer is several entries in one transaction, every seventh a long one."""
    number = 0
    while True:
        store = opened(path, mode)
        os.write(told, b"open\n")
        seq = store.jobs()[0].answers
        for _ in range(1 if mode == "reopen" else 1_000_000):
            number += 1
            size = 3 if number % 5 == 0 else 1
            filler = "x" * 9000 if number % 7 == 0 else ""
            entries = [Entry("answer", filler, f"{token}-{number}.{part}") for part in range(size)]
            os.write(told, b"begin %d\n" % size)
            acknowledged = "".join(f"ack {seq + place} {entry.value}\n" for place, entry in enumerate(entries, 1))
            if mode == "lying":
                os.write(told, acknowledged.encode())
            seq = store.append_all(1, seq, entries)[-1].seq
            if mode != "lying":
                os.write(told, acknowledged.encode())
        store.close()


def end_at(size: int) -> None:
    """Let the system end this process when a file is to grow beyond so many bytes.

    The write that reaches there is cut short, the next one is fatal.
    """
    signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def kill_one(path: Path, mode: str, token: str, chance: random.Random, turn: int) -> list[str]:
    """Start a victim, kill it, and give back what it told."""
    notes = path.with_name("told")
    told = os.open(notes, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    child = os.fork()
    if child == 0:
        if mode == "write":
            end_at(max(SHARED, *(file.stat().st_size for file in path.parent.glob("jobs*"))) + 1801 * turn)
        try:
            victim(path, mode, token, told)
        except BaseException:  # noqa: BLE001 - told, and the loop sees that the victim was not killed
            traceback.print_exc()
        os._exit(99)
    os.close(told)
    if mode != "write":
        time.sleep(chance.choice((0.002, 0.01, 0.05)) * chance.random())
        os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status):
        raise AssertionError(f"the victim ended by itself: {status}")
    return notes.read_text().splitlines()


def judge(path: Path, mode: str, before: tuple[Event, ...], told: list[str], tally: Counter[str]) -> tuple[Event, ...]:
    """Reopen as a resume would, and count what is lost, doubled, torn or damaged. Gives the log as it now is."""
    with opened(path, mode) as store:
        after = store.events(1)
        sound = store._connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    acknowledged = [line.split()[1:] for line in told if line.startswith("ack ")]
    kept = {(str(event.seq), event.value) for event in after}
    values = [event.value for event in after]
    unacknowledged = len(after) - len(before) - len(acknowledged)
    open_transaction = int(told[-1].split()[1]) if told and told[-1].startswith("begin ") else 0
    tally["kills"] += 1
    tally[f"kills: {mode}"] += 1
    tally["acknowledged"] += len(acknowledged)
    tally["lost"] += sum(tuple(pair) not in kept for pair in acknowledged) + (after[: len(before)] != before)
    tally["doubled"] += len(values) - len(set(values))
    tally["torn"] += unacknowledged not in (0, open_transaction)
    tally["damaged"] += not sound
    tally["inside a transaction"] += open_transaction > 0
    tally[f"inside a transaction: {mode}"] += open_transaction > 0
    tally["while opening"] += not told or told[-1] == "open"
    tally["committed but not acknowledged"] += unacknowledged > 0
    return after


def run(folder: Path, kills: int, seed: int, modes: Sequence[str] = MODES) -> Counter[str]:
    """Kill so many victims."""
    chance = random.Random(seed)  # noqa: S311 - moments to kill at, no secret
    tally: Counter[str] = Counter()
    log: tuple[Event, ...] = ()
    for number in range(kills):
        file, turn = divmod(number, PER_FILE)
        mode = modes[file % len(modes)]
        path = folder / str(file) / "jobs"
        if turn == 0:
            with opened(path, mode) as store:
                store.create("yellow loader", "", "")
            log = ()
        told = kill_one(path, mode, f"{number}", chance, turn)
        log = judge(path, mode, log, told, tally)
    return tally


if __name__ == "__main__":
    json.dump(run(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4:] or MODES), sys.stdout)
