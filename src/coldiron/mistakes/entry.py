"""One entry of the catalogue of mistakes."""

from __future__ import annotations

from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Mistake:
    """A kind of problem.

    `wording` is its sentence, words in braces to be filled in. `example` is rule text with the mistake in it, marked
    by guillemets; read beside a small sound book it gives this problem and no other (unless `alone` is false), and its
    sentence is `says`, the word suggested `meant`. `edits` change that book first (old text, new text). A byte that is
    no text is written as Python's surrogateescape writes it. A `warning` keeps nothing out of the book.
    """

    kind: str
    wording: str
    example: str
    says: str
    meant: str = ""
    warning: bool = False
    alone: bool = True
    edits: tuple[tuple[str, str], ...] = ()
