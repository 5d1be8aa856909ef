"""What a question about the machine's history is worth, in the same bits as a reading."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from operator import mul

from coldiron.book.faults import FaultRef
from coldiron.book.history import Ask
from coldiron.entropy import entropy

Named = Callable[[FaultRef], Iterable[str]]
"""Which fault ids of the machine a reference in the book names."""

Chances = tuple[float, ...]
"""Of each answer to a question, under one fault."""


def chances(asked: Ask, faults: Iterable[str], named: Named) -> dict[str, Chances]:
    """Chance of each answer under each fault.

    The book says only how an answer multiplies the odds of a fault, so each answer is as likely under a fault as its
    factor says, the plain answers at 1; an answer the question does not list is left out.
    """
    factors = {name: [1.0] * len(asked.answers) for name in faults}
    for column, answer in enumerate(asked.answers):
        for shift in answer.shifts:
            for fault in named(shift.faults):
                if fault in factors:
                    factors[fault][column] = shift.factor
    return {fault: tuple(factor / sum(row) for factor in row) for fault, row in factors.items()}


def gain(told: Mapping[str, Chances], suspects: Sequence[tuple[str, float]]) -> float:
    """Expected bits a question tells about which of the suspects it is.

    That is what is open of its answer, less what is still open of it once it is known which of them it is.

    Args:
        told: what `chances` made of the question, for every suspect.
        suspects: faults with their probabilities, which need not sum to 1.
    """
    total = sum([share for _, share in suspects])
    if total <= 0:
        return 0.0
    shares = [share / total for _, share in suspects]
    rows = [told[fault] for fault, _ in suspects]
    answers = [sum(map(mul, shares, column)) for column in zip(*rows, strict=True)]
    left: float = sum(map(mul, shares, map(open_of, rows)))
    return max(0.0, entropy(answers) - left)


@lru_cache(maxsize=4096)
def open_of(row: Chances) -> float:
    """Bits that are open of an answer under one fault; the same few rows are asked for after every step."""
    return entropy(row)
