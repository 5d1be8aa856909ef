"""Take every line out of the shipped book that makes a warning due, one at a time, and see who notices.

    python tests/yard_planted.py [EVERY] [FROM]

EVERY (1): each line, or only every second, third... from FROM (0) on. First the book's own audit is asked; what it lets
pass is looked at by the second reckoner, at the steps that showed the warning. Prints how many lines were noticed by
either, which change no page that was looked at because another line makes the same warning due, and each that nobody
noticed. Ends with 1 if there is one.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[0]))

from coldiron import load_book
from coldiron.book.book import Book
from yard.screen import Screen, shipped
from yard.visits import Spot, Visitor, again, look
from yard.walks import CIRCUITS

RULES = Path(__file__).parents[1] / "rules"

LINE = re.compile(r"\s+(due|warns|then\s+warn)\s+(.*)")

LOOKED_AT = 6
"""Steps that are looked at for one line, those first whose words are most like the words around it."""

AROUND = 14
"""Lines before a line in which what it is about is named."""


@dataclass(frozen=True)
class Planted:
    """One line to be taken out: its file, its number from 0, its words and those around it."""

    path: Path
    number: int
    text: str
    around: str


def lines() -> list[Planted]:
    """Every line of the book that makes a warning due."""
    found = []
    for path in sorted(RULES.rglob("*.rules")):
        text = path.read_text(encoding="utf-8").splitlines()
        for number, line in enumerate(text):
            if LINE.match(line):
                around = " ".join(text[max(0, number - AROUND) : number + 2])
                found.append(Planted(path.relative_to(RULES), number, line.strip(), around))
    return found


def without(line: Planted, folder: Path) -> tuple[Book, bool]:
    """The book without a line, and whether its own audit finds an error in it."""
    path = folder / line.path
    whole = path.read_text(encoding="utf-8")
    rest = whole.splitlines(keepends=True)
    del rest[line.number]
    path.write_text("".join(rest), encoding="utf-8")
    book, problems = load_book(folder)
    path.write_text(whole, encoding="utf-8")
    return book, len(problems) > len(load_book(RULES)[1])


def spots() -> list[Spot]:
    """Every step of every circuit once, and every repair."""
    found: dict[str, Spot] = {}
    for circuit in range(CIRCUITS):
        visitor = Visitor(Screen(), 0, circuit)
        begun = visitor.begin()
        screen = Screen(None, begun)
        for name in sorted({fault.name for fault in shipped().faults.values()} - set(found)):
            repair = Spot(begun, f"done {re.sub(r'[:,]', '', name)}")
            look(repair, screen)
            if repair.pages or repair.warnings:
                found[name] = repair
                screen = Screen(None, begun)
        for spot in visitor.steps():
            found.setdefault(" / ".join(page.step for page in spot.pages), spot)
        print(f"circuit {circuit}: {len(found)} steps", file=sys.stderr, flush=True)  # noqa: T201
    return list(found.values())


def near(line: Planted, every: list[Spot], hazards: list[str]) -> list[Spot]:
    """The steps that showed the warning of a line, those first whose words are most like those around the line."""
    ours = set(re.findall(r"[a-z]{4,}", line.around.lower()))

    def alike(spot: Spot) -> int:
        return -len(ours & set(re.findall(r"[a-z]{4,}", " ".join(page.words for page in spot.pages).lower())))

    showed = [spot for spot in every if any(text.startswith(h[:60]) for text in spot.warnings for h in hazards)]
    return sorted(showed, key=alike)[:LOOKED_AT]


def main(arguments: list[str]) -> int:
    """Plant, look, print."""
    step, first = (int(text) for text in (*arguments, *("1", "0")[len(arguments) :]))
    chosen = lines()[first::step]
    every = spots()
    counts: Counter[str] = Counter()
    missed = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "rules"
        shutil.copytree(RULES, folder)
        for line in chosen:
            how = noticed(line, folder, every)
            counts[how] += 1
            if how == "nobody":
                missed.append(f"{line.path}:{line.number + 1}: {line.text}")
            print(f"{how}: {line.path}:{line.number + 1}: {line.text}", file=sys.stderr, flush=True)  # noqa: T201
    print(*(f"{number:>6}  {how}" for how, number in counts.most_common()), *missed, sep="\n")  # noqa: T201
    return 1 if missed else 0


def noticed(line: Planted, folder: Path, every: list[Spot]) -> str:
    """Who notices that a line is gone."""
    book, by_audit = without(line, folder)
    if by_audit:
        return "the audit"
    names = [*re.findall(r"\w+", line.text), *re.findall(r"^caution (\w+)", owner(line), re.MULTILINE)]
    hazards = [shipped().cautions[name].hazard for name in names if name in shipped().cautions]
    others = False
    for spot in near(line, every, hazards):
        alarms, other = again(spot, Screen(book, spot.kept))
        if alarms:
            return "the walks"
        others = others or other
    return "nobody" if others else "changes no page"


def owner(line: Planted) -> str:
    """The opening line of the block that a line stands in."""
    text = (RULES / line.path).read_text(encoding="utf-8").splitlines()[: line.number]
    return next((row for row in reversed(text) if row and not row[0].isspace() and row[0] != "#"), "")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
