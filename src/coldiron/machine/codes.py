"""Trouble codes at the prompt: what was typed, the two numbers in it, and what they say in words."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from coldiron.book.book import Book
from coldiron.book.history import LARGEST_FMI, LARGEST_SPN, Code
from coldiron.machine.fmi import sense
from coldiron.readings.refusal import AnswerError

HOW = "Type the SPN, then the FMI, as the machine shows them: code 168 1, or code SPN 168 FMI 1."

LONGEST = 60
"""Characters of a trouble code; no display shows more for one."""

_SPN = r"(?:spn|s)[ :=#.-]*([0-9]+)"
_FMI = r"(?:fmi|f)[ :=#.-]*([0-9]+)"
_COUNT = r"(?:[ ,;/-]*(?:oc|count|cnt)[ :=#.-]*[0-9]+)?"
_GAP = r"[ ,;/:.-]*"
_SHAPES = (
    (rf"{_SPN}{_GAP}{_FMI}{_COUNT}", 1, 2),
    (rf"{_FMI}{_GAP}{_SPN}{_COUNT}", 2, 1),
    (rf"#?([0-9]+){_GAP}{_FMI}{_COUNT}", 1, 2),
    (rf"(?:{_SPN}|#?([0-9]+)) ?[ ,;/:.-] ?([0-9]+){_COUNT}", 1, 3),
)
"""What is read without asking: the pattern, and which groups are SPN and FMI. How often it came up is passed over."""

_CAR = re.compile(r"[pbcu][0-9][0-9a-f]{3}", re.IGNORECASE)


class TroubleCode(NamedTuple):
    """What is wrong (`spn`, 0 to 524287) and how (`fmi`, 0 to 31)."""

    spn: int
    fmi: int

    def __str__(self) -> str:
        """As it stands in a log."""
        return f"{self.spn}/{self.fmi}"


def read_code(text: str) -> TroubleCode:
    """Read a trouble code as it was typed. Nothing is worked out: two numbers stand there, or they are asked for.

    Raises:
        AnswerError: there are not two numbers, or one of them cannot be; the sentence says what to type.
    """
    plain = " ".join(text.split())
    if len(plain) > LONGEST:
        raise AnswerError("misread", f"That is too long for one code. {HOW}")
    for pattern, spn, fmi in _SHAPES:
        match = re.fullmatch(pattern, plain, re.IGNORECASE | re.ASCII)
        if match:
            return _held(match, spn if match[spn] else spn + 1, fmi)
    raise AnswerError("misread", _asked(plain), text=plain)


def _held(match: re.Match[str], what: int, how: int) -> TroubleCode:
    """The code, if there can be such numbers; they stand in two groups of what was typed."""
    spn, fmi = int(match[what]), int(match[how])
    if fmi > LARGEST_FMI:
        turned = (f"code {fmi} {spn}",) if spn <= LARGEST_FMI and fmi <= LARGEST_SPN else ()
        said = f"There is no FMI {fmi}: it goes from 0 to {LARGEST_FMI}."
        raise AnswerError("misread", said, turned, text=match.string, place=match.start(how) + 1)
    if spn > LARGEST_SPN:
        said = f"There is no SPN {spn}: it goes from 0 to {LARGEST_SPN}."
        raise AnswerError("misread", said, text=match.string, place=match.start(what) + 1)
    return TroubleCode(spn, fmi)


def _asked(text: str) -> str:
    """What to ask for where a text is not two numbers."""
    if not text:
        return HOW
    if _CAR.fullmatch(text):
        return f"'{text}' is another kind of code. Write it down with note. Only an SPN with an FMI counts here. {HOW}"
    alone = re.fullmatch(r"(spn|fmi|s|f)?[ :=#.-]*([0-9]+)", text, re.IGNORECASE | re.ASCII)
    if alone and (alone[1] or "s").lower().startswith("s"):
        return f"Which FMI stands beside SPN {alone[2]}? {HOW}"
    if alone:
        return f"Which SPN stands beside FMI {alone[2]}? {HOW}"
    return f"'{text}' is not one SPN and one FMI in plain figures. {HOW}"


def entry_of(book: Book, code: TroubleCode) -> Code | None:
    """The entry of the book for a trouble code, if it has one."""
    return next((one for one in book.codes.values() if one.spn == code.spn and code.fmi in one.fmis), None)


def in_words(book: Book, code: TroubleCode) -> str:
    """A trouble code in plain words: what, as far as the book has a name for it, and how."""
    name = next((f", {one.name}" for one in book.codes.values() if one.spn == code.spn), "")
    return f"SPN {code.spn}{name}; FMI {code.fmi}, {sense(code.fmi)}"


def entries_of(book: Book, given: Iterable[TroubleCode]) -> tuple[str, ...]:
    """Ids of the entries of the book for the codes given, each once."""
    known = (entry_of(book, code) for code in given)
    return tuple(dict.fromkeys(entry.id for entry in known if entry))
