"""A simulated machine: it has hidden faults, and answers every check as a real one would.

What a meter, a lamp or an ear would get is solved, with all faults in the network, in the state of the check; ghost
volts behind a poor joint are there because the meter draws next to nothing and the lamp does not. Bands of findings
are never looked at, and what the book declares a fault to show counts for eyes, ears and hands alone, so that the
answers can be held against the book.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from math import floor, inf, isinf, log10

from coldiron.book.checks import Check, Reads
from coldiron.circuits.machine import Machine
from coldiron.circuits.readings import reader
from coldiron.circuits.scatter import deviate, scattered, sized
from coldiron.circuits.trial import Bench
from coldiron.record import dataclass

SLIP = 1000.0
"""A reading in thousandths taken for one in whole units, the commonest slip of the range."""

ZERO_OHMS = 0.5
"""Ohms of a pair of leads that were not touched together first: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What one check gave.

    `number` is in V, A or ohms, an open line infinite; a share of nominal volts for lamp and glow; 0 to 1 for click
    and turn. `sign` is the finding seen, of a check by eye. With neither, the place could not be reached.
    """

    check: str
    number: float | None = None
    sign: str = ""

    @property
    def reached(self) -> bool:
        """Whether there is an answer."""
        return self.number is not None or bool(self.sign)


@dataclass(frozen=True, slots=True)
class Manner:
    """How far a machine and the hand at the meter are from perfect; 0 throughout: the figures of the book, read well.

    `spread` is the share of the usual deviation of sound parts, `meter` that of the error of the meter, `wrong` that
    of the chance of a wrong reading each check declares; with `slips` any check goes wrong with that chance, whatever
    it declares. `beyond_reach` is the share of checks that cannot be made on this machine. With `always` a fault that
    comes and goes is always there.
    """

    spread: float = 1.0
    meter: float = 1.0
    wrong: float = 1.0
    beyond_reach: float = 0.0
    always: bool = False
    slips: float | None = None


PERFECT = Manner(spread=0.0, meter=0.0, wrong=0.0, always=True)
"""A machine of exactly usual parts, with faults that stay, and a hand that never errs."""


class SimulatedMachine:
    """A machine with hidden faults.

    Everything left to chance hangs on the seed, and on what is asked, not on the order of asking: a check asked twice
    between two repairs gives the same answer.

    Args:
        machine: the machine, composed.
        faults: what is wrong with it, by `part.fault`; any number, none for a sound one.
        seed: tells one such machine from another: sizes of faults, spread of parts, errors.
        manner: how far from perfect.
        sizes: where in its range a fault stands, from 0 to 1; drawn by the seed for those left out.

    Attributes:
        present: the faults it has now.
        epoch: how many repairs were done.

    Raises:
        KeyError: a fault the machine cannot have.
    """

    def __init__(
        self,
        machine: Machine,
        faults: Iterable[str],
        seed: int,
        manner: Manner | None = None,
        sizes: Mapping[str, float] | None = None,
    ) -> None:
        self.manner = manner or Manner()
        self.present = frozenset(faults)
        self.epoch = 0
        self._seed = seed
        self._circuit = machine.circuit.id
        parts = scattered(machine, self._chance("parts"), self.manner.spread)
        given = sizes or {}
        drawn = {fault: self._chance("size", fault).random() for fault in sorted(self.present)}
        self.machine = sized(parts, {fault: given.get(fault, at) for fault, at in drawn.items()})
        self._bench = Bench(self.machine)

    @property
    def showing(self) -> frozenset[str]:
        """The faults that are there today: one that comes and goes may hide from one repair to the next."""
        return frozenset([fault for fault in self.present if self._shows_now(fault)])

    def answer(self, check: str, again: int = 0) -> Shown:
        """What a check gives.

        Args:
            check: which.
            again: how often it was made before between the same two repairs, each time with fresh leads, so that only
                the machine is as it was.

        Raises:
            KeyError: the machine has no such check.
        """
        if check not in self.machine.checks:
            raise KeyError(check)
        record = self.machine.book.checks[check]
        if self._chance("reach", check).random() < self.manner.beyond_reach:
            return Shown(check)
        chance = self._chance("reading", check, self.epoch, *([again] if again else []))
        slips = record.wrong * self.manner.wrong if self.manner.slips is None else self.manner.slips
        wrong = chance.random() < slips
        if record.reads.quantity == "eye":
            return Shown(check, sign=self._seen(record, chance, wrong=wrong))
        number = self._misread(record, chance) if wrong else self.solved(record.reads, record.state)
        return Shown(check, self._metered(record, number, chance))

    def solved(self, reads: Reads, state: Mapping[str, str]) -> float:
        """What a perfect hand would read in a state; settings left out are normal. Units as in `Shown`.

        Raises:
            ValueError: what eyes see, or a place the machine lacks.
        """
        (trial,) = self._bench.trials(self.showing)
        return reader(reads, self._bench.layout)(trial, trial.solution(self._bench.layout.state(state)))

    def mend(self, fault: str) -> None:
        """Do the repair of a fault, whether it is there or not."""
        self.present -= set(self.machine.mended_with(fault))
        self.epoch += 1

    def _chance(self, *about: object) -> random.Random:
        return random.Random(f"{self._seed} {self._circuit} {about}")  # noqa: S311 - no secret

    def _shows_now(self, fault: str) -> bool:
        chance = self.machine.faults[fault].what.shows_now
        return self.manner.always or self._chance("today", fault, self.epoch).random() < chance

    def _metered(self, check: Check, number: float, chance: random.Random) -> float:
        """The number as the display has it: off by the meter's error, rounded to what the display can show."""
        error = check.step * self.manner.meter
        if isinf(number) or error <= 0:
            return number
        digit = 10.0 ** floor(log10(check.step))
        return round((number + error * deviate(chance)) / digit) * digit

    def _misread(self, check: Check, chance: random.Random) -> float:
        """A wrong reading, of the sorts that happen: all of them are what the same probes could have shown."""
        reads = check.reads
        right = self.solved(reads, check.state)
        if reads.quantity == "ohms":
            return chance.choice((inf, right + ZERO_OHMS, right / SLIP))
        if reads.quantity in ("volts", "amps"):
            return chance.choice((-right, 0.0, right / SLIP, self.solved(reads, {})))
        return chance.choice((0.0, right / 2, self.solved(reads, {})))

    def _seen(self, check: Check, chance: random.Random, *, wrong: bool) -> str:
        """The worst of the signs that the faults showing now give, each by its chance; the good one without any."""
        order = [finding.id for finding in check.findings]
        seen = {check.good}
        for fault in sorted(self.showing):
            seen.add(self._sign(check, fault, self._chance("sign", check.id, fault, self.epoch).random()))
        truth = min(seen - {check.good}, key=order.index, default=check.good)
        return chance.choice([name for name in order if name != truth]) if wrong and len(order) > 1 else truth

    def _sign(self, check: Check, fault: str, drawn: float) -> str:
        record = self.machine.faults[fault]
        mine = {check.id, check.id.removesuffix(f".{record.part}")}
        for line in record.what.shows:
            if line.check in mine:
                drawn -= line.chance
                if drawn < 0:
                    return line.finding
        return check.good
