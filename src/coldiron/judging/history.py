"""What a question about the machine's history is worth, in the same bits as a reading."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import log2

from coldiron.book.book import Book
from coldiron.book.faults import FaultRef
from coldiron.book.history import Ask

Named = Callable[[FaultRef], Iterable[str]]
"""Which fault ids of the machine a reference in the book names."""

Chances = tuple[float, ...]
"""Of each answer to a question that moves any odds, under one fault."""

SAID = 0.1
"""How often owners give an answer, whatever is wrong, of which the book does not say how common it is: an estimate."""

MOST_SAID = 0.95
"""The answers that move something come to no more than this under any fault: somebody always has nothing to tell."""


def chances(asked: Ask, faults: Iterable[str], named: Named) -> dict[str, Chances]:
    """Chance of each answer that moves any odds, under each fault; the rest is left for the plain answers.

    The book says how an answer multiplies the odds of a fault and how common it is whatever is wrong: so often it is
    given under a fault that it does not speak of, and so many times as often under one that it does. Several such
    answers that come to more than `MOST_SAID` give way alike.
    """
    moving = [answer for answer in asked.answers if answer.shifts]
    base = _commonness(asked)
    rows = {name: list(base) for name in faults}
    for column, answer in enumerate(moving):
        for shift in answer.shifts:
            for fault in named(shift.faults):
                if fault in rows:
                    rows[fault][column] = base[column] * shift.factor
    return {fault: _within(row) for fault, row in rows.items()}


def _commonness(asked: Ask) -> Chances:
    """How often each answer that moves something is given whatever is wrong; with no plain answer they share it all."""
    moving = [answer for answer in asked.answers if answer.shifts]
    told = sum([answer.common for answer in asked.answers])
    untold = [answer for answer in moving if not answer.common]
    plain = len(moving) < len(asked.answers)
    each = max(0.0, 1.0 - told) / max(1, len(untold))
    each = min(SAID, each) if plain else each
    return _within([answer.common or each for answer in moving])


def _within(row: Sequence[float]) -> Chances:
    total = sum(row)
    return tuple(row) if total <= MOST_SAID else tuple([share * MOST_SAID / total for share in row])


def gain(told: Mapping[str, Chances], suspects: Sequence[tuple[str, float]]) -> float:
    """Expected bits that the answers to a question move the odds of the suspects by.

    What a plain answer could tell is not counted, since it moves nothing.

    Args:
        told: what `chances` made of the question, for every suspect.
        suspects: faults with their probabilities, which need not sum to 1.
    """
    total = sum([share for _, share in suspects])
    if total <= 0:
        return 0.0
    shares = [share / total for _, share in suspects]
    bits = 0.0
    for column in zip(*[told[fault] for fault, _ in suspects], strict=True):
        given = sum([share * chance for share, chance in zip(shares, column, strict=True)])
        bits += sum([s * c * log2(c / given) for s, c in zip(shares, column, strict=True) if s > 0 and c > 0])
    return max(0.0, bits)


def has_to_tell(book: Book, answered: Mapping[str, Sequence[str]]) -> float:
    """How likely a person has more to tell: the share of questions so far that had an answer which moves odds.

    It begins at 1, as if one had had. Who knew of nothing three times seldom knows of something the fourth time.
    """
    history = [asked for asked in book.questions.values() if asked.stage == "history" and asked.id in answered]
    moved = [asked for asked in history if any(one.shifts and one.id in answered[asked.id] for one in asked.answers)]
    return (1 + len(moved)) / (1 + len(history))


def part_of(fault: str) -> str:
    """The part of a fault by its id."""
    return fault.partition(".")[0]


def turns(told: Mapping[str, Chances], suspects: Sequence[tuple[str, float]]) -> float:
    """The chance of an answer after which another part leads than now; the suspects come with the likeliest first."""
    total = sum([share for _, share in suspects])
    turned = 0.0
    for column in zip(*[told[fault] for fault, _ in suspects], strict=True):
        joint = [share * chance for (_, share), chance in zip(suspects, column, strict=True)]
        leads, _ = suspects[joint.index(max(joint))]
        if part_of(leads) != part_of(suspects[0][0]):
            turned += sum(joint) / total
    return turned
