"""What no order of checks and repairs can go below on a made-up machine, knowing all that is to be known of it.

Two bounds. Whoever knows the faults still has to repair them. And whoever does not has to find out: a job on one fault
ends with its repair, so its checks and wrong repairs together have told which it was, as many bits as the odds leave
open. What a check can tell in all its uses is bounded twice: by what its noise lets through each time it is made, and
by how open it was at the start whether the fault is among those it covers.

Source of the bound on a noisy answer: the capacity of a channel with two inputs and two outputs, Shannon 1948; the
closed form from memory, and held by a test against trying all inputs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf, log2

from support.yard_cases import Case

FEW, STEP = 1e-6, 1.05
"""From where on, and by what factor, the mean number of wrong repairs is gone through."""


@dataclass(frozen=True)
class Source:
    """One check as a source of bits.

    Attributes:
        minutes: what making it once takes.
        each: bits that it can tell each time.
        whole: bits that there are to be told about whether the fault is one it covers.
        inside: bits that it can tell each time beyond that, about which of the covered faults it is.
    """

    minutes: float
    each: float
    whole: float
    inside: float


def to_repair(case: Case) -> float:
    """The least minutes of this very case: its own repairs. No order can go below, whatever it is told."""
    return sum(case.repair_minutes(fault) for fault in case.truth)


def to_find_out(case: Case) -> float:
    """The least minutes of checks and wrong repairs, on the mean of all cases like this one.

    Of several faults all but one are given away. A single case may well take less; the mean of any order cannot.
    """
    given = case.truth - {case.one}
    odds = {name: weight for name, weight in case.yard.model.odds.items() if name not in given}
    sources = [source(case, offer.check, odds) for offer in case.yard.offers]
    return least(odds, sources, min(case.repair_minutes(name) for name in odds))


def source(case: Case, check: str, odds: Mapping[str, float]) -> Source:
    """A check as a source of bits about which single fault it is."""
    cover = case.yard.table.detects[check]
    rows = {name: case.yard.table.chances(check, frozenset((name,)))[0] or 0.0 for name in odds}
    inside = [rows[name] for name in odds if name in cover]
    if not inside:
        return Source(case.minutes(check), 0.0, 0.0, 0.0)
    share = sum(odds[name] for name in odds if name in cover) / sum(odds.values())
    return Source(
        case.minutes(check),
        capacity(min(rows.values()), max(rows.values())),
        entropy([share, 1 - share]),
        capacity(min(inside), max(inside)),
    )


def least(odds: Mapping[str, float], sources: Sequence[Source], wrong_repair: float) -> float:
    """The least mean minutes of checks and wrong repairs until it is known which single fault it is.

    Args:
        odds: of each fault.
        sources: the checks; each can be made once, and again after each wrong repair.
        wrong_repair: minutes of the quickest repair.
    """
    total = sum(odds.values())
    bits = entropy([weight / total for weight in odds.values()])
    best, wrong = inf, 0.0
    while wrong * wrong_repair < best:  # between two steps: the costs of the lower, the use of the upper
        after = max(FEW, wrong * STEP)
        open_still = bits - (1 + after) * entropy([after / (1 + after), 1 / (1 + after)])
        best = min(best, wrong * wrong_repair + _minutes_for(open_still, sources, 1 + after))
        wrong = after
    return best


def _minutes_for(bits: float, sources: Sequence[Source], uses: float) -> float:
    """The least minutes of checks that can tell so many bits, each check made `uses` times on average at the most."""
    pieces = [piece for one in sources for piece in _pieces(one, uses)]
    minutes = 0.0
    for rate, most in sorted(pieces, reverse=True):
        if bits <= most:
            return minutes + max(0.0, bits) / rate
        bits -= most
        minutes += most / rate
    return minutes if bits <= 0 else inf


def _pieces(one: Source, uses: float) -> list[tuple[float, float]]:
    """Bits per minute and most bits: first at full rate until all is told of the whole, then at that of the inside."""
    if one.each <= 0:
        return []
    full = min(uses, one.whole / (one.each - one.inside)) if one.each > one.inside else uses
    pieces = [(one.each / one.minutes, full * one.each)]
    if one.inside > 0 and uses > full:
        pieces.append((one.inside / one.minutes, (uses - full) * one.inside))
    return pieces


def entropy(chances: Sequence[float]) -> float:
    """Bits that chances leave open."""
    return -sum(chance * log2(chance) for chance in chances if chance > 0)


def capacity(low: float, high: float) -> float:
    """Most bits that one answer can tell whose chance lies between these, whatever hangs on it."""
    if high - low < 1e-9:
        return 0.0
    one, other = entropy([low, 1 - low]), entropy([high, 1 - high])
    slope = (other - one) / (high - low)
    return log2(1 + 2.0**-slope) - one + low * slope
