"""A machine without a diagram: which circuits fit what was said of it, and what is best asked next.

What is said is a mapping in the order of the log: `volts`, a feature as `has.FEATURE`, `circuit` for one named
outright, `fitted` for options it has, or `not_fitted.CHECK` where what a check is made on was found not to be there.
An answer that nobody knows keeps every circuit. One that fits none of those left is passed over: only after an earlier
answer was changed can there be such a one, and a fresh job would never have been asked for it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coldiron.book.book import Book
from coldiron.book.joining import can_make
from coldiron.book.machines import Circuit, CircuitOption, Feature
from coldiron.book.variants import as_said, base_of, brought, circuit_named, differs, told_apart, variants
from coldiron.entropy import entropy
from coldiron.readings.refusal import UNKNOWN
from coldiron.record import dataclass

VOLTS = "volts"
CIRCUIT = "circuit"
HAS = "has."
"""Before the id of a feature, it is the id of the question for it."""

LIST = "list"
"""The answer to a feature by which no more features are asked: the list of circuits is wanted."""

OTHER = "other"
"""The answer that a machine of this name is not what it was last time."""

FITTED = "fitted"
"""What it has beside its circuit, options by commas or none, and the id of the question for it."""

GONE = "not_fitted."
"""Before the id of a check, in what was said: what it is made on is not there."""

RARE = 0.005
"""The share of a circuit that is given none: shares are counted in whole hundredths, and half of one rounds to none."""

FAR_RARER = 0.4
"""A variant of a circuit that is rarer than the most common fit by this factor is not asked about."""

LEAST_WORTH = 0.005
"""An option is asked for if the fault lies in it on so many of the machines that may have it, and fewer are passed."""

FIGURES = 9
"""Decimals of the worth of a feature that are compared, so that every machine asks the same."""

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
    return name in (VOLTS, CIRCUIT, FITTED) or name.startswith(HAS)


def fitting(book: Book, said: Said) -> Fitting:
    """The circuits that fit what was said: the volts first, whenever they were said, then the rest in its order.

    A circuit that an answer fits only with an option more, or one less, is left as that variant of it.
    """
    left = tuple(book.circuits.values())
    if VOLTS in said:
        left = tuple(circuit for circuit in left if str(circuit.volts) == said[VOLTS])
    counted = set()
    for name, value in said.items():
        kept = _kept(book, left, name, value)
        if kept:
            left = kept
            counted.add(name)
    return Fitting(left, frozenset(counted))


def _kept(book: Book, left: Sequence[Circuit], name: str, value: str) -> tuple[Circuit, ...]:
    """The circuits as they are where that was said; of two with the same sections the one that differs least."""
    if name.startswith(GONE):
        check = name.removeprefix(GONE)
        left = tuple(circuit for circuit in left if not _has_check(book, circuit, check)) or left
    made = [one for one in (_as_said(book, circuit, name, value) for circuit in left) if one is not None]
    if name == CIRCUIT:
        made = [one for one in made if one.id == value] or made
    found: dict[frozenset[str], Circuit] = {}
    for one in sorted(made, key=differs):  # equals stay in their order
        found.setdefault(frozenset(one.sections), one)
    return tuple(one for one in made if not differs(one) or found[frozenset(one.sections)] is one)


def _as_said(book: Book, circuit: Circuit, name: str, value: str) -> Circuit | None:
    """A circuit as it is where that was said: itself, a variant of it, or None."""
    if name == CIRCUIT:
        return _as_named(book, circuit, value)
    if name == FITTED:
        return _with(book, circuit, value)
    if name.startswith(GONE):
        return _without(book, circuit, name.removeprefix(GONE))
    feature = book.features.get(name.removeprefix(HAS))
    if feature is None or value not in _ids(feature):
        return circuit
    return as_said(book, circuit, feature.id, value)


def _as_named(book: Book, circuit: Circuit, value: str) -> Circuit | None:
    """The circuit that was named outright, if it comes from this one; any, where none was."""
    if value in (OTHER, *UNKNOWN, circuit.id):
        return circuit
    return circuit_named(book, value) if base_of(value) == circuit.id else None


def _with(book: Book, circuit: Circuit, value: str) -> Circuit | None:
    """A circuit with each of the options named; one that cannot be is passed over."""
    made = circuit
    for option in value.split(","):
        made = brought(book, made, option) or made
    return made


def _without(book: Book, circuit: Circuit, check: str) -> Circuit | None:
    """A circuit on which that cannot be checked: itself, else the most common variant of it.

    Nothing comes in for what is not there: nobody said that the machine has something else instead.
    """
    if not _has_check(book, circuit, check):
        return circuit
    less = [one for one in variants(book, circuit) if _parts(book, one).keys() <= _parts(book, circuit).keys()]
    return max((one for one in less if not _has_check(book, one, check)), key=_share, default=None)


def _has_check(book: Book, circuit: Circuit, check: str) -> bool:
    return can_make(book.sections, circuit, book.checks[check])


def may_be_gone(book: Book, said: Said, check: str) -> bool:
    """Whether what a check is made on may be missing: some circuit that fits, or a variant of one, does not have it."""
    return any(_without(book, one, check) is not None for one in fitting(book, said).circuits)


def shares(book: Book, said: Said) -> dict[str, float]:
    """How likely a part is fitted, by part, for those that not every circuit that fits has; the common count more.

    Empty where the circuit is known.
    """
    if not is_taken(book, said):
        return {}
    found = _fitted(book, likely(fitting(book, said).circuits))
    return {part: share for part, share in found.items() if round(share, FIGURES) < 1}


def _fitted(book: Book, circuits: Sequence[Circuit]) -> dict[str, float]:
    """How likely each part is fitted on a machine that has one of these circuits, by part."""
    total = sum(_share(circuit) for circuit in circuits)
    found: dict[str, float] = {}
    for circuit in circuits:
        for part in _parts(book, circuit):
            found[part] = found.get(part, 0.0) + _share(circuit) / total
    return found


def _parts(book: Book, circuit: Circuit) -> dict[str, None]:
    """The ids of the parts of a circuit, in the order of its sections."""
    return {part.id: None for section in circuit.sections for part in book.sections[section].parts}


def _ids(feature: Feature) -> tuple[str, ...]:
    return tuple(answer for answer, _ in feature.answers)


def named(book: Book, said: Said) -> str:
    """The circuit that is settled by what was said; empty while it is not.

    It is settled when it was named outright and fits, when features leave but one that is likely, or when nothing is
    left to ask and it is not known which of several it is: then the one that leaves out least is taken.
    """
    found = fitting(book, said)
    if CIRCUIT in found.counted and circuit_named(book, said[CIRCUIT]):
        return found.circuits[0].id
    if VOLTS not in said or not found.circuits:
        return ""
    left, described = likely(found.circuits), any(name.startswith(HAS) for name in found.counted)
    if len(left) == 1 and described:
        return left[0].id
    if next_feature(book, said) is not None:
        return ""
    if said.get(CIRCUIT) in UNKNOWN:
        return fullest(book, left).id
    return _nearest(left) if described and LIST not in said.values() else ""


def _nearest(circuits: Sequence[Circuit]) -> str:
    """The circuit that differs least from one of the book, where nothing else is to be asked; empty if several do."""
    least = min(map(differs, circuits))
    found = [one.id for one in circuits if differs(one) == least]
    return found[0] if len(found) == 1 else ""


def likely(circuits: Sequence[Circuit]) -> tuple[Circuit, ...]:
    """Those of several circuits that are worth asking about: the book's own, and variants that are not far rarer."""
    most = max(map(_share, circuits), default=0.0)
    own = [one for one in circuits if not differs(one)]
    return tuple(
        one
        for one in circuits
        if not differs(one) or (_share(one) >= most * FAR_RARER and not any(_alike(one, other) for other in own))
    )


def _alike(one: Circuit, other: Circuit) -> bool:
    """Whether no feature can tell two circuits apart."""
    return not any(told_apart(one, other, feature) for feature in one.has)


def is_taken(book: Book, said: Said) -> bool:
    """Whether the circuit is only taken for the machine's, because nobody knows which of several it is."""
    return said.get(CIRCUIT) in UNKNOWN and len(likely(fitting(book, said).circuits)) > 1


def fullest(book: Book, circuits: Sequence[Circuit]) -> Circuit:
    """The circuit that leaves out least of what may be there: each part counts as much as it is likely to be fitted.

    So one that has all parts of another, and more, goes before it. Of equals it is the most common.
    """
    fitted = _fitted(book, circuits)
    return max(
        commonest(circuits), key=lambda circuit: round(sum(fitted[part] for part in _parts(book, circuit)), FIGURES)
    )


def commonest(circuits: Sequence[Circuit]) -> tuple[Circuit, ...]:
    """Circuits in the order in which they are listed: the most common first, equals as in the book."""
    return tuple(sorted(circuits, key=lambda circuit: -circuit.common))


def next_feature(book: Book, said: Said) -> Feature | None:
    """The feature that tells most of those that still tell circuits apart; of equals the first of the book."""
    if LIST in said.values():
        return None
    found = fitting(book, said)
    left = likely(found.circuits)
    worth = {
        feature: round(gain(feature, left), FIGURES)
        for feature in book.features.values()
        if HAS + feature.id not in found.counted and splits(feature, left)
    }
    return max(worth, key=lambda feature: worth[feature], default=None)


def splits(feature: Feature, circuits: Sequence[Circuit]) -> bool:
    """Whether some answer would leave fewer circuits."""
    return any(len(_after(feature, answer, circuits)) < len(circuits) for answer in possible(feature, circuits))


def can_be(book: Book, feature: Feature, circuits: Sequence[Circuit]) -> tuple[str, ...]:
    """The answers that fit some of the circuits, as it is or as a variant, in the order of the list."""
    return tuple(
        answer
        for answer in _ids(feature)
        if any(as_said(book, circuit, feature.id, answer) is not None for circuit in circuits)
    )


def possible(feature: Feature, circuits: Sequence[Circuit]) -> tuple[str, ...]:
    """The answers that some of the circuits gives as it is, in the order of the list."""
    given = {answer for circuit in circuits for answer in circuit.has.get(feature.id, ())}
    return tuple(answer for answer in _ids(feature) if answer in given)


def _after(feature: Feature, answer: str, circuits: Sequence[Circuit]) -> list[Circuit]:
    return [circuit for circuit in circuits if answer in circuit.has.get(feature.id, (answer,))]


def gain(feature: Feature, circuits: Sequence[Circuit]) -> float:
    """Expected bits that a feature tells about which of the circuits it is, the common ones counting more.

    A circuit with several answers gives each of them equally often; one that says nothing, any that is possible.
    """
    answers = possible(feature, circuits)
    common = [_share(circuit) for circuit in circuits]
    total = sum(common)
    before, after = entropy(common, total), 0.0
    for answer in answers:
        joint = [
            _share(circuit) / len(circuit.has.get(feature.id, answers)) for circuit in _after(feature, answer, circuits)
        ]
        after += sum(joint) / total * entropy(joint, sum(joint))
    return before - after


def _share(circuit: Circuit) -> float:
    return circuit.common or RARE


def not_known(book: Book, said: Said) -> tuple[Feature, ...]:
    """Features that nobody knows and that would still tell the circuits that fit apart, in the order of the book."""
    left = likely(fitting(book, said).circuits)
    return tuple(
        feature
        for feature in book.features.values()
        if said.get(HAS + feature.id, LIST) in (*UNKNOWN, LIST) and splits(feature, left)
    )


def worth_asking(book: Book, said: Said, complaint: str) -> tuple[str, ...]:
    """The options that a machine described by what it has may have as well, and that the fault may well lie in.

    In the order of the book; none where the circuit was named outright.
    """
    return tuple(
        option.id
        for option in _may_have(book, said)
        if option.common * option.matters.get(complaint, 0.0) >= LEAST_WORTH and not _is_told(said, option)
    )


def may_come_of(book: Book, said: Said) -> tuple[str, ...]:
    """The complaints whose fault may well lie in what a machine described by what it has may have as well.

    In the order of the book, whatever was told of it besides: so one circuit always gives the same.
    """
    options = _may_have(book, said)
    return tuple(
        complaint
        for complaint in book.complaints
        if any(option.common * option.matters.get(complaint, 0.0) >= LEAST_WORTH for option in options)
    )


def _may_have(book: Book, said: Said) -> tuple[CircuitOption, ...]:
    """The options that the machine can have as well; none where its circuit was named outright, or is not known."""
    if circuit_named(book, said.get(CIRCUIT, "")) or not any(name.startswith(HAS) for name in said):
        return ()
    name = named(book, said)
    circuit = circuit_named(book, name) if name else None
    if circuit is None:
        return ()
    return tuple(option for option in book.options.values() if brought(book, circuit, option.id) is not None)


def _is_told(said: Said, option: CircuitOption) -> bool:
    """Whether an answer already says if a machine has an option."""
    return said.get(HAS + next(iter(option.gives)), LIST) not in (*UNKNOWN, LIST)
