"""What a figure on a meter is worth: how likely it is where the circuit was solved at some sizes of a fault.

A ruler measures figures in steps, one step being as far as sound machines and meters usually lie apart: even near
nought, by shares far from it. So 0.02 V and 0.04 V lie as near each other as 9.5 V and 10.0 V. A band's edge means
nothing here: a figure a hair to the other side of it weighs the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import asinh, erf, hypot, inf, isinf, prod, sqrt

from coldiron.book.checks import OPEN_LINE
from coldiron.record import dataclass

NODES = 5
"""How many sizes are looked at for each that was solved, those between read off a straight line."""

NEAR_NOUGHT = 0.25
"""A figure is near nought if the good band goes on past it by more than such a share of it, twice: an estimate."""

COMMON = 0.5
"""The share of slips that are made again the same way: common practice, no source."""

CHANGED_OVER = 0.3
"""Of all slips the share of probes changed over, where a minus is read: common practice, no source."""

LEAST_STEP = 1e-6
"""No meter shows less, in V, A or ohm."""

BEYOND = 2.0
"""How far past the last edge of all bands a ruler goes on, in steps; what lies farther out is all the same."""

WHOLE = 8 / 3
"""What lies under `_near`, in steps."""


@dataclass(frozen=True, slots=True)
class Ruler:
    """The ruler of one check on one machine.

    `step` is the spread near nought in the unit of the check, `share` that far from it, `low` and `high` are the ends
    of all that the meter may show, in steps. `wrong` is the chance that a figure is misread; then it may be any.
    """

    step: float
    share: float
    low: float
    high: float
    wrong: float

    def steps(self, figure: float) -> float:
        """Where a figure lies, in steps from nought; an open line at the end."""
        if isinf(figure):
            return self.high if figure > 0 else self.low
        steps = _steps(figure, self.step, self.share)
        return min(max(steps, self.low), self.high)

    @property
    def anywhere(self) -> float:
        """The likelihood of a figure that was misread."""
        return WHOLE / (self.high - self.low)

    def told(self, values: Sequence[float], solved: Sequence[float]) -> tuple[float, ...]:
        """The likelihood of what a meter showed, at each of the sizes between those that were solved.

        Args:
            values: what was read, each time it was read.
            solved: what was solved, for equally likely sizes from mild to severe; one where no size matters.

        Returns:
            One likelihood where no size matters, else `NODES` for each size that was solved; a sharp reading of just
            that figure has about 1.
        """
        ways, slips = self._ways([self.steps(value) for value in values])
        places = self._places(solved)
        return tuple(
            [slips + sum([weight * _near((at - place) / blur) / blur for weight, at in ways]) for place, blur in places]
        )

    def spread(
        self, values: Sequence[float], findings: Sequence[tuple[float, Sequence[tuple[float, float]]]], anywhere: float
    ) -> float:
        """The likelihood of what a meter showed where no figure was solved.

        Args:
            values: what was read, each time it was read.
            findings: chance and bands of each finding; a figure lies anywhere in the bands, their edges a step wide.
            anywhere: the chance that it may be any figure at all.
        """
        ways, slips = self._ways([self.steps(value) for value in values])
        spans = [(chance, [(self.steps(low), self.steps(high)) for low, high in bands]) for chance, bands in findings]
        return slips + sum(
            weight * (anywhere * self.anywhere + sum(chance * _in_spans(ends, at) for chance, ends in spans))
            for weight, at in ways
        )

    def _ways(self, values: Sequence[float]) -> tuple[list[tuple[float, float]], float]:
        """Which of several figures may be right: the weight of each choice and its mean; then that of all wrong."""
        slip = self.wrong * self.anywhere
        ways = []
        for right in product((True, False), repeat=len(values)):
            kept = [value for value, good in zip(values, right, strict=True) if good]
            if kept:
                weight = (1 - self.wrong) ** len(kept) * slip ** (len(values) - len(kept)) * _alike(kept)
                ways.append((weight, sum(kept) / len(kept)))
        if values[-1] < 0:
            ways.append((self.wrong * CHANGED_OVER * slip ** (len(values) - 1), -values[-1]))
        same = slip * _alike(values)
        return ways, slip if len(values) == 1 else COMMON * same + (1 - COMMON) * slip ** len(values)

    def _places(self, solved: Sequence[float]) -> list[tuple[float, float]]:
        """Where each size would be read, in steps, and how blurred it is by the sizes between it and the next."""
        levels = [self.steps(value) for value in solved]
        if len(levels) == 1:
            return [(levels[0], 1.0)]
        least = 0.0 if min(levels) >= 0 else self.low
        most = 0.0 if max(levels) <= 0 else self.high
        found = []
        for number in range(len(levels) * NODES):
            at = (number + 0.5) / NODES - 0.5
            first = min(max(int(at), 0), len(levels) - 2)
            slope = levels[first + 1] - levels[first]
            place = levels[first] + (at - first) * slope
            found.append((min(max(place, least), most), hypot(1.0, slope / NODES)))
        return found


Bands = Sequence[tuple[int, float, float]]
"""The number of a finding with the ends of one of its bands."""


def ruler(bands: Bands, spread: tuple[float, float], good: int, sound: float, wrong: float, *, even: bool) -> Ruler:
    """The ruler of a check.

    Machines of one sort differ more than the parts and meters of one of them, and less than all that counts as good:
    a step is the geometric mean of the declared spread, and of half the way from what was solved for a sound machine to
    the nearer edge of the good band. Near nought it is the latter alone: 0.00 V and 0.03 V are both nothing lost. On an
    even scale it stays as wide below what is good: a third of a volt where none is wanted is leakage, and no news.

    Args:
        bands: all bands of the check.
        spread: that of meters and parts, as a share of the reading and in its unit.
        good: the number of the good finding.
        sound: what a sound machine reads.
        wrong: the chance of a misread figure.
        even: whether steps below what is good are as wide, as for volts, or shares of the figure, as for amps and ohms.
    """
    share, step = spread[0], max(spread[1], LEAST_STEP)
    size = abs(sound)
    if 0 < size < inf and any(low <= sound < high for number, low, high in bands if number == good):
        edges = [abs(edge) for number, *ends in bands if number == good for edge in ends if edge * sound > 0]
        margin = min([abs(edge - size) for edge in edges if not isinf(edge)], default=0.0) / 2
        wanted = margin if margin > NEAR_NOUGHT * size else sqrt(hypot(step, share * size) * margin)
        if even or wanted > NEAR_NOUGHT * size:
            step = max(step, wanted)
        else:
            share = max(share, wanted / size)
    low, high = _ends(bands)
    return Ruler(step, share, _steps(low, step, share) - BEYOND, _steps(high, step, share) + BEYOND, wrong)


def _ends(bands: Bands) -> tuple[float, float]:
    """Between which figures it matters what is read: past the edge of an open line more ohms are no more open."""
    edges = [end for _, low, high in bands for end in ((low,) if high > OPEN_LINE else (low, high))]
    known = [edge for edge in edges if not isinf(edge)]
    return min(known, default=-1.0), max(known, default=1.0)


def _steps(figure: float, step: float, share: float) -> float:
    return asinh(share * figure / step) / share if share > 0 else figure / step


def _near(steps: float) -> float:
    """How likely a figure is so many steps away: 1 at none, with more far off than a normal one has."""
    near = 1 / (1 + steps * steps / 4)
    return near * near * sqrt(near)


def _alike(values: Sequence[float]) -> float:
    """How likely it is that one thing was read as all of these, their mean given."""
    mean = sum(values) / len(values)
    return prod(_near(value - mean) for value in values)


def _in_spans(spans: Sequence[tuple[float, float]], at: float) -> float:
    """The likelihood of a place that lies anywhere in some spans, in steps."""
    width = sum(high - low for low, high in spans)
    inside = sum(_below(high - at) - _below(low - at) for low, high in spans)
    return WHOLE * inside / width if width > 0 else 0.0


def _below(steps: float) -> float:
    return 0.5 * (1 + erf(steps / sqrt(2)))
