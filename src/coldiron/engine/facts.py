"""What the engine reasons over: ground facts, conditions on them, and rules.

A fact is a tuple of words. Numbers are never facts: they are given apart, as a mapping from a name to its value, and
only comparisons look at them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isnan
from typing import Literal

Fact = tuple[str, ...]

Relation = Literal["above", "below"]

DIGITS = 9
"""Differences are rounded to this many decimals, so that 0.3 is not above 0.1 by 0.2 through binary fractions."""


@dataclass(frozen=True, slots=True)
class Has:
    """The fact holds."""

    fact: Fact


@dataclass(frozen=True, slots=True)
class Lacks:
    """The fact does not hold, now that everything that could give it has been derived."""

    fact: Fact


@dataclass(frozen=True, slots=True)
class Compare:
    """A value is more than `margin` above, or below, another value (`right` a name) or a number.

    With `negated` the opposite: at most `margin` above, or below. While a value is missing, or is not a number, the
    comparison is unknown, and neither it nor its opposite holds.
    """

    left: str
    relation: Relation
    right: str | float
    margin: float = 0.0
    negated: bool = False

    def holds(self, values: Mapping[str, float]) -> bool | None:
        """Whether it holds; None while a value is missing."""
        left = values.get(self.left)
        right = values.get(self.right) if isinstance(self.right, str) else self.right
        if left is None or right is None or isnan(left) or isnan(right):
            return None
        over = left - right if self.relation == "above" else right - left
        return (round(over - self.margin, DIGITS) > 0.0) is not self.negated

    def names(self) -> tuple[str, ...]:
        """The values it looks at."""
        return (self.left, self.right) if isinstance(self.right, str) else (self.left,)


Condition = Has | Lacks | Compare


@dataclass(frozen=True, slots=True)
class FactRule:
    """When all of `when` hold, all of `then` hold. The order of conditions matters to explanations only."""

    id: str
    when: tuple[Condition, ...]
    then: tuple[Fact, ...]
