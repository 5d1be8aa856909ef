"""How long a start takes: whole processes, to the first question, with everything in its caches.

    python tests/bench/bench_start.py [TIMES]

Prints the median and the best of so many starts (15) in milliseconds, and what each is over bare Python; nothing here
passes or fails. A start of `find` is over when the words of the key bar have come; the last row goes on until the
first thing typed has been replied to, which takes the library of the screen.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.terminal import Terminal

COMMAND = [sys.executable, "-m", "coldiron.cli"]
KEY_BAR = "why  what  skip"
REACH = {"find, plain lines": ("over bare Python", 60.0), "find, terminal": ("in all", 160.0)}


def ended(command: list[str], env: dict[str, str]) -> float:
    """Seconds a command takes from start to end, its input empty."""
    start = time.perf_counter()
    subprocess.run(command, env=env, stdin=subprocess.DEVNULL, capture_output=True, check=False)
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


def main() -> None:
    """Print the table."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "COLDIRON_HOME": f"{folder}/home", "TERM": "xterm-256color"}
        rows: list[tuple[str, Callable[[], float]]] = [
            ("bare Python", lambda: ended([sys.executable, "-c", "pass"], env)),
            ("--version", lambda: ended([*COMMAND, "--version"], env)),
            ("find, plain lines", lambda: printed([*COMMAND, "find"], env)),
            ("find, terminal", lambda: drawn([*COMMAND, "find"], env)),
            ("the same, a reply", lambda: drawn([*COMMAND, "find"], env, "help\r", "back to the question")),
        ]
        bare = 0.0
        print(f"{'':<20}{'median':>8}{'best':>8}{'over bare (best)':>18}  reach")  # noqa: T201
        for name, start in rows:
            start()
            taken = [1000 * start() for _ in range(times)]
            bare = bare or min(taken)
            reach = "{1:.0f} ms {0}".format(*REACH[name]) if name in REACH else ""
            figures = f"{statistics.median(taken):>8.1f}{min(taken):>8.1f}{min(taken) - bare:>18.1f}"
            print(f"{name:<20}{figures}  {reach}")  # noqa: T201


if __name__ == "__main__":
    main()
