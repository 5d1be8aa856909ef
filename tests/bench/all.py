"""Every benchmark one after another, every table printed.

    python tests/bench/all.py [--whole] [--list] [NAME ...]

A short share of each unless the whole is asked for, which takes hours; all of them unless some are named. What each
figure is, each says itself: the words at the top of its file. Ends with 1 if one of them ended in an error.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).parent

BENCHES: dict[str, tuple[list[str], list[str]]] = {
    "bench_start": (["3"], []),
    "bench_language": (["2"], []),
    "bench_engine": (["--sizes", "100,1000", "--rounds", "1"], ["--sizes", "100,1000,10000,100000"]),
    "bench_circuits": (["start_relay"], []),
    "bench_planner": (["0.01"], ["1"]),
    "bench_full": (["0.05"], ["1", "all"]),
    "bench_repairs": (["2", "start_relay"], []),
    "bench_second": (["2", "1", "start_relay"], []),
    "bench_session": (["1"], []),
    "bench_promises": (["1", "0"], []),
    "bench_figures": (["start_relay", "4", "1"], []),
    "bench_first": ([], []),
    "bench_deciles": (["3", "0"], ["100", "0"]),
    "bench_hostile": (["0.1"], ["1"]),
    "bench_pages": (["80"], ["3"]),
    "bench_payloads": (["60", "100"], []),
    "bench_found": (["0.02", "start_relay,isolator_24"], ["1"]),
}
"""By name of the file: what it is asked for a short share, and for the whole."""


def main() -> int:
    """Run them."""
    asked = argparse.ArgumentParser(description="Every benchmark one after another.")
    asked.add_argument("names", nargs="*", metavar="NAME", help="of a benchmark, such as bench_engine; all if left out")
    asked.add_argument("--whole", action="store_true", help="the whole of each, not a short share")
    asked.add_argument("--list", action="store_true", help="only say what would be run")
    given = asked.parse_args()
    if unknown := sorted({*given.names} - {*BENCHES}):
        asked.error(f"there is no {', '.join(unknown)}; there is {', '.join(BENCHES)}")
    failed = []
    for name in given.names or BENCHES:
        words = [f"{name}.py", *BENCHES[name][given.whole]]
        print(f"== {' '.join(words)}", flush=True)  # noqa: T201
        if given.list:
            continue
        start = time.monotonic()
        done = subprocess.run([sys.executable, str(HERE / words[0]), *words[1:]], check=False)
        print(f"== {name}: {time.monotonic() - start:.0f} s\n", flush=True)  # noqa: T201
        failed += [name] if done.returncode else []
    if failed:
        print(f"ended in an error: {', '.join(failed)}")  # noqa: T201
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
