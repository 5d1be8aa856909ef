"""How long a start takes: whole processes, to the first question and beyond, each against bare Python.

    python tests/bench/bench_start.py [TIMES]

Prints for so many starts (15) the median and the best in milliseconds, what the best is over bare Python, the median of
the ratios to the bare Python of the same round, then the median in time of the processor and its ratio, which a busy
machine changes least; nothing here passes or fails. Everything is in its caches unless a row says otherwise.
- find: over when the words of the key bar have come; "the same, a reply" goes on until the first thing typed has been
  replied to, which takes the library of the screen.
- resume: of a job of 200 answers, corrections among them, in plain lines to its page.
- book check: the shipped book and drawn rules, 500 rules in all. Cold: nothing kept, every file is parsed. Cached: the
  parsed book is kept; the audit has no cache and is made again. At most five times each.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.bench_session import BYTECODE, long_job
from support.seeded_book import write_book
from support.terminal import Terminal

COMMAND = [sys.executable, "-m", "coldiron.cli"]
KEY_BAR = "why  what  skip"
REACH = {
    "find, plain lines": ("over bare Python", 60.0),
    "find, terminal": ("in all", 160.0),
    "resume of 200 answers": ("in all", 300.0),
}
RULES, FEW = 500, 5


def ended(command: list[str], env: dict[str, str]) -> float:
    """Seconds a command takes from start to end, its input empty."""
    start = time.perf_counter()
    subprocess.run(command, env=env, stdin=subprocess.DEVNULL, capture_output=True, check=True)
    return time.perf_counter() - start


def printed(command: list[str], env: dict[str, str]) -> float:
    """Seconds from the start of a command until its first page stands on its output, a pipe."""
    start = time.perf_counter()
    process = subprocess.Popen(command, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert process.stdout
    read = b""
    while KEY_BAR.encode() not in read:
        chunk = os.read(process.stdout.fileno(), 65536)
        if not chunk:
            sys.exit(f"no page came: {read!r}")
        read += chunk
    taken = time.perf_counter() - start
    process.kill()
    process.communicate()
    return taken


def drawn(command: list[str], env: dict[str, str], typed: str = "", wanted: str = KEY_BAR) -> float:
    """Seconds from the start of a command until its first page stands on a terminal, or what is typed is replied to."""
    start = time.perf_counter()
    shown = Terminal(command, env=env)
    shown.send(typed)
    shown.wait_for(wanted)
    taken = time.perf_counter() - start
    shown.process.close(force=True)
    return taken


def processor() -> float:
    """Seconds of the processor that ended child processes have taken."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def measured(start: Callable[[], float]) -> tuple[float, float]:
    """Milliseconds of the clock and of the processor that one start takes."""
    before = processor()
    taken = start()
    return 1000 * taken, 1000 * (processor() - before)


def checked(book: Path, folder: Path, env: dict[str, str]) -> dict[str, Callable[[], float]]:
    """Starts of `book check`, with nothing kept and with the parsed book kept."""
    command = [*COMMAND, "book", "check", str(book)]

    def cold() -> float:
        with tempfile.TemporaryDirectory(dir=folder) as cache:
            return ended(command, {**env, "COLDIRON_CACHE": cache})

    return {"cold": cold, "cached": lambda: ended(command, {**env, "COLDIRON_CACHE": str(folder / "cache")})}


def show(name: str, start: Callable[[], float], bare: Callable[[], float], times: int) -> None:
    """Print one row."""
    start()
    taken, plain = [], []
    for _ in range(times):
        plain.append(measured(bare))
        taken.append(measured(start))
    clock, used = ([one[place] / two[place] for one, two in zip(taken, plain, strict=True)] for place in (0, 1))
    ours, least = [one[0] for one in taken], min(one[0] for one in plain)
    figures = f"{statistics.median(ours):>8.1f}{min(ours):>8.1f}{min(ours) - least:>18.1f}"
    figures += f"{statistics.median(clock):>8.1f}{statistics.median(one[1] for one in taken):>8.1f}"
    figures += f"{statistics.median(used):>8.1f}"
    reach = "{1:.0f} ms {0}".format(*REACH[name]) if name in REACH else ""
    print(f"{name:<32}{figures}  {reach}", flush=True)  # noqa: T201


def main() -> None:
    """Print the table."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "COLDIRON_HOME": f"{folder}/home", "TERM": "xterm-256color"}
        env.pop(BYTECODE, None)
        entries = long_job(f"{folder}/long")
        long = {**env, "COLDIRON_HOME": f"{folder}/long"}
        book = Path(folder, "rules")
        write_book(book, RULES, seed=1)
        checks = checked(book, Path(folder), env)
        rows: list[tuple[str, Callable[[], float]]] = [
            ("bare Python", lambda: ended([sys.executable, "-c", "pass"], env)),
            ("--version", lambda: ended([*COMMAND, "--version"], env)),
            ("find, plain lines", lambda: printed([*COMMAND, "find"], env)),
            ("find, terminal", lambda: drawn([*COMMAND, "find"], env)),
            ("the same, a reply", lambda: drawn([*COMMAND, "find"], env, "help\r", "More below")),
            (f"resume of {entries} answers", lambda: printed([*COMMAND, "resume"], long)),
            *((f"book check, {RULES} rules, {name}", start) for name, start in checks.items()),
        ]
        heads = f"{'median':>8}{'best':>8}{'over bare (best)':>18}{'ratio':>8}{'cpu':>8}{'ratio':>8}"
        print(f"{'milliseconds':<32}{heads}  reach")  # noqa: T201
        for name, start in rows:
            show(name, start, rows[0][1], min(times, FEW) if name.startswith("book check") else times)


if __name__ == "__main__":
    main()
