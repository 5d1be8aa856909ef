"""A repair that was begun and turned down ends the stretch: a START before it is read in full again."""

from __future__ import annotations

from coldiron.consult.fold import replay
from coldiron.job.acknowledged import Acks
from coldiron.job.cautions import dues_of
from coldiron.job.steps import RepairStep
from coldiron.questions.table import REPAIR
from support.mechanic import shipped

BOOK = shipped()


def test_a_repair_turned_down_ends_what_belongs_to_each_step() -> None:
    """What belongs to each step goes, and may not come in a line; what holds for the day stays."""
    state = replay(BOOK, ())
    starts = dues_of(BOOK).starts
    lasting = frozenset(BOOK.cautions) - dues_of(BOOK).each_step
    assert starts
    assert lasting
    fault = next(iter(BOOK.faults))
    state.acks = Acks(held=starts | lasting, read=starts)
    REPAIR.mend(state, RepairStep(fault, "no"))
    assert state.acks == Acks(held=lasting)
    assert fault in state.declined
