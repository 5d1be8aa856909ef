"""How well the readings of a job could at best be explained by sets of faults.

Bounds come from what single faults show, so nothing new is solved for them; a set is asked about itself only while it
is near, and no further than until it is not.
"""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.book.history import COMPLAINT
from coldiron.inference.cells import LEAST, SOUND, log_of
from coldiron.inference.columns import Heard
from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import Prior
from coldiron.inference.limits import Limits


class Bounds:
    """What each fault alone makes of each reading, as logs of chances against a sound machine.

    Attributes:
        gains: How much better each fault alone explains each reading; nothing where it does so worse, or is repaired.
        again: The same, were no fault ever repaired: a victim comes again while its cause is there.
        likeliest: What the likeliest single fault comes to, its prior included.
    """

    def __init__(self, prior: Prior, told: Sequence[Heard], repairs: Sequence[frozenset[str]]) -> None:
        self._prior = prior
        self._first = [(column, max(column.best(SOUND), LEAST)) for column in told[0].columns]
        names = sorted(prior.odds)
        whole = dict.fromkeys(names, 0.0)
        gone: frozenset[str] = frozenset()
        gains, again, losses = [], [], []
        for epoch, heard in enumerate(told):
            together = heard.likelihoods([SOUND, *[(name,) for name in names]])
            for name in names:
                whole[name] += 0.0 if name in gone else together[(name,)] - together[SOUND]
            for column in heard.columns:
                better = column.against_sound()
                again.append([max(0.0, gain) for gain in better])
                losses.append([min(0.0, gain) for gain in better])
                gains.append([0.0 if name in gone else gain for name, gain in zip(names, again[-1], strict=True)])
            if epoch < len(repairs):
                gone |= repairs[epoch]
        self.gains, self.again, self._losses = _by_name(names, gains), _by_name(names, again), _by_name(names, losses)
        self.likeliest = max(whole[name] + log_of(prior.of((name,))) for name in names)

    def stands(self, faults: FaultSet, gains: Sequence[float], limits: Limits) -> bool:
        """Whether a set may come near the likeliest single fault, its prior included.

        First each reading is taken to be explained as well as `gains` says: near is `far`. Then, reading by reading of
        the first epoch, it is seen what the set itself shows, those first that speak most against a member, the
        complaint (for which most has to be solved) last: near is `ruled_out`. A set of which a fault comes and goes may
        hide what it shows.
        """
        bound = log_of(self._prior.of(faults)) + sum(gains)
        if bound < self.likeliest - limits.far or not self._prior.fickle.isdisjoint(faults):
            return bound >= self.likeliest - limits.far
        against = map(min, *[self._losses[name] for name in faults])
        hopes = [loss - gain for loss, gain in zip(against, gains, strict=True)]
        first = sorted(range(len(self._first)), key=lambda n: (self._told(n), round(hopes[n], 9), n))
        for number in first:
            column, sound = self._first[number]
            bound += max(column.best(faults), LEAST) - sound - gains[number]
            if bound < self.likeliest - limits.ruled_out:
                return False
        return True

    def family_stands(self, faults: FaultSet, limits: Limits) -> bool:
        """The same of a cause with its victims: a repaired victim may be back."""
        return self.stands(faults, tuple(map(max, *[self.again[name] for name in faults])), limits)

    def _told(self, number: int) -> bool:
        return self._first[number][0].reading.check == COMPLAINT


def _by_name(names: Sequence[str], rows: Sequence[Sequence[float]]) -> dict[str, tuple[float, ...]]:
    """Rows of one reading each as one row for each fault."""
    return dict(zip(names, zip(*rows, strict=True), strict=True)) if rows else dict.fromkeys(names, ())
