"""A sound book of any number of rules: the shipped one and as many drawn rules as are wanting."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path

from coldiron import load_book
from coldiron.book.book import Book
from coldiron.circuits import compose
from coldiron.language.files import shipped


def write_book(folder: Path, rules: int, seed: int) -> None:
    """Write a book of so many rules into a new folder."""
    shutil.copytree(shipped(), folder)
    book, _ = load_book()
    drawn = list(_rules(book, rules - len(book.rules), random.Random(seed)))  # noqa: S311 - a seeded benchmark
    for number, start in enumerate(range(0, len(drawn), 40)):
        text = "\n".join(drawn[start : start + 40])
        (folder / "experience" / f"drawn_{number:02}.rules").write_text(text, encoding="utf-8")


def _rules(book: Book, count: int, chance: random.Random) -> Iterator[str]:
    """Each prefers a check after a finding and an answer, on some circuit that has both checks."""
    checks = {name: compose(book, name).checks for name in book.circuits}
    history = [
        (name, answer.id) for name, one in book.questions.items() if one.stage == "history" for answer in one.answers
    ]
    for number in range(count):
        found, wanted = chance.sample(sorted(checks[chance.choice(list(checks))]), 2)
        finding = chance.choice(book.checks[found].findings).id
        asked, answer = chance.choice(history)
        yield (
            f"rule drawn_{number}\n  when {found} {finding}\n  and history {asked} {answer}\n"
            f"  and not {wanted} taken\n  then ask {wanted} {chance.choice((2, 3, 4))} times sooner\n"
            "  because It was drawn by lot.\n  source common practice, no source\n"
        )
