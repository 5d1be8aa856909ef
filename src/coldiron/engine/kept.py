"""A rule set as bytes, to be kept between runs, and back: what is kept need not be compiled again.

One line of JSON is the network of numbers that a run needs; after it comes a line for each rule as it was written,
which only explanations ask for, and which is read when they do. Whoever keeps the bytes sees to it that they come back
whole, and throws them away when the rules or this package change.
"""

from __future__ import annotations

import json
from array import array
from collections.abc import Sequence
from typing import overload

from coldiron.engine.facts import Compare, Condition, FactRule, Has, Lacks
from coldiron.engine.ruleset import RuleSet, reads_of


class KeptRules(Sequence[FactRule]):
    """Rules by number, each read from its line when it is asked for."""

    def __init__(self, lines: Sequence[bytes]) -> None:
        self._lines = lines

    def __len__(self) -> int:
        """Count them."""
        return len(self._lines)

    @overload
    def __getitem__(self, place: int) -> FactRule: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[FactRule]: ...
    def __getitem__(self, place: int | slice) -> FactRule | Sequence[FactRule]:
        """One rule, or a run of them."""
        if isinstance(place, slice):
            return KeptRules(self._lines[place])
        name, when, then = json.loads(self._lines[place])
        return FactRule(name, tuple(map(_condition, when)), tuple(map(tuple, then)))


def pack(rules: RuleSet) -> bytes:
    """The rule set as bytes: lines of JSON in UTF-8."""
    network = [
        *(rules.facts, rules.needs, rules.bars, rules.givers, rules.gives, rules.level),
        rules.unmet.tolist(),
        [(_compare(compare), waiting) for compare, waiting in rules.compares],
    ]
    lines = [(rule.id, [_written(condition) for condition in rule.when], rule.then) for rule in rules.rules]
    return b"\n".join(json.dumps(line, separators=(",", ":")).encode() for line in (network, *lines))


def unpack(data: bytes) -> RuleSet:
    """The rule set that `pack` made these bytes of.

    Raises:
        ValueError: it made them otherwise, or not at all.
    """
    first, *lines = data.split(b"\n")
    try:
        facts, needs, bars, givers, gives, level, unmet, compares = json.loads(first)
    except TypeError as error:
        raise ValueError("these bytes are no rule set") from error
    if len(lines) != len(gives):
        raise ValueError("these bytes are no rule set of this form")
    named = tuple(map(tuple, facts))
    compared = tuple((Compare(*compare), waiting) for compare, waiting in compares)
    return RuleSet(
        rules=KeptRules(lines),
        facts=named,
        number=dict(zip(named, range(len(named)), strict=True)),
        needs=needs,
        bars=bars,
        givers=givers,
        gives=gives,
        level=level,
        levels=max(level, default=-1) + 1,
        unmet=array("i", unmet),
        free=tuple(rule for rule, count in enumerate(unmet) if not count),
        compares=compared,
        reads=reads_of(compare for compare, _ in compared),
    )


def _written(condition: Condition) -> tuple[object, ...]:
    if isinstance(condition, Compare):
        return _compare(condition)
    return (isinstance(condition, Has), condition.fact)


def _compare(compare: Compare) -> tuple[str, str, str | float, float, bool]:
    return compare.left, compare.relation, compare.right, compare.margin, compare.negated


def _condition(written: list[object]) -> Condition:
    if len(written) > 2:
        return Compare(*written)  # type: ignore[arg-type]  # as `_compare` wrote them
    holds, fact = written
    return (Has if holds else Lacks)(tuple(fact))  # type: ignore[arg-type]  # as `_written` wrote them
