"""What faults show: rates of one check that add up to more than one, and lines that override the circuit."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.book import Book
from coldiron.book.faults import FaultKind
from coldiron.book.machines import Kind
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def chances(book: Book) -> tuple[Problem, ...]:
    """Look at the `shows` lines of every fault."""
    return tuple(
        problem for kind in book.kinds.values() for fault in kind.faults for problem in _of_fault(book, kind, fault)
    )


def _of_fault(book: Book, kind: Kind, fault: FaultKind) -> Iterator[Problem]:
    total: dict[str, float] = {}
    solved = {check.id.partition(".")[0] for check in book.checks.values() if check.reads.quantity != "eye"}
    for shows in fault.shows:
        total[shows.check] = total.get(shows.check, 0.0) + shows.chance
        if total[shows.check] > 1 + 1e-9:
            yield mistake("over-one", shows.place, fault=f"{kind.id}.{fault.id}", word=shows.check)
        decided = shows.check.partition(".")[0] in solved
        if decided and not shows.because:
            yield mistake("overrides-circuit", shows.place, word=shows.check)
        if shows.because and not decided:
            yield mistake("overrules-nothing", shows.place, word=shows.check)
