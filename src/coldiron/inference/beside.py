"""After a repair: what was repaired, together with one more fault that may be left.

A fault beside those that were repaired was seldom weighed before: a pair of faults hardly ever comes near the one that
explains as much. Once that one is repaired and the machine still fails, the readings before the repair have to be held
against both, and those since against what is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldiron.inference.cells import IMPOSSIBLE, SOUND, log_of
from coldiron.inference.columns import Heard
from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import Prior
from coldiron.inference.limits import Limits
from coldiron.inference.timeline import Shown


def bases(paths: Iterable[Sequence[Shown]], repairs: Sequence[frozenset[str]]) -> list[FaultSet]:
    """What the repairs mended, by what was most likely there before the latest; the likeliest first.

    Args:
        paths: what may well have been there before the latest repair, from the first epoch on.
        repairs: the faults whose repair ended each epoch.
    """
    mended = frozenset[str]().union(*repairs)
    found = [tuple(name for name in path[0][0] if name in mended) for path in paths if path]
    return [base for base in dict.fromkeys(found) if base]


class Beside:
    """One more fault beside what was repaired, by what singles make of the readings; nothing is solved for it."""

    def __init__(self, prior: Prior, told: Sequence[Heard], repairs: Sequence[frozenset[str]], limits: Limits) -> None:
        """Take the prior, the readings by epoch, the repairs between them, and how many sets are wanted."""
        self._prior = prior
        self._told = told
        self._repairs = repairs
        self._limits = limits

    def sets(self, grounds: Sequence[FaultSet]) -> dict[FaultSet, FaultSet]:
        """Those that may come near the likeliest, by what is known of their members; each with its base."""
        scores: dict[FaultSet, tuple[float, FaultSet]] = {}
        for base in grounds:
            for faults, score in self._grown(base):
                if faults not in scores or score > scores[faults][0]:
                    scores[faults] = score, base
        least = max([score for score, _ in scores.values()], default=IMPOSSIBLE) - self._limits.far
        near = sorted((-round(score, 9), faults, base) for faults, (score, base) in scores.items() if score >= least)
        return {**{base: base for base in grounds}, **{faults: base for _, faults, base in near[: self._limits.beside]}}

    def _grown(self, base: FaultSet) -> Iterable[tuple[FaultSet, float]]:
        """A base by itself and with each fault beside it, and about how likely."""
        left, singles = base, [SOUND, *[(name,) for name in self._prior.odds]]
        sums = dict.fromkeys(singles, 0.0)
        for epoch, heard in enumerate(self._told):
            told = heard.alongside(left, singles)
            for one in singles:
                sums[one] += told[one]
            if epoch < len(self._repairs):
                left = tuple(name for name in left if name not in self._repairs[epoch])
        for one, told_of in sums.items():
            if not one or one[0] not in base:
                faults = tuple(sorted((*base, *one)))
                yield faults, log_of(self._prior.of(faults)) + told_of
