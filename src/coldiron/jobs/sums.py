"""Checksums of a job: each entry's is over the entry and the one before it, so that nothing changes or goes unseen.

The chain begins with the job itself (its name, its book, when it was begun), and the job remembers how many entries it
has. A flipped bit, an entry that is missing, one too many or two that have changed places: each is found, with its
place. The sums find accidents of disks; they keep out nobody who means to change a log.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from coldiron.record import dataclass

BYTES = 16
"""Of each sum. One change goes unseen once in 2 to the 128th."""

Row = Sequence[object]
"""Number, kind, id, value and time of an entry, as the file holds them."""


def sum_of(before: object, *parts: object) -> bytes:
    """The sum over what stands before and some texts and numbers, each with its length, so that none runs into another.

    Args:
        before: the sum of the entry before; nothing for the first of a chain.
        parts: texts or numbers.
    """
    digest = hashlib.blake2b(before if isinstance(before, bytes) else b"", digest_size=BYTES)
    for part in parts:
        data = str(part).encode("utf-8", "surrogatepass")
        digest.update(b"%d:%s" % (len(data), data))
    return digest.digest()


def head_sum(number: object, name: object, book: object, version: object, created: object) -> bytes:
    """Where the chain of a job begins."""
    return sum_of(b"", number, name, book, version, created)


def chained(before: bytes, rows: Sequence[Row]) -> list[bytes]:
    """The sums of entries that follow each other."""
    sums = []
    for row in rows:
        before = sum_of(before, *row)
        sums.append(before)
    return sums


@dataclass(frozen=True, slots=True)
class Health:
    """What of a job is as it was written.

    `head`: its name, book and date are. `sound`: how many entries from the first on are. `later`: numbers of entries
    after a damaged one that are sound in themselves. `written`: how many there were, `read` how many are there now.
    `whole`: all of it is as it was, the sums too.
    """

    head: bool
    sound: int
    later: tuple[int, ...]
    written: int
    read: int
    whole: bool


def examined(head: bytes, kept: object, rows: Sequence[Row], sums: Sequence[object], end: int) -> Health:
    """Hold the entries of a job against their sums.

    Args:
        head: the sum over the job itself as it is now.
        kept: the sum that was written when it was begun.
        rows: of the entries, in order.
        sums: that were written with them.
        end: how many entries there were when the last was added.
    """
    befores = _befores(head, kept, rows, sums)
    agree = [
        any(sum_of(one, *row) == own for one in before) for before, row, own in zip(befores, rows, sums, strict=False)
    ]
    whole = head == kept and all(agree) and end == len(rows)
    good = [
        _in_place(row, place) and (agree[place - 1] or _vouched(befores, rows, sums, place))
        for place, row in enumerate(rows, 1)
    ]
    sound = good.index(False) if False in good else len(good)
    later = tuple(place for place, fine in enumerate(good, 1) if fine and place > sound)
    first = bool(rows) and sum_of(head, *rows[0]) == sums[0]
    return Health(head == kept or first, sound, later, max(end, len(rows)), len(rows), whole and all(good))


def _befores(head: bytes, kept: object, rows: Sequence[Row], sums: Sequence[object]) -> list[tuple[object, ...]]:
    """What may stand before each entry: the sum written there, or, where that was hit itself, the one it should be."""
    befores: list[tuple[object, ...]] = [(kept, head)]
    for row, own in zip(rows, sums, strict=True):
        best = next((one for one in befores[-1] if sum_of(one, *row) == own), befores[-1][0])
        befores.append((own, sum_of(best, *row)))
    return befores


def _vouched(befores: Sequence[tuple[object, ...]], rows: Sequence[Row], sums: Sequence[object], place: int) -> bool:
    """Whether the next entry follows on this one as it is, so that only the sum of this one was hit."""
    if place >= len(rows):
        return False
    return any(sum_of(sum_of(before, *rows[place - 1]), *rows[place]) == sums[place] for before in befores[place - 1])


def _in_place(row: Row, place: int) -> bool:
    return row[0] == place and all(isinstance(part, str) for part in row[1:])
