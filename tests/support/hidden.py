"""A mechanic beside one real machine: what he answers is solved with its very faults, at their very sizes.

Unlike `mechanic.Mechanic` he knows nothing of what the book predicts: parts are a little off, meters err, and what eyes
see comes by chance. Only where a page asks for a choice of words does he look for the one that describes what he sees.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from coldiron import Question
from coldiron.book.checks import UNITS, Check
from support.mechanic import OPEN_LINE, Mechanic, typed
from support.own_yard import LEADS, Reader, RealMachine

CAREFUL = 0.0
"""Nobody errs."""

SLIPPING = 0.03
"""Three readings of a hundred are wrong, whatever is read."""


@dataclass
class HiddenMechanic(Mechanic):
    """One mechanic and one real machine: `seed` tells it from another, `slips` is the share that he misreads."""

    slips: float = CAREFUL
    again: dict[str, int] = field(default_factory=dict)
    """How often a check was made again since the latest repair, because a page asked for it."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self._asked: set[str] = set()
        self._reader = Reader(RealMachine(self.book, self.circuit, self.seed or 0), self.slips)

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
        mine = [self.book.checks[name] for name in sorted(seen & set(self.machine.checks))]
        return any(self.reads(check) != check.good for check in mine)

    def complains(self) -> str:
        """The complaint that says most of what the machine does, and nothing it does not."""
        fitting = [one for one in self.book.complaints.values() if self._does(one)]
        return max(fitting, key=lambda one: len(one.sees)).id if fitting else "not sure"

    def reads(self, check: Check) -> str:
        """What a check gives, as it would be typed."""
        again = self.again.get(check.id, 0)
        if check.reads.quantity == "eye":
            return self._reader.sign(check, self.present, again)
        number = self._reader.number(check, self.present, again)
        if check.reads.quantity not in UNITS:
            return self.machine.nearest(check, number)
        if check.reads.quantity == "ohms" and not 0 <= number <= OPEN_LINE:
            return "OL" if number > 0 else "0.00" if number > -LEADS else "cannot reach"
        return typed(number, check.reads.quantity) if check.step >= 0.01 else f"{number:.3f}"

    def mend(self, fault: str) -> None:
        """One fault is repaired; its part breaks again at once if its cause is still there."""
        super().mend(fault)
        self._reader.epoch += 1
        self.again.clear()
        self._asked.clear()
