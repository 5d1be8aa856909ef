"""The proof of a book as its author reads it: every disagreement drawn, then what no check tells apart."""

from __future__ import annotations

import os

from coldiron import checkup
from coldiron.proving import Yard, alike, prove
from coldiron.store.cache import Cache


def proved(path: str | os.PathLike[str] | None = None) -> tuple[str, bool]:
    """Return what there is to say of a book held against its circuits, and whether nothing is wrong.

    A book with errors of its own is not proved: the errors are returned.
    """
    book, _ = checkup.judged(path)
    if book.broken:
        return checkup.report(path), False
    yard = Yard(book, Cache())
    found = prove(yard)
    drawn = checkup.drawn(found, path)
    counts = _counts(yard, len(found))
    return "\n\n".join(filter(None, (drawn, checkup.left_out(book.aside), _told_apart(yard), counts))), not (
        found or book.aside
    )


def _told_apart(yard: Yard) -> str:
    groups = [str(group) for solved in yard.machines for group in alike(solved)]
    return "\n".join(("No check tells these apart:", *(f"  {group}" for group in groups))) if groups else ""


def _counts(yard: Yard, problems: int) -> str:
    faults = sum(len(solved.machine.faults) for solved in yard.machines)
    checks = sum(len(solved.checks) for solved in yard.machines)
    circuits = len(yard.machines)
    return f"{problems} disagreements\n{circuits} circuits, {faults} faults and {checks} checks of them solved"
