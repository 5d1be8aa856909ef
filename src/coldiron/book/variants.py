"""Circuits put together from what a machine has: one of the book, with options brought in or left out.

The id of such a circuit is that of the book's own, then `+option` for each one brought in and `-option` for each left
out, in the order of the book; so one machine has one id, whatever was said first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from coldiron.book.book import Book
from coldiron.book.joining import NEXT
from coldiron.book.machines import Brings, Circuit, CircuitOption
from coldiron.record import replace

WITH, WITHOUT = "+", "-"

SELDOM = 0.05
"""The share of an option that is given none, and of machines that lack what their circuit usually has."""

Changes = Mapping[str, str]
"""The options that were changed, by id: `WITH` or `WITHOUT`."""


def circuit_named(book: Book, name: str) -> Circuit | None:
    """The circuit of that id, a variant put together; None if there is none, or it cannot be put together."""
    own = book.circuits.get(name)
    return own if own is not None else _put_together(_Same(book), name)


def base_of(name: str) -> str:
    """The id of the book's own circuit that a circuit of this id comes from."""
    return name.replace(WITHOUT, WITH).partition(WITH)[0]


def changes_of(book: Book, name: str) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """The circuit of the book that an id comes from, the options brought in, and those left out."""
    base, changes = _read(book, name)
    ways = [tuple(option for option, way in changes.items() if way == wanted) for wanted in (WITH, WITHOUT)]
    return base, ways[0], ways[1]


def differs(circuit: Circuit) -> int:
    """By how many options a circuit differs from the book's own that it comes from."""
    return circuit.id.count(WITH) + circuit.id.count(WITHOUT)


def told_apart(one: Circuit, other: Circuit, feature: str) -> bool:
    """Whether both say something of a feature, and no answer fits both."""
    answers = one.has.get(feature, ()), other.has.get(feature, ())
    return all(answers) and not set(answers[0]) & set(answers[1])


def as_said(book: Book, circuit: Circuit, feature: str, answer: str) -> Circuit | None:
    """The circuit as it is where the answer to a feature holds: itself, or a variant of it; None if it cannot be."""
    own = circuit.has.get(feature)
    giving = [option for option in book.options.values() if answer in option.gives.get(feature, ())]
    if answer in (own or ()) or (own is None and not giving):
        return circuit
    for start in (circuit, *_bared(book, circuit, feature)):
        if answer in start.has.get(feature, ()):
            return start
        for option in giving:
            made = _changed(book, start, option, WITH)
            if made is not None:
                return made
    return None


def brought(book: Book, circuit: Circuit, option: str) -> Circuit | None:
    """The circuit with an option brought in; None if it has it already, cannot have it, or there is none such."""
    return _changed(book, circuit, book.options[option], WITH) if option in book.options else None


def with_all(book: Book, name: str, options: Iterable[str]) -> Circuit | None:
    """A circuit of the book with all of these options brought in; None if there is none, or one cannot be."""
    made = book.circuits.get(name)
    for option in options:
        made = brought(book, made, option) if made is not None else None
    return made


def variants(book: Book, circuit: Circuit) -> tuple[Circuit, ...]:
    """Every circuit that differs by one option from one of the book, in the order of the options."""
    made = [_changed(book, circuit, option, way) for option in book.options.values() for way in (WITH, WITHOUT)]
    return tuple(one for one in made if one is not None)


def _bared(book: Book, circuit: Circuit, feature: str) -> list[Circuit]:
    """The circuit without each option that answers a feature and is built into it."""
    known = [option for option in book.options.values() if feature in option.gives]
    made = [_changed(book, circuit, option, WITHOUT) for option in known]
    return [one for one in made if one is not None]


def _changed(book: Book, circuit: Circuit, option: CircuitOption, way: str) -> Circuit | None:
    """A circuit with one option more, or one less; put together anew from the book's own."""
    base, changes = _read(book, circuit.id)
    if base not in book.circuits or option.id in changes:
        return None
    return circuit_named(book, _id_of(book, base, {**changes, option.id: way}))


def _id_of(book: Book, base: str, changes: Changes) -> str:
    return base + "".join(changes[option] + option for option in book.options if option in changes)


class _Same:
    """A book as a key: the very same one, for two of one hash may have been changed apart."""

    __slots__ = ("book",)

    def __init__(self, book: Book) -> None:
        self.book = book

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.book is other.book

    def __hash__(self) -> int:
        return id(self.book)


@lru_cache(maxsize=4096)
def _put_together(same: _Same, name: str) -> Circuit | None:
    """A variant by its id; the same again while the book is in use."""
    book = same.book
    base, changes = _read(book, name)
    if base not in book.circuits or not changes:
        return None
    made = _made(book, book.circuits[base], changes)
    return replace(made, id=name) if made is not None else None


def _read(book: Book, name: str) -> tuple[str, dict[str, str]]:
    """The circuit of the book and the changes that an id stands for; no changes if one names no option."""
    base = base_of(name)
    changes: dict[str, str] = {}
    for word in name[len(base) :].replace(WITH, f" {WITH}").replace(WITHOUT, f" {WITHOUT}").split():
        changes[word[1:]] = word[0]
    return base, changes if all(option in book.options for option in changes) else {}


def _made(book: Book, base: Circuit, changes: Changes) -> Circuit | None:
    """The circuit with every change done: first what is left out, then what comes in, as the book has the options."""
    made: Circuit | None = base
    for way in (WITHOUT, WITH):
        for option in book.options.values():
            if changes.get(option.id) == way and made is not None:
                made = _with(book, made, option) if way == WITH else _without(book, made, option)
    return made


def _with(book: Book, circuit: Circuit, option: CircuitOption) -> Circuit | None:
    if base_of(circuit.id) in option.never or any(_rivals(one, option, circuit) for one in book.options.values()):
        return None
    sections = circuit.sections
    for row in option.rows:
        if _comes(book, row, circuit.volts, sections):
            sections = _put(book, sections, row.sections, row.instead)
    if sections == circuit.sections:
        return None
    has = {**circuit.has}
    for feature, answers in option.gives.items():
        has[feature] = tuple(dict.fromkeys((*has.get(feature, ()), *answers)))
    return _told(circuit, sections, has, option, "with")


def _rivals(one: CircuitOption, option: CircuitOption, circuit: Circuit) -> bool:
    """Whether a circuit has another option already that answers the same feature first of all."""
    if one is option or next(iter(one.gives)) != next(iter(option.gives)):
        return False
    return any(set(row.sections) <= set(circuit.sections) for row in one.rows)


def _without(book: Book, circuit: Circuit, option: CircuitOption) -> Circuit | None:
    sections = circuit.sections
    for row in option.rows:
        if row.volts in (0, circuit.volts) and set(row.sections) <= set(sections):
            sections = _put(book, sections, row.instead, row.sections)
    if sections == circuit.sections:
        return None
    has = {**circuit.has}
    first = next(iter(option.gives))
    for feature, answers in option.gives.items():
        plain = [answer for answer, _ in book.features[feature].answers if not _given(book, feature, answer)]
        kept = [answer for answer in has.pop(feature, ()) if answer not in answers]
        if kept or feature == first:
            has[feature] = tuple(dict.fromkeys((*kept, *(plain if feature == first else ()))))
    return _told(circuit, sections, has, option, "without")


def _given(book: Book, feature: str, answer: str) -> bool:
    return any(answer in option.gives.get(feature, ()) for option in book.options.values())


def _told(
    circuit: Circuit, sections: Sequence[str], has: Mapping[str, tuple[str, ...]], option: CircuitOption, word: str
) -> Circuit:
    share = option.common or SELDOM if word == "with" else SELDOM
    return replace(
        circuit,
        name=f"{circuit.name}, {word} {option.name}",
        sections=tuple(sections),
        has=has,
        common=circuit.common * share,
    )


def _comes(book: Book, row: Brings, volts: int, sections: Sequence[str]) -> bool:
    """Whether a row can be done on a circuit of these volts and sections."""
    there = set(sections)
    if row.volts not in (0, volts) or not set(row.instead) <= there or set(row.sections) & (there - set(row.instead)):
        return False
    onward = [name for name in row.sections if NEXT in book.sections[name].ends]
    return bool(row.instead) or not onward or any(NEXT in book.sections[name].ends for name in sections)


def _put(book: Book, sections: Sequence[str], come: Sequence[str], go: Sequence[str]) -> tuple[str, ...]:
    """Sections with some in place of others: where the first that goes stood, or at the end.

    One that goes on to `next`, and replaces none, comes behind the last that does: before what that one met.
    """
    left = [name for name in sections if name not in go]
    if go:
        at = min(sections.index(name) for name in go)
        at = len([name for name in sections[:at] if name in left])
    else:
        at = len(left)
    onward = [name for name in come if NEXT in book.sections[name].ends]
    if onward and not go:
        at = max(place for place, name in enumerate(left) if NEXT in book.sections[name].ends) + 1
    return (*left[:at], *come, *left[at:])
