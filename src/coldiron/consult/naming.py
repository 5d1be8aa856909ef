"""What was meant by a name or by some of its words: nobody beside a machine knows ids by heart."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.questions.table import kind_of
from coldiron.readings.other_words import in_book_words
from coldiron.readings.refusal import AnswerError
from coldiron.telling.so_far import SoFar

SHOWN = 6
"""Names that are listed where several fit."""


def meant(consultation: SoFar, text: str) -> str:
    """The id that a text names: an id itself, or the one thing of this machine whose words hold all words typed.

    Suspects go before checks, checks before questions. A text that fits nothing is given back as it is.

    Raises:
        AnswerError: several things fit, or none does and some come near.
    """
    if not text or _is_id(consultation, text):
        return text
    for group in _groups(consultation):
        found = _fitting(group, text)
        if found:
            return _only(consultation, found, f"'{text}' fits several")
    near = _nearest(next(_groups(consultation)), text)
    return _only(consultation, near, f"Nothing here is called '{text}'. Closest", sure=False) if near else text


def repaired(consultation: SoFar, text: str) -> str:
    """The fault that a text names: an id, or some words of its name. The one whose repair is on the page goes first.

    Raises:
        AnswerError: several fit, none does, or the machine is not known yet.
    """
    group = next(_groups(consultation))
    if text in consultation.book.faults:
        return text
    if not group:
        raise AnswerError("not now", "Describe the machine and its symptom first. Then you can report a fix.")
    found = _fitting(group, text)
    asked = consultation.next
    wanted = (asked.step or asked.id) if asked else ""
    if wanted in found:
        return wanted
    if found:
        return _only(consultation, found, f"'{text}' fits several")
    near = _nearest(group, text)
    if not near:
        raise AnswerError("unknown question", f"No fault of this machine is called '{text}'.")
    return _only(consultation, near, f"No fault of this machine is called '{text}'. Closest", sure=False)


Group = list[tuple[str, str]]
"""Ids with their names in words."""


def _fitting(group: Group, text: str) -> list[str]:
    """The ids whose name fits the text as it is typed, else in the book's words for the same things."""
    return _fitting_as_typed(group, text) or _fitting_as_typed(group, in_book_words(text))


def _fitting_as_typed(group: Group, text: str) -> list[str]:
    """The ids whose name is the text, else those of the part that the text names, else those with all its words."""
    typed = _words(text.replace("_", " "))
    if not typed:
        return []
    parts = {name: _words(said.partition(":")[0]) for name, said in group}
    ways = (
        [name for name, said in group if _words(said) == typed],
        [name for name, part in parts.items() if part == typed],
        [name for name, part in parts.items() if part[: len(typed)] == typed],
        [name for name, said in group if all(word in said.lower() for word in typed)],
    )
    return next((found for found in ways if found), [])


def _nearest(group: Group, text: str) -> list[str]:
    """The ids that have most of the words of a text, short words left out."""
    typed = [word for word in _words(in_book_words(text.replace("_", " "))) if len(word) > 3]
    scores = {name: sum(word in _words(said) for word in typed) for name, said in group}
    best = max(scores.values(), default=0)
    return [name for name, score in scores.items() if score == best] if best else []


def _only(consultation: SoFar, found: list[str], opening: str, *, sure: bool = True) -> str:
    """The one thing that was found.

    Raises:
        AnswerError: it is one of several, or it is not sure that it was meant.
    """
    if sure and len(found) == 1:
        return found[0]
    said = {name: words for group in _groups(consultation) for name, words in group}
    listed = "; ".join(f"{name} ({said[name]})" for name in found[:SHOWN])
    more = f"; and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    raise AnswerError("unknown question", f"{opening}: {listed}{more}.")


def _words(said: str) -> list[str]:
    """The words of a name, without those that nobody types."""
    return [word for word in said.lower().replace(":", " ").replace(",", " ").split() if word != "the"]


def _is_id(consultation: SoFar, text: str) -> bool:
    book = consultation.book
    known = (book.faults, book.parts, book.checks, book.questions, book.cautions, book.facts)
    return any(text in names for names in known)


def _groups(consultation: SoFar) -> Iterator[Group]:
    """Names with their words, in the order in which they are looked through."""
    book = consultation.book
    yield [(name, book.faults[name].name) for name, _ in consultation.suspects if name in book.faults]
    setup = consultation.setup
    yield [(name, book.checks[name].ask) for name in (setup.machine.checks if setup else ())]
    yield [(name, asked.ask) for name, asked in book.questions.items()]


def answer_in_words(consultation: SoFar, name: str, value: str) -> str:
    """An answer as it can be read: what was asked, and what was said."""
    return " ".join(asked_and_said(consultation, name, value))


def change_in_words(consultation: SoFar, name: str, old: str, new: str) -> str:
    """A changed answer as it can be read: what was asked, what was said, and what is said now."""
    return f"{answer_in_words(consultation, name, old)}; now {asked_and_said(consultation, name, new)[1]}"


def asked_and_said(consultation: SoFar, name: str, value: str) -> tuple[str, str]:
    """What was asked, and what was said, each in words."""
    plain = name.partition("@")[0]
    kind = kind_of(consultation.book, plain)
    return kind.words(consultation.state, plain, value) if kind else (f"{plain}:", value)
