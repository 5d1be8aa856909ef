"""Which circuits fit what was said of a machine.

What is said is a mapping in the order of the log: `usual` for its sort as people name it, `volts`, a feature as
`has.FEATURE`, `circuit` for one named outright, `fitted` for options it has, or `not_fitted.CHECK` where what a check
is made on was found not to be there. An answer that nobody knows keeps every circuit. One that fits none of those left
is passed over: only after an earlier answer was changed can there be such a one, and a fresh job would never have been
asked for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from coldiron.book.book import Book
from coldiron.book.joining import can_make
from coldiron.book.machines import Circuit, Feature
from coldiron.book.variants import as_said, base_of, brought, circuit_named, differs, variants, with_all
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import dataclass, replace

USUAL = "usual"
"""The sort of machine as people name it, and the id of the question for it."""

VOLTS = "volts"
CIRCUIT = "circuit"
HAS = "has."
"""Before the id of a feature, it is the id of the question for it."""

LIST = "list"
"""The answer to a feature by which no more features are asked: the list of circuits is wanted."""

OTHER = "other"
"""The answer that it is none of the sorts, or not what a machine of this name was last time."""

FITTED = "fitted"
"""What it has beside its circuit, options by commas or none, and the id of the question for it."""

GONE = "not_fitted."
"""Before the id of a check, in what was said: what it is made on is not there."""

RARE = 0.005
"""The share of a circuit that is given none: shares are counted in whole hundredths, and half of one rounds to none."""

Said = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Fitting:
    """What is left after all that was said.

    `circuits` fit, in the order of the book; `counted` are the ids of what was said and not passed over.
    """

    circuits: tuple[Circuit, ...]
    counted: frozenset[str]


def describes(name: str) -> bool:
    """Whether an answer of that id says something of the machine."""
    return name in (USUAL, VOLTS, CIRCUIT, FITTED) or name.startswith(HAS)


def fitting(book: Book, said: Said) -> Fitting:
    """The circuits that fit what was said: sort and volts first, whenever they were said, then the rest in its order.

    A circuit that an answer fits only with an option more, or one less, is left as that variant of it. Where its sort
    was named, each has the share of it that it has among them; an answer that no usual machine of the sort fits makes
    it one of any sort.
    """
    others = {name: value for name, value in said.items() if name != USUAL}
    usual = of_sort(book, said.get(USUAL, ""))
    if not usual:
        return _fitting(book, tuple(book.circuits.values()), others)
    found = _fitting(book, usual, others)
    if len(found.counted) < len(others):
        anyone = _fitting(book, tuple(book.circuits.values()), others)
        if not found.circuits or len(anyone.counted) > len(found.counted):
            return anyone
    return Fitting(found.circuits, found.counted | {USUAL})


def of_sort(book: Book, name: str) -> tuple[Circuit, ...]:
    """The circuits of a sort of machine, each with its share as how common it is; none where nothing is known of it."""
    found: dict[str, Circuit] = {}
    for like in book.usual[name].likes if name in book.usual else ():
        made = with_all(book, like.circuit, like.options)
        if made is not None:
            found[made.id] = replace(made, common=like.share)
    return tuple(found.values())


def _fitting(book: Book, circuits: tuple[Circuit, ...], said: Said) -> Fitting:
    left = [(one, one) for one in circuits]
    if VOLTS in said:
        left = [(own, one) for own, one in left if str(one.volts) == said[VOLTS]]
    counted = set()
    for name, value in said.items():
        kept = _kept(book, left, name, value)
        if kept:
            left = kept
            counted.add(name)
    return Fitting(_each_once(_weighed(book, own, one) for own, one in left), frozenset(counted))


def _each_once(circuits: Iterable[Circuit]) -> tuple[Circuit, ...]:
    """Circuits, each once: as common as all of its id are together."""
    found: dict[str, Circuit] = {}
    for one in circuits:
        known = found.get(one.id)
        found[one.id] = one if known is None else replace(one, common=known.common + one.common)
    return tuple(found.values())


def _weighed(book: Book, own: Circuit, made: Circuit) -> Circuit:
    """A variant as common as the circuit it was made from, less what its changes take off."""
    plain = circuit_named(book, own.id)
    if made is own or plain is None or plain.common == own.common:
        return made
    return replace(made, common=own.common * made.common / share_of(plain))


def _kept(book: Book, left: Sequence[tuple[Circuit, Circuit]], name: str, value: str) -> list[tuple[Circuit, Circuit]]:
    """The circuits, each with the one it was made from, as they are where that was said.

    Of two with the same sections the one that differs least.
    """
    if name.startswith(GONE):
        check = name.removeprefix(GONE)
        left = [pair for pair in left if not has_check(book, pair[1], check)] or left
    made = [(own, one) for own, was in left if (one := _as_said(book, was, name, value)) is not None]
    if name == CIRCUIT:
        made = [pair for pair in made if pair[1].id == value] or made
    found: dict[frozenset[str], Circuit] = {}
    for _, one in sorted(made, key=lambda pair: differs(pair[1])):  # equals stay in their order
        found.setdefault(frozenset(one.sections), one)
    return [(own, one) for own, one in made if not differs(one) or found[frozenset(one.sections)] is one]


def _as_said(book: Book, circuit: Circuit, name: str, value: str) -> Circuit | None:
    """A circuit as it is where that was said: itself, a variant of it, or None."""
    if name == CIRCUIT:
        return _as_named(book, circuit, value)
    if name == FITTED:
        return _with(book, circuit, value)
    if name.startswith(GONE):
        return without(book, circuit, name.removeprefix(GONE))
    feature = book.features.get(name.removeprefix(HAS))
    if feature is None or value not in answers_of(feature):
        return circuit
    return as_said(book, circuit, feature.id, value)


def _as_named(book: Book, circuit: Circuit, value: str) -> Circuit | None:
    """The circuit that was named outright, if it comes from this one; any, where none was."""
    if value in (OTHER, *UNKNOWN, circuit.id):
        return circuit
    return circuit_named(book, value) if base_of(value) == circuit.id else None


def _with(book: Book, circuit: Circuit, value: str) -> Circuit | None:
    """A circuit with each of the options named; None where it cannot have one of them."""
    made: Circuit | None = circuit
    for option in value.split(","):
        if made is not None and option in book.options:
            made = brought(book, made, option) or _instead(book, made, option)
    return made


def _instead(book: Book, circuit: Circuit, option: str) -> Circuit | None:
    """A circuit with an option in place of the one that it has there: a switch in the other cable, say.

    Itself where it has the option already, None where it cannot have it.
    """
    made: Circuit | None = circuit
    for feature, answers in book.options[option].gives.items():
        made = as_said(book, made, feature, answers[0]) if made is not None else None
        if made is not None and answers[0] not in made.has.get(feature, ()):
            return None
    return made


def without(book: Book, circuit: Circuit, check: str) -> Circuit | None:
    """A circuit on which that cannot be checked: itself, else the most common variant of it.

    Nothing comes in for what is not there: nobody said that the machine has something else instead.
    """
    if not has_check(book, circuit, check):
        return circuit
    less = [one for one in variants(book, circuit) if parts_of(book, one).keys() <= parts_of(book, circuit).keys()]
    return max((one for one in less if not has_check(book, one, check)), key=share_of, default=None)


def has_check(book: Book, circuit: Circuit, check: str) -> bool:
    """Whether a check can be made on a circuit."""
    return can_make(book.sections, circuit, book.checks[check])


def parts_of(book: Book, circuit: Circuit) -> dict[str, None]:
    """The ids of the parts of a circuit, in the order of its sections."""
    return {part.id: None for section in circuit.sections for part in book.sections[section].parts}


def answers_of(feature: Feature) -> tuple[str, ...]:
    """The ids of the answers of a feature."""
    return tuple(answer for answer, _ in feature.answers)


def share_of(circuit: Circuit) -> float:
    """How common a circuit is; never none."""
    return circuit.common or RARE
