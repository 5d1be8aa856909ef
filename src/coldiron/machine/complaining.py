"""Which complaints a sort of machine can give cause for."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from coldiron.book.book import Book
from coldiron.book.history import Complaint
from coldiron.book.joining import can_make
from coldiron.book.variants import circuit_named

KEY, START = "key", "start"


def complaints_of(book: Book, circuit: str, besides: Collection[str] = ()) -> tuple[Complaint, ...]:
    """The complaints that can be told of a sort of machine, in the order of the book; all if it is not known yet.

    Left out are those that only parts it does not have could show, and of several that come to the same on it all but
    the first. One that sees nothing at all is told of every machine. So are those of `besides`, which what it may have
    beside its circuit could show.
    """
    known = circuit_named(book, circuit)
    if known is None:
        return tuple(book.complaints.values())
    seen = {check for complaint in book.complaints.values() for check, _ in complaint.sees}
    checks = {check for check in seen if can_make(book.sections, known, book.checks[check])}
    told: dict[object, Complaint] = {}
    for complaint in book.complaints.values():
        left = frozenset((check, finding) for check, finding in complaint.sees if check in checks)
        if complaint.id in besides or not complaint.sees:
            told[complaint.id] = complaint
        elif any(finding != book.checks[check].good for check, finding in left):
            told.setdefault(left, complaint)
    return tuple(told.values())


def tells_of_cranking(book: Book, complaints: Iterable[Complaint]) -> bool:
    """Whether some of these complaints are of an engine that cranks well; so it is where the book has none at all."""

    def cranks(complaint: Complaint) -> bool:
        seen = [(book.checks[check], finding) for check, finding in complaint.sees]
        return any(
            check.reads.quantity == "turn" and check.state.get(KEY) == START and finding == check.good
            for check, finding in seen
        )

    return any(map(cranks, complaints)) or not any(map(cranks, book.complaints.values()))
