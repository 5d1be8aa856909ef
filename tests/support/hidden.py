"""A mechanic beside a simulated machine: what he answers is solved with its very faults, at their very sizes.

Unlike `mechanic.Mechanic` he knows nothing of what the book predicts: parts are a little off, meters err, and what eyes
see comes by chance. Only where a page asks for a choice of words does he look for the one that describes what he sees.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf

from coldiron import Question
from coldiron.book.checks import ODD, UNITS, Check
from coldiron.circuits.simulated import ZERO_OHMS, Manner, Shown, SimulatedMachine
from coldiron.readings.findings import bounds, finding_of
from support.mechanic import OPEN_LINE, Mechanic, typed

CAREFUL = Manner(wrong=0.0, always=True)
"""Parts and meters as they are, nobody errs, and what comes and goes is there on the day."""

SLIPPING = Manner(always=True, slips=0.03)
"""The same, and three readings of a hundred are wrong, whatever is read."""


@dataclass
class HiddenMechanic(Mechanic):
    """One mechanic and one simulated machine; `seed` tells one such machine from another."""

    manner: Manner = CAREFUL
    again: dict[str, int] = field(default_factory=dict)
    """How often a check was made again since the latest repair, because a page asked for it."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self._asked: set[str] = set()
        self.hidden = SimulatedMachine(self.setup.machine, self.faults, self.seed or 0, self.manner)

    def answer(self, asked: Question) -> str:
        """What he types; what is asked for a second time he makes again."""
        if asked.id in self.book.checks and asked.kind != "caution":
            if asked.id in self._asked:
                self.again[asked.id] = self.again.get(asked.id, 0) + 1
            self._asked.add(asked.id)
        return super().answer(asked)

    @property
    def is_amiss(self) -> bool:
        """Whether the owner would call: something that complaints speak of is not as it should be."""
        seen = {check for complaint in self.book.complaints.values() for check, _ in complaint.sees}
        mine = [self.book.checks[name] for name in sorted(seen & set(self.setup.machine.checks))]
        return any(self.reads(check) != check.good for check in mine)

    def complains(self) -> str:
        """The complaint that says most of what the machine does, and nothing it does not."""
        fitting = [one for one in self.book.complaints.values() if self._does(one)]
        return max(fitting, key=lambda one: len(one.sees)).id if fitting else "not sure"

    def reads(self, check: Check) -> str:
        """What a check gives, as it would be typed."""
        shown = self.hidden.answer(check.id, self.again.get(check.id, 0))
        if shown.number is None:
            return shown.sign or "cannot reach"
        if check.reads.quantity not in UNITS:
            return self._in_words(check, shown)
        if check.reads.quantity == "ohms" and not 0 <= shown.number <= OPEN_LINE:
            return "OL" if shown.number > 0 else "0.00" if shown.number > -ZERO_OHMS else "cannot reach"
        return typed(shown.number, check.reads.quantity) if check.step >= 0.01 else f"{shown.number:.3f}"

    def _in_words(self, check: Check, shown: Shown) -> str:
        """The words that come nearest to what lamp, ear or hand got."""
        volts, batteries = self.setup.machine.volts, self.setup.machine.batteries
        number = shown.number if shown.number is not None else 0.0
        found = finding_of(check, number, volts, batteries)
        if found != ODD:
            return found

        def off(finding_bands: object) -> float:
            spans = [bounds(band, volts, batteries) for band in finding_bands]  # type: ignore[attr-defined]
            return min((max(low - number, number - high, 0.0) for low, high in filter(None, spans)), default=inf)

        return min(check.findings, key=lambda finding: off(finding.bands)).id

    def mend(self, fault: str) -> None:
        """One fault is repaired; its part breaks again at once if its cause is still there."""
        super().mend(fault)
        self.hidden.mend(fault)
        self.hidden.present = self.present
        self.again.clear()
        self._asked.clear()
