"""What nobody has said of a machine, and what may lie in the very stretch of cable whose part is about to be fixed."""

from __future__ import annotations

from collections.abc import Collection

from coldiron.book.book import Book
from coldiron.book.machines import Circuit, CircuitOption, Feature
from coldiron.book.variants import brought, circuit_named
from coldiron.machine.describing import FEW, may_have, named, worth_asking
from coldiron.machine.fitting import FITTED, HAS, Said, has_check
from coldiron.readings.refusal import UNKNOWN


def feature_before_fix(book: Book, said: Said, complaint: str, part: str) -> Feature | None:
    """The feature to ask for before a part is fixed: what it stands for may lie where that part was measured.

    A loss found between two studs is blamed on the cable between them; a disconnect switch that nobody spoke of may
    sit there too. None where the circuit was named outright, or all such options were told or are rare.
    """
    circuit = circuit_named(book, named(book, said))
    if circuit is None:
        return None
    told = _told_on_page(book, said, complaint)
    for option in may_have(book, said):
        feature = next(iter(option.gives))
        asked = option.id in told or any(HAS + one in said for one in option.gives)
        if option.common < FEW or asked or _has_such(book, circuit, feature):
            continue
        if part in _changed_by(book, circuit, option):
            return book.features[feature]
    return None


def _told_on_page(book: Book, said: Said, complaint: str) -> set[str]:
    """The options that the person was asked for on the page of what it has besides; none where he did not know."""
    if said.get(FITTED, UNKNOWN[0]) in UNKNOWN:
        return set()
    others = {name: value for name, value in said.items() if name != FITTED}
    return {*said[FITTED].split(","), *worth_asking(book, others, complaint)}


def _has_such(book: Book, circuit: Circuit, feature: str) -> bool:
    """Whether the circuit has a feature in one of the ways that an option brings."""
    brings = {answer for option in book.options.values() for answer in option.gives.get(feature, ())}
    return not brings.isdisjoint(circuit.has.get(feature, ()))


def _changed_by(book: Book, circuit: Circuit, option: CircuitOption) -> set[str]:
    """The parts of the sections that an option puts others in the place of."""
    made = brought(book, circuit, option.id)
    gone = set(circuit.sections).difference(made.sections) if made else ()
    return {part.id for section in gone for part in book.sections[section].parts}


def feature_that_tells(book: Book, said: Said, checks: Collection[str]) -> Feature | None:
    """The feature to ask for where something failed that none of the circuit's own checks is made on.

    It is the first by which the machine may have what one of `checks` is made on; None if there is none, or each such
    was told.
    """
    circuit = circuit_named(book, named(book, said))
    if circuit is None or any(has_check(book, circuit, name) for name in checks):
        return None
    for option in may_have(book, said):
        feature = next(iter(option.gives))
        made = brought(book, circuit, option.id)
        if HAS + feature not in said and made and any(has_check(book, made, name) for name in checks):
            return book.features[feature]
    return None
