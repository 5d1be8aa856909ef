"""A machine without a diagram: which of the circuits that fit it is taken for, and what is best asked next.

Who names its sort is asked for no feature until it matters.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.book.book import Book
from coldiron.book.machines import Circuit, CircuitOption, Feature
from coldiron.book.variants import as_said, brought, circuit_named, differs, told_apart
from coldiron.entropy import entropy
from coldiron.machine.fitting import (
    CIRCUIT,
    HAS,
    LIST,
    USUAL,
    VOLTS,
    Fitting,
    Said,
    answers_of,
    fitting,
    has_check,
    parts_of,
    share_of,
    without,
)
from coldiron.readings.refusal import UNKNOWN

FAR_RARER = 0.4
"""A variant of a circuit that is rarer than the most common fit by this factor is not asked about."""

OF_SORT_RARER = 0.1
"""Of a sort of machine that was named, circuits rarer than the most common by this factor are not looked at."""

FEW = 0.05
"""Of a sort, the share of machines without what is checked below which nobody is asked for it before the check."""

LEAST_WORTH = 0.005
"""An option is asked for if the fault lies in it on so many of the machines that may have it, and fewer are passed."""

FIGURES = 9
"""Decimals of the worth of a feature that are compared, so that every machine asks the same."""


def may_be_gone(book: Book, said: Said, check: str) -> bool:
    """Whether what a check is made on may be missing: some circuit that fits, or a variant of one, does not have it."""
    return any(without(book, one, check) is not None for one in fitting(book, said).circuits)


def shares(book: Book, said: Said) -> dict[str, float]:
    """How likely a part is fitted, by part, for those that not every circuit that fits has; the common count more.

    Empty where the circuit is known.
    """
    if not is_taken(book, said):
        return {}
    found = _fitted(book, left(book, said))
    return {part: share for part, share in found.items() if round(share, FIGURES) < 1}


def _fitted(book: Book, circuits: Sequence[Circuit]) -> dict[str, float]:
    """How likely each part is fitted on a machine that has one of these circuits, by part."""
    total = sum(share_of(circuit) for circuit in circuits)
    found: dict[str, float] = {}
    for circuit in circuits:
        for part in parts_of(book, circuit):
            found[part] = found.get(part, 0.0) + share_of(circuit) / total
    return found


def named(book: Book, said: Said) -> str:
    """The circuit that is settled by what was said; empty while it is not.

    It is settled when it was named outright and fits, when features leave but one that is likely, or when nothing is
    left to ask and it is not known which of several it is: then the one that leaves out least is taken.
    """
    found = fitting(book, said)
    if CIRCUIT in found.counted and circuit_named(book, said[CIRCUIT]):
        return found.circuits[0].id
    open_ones = _worth_a_thought(found)
    if USUAL in found.counted:
        wants_list = LIST in said.values() and CIRCUIT not in said
        settled = not wants_list and len({one.volts for one in open_ones}) == 1
        return fullest(book, open_ones).id if settled else ""
    if VOLTS not in said or not found.circuits:
        return ""
    described = any(name.startswith(HAS) for name in found.counted)
    if len(open_ones) == 1 and described:
        return open_ones[0].id
    if next_feature(book, said) is not None:
        return ""
    if said.get(CIRCUIT) in UNKNOWN:
        return fullest(book, open_ones).id
    return _nearest(open_ones) if described and LIST not in said.values() else ""


def _nearest(circuits: Sequence[Circuit]) -> str:
    """The circuit that differs least from one of the book, where nothing else is to be asked; empty if several do."""
    least = min(map(differs, circuits))
    found = [one.id for one in circuits if differs(one) == least]
    return found[0] if len(found) == 1 else ""


def left(book: Book, said: Said) -> tuple[Circuit, ...]:
    """The circuits that fit and are worth a thought: of a sort of machine all that are not far rarer than the first."""
    return _worth_a_thought(fitting(book, said))


def _worth_a_thought(found: Fitting) -> tuple[Circuit, ...]:
    if USUAL not in found.counted:
        return likely(found.circuits)
    most = max(map(share_of, found.circuits), default=0.0)
    return tuple(one for one in found.circuits if share_of(one) >= most * OF_SORT_RARER)


def likely(circuits: Sequence[Circuit]) -> tuple[Circuit, ...]:
    """Those of several circuits that are worth asking about: the book's own, and variants that are not far rarer."""
    most = max(map(share_of, circuits), default=0.0)
    own = [one for one in circuits if not differs(one)]
    return tuple(
        one
        for one in circuits
        if not differs(one) or (share_of(one) >= most * FAR_RARER and not any(_alike(one, other) for other in own))
    )


def _alike(one: Circuit, other: Circuit) -> bool:
    """Whether no feature can tell two circuits apart."""
    return not any(told_apart(one, other, feature) for feature in one.has)


def is_taken(book: Book, said: Said) -> bool:
    """Whether the circuit is only taken for the machine's, because nobody knows which of several it is."""
    if said.get(CIRCUIT) not in UNKNOWN and not is_of_sort(book, said):
        return False
    return len(left(book, said)) > 1


def is_of_sort(book: Book, said: Said) -> bool:
    """Whether the machine goes by the sort that was named: nothing said since makes it another."""
    return said.get(USUAL) in book.usual and USUAL in fitting(book, said).counted


def fullest(book: Book, circuits: Sequence[Circuit]) -> Circuit:
    """The circuit that leaves out least of what may be there: each part counts as much as it is likely to be fitted.

    So one that has all parts of another, and more, goes before it. Of equals it is the most common.
    """
    fitted = _fitted(book, circuits)
    return max(
        commonest(circuits), key=lambda circuit: round(sum(fitted[part] for part in parts_of(book, circuit)), FIGURES)
    )


def commonest(circuits: Sequence[Circuit]) -> tuple[Circuit, ...]:
    """Circuits in the order in which they are listed: the most common first, equals as in the book."""
    return tuple(sorted(circuits, key=lambda circuit: -circuit.common))


def next_feature(book: Book, said: Said) -> Feature | None:
    """The feature that tells most of those that still tell circuits apart; of equals the first of the book."""
    if LIST in said.values():
        return None
    return _tells_most(book, said, left(book, said))


def feature_before(book: Book, said: Said, check: str) -> Feature | None:
    """The feature to ask for before a check that not every machine of the sort named has; None if there is none.

    It is one that tells machines with what is checked from those without it, and of these the one that tells most.
    """
    if not is_of_sort(book, said) or LIST in said.values():
        return None
    open_ones = left(book, said)
    lacking = [one for one in open_ones if not has_check(book, one, check)]
    if sum(map(share_of, lacking)) < FEW * sum(map(share_of, open_ones)):
        return None
    having = [one for one in open_ones if one not in lacking]
    tells = [
        feature.id
        for feature in book.features.values()
        if any(told_apart(one, other, feature.id) for one in having for other in lacking)
    ]
    return _tells_most(book, said, open_ones, among=tells)


def _tells_most(
    book: Book, said: Said, circuits: Sequence[Circuit], among: Sequence[str] | None = None
) -> Feature | None:
    """The feature, of some or of all, that tells most of circuits and was not asked yet; of equals the book's first."""
    asked = {name for name in fitting(book, said).counted if name.startswith(HAS)}
    worth = {
        feature: round(gain(feature, circuits), FIGURES)
        for feature in book.features.values()
        if HAS + feature.id not in asked and (among is None or feature.id in among) and splits(feature, circuits)
    }
    return max(worth, key=lambda feature: worth[feature], default=None)


def splits(feature: Feature, circuits: Sequence[Circuit]) -> bool:
    """Whether some answer would leave fewer circuits."""
    return any(len(_after(feature, answer, circuits)) < len(circuits) for answer in possible(feature, circuits))


def can_be(book: Book, feature: Feature, circuits: Sequence[Circuit]) -> tuple[str, ...]:
    """The answers that fit some of the circuits, as it is or as a variant, in the order of the list."""
    return tuple(
        answer
        for answer in answers_of(feature)
        if any(as_said(book, circuit, feature.id, answer) is not None for circuit in circuits)
    )


def possible(feature: Feature, circuits: Sequence[Circuit]) -> tuple[str, ...]:
    """The answers that some of the circuits gives as it is, in the order of the list."""
    given = {answer for circuit in circuits for answer in circuit.has.get(feature.id, ())}
    return tuple(answer for answer in answers_of(feature) if answer in given)


def _after(feature: Feature, answer: str, circuits: Sequence[Circuit]) -> list[Circuit]:
    return [circuit for circuit in circuits if answer in circuit.has.get(feature.id, (answer,))]


def gain(feature: Feature, circuits: Sequence[Circuit]) -> float:
    """Expected bits that a feature tells about which of the circuits it is, the common ones counting more.

    A circuit with several answers gives each of them equally often; one that says nothing, any that is possible.
    """
    answers = possible(feature, circuits)
    common = [share_of(circuit) for circuit in circuits]
    total = sum(common)
    before, after = entropy(common, total), 0.0
    for answer in answers:
        joint = [
            share_of(circuit) / len(circuit.has.get(feature.id, answers))
            for circuit in _after(feature, answer, circuits)
        ]
        after += sum(joint) / total * entropy(joint, sum(joint))
    return before - after


def not_known(book: Book, said: Said) -> tuple[Feature, ...]:
    """Features that nobody knows and that would still tell the circuits that fit apart, in the order of the book."""
    open_ones = left(book, said)
    return tuple(
        feature
        for feature in book.features.values()
        if said.get(HAS + feature.id, LIST) in (*UNKNOWN, LIST) and splits(feature, open_ones)
    )


def worth_asking(book: Book, said: Said, complaint: str) -> tuple[str, ...]:
    """The options that a machine described by what it has may have as well, and that the fault may well lie in.

    In the order of the book; none where the circuit was named outright.
    """
    return tuple(
        option.id
        for option in may_have(book, said)
        if option.common * option.matters.get(complaint, 0.0) >= LEAST_WORTH and not _is_told(said, option)
    )


def may_come_of(book: Book, said: Said) -> tuple[str, ...]:
    """The complaints whose fault may well lie in what a machine described by what it has may have as well.

    In the order of the book, whatever was told of it besides: so one circuit always gives the same.
    """
    options = may_have(book, said)
    return tuple(
        complaint
        for complaint in book.complaints
        if any(option.common * option.matters.get(complaint, 0.0) >= LEAST_WORTH for option in options)
    )


def may_have(book: Book, said: Said) -> tuple[CircuitOption, ...]:
    """The options that the machine can have as well; none where its circuit was named outright, or is not known."""
    if circuit_named(book, said.get(CIRCUIT, "")) or not any(name == USUAL or name.startswith(HAS) for name in said):
        return ()
    name = named(book, said)
    circuit = circuit_named(book, name) if name else None
    if circuit is None:
        return ()
    return tuple(option for option in book.options.values() if brought(book, circuit, option.id) is not None)


def _is_told(said: Said, option: CircuitOption) -> bool:
    """Whether an answer already says if a machine has an option."""
    return said.get(HAS + next(iter(option.gives)), LIST) not in (*UNKNOWN, LIST)
