"""How many mistakes the tests would see: `python tests/mutants.py 300` makes so many in a copy, one at a time.

Each is a small one, drawn by a seed: a comparison turned, a branch left out, a figure changed. Only the tests that run
the changed line are run, the cheapest first, up to the first that fails. Which those are is found out once for each
file of tests, and kept in `.mutants`; the slow tests are left out. What survives is printed with its place.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import sys
import time
from collections import Counter
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from support.code_mutants import Mutant, mutants, stands
from support.mutant_runs import Bench, Fate
from support.ran_lines import ROOMS, ran, test_files

ROOT = Path(__file__).parents[1]


def copied(to: Path) -> Path:
    """A copy of the project as it is here: nothing in the tree itself is ever changed."""
    shutil.rmtree(to, ignore_errors=True)
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    for name in filter(None, listed.stdout.decode().split("\0")):
        if (ROOT / name).is_file():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, to / name)
    return to


def drawn(root: Path, rooms: list[str], number: int, seed: int) -> list[Mutant]:
    """So many of all mistakes that can be made in some rooms; any beginning of the list is a fair draw as well."""
    files = [path for room in rooms for path in sorted((root / "src" / "coldiron" / room).rglob("*.py"))]
    every = [one for path in files for one in mutants(path.relative_to(root).as_posix(), path.read_bytes())]
    random.Random(seed).shuffle(every)  # noqa: S311 - no secret
    sound = (one for one in every if stands(one, (root / one.path).read_bytes()))
    return list(islice(sound, number))


def room_of(mutant: Mutant) -> str:
    """The room of its file."""
    return mutant.path.split("/")[2]


def told(root: Path, mutant: Mutant, fate: Fate) -> str:
    """One line: what became of it, where it is, what was changed."""
    before = (root / mutant.path).read_bytes()[mutant.start : mutant.end].decode()
    change = f"{' '.join(before.split())[:90]}  ->  {' '.join(mutant.text.split())[:90]}"
    return f"{fate.word:8} {mutant.path}:{mutant.line}: {mutant.what}: {change}  [{fate.by}]"


def main() -> int:
    """Draw, run, and tell how many were caught in each room."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("number", type=int, nargs="?", default=300, help="how many mistakes")
    parser.add_argument("--seed", type=int, default=1, help="of the draw")
    parser.add_argument("--rooms", nargs="+", default=list(ROOMS), choices=ROOMS, help="where they are made")
    parser.add_argument("--skip", type=int, default=0, help="leave out so many at the beginning of the draw")
    parser.add_argument("--only", type=int, nargs="+", default=[], help="only these numbers of the draw")
    parser.add_argument("--files", type=Path, nargs="+", help="only these files of tests, instead of all but the slow")
    parser.add_argument("--seconds", type=float, default=60.0, help="of tests for one mistake at the most")
    parser.add_argument("--minutes", type=float, default=float("inf"), help="after which no more is begun")
    parser.add_argument("--folder", type=Path, default=ROOT / ".mutants", help="where the copy is")
    given = parser.parse_args()
    root = copied(given.folder.resolve() / "copy")
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join((str(root / "src"), str(root / "tests"))),
        "COLDIRON_CACHE": str(root.parent / "cache"),
        "COLDIRON_HOME": str(root.parent / "home"),
        "RUN_OF_MUTANTS": "1",
    }
    files = [root / name for name in given.files] if given.files else test_files(root / "tests")
    bench = Bench(root, environment, ran(root, root.parent / "lines", environment, files), given.seconds)
    ends = time.monotonic() + given.minutes * 60
    caught, made = Counter[str](), Counter[str]()
    survived = []
    for number, mutant in enumerate(drawn(root, given.rooms, given.number, given.seed)):
        if number < given.skip or (given.only and number not in given.only) or time.monotonic() > ends:
            continue
        fate = bench.try_out(mutant)
        made[room_of(mutant)] += 1
        caught[room_of(mutant)] += fate.caught
        line = f"{number:4} {told(root, mutant, fate)}"
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
        if not fate.caught:
            survived.append(line)
    sys.stdout.write("\n".join(["", "Survived:", *survived, ""]))
    for room in made:
        sys.stdout.write(f"{room:12} {caught[room]:4} of {made[room]:4} caught\n")
    sys.stdout.write(f"{'all':12} {caught.total():4} of {made.total():4} caught, seed {given.seed}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
