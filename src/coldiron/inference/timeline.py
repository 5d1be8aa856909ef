"""Through the epochs of a job: readings weigh what is present, repairs change it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from math import exp, fsum, log

from coldiron.inference.belief import DIGITS
from coldiron.inference.cells import IMPOSSIBLE
from coldiron.inference.columns import Heard
from coldiron.inference.descent import FaultSet
from coldiron.inference.faults import FaultModel, Prior
from coldiron.inference.limits import Limits
from coldiron.inference.repair import after_repair
from coldiron.record import dataclass

LEADING, NEAR = 4, 0.2
"""So many explanations are held against the readings, none less likely than the likeliest by more than such a share."""

Shown = tuple[FaultSet, FaultSet]
"""The faults present, and those of them that show in this epoch."""

Told = Sequence[Heard]
"""All readings, by epoch, each epoch in order of the checks' ids."""


class ImpossibleEvidenceError(ValueError):
    """No set of faults allows these readings: the model leaves no room for wrong ones (`floor` and `unknown` are 0)."""

    def __init__(self) -> None:
        super().__init__("no set of faults allows these readings")


@dataclass(frozen=True, slots=True)
class Weighed:
    """The weights after each epoch's readings, those of the last summing to 1 with `unknown`.

    `alike` is what of `unknown` reads like a fault of the book, by that fault. `evidence` is the log of the probability
    of all readings.
    """

    epochs: tuple[Mapping[Shown, float], ...]
    unknown: float
    evidence: float
    alike: Mapping[str, float]

    def chance(self, fault: str) -> float:
        """Chance that a fault is present now."""
        return sum(weight for (faults, _), weight in self.epochs[-1].items() if fault in faults)


class Timeline:
    """One job: what it may have begun with, and the repairs that end its epochs."""

    def __init__(
        self,
        model: FaultModel,
        prior: Prior,
        starts: Sequence[FaultSet],
        repairs: Sequence[frozenset[str]],
        limits: Limits,
        *,
        beside: Mapping[FaultSet, FaultSet] | None = None,
    ) -> None:
        """Take the sets the job may have begun with, sorted; the repairs; how many sets are followed, and how large.

        Those that stand `beside` what was repaired, each given with that, are followed whatever they come to.
        """
        chances = [(faults, prior.of(faults) * (1 - model.unknown)) for faults in starts]
        self._model = model
        self._prior = prior
        self._starts = {faults: chance for faults, chance in chances if chance > 0}
        self._repairs = repairs
        self._limits = limits
        self._fickle = {name for name, chance in model.shows_now.items() if chance < 1}
        self._shown: dict[FaultSet, list[tuple[FaultSet, float]]] = {}
        self._after: list[dict[FaultSet, list[tuple[FaultSet, float]]]] = [{} for _ in repairs]
        self._beside = self._through(beside or {})

    def _through(self, beside: Mapping[FaultSet, FaultSet]) -> list[Mapping[FaultSet, FaultSet]]:
        """By epoch what the repairs leave of such sets, and of what was repaired in them, if they are done well."""
        found = [beside]
        for epoch in range(len(self._repairs)):
            left: dict[FaultSet, FaultSet] = {}
            for faults, base in sorted(found[-1].items()):
                for after, chance in self._leaves(faults, epoch):
                    if chance > self._model.repair_fails:
                        left[after] = tuple([name for name in base if name in after])
            found.append(left)
        return found

    def weigh(self, told: Told) -> Weighed:
        """Weigh all readings.

        Raises:
            ImpossibleEvidenceError: if they leave nothing possible.
        """
        model = self._model
        present, unknown, scale = self._starts, model.unknown * (1 - model.unknown_alike), 0.0
        alike = self._prior.alike(model.unknown * model.unknown_alike)
        epochs: list[dict[Shown, float]] = []
        for epoch, heard in enumerate(told):
            if epoch > 0:
                present = self._repaired(epochs[-1], epoch - 1)
            shown, unknown, alike, top = self._heard(present, unknown, alike, heard, self._beside[epoch])
            epochs.append(shown)
            scale += top
        total = fsum([*epochs[-1].values(), unknown, *alike.values()])
        epochs[-1] = {key: weight / total for key, weight in epochs[-1].items()}
        alike = {name: weight / total for name, weight in alike.items()}
        return Weighed(tuple(epochs), fsum([unknown / total, *alike.values()]), scale + log(total), alike)

    def leading(self, weighed: Weighed) -> list[list[Shown]]:
        """What may well have been present and shown in each epoch, the likeliest first; none if nothing is possible.

        `LEADING` paths at the most, none less likely than the first by more than `NEAR`.
        """
        now = weighed.epochs[-1]
        least = NEAR * max(now.values(), default=0.0)
        ends = sorted((-round(weight, DIGITS), key) for key, weight in now.items() if weight >= least)
        return [path for _, end in ends[:LEADING] if (path := self._traced(weighed, end))]

    def _traced(self, weighed: Weighed, end: Shown) -> list[Shown]:
        """Traced back from the last epoch: every step takes the likeliest state that can have led to the one after."""
        path = [end]
        for epoch in range(len(weighed.epochs) - 2, -1, -1):
            weights = {key: w * self._leads(key[0], path[-1][0], epoch) for key, w in weighed.epochs[epoch].items()}
            if not weights:
                return []
            path.append(min(weights, key=lambda key: (-weights[key], key)))
        return path[::-1]

    def _leads(self, faults: FaultSet, after: FaultSet, epoch: int) -> float:
        return dict(self._leaves(faults, epoch)).get(after, 0.0)

    def _leaves(self, faults: FaultSet, epoch: int) -> list[tuple[FaultSet, float]]:
        """What the repair that ended an epoch may leave of a set."""
        known = self._after[epoch].get(faults)
        if known is None:
            known = after_repair(faults, self._repairs[epoch], self._model, self._prior, self._limits.largest)
            self._after[epoch][faults] = known
        return known

    def _heard(
        self,
        present: Mapping[FaultSet, float],
        unknown: float,
        alike: Mapping[str, float],
        heard: Heard,
        beside: Mapping[FaultSet, FaultSet],
    ) -> tuple[dict[Shown, float], float, dict[str, float], float]:
        """Weights after an epoch's readings, of known sets and of unknown faults; and the log taken out of them."""
        keys = [((faults, shown), log(w * q)) for faults, w in present.items() for shown, q in self._showing(faults)]
        sums = heard.likelihoods({*[s for (f, s), _ in keys if f not in beside], *[(name,) for name in alike]})
        near = {key: heard.beside(key[1], beside[key[0]]) for key, _ in keys if key[0] in beside}
        scores = [(key, w + (near[key] if key in near else sums[key[1]])) for key, w in keys]
        other = log(unknown) + sum([column.unknown for column in heard.columns]) if unknown > 0 else IMPOSSIBLE
        likes = {name: log(weight) + sums[(name,)] for name, weight in alike.items()}
        top = max([other, *likes.values(), *[score for _, score in scores]])
        if top == IMPOSSIBLE:
            raise ImpossibleEvidenceError
        weights = {key: exp(score - top) for key, score in scores}
        left = {name: weight for name, like in likes.items() if (weight := exp(like - top)) > 0}
        return {key: weight for key, weight in weights.items() if weight > 0}, exp(other - top), left, top

    def _showing(self, faults: FaultSet) -> list[tuple[FaultSet, float]]:
        """Which of these faults may show in one epoch, with chances: those that come and go may hide."""
        if self._fickle.isdisjoint(faults):
            return [(faults, 1.0)]
        known = self._shown.get(faults)
        if known is None:
            known = self._shown[faults] = self._comes_and_goes(faults)
        return known

    def _comes_and_goes(self, faults: FaultSet) -> list[tuple[FaultSet, float]]:
        chances = self._model.shows_now
        choices = [((True, q), (False, 1 - q)) for q in [chances.get(name, 1.0) for name in faults]]
        found = []
        for choice in product(*choices):
            weight = 1.0
            for _, chance in choice:
                weight *= chance
            if weight > 0:
                found.append((tuple(name for name, (shows, _) in zip(faults, choice, strict=True) if shows), weight))
        return found

    def _repaired(self, shown: Mapping[Shown, float], epoch: int) -> dict[FaultSet, float]:
        """Weights of what is present after the repair that ended an epoch."""
        before: dict[FaultSet, float] = {}
        for (faults, _), weight in shown.items():
            before[faults] = before.get(faults, 0.0) + weight
        after: dict[FaultSet, float] = {}
        for faults, weight in sorted(before.items()):
            for left, chance in self._leaves(faults, epoch):
                after[left] = after.get(left, 0.0) + weight * chance
        dropped = self._too_many(after) - self._beside[epoch + 1].keys()
        return {faults: weight for faults, weight in sorted(after.items()) if weight > 0 and faults not in dropped}

    def _too_many(self, weights: Mapping[FaultSet, float]) -> set[FaultSet]:
        """The pairs and triples that are not followed any further: each would have to be solved for every reading."""
        if self._prior.few(self._limits):
            return set()
        least = exp(-self._limits.far) * max((w for faults, w in weights.items() if len(faults) == 1), default=0.0)
        larger = sorted((-weight, faults) for faults, weight in weights.items() if len(faults) > 1)
        followed = {faults for weight, faults in larger[: self._limits.followed] if -weight >= least}
        return {faults for _, faults in larger} - followed
