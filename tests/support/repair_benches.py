"""Made-up benches with a few things wrong, doubtful tests and dear repairs, and what they cost at best."""

from __future__ import annotations

from itertools import product
from math import exp, prod
from random import Random

import numpy as np
import numpy.typing as npt

from coldiron.planner import weighing


class Bench:
    """Any subset of a few things wrong, tests that may mislead, a price on everything."""

    def __init__(self, rng: Random, things: int, tests: int, dear: float, reliability: tuple[float, float]) -> None:
        odds = [exp(rng.gauss(-2.2, 0.8)) for _ in range(things)]
        self.broken = list(range(1, 2**things))
        weights = [prod(odds[i] for i in range(things) if mask >> i & 1) for mask in self.broken]
        self.chances = [weight / sum(weights) for weight in weights]
        self.repairs = [(1 << i, exp(rng.gauss(dear, 0.7))) for i in range(things)]
        self.trials = [self._trial(rng, things, reliability) for _ in range(tests)]

    def _trial(self, rng: Random, things: int, reliability: tuple[float, float]) -> weighing.Trial:
        covers = [rng.random() < 0.45 for _ in range(things)]
        covers[rng.randrange(things)] = True
        good = rng.uniform(*reliability)
        detects = [rng.uniform(*reliability) if covered else 0.0 for covered in covers]
        passes = [good * prod(1 - detects[i] for i in range(things) if mask >> i & 1) for mask in self.broken]
        return weighing.Trial(exp(rng.gauss(0, 0.6)), [passes, [1 - chance for chance in passes]])

    def weighs(self, used: frozenset[int] = frozenset(), steps: int = 1000) -> weighing.Weighing:
        left = [trial for k, trial in enumerate(self.trials) if k not in used]
        return weighing.Weighing(self.broken, self.repairs, left, give_up=0.0, steps=steps)

    def after(self, trial: weighing.Trial, joint: tuple[float, ...]) -> list[tuple[float, ...]]:
        return [tuple(p * c for p, c in zip(joint, row, strict=True)) for row in trial.rows]

    def optimum(self, joint: tuple[float, ...], used: frozenset[int] = frozenset()) -> float:
        """By trying every test after every history; repairs are ordered by the project."""
        options = [self.weighs().repair_cost(joint)]
        for k, trial in enumerate(self.trials):
            if k not in used:
                after = self.after(trial, joint)
                options.append(trial.cost * sum(joint) + sum(self.optimum(p, used | {k}) for p in after))
        return min(options)

    def followed(
        self,
        joint: tuple[float, ...],
        used: frozenset[int] = frozenset(),
        steps: int = 1000,
        width: int = 8,
        second: int = 3,
    ) -> float:
        """What it costs to do as told, asking again after every test."""
        best, repair, _ = self.weighs(used, steps).best(joint, width, second)
        if best is None:
            return repair
        number = [k for k in range(len(self.trials)) if k not in used][best]
        trial = self.trials[number]
        return trial.cost * sum(joint) + sum(
            self.followed(p, used | {number}, steps, width, second) for p in self.after(trial, joint)
        )

    def plain_optimum(self) -> float:
        """The same with no code of the project: every test after every outcome of all others, every order of repairs.

        A state says of each test that it is not done (0), or what it showed (1, 2); every state is worked out.
        """
        trials = [[(1.0,) * len(self.broken), *trial.rows] for trial in self.trials]
        shown = list(product(range(3), repeat=len(trials)))
        joints = np.array(
            [np.prod([self.chances, *(t[k] for t, k in zip(trials, s, strict=True))], axis=0) for s in shown]
        )
        worth = self._repairs(joints)
        places = [3 ** (len(trials) - 1 - k) for k in range(len(trials))]
        for at in sorted(range(len(shown)), key=lambda at: shown[at].count(0)):
            for trial, done, place in zip(self.trials, shown[at], places, strict=True):
                if not done:
                    after = trial.cost * joints[at].sum() + worth[at + place] + worth[at + 2 * place]
                    worth[at] = min(worth[at], after)
        return float(worth[0])

    def _repairs(self, joints: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """For each row of chances the least cost of repairing until it works."""
        count = len(self.repairs)
        broken = np.array(self.broken)
        worth = np.zeros((1 << count, len(joints)))
        for mended in reversed(range((1 << count) - 1)):
            left = joints[:, (broken & ~mended) != 0].sum(axis=1)
            options = [cost * left + worth[mended | things] for things, cost in self.repairs if things & ~mended]
            worth[mended] = np.min(options, axis=0)
        found: npt.NDArray[np.float64] = worth[0]
        return found
