"""What it takes to have the shipped book: from its text, with one file changed, and from the cache.

    python tests/bench/bench_language.py [ROUNDS]

Prints milliseconds and ratios; nothing here passes or fails. Each figure is the least of so many fresh processes, less
what a bare Python takes:
- cold: nothing in the cache, every file parsed, the book validated and kept.
- one file: all but one file come from the cache.
- warm: the book comes from the cache; then the same with every entry turned into a record.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from coldiron.language.files import rule_files, shipped

LOAD = "from coldiron.language.load import load; book, problems = load({folder!r})"
LOOK = LOAD + "; [len(getattr(book, name)) for name in book.__match_args__]"


def milliseconds(program: str, cache: Path) -> float:
    """Run a program in a fresh process and return how long it took."""
    environment = {**os.environ, "COLDIRON_CACHE": str(cache)}
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", program], env=environment, check=True)
    return 1000 * (time.perf_counter() - begin)


def main(rounds: int) -> None:
    """Measure and print."""
    files, _ = rule_files(shipped())
    lines = sum(file.data.count(b"\n") for file in files)
    rows: dict[str, list[float]] = {"bare Python": [], "cold": [], "one file": [], "warm": [], "warm, all records": []}
    with tempfile.TemporaryDirectory() as place:
        folder, cache = Path(place, "rules"), Path(place, "cache")
        shutil.copytree(shipped(), folder)
        changed = folder / files[0].name
        load, look = (text.format(folder=str(folder)) for text in (LOAD, LOOK))
        for number in range(rounds):
            rows["bare Python"].append(milliseconds("pass", cache))
            shutil.rmtree(cache, ignore_errors=True)
            rows["cold"].append(milliseconds(load, cache))
            changed.write_bytes(files[0].data + b"# %d\n" % number)
            rows["one file"].append(milliseconds(load, cache))
            rows["warm"].append(milliseconds(load, cache))
            rows["warm, all records"].append(milliseconds(look, cache))
    bare = min(rows["bare Python"])
    cold = min(rows["cold"]) - bare
    sys.stdout.write(f"{len(files)} files, {lines} lines, {sum(len(file.data) for file in files)} bytes\n")
    for name, times in rows.items():
        least = min(times) - (bare if name != "bare Python" else 0)
        sys.stdout.write(f"{name:<20} {least:8.1f} ms   {least / cold:6.3f} of cold\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
