"""What every caution of a book stands before, by the lines of the book.

    python tests/support/stands_before.py > tests/book/cautions.tsv

writes it down a second time: only after every line that is lost was lost on purpose.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.book.book import Book
from coldiron.book.cautions import BeforeRepair, Due
from coldiron.book.conclusions import WarnsOf
from support.mechanic import shipped


def stands_before(book: Book) -> dict[str, set[str]]:
    """By caution, the settings, checks, areas, repairs, answers, duties and rules that call for it."""
    found: dict[str, set[str]] = {name: set() for name in book.cautions}
    for name, step in _calls(book):
        found[name].add(step)
    return found


def _calls(book: Book) -> Iterator[tuple[str, str]]:
    for caution in book.cautions.values():
        yield from ((caution.id, _in_words(due)) for due in caution.due)
    for check in book.checks.values():
        yield from ((name, f"check {check.id.partition('.')[0]}") for name in check.warns)
    for kind in book.kinds.values():
        yield from ((name, f"repair any {kind.id}.{fault.id}") for fault in kind.faults for name in fault.cautions)
    for asked in book.questions.values():
        yield from ((name, f"answer {asked.id} {answer.id}") for answer in asked.answers for name in answer.warns)
    for duty in book.duties.values():
        yield from ((name, f"duty {duty.id}") for name in duty.warns)
    for rule in book.rules.values():
        yield from ((then.caution, f"rule {rule.id}") for then in rule.then if isinstance(then, WarnsOf))


def _in_words(due: Due) -> str:
    if not isinstance(due, BeforeRepair):
        return " ".join([due.form, *(getattr(due, name) for name in due.__match_args__[:-1])])
    ref = due.faults
    return f"repair {f'any {ref.kind}' if ref.kind else ref.part}{f'.{ref.fault}' if ref.fault else ''}"


def written(text: str) -> dict[str, set[str]]:
    """What was written down: a caution, a tab, and its steps with semicolons between them."""
    rows = (line.split("\t") for line in text.splitlines())
    return {name: set(steps.split("; ")) for name, steps in rows}


def main() -> None:
    """Write it down anew."""
    for name, steps in sorted(stands_before(shipped()).items()):
        print(f"{name}\t{'; '.join(sorted(steps))}")  # noqa: T201


if __name__ == "__main__":
    main()
