"""Broken books that are used all the same, hostile inputs that end in a traceback, flipped bits that change a result.

    python tests/bench/bench_hostile.py [SHARE] [TREE ...]

Counts, for this source tree and for every other one that is named (the folder that has `src` and `tests` in it), so
that one command tells before and after. A SHARE of 1 takes every case, .1 every tenth.
- broken books: every error of the catalogue of mistakes of that tree, each in a small book, cold. Used by a command:
  `find` would go on; by a program: `Consultation` takes it and asks its first question.
- hostile inputs: the cases of `support/hostile.py`, each a process: files, folders, names, scripts, closed outlets.
- flipped bits: kept files with one to three flipped bits each, a job on the small book; a result that is another one,
  or a traceback.
- too large: seconds until a book of 1,000 bands in a check, or with 200 wires across the battery, is judged, and until
  its first check is asked where it is not refused.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from itertools import repeat
from pathlib import Path

HERE = Path(__file__).parents[2]
sys.path.insert(0, str(HERE / "tests"))

from support.hostile import CASES, tried  # noqa: E402 - its folder is named above

BROKEN = """
import json, os, sys, tempfile
from pathlib import Path
from coldiron import Consultation, load_book
from coldiron.mistakes import FORM, MEANING, WHOLE
from support.rule_text import GROUND
try:
    from coldiron.cli.working import book_to_use
except ImportError:  # trees whose command line was one file
    from coldiron.cli import _book as book_to_use
step = int(sys.argv[1])
errors = [entry for entry in (*FORM, *MEANING, *WHOLE) if not entry.warning][::step]
found = {"books": len(errors), "by a command": 0, "by a program": 0}
sys.stderr = open(os.devnull, "w")
for entry in errors:
    with tempfile.TemporaryDirectory() as folder:
        ground = GROUND.read_text(encoding="utf-8")
        for old, new in entry.edits:
            ground = ground.replace(old, new, 1)
        for name, text in (("ground", ground), ("more", entry.example)):
            plain = text.replace("\u00ab", "").replace("\u00bb", "")
            Path(folder, name + ".rules").write_bytes(plain.encode("utf-8", "surrogateescape"))
        try:
            found["by a command"] += book_to_use(Path(folder)) is not None
            found["by a program"] += Consultation(load_book(folder)[0]).next is not None
        except ValueError:
            pass
print(json.dumps(found))
"""

FLIPPED = """
import json, os, random, shutil, sys
from pathlib import Path
from coldiron import load_book
from coldiron.judging.composing import composed
from coldiron.inference.evidence import Evidence, Reading
from coldiron.model import COMPLAINT
from support.rule_text import GROUND
here, rounds = Path(os.environ["COLDIRON_CACHE"]), int(sys.argv[1])
try:
    from coldiron.store.cache import Cache
except ImportError:  # trees whose machines were kept by path
    Cache = Path
def seen():
    book, problems = load_book(GROUND)
    setup = composed(book, "lamp_12", Cache(here))
    setup.prepare("dark")
    odds = setup.judge.belief(Evidence((Reading(COMPLAINT, 0), Reading("rest_volts", 0)))).suspects
    setup.predictor.save()
    return len(problems), odds, setup.predictor.values("rest_volts", frozenset({"battery.flat"}))
wanted = seen()
shutil.copytree(here, str(here) + "-sound")
found = {"rounds": rounds, "other result": 0, "traceback": 0}
for seed in range(rounds):
    chance = random.Random(seed)
    shutil.rmtree(here)
    shutil.copytree(str(here) + "-sound", here)
    for path in sorted(here.iterdir()):
        data = bytearray(path.read_bytes())
        for _ in range(chance.choice((1, 1, 2, 3))):
            data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        path.write_bytes(data)
    try:
        found["other result"] += seen() != wanted
    except Exception:
        found["traceback"] += 1
print(json.dumps(found))
"""

LARGE = """
import json, os, sys, time
from coldiron import Consultation
from coldiron.language.load import build_files
from coldiron.language.files import RuleFile
from support.rule_text import GROUND
try:
    from coldiron.books import of_files
except ImportError:
    from coldiron.audit import audit
    def of_files(files):
        book, problems = build_files(files)
        return book, problems or audit(book)
ground = GROUND.read_text(encoding="utf-8")
bands = "".join(f"  finding f{n} from {n / 100:.2f} V to {(n + 1) / 100:.2f} V\\n" for n in range(1000))
check = ("check many\\n  ask     Volts\\n  how     Red here.\\n  reads   volts at key_out to battery_negative\\n"
         "  state   key off\\n  takes   4 minutes\\n" + bands +
         "  good    f0\\n  wrong   4 in 100\\n  source  common practice\\n")
wire = ("  part w{n} is wire\\n    from battery_positive to battery_negative\\n"
        "    value area 4 mm2\\n    value length 2 m\\n")
wires = "".join(wire.format(n=n) for n in range(200))
section = "section net\\n  name    net\\n  ends    battery_positive, battery_negative\\n" + wires
joined = ground.replace("uses      supply, lighting", "uses      supply, lighting, net", 1)
of_files([RuleFile("g", "g", ground.encode())])
found = {}
for name, text in (("1,000 bands", ground + check), ("200 wires", joined + section)):
    begin = time.perf_counter()
    book, problems = of_files([RuleFile("g", "g", text.encode())])
    errors = [one for one in problems if one.weight == "error"]
    found[name + ", judged"] = round(time.perf_counter() - begin, 2)
    if errors:
        found[name + ", refused"] = str(errors[0].place)
        continue
    job = Consultation(book)
    while job.next is not None and job.next.kind != "check":
        asked = job.next
        usual = asked.choices[0] if asked.choices else "skip"
        job = job.answer(asked.id, {"usual": "other", "volts": "12", "raised": "none"}.get(asked.id, usual))
    found[name + ", first check"] = round(time.perf_counter() - begin, 2)
print(json.dumps(found))
"""


def asked(program: str, number: int, tree: Path, cache: Path) -> dict[str, object]:
    """Run a program on the code and the tests of a tree."""
    path = f"{tree / 'src'}{os.pathsep}{tree / 'tests'}"
    done = subprocess.run(
        [sys.executable, "-c", program, str(number)],
        env={**os.environ, "PYTHONPATH": path, "COLDIRON_CACHE": str(cache)},
        capture_output=True,
        text=True,
        check=False,
    )
    return json.loads(done.stdout) if done.returncode == 0 else {"ended in an error": done.stderr[-300:]}


def main(share: float, trees: list[Path]) -> None:
    """Count and print."""
    step = max(1, round(1 / share))
    for tree in trees:
        with tempfile.TemporaryDirectory() as place:
            print(f"{tree}")  # noqa: T201
            print("  broken books used:", asked(BROKEN, step, tree, Path(place, "books")))  # noqa: T201
            environment = {"PYTHONPATH": str(tree / "src"), "COLDIRON_CACHE": str(Path(place, "cache"))}
            chosen = CASES[::step]
            folders = [Path(place, str(number)) for number in range(len(chosen))]
            with ThreadPoolExecutor(2) as pool:
                done = list(pool.map(tried, chosen, folders, repeat(environment)))
            wrong = [f"{one.name} ({one.wrong})" for one in done if one.wrong]
            print(f"  hostile inputs: {len(wrong)} of {len(chosen)} end in a traceback or hang")  # noqa: T201
            print("".join(f"    {line}\n" for line in wrong), end="")  # noqa: T201
            print("  flipped bits:", asked(FLIPPED, max(5, round(400 * share)), tree, Path(place, "flips")))  # noqa: T201
            print("  too large, seconds:", asked(LARGE, 0, tree, Path(place, "large")))  # noqa: T201


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0, [HERE, *map(Path, sys.argv[2:])])
