"""What a question about the machine's history is worth, in the same bits as a reading."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import log2

from coldiron.model import Ask, FaultRef

Named = Callable[[FaultRef], Iterable[str]]
"""Which fault ids of the machine a reference in the book names."""


def chances(asked: Ask, faults: Sequence[str], named: Named) -> tuple[tuple[float, ...], ...]:
    """Chance of each answer (columns) under each fault (rows).

    The book says only how an answer multiplies the odds of a fault, so each answer is as likely under a fault as its
    factor says, the plain answers at 1; an answer the question does not list is left out.
    """
    factors = [[1.0] * len(asked.answers) for _ in faults]
    rows = {name: number for number, name in enumerate(faults)}
    for column, answer in enumerate(asked.answers):
        for shift in answer.shifts:
            for fault in named(shift.faults):
                if fault in rows:
                    factors[rows[fault]][column] = shift.factor
    return tuple(tuple(factor / sum(row) for factor in row) for row in factors)


def gain(asked: Ask, suspects: Sequence[tuple[str, float]], named: Named) -> float:
    """Expected bits a question tells about which of the suspects it is; suspects are (fault, probability)."""
    total = sum(share for _, share in suspects)
    if total <= 0 or len(asked.answers) < 2:
        return 0.0
    shares = [share / total for _, share in suspects]
    table = chances(asked, [fault for fault, _ in suspects], named)
    before = _entropy(shares)
    after = 0.0
    for column in range(len(asked.answers)):
        joint = [share * row[column] for share, row in zip(shares, table, strict=True)]
        mass = sum(joint)
        if mass > 0:
            after += mass * _entropy([part / mass for part in joint])
    return max(0.0, before - after)


def _entropy(shares: Iterable[float]) -> float:
    return -sum(share * log2(share) for share in shares if share > 0)
