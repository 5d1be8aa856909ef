"""No cause with its victim is left unjudged because of what each of them shows alone."""

from __future__ import annotations

from coldiron.consult.setup import setup_of
from coldiron.diagnosis import Evidence, Reading
from coldiron.diagnosis.columns import Heard
from coldiron.diagnosis.faults import Prior
from coldiron.diagnosis.focus import start_sets
from coldiron.diagnosis.timeline import Timeline
from coldiron.model import COMPLAINT
from support.fault_tables import seeded
from support.mechanic import shipped

MISSED = 0.01
"""Chance that sets of causes and victims may hold that were not judged."""


def test_every_cause_with_its_victim_is_judged_where_the_readings_favour_it() -> None:
    """A shorted stud has emptied the battery: neither an empty battery nor a shorted stud reads like that.

    For every such pair of a machine: the complaint and six checks read what they most likely read with both present;
    the odds are then compared with those of judging all the pairs.
    """
    setup = setup_of(shipped(), "interlocks")
    judge, model = setup.judge, setup.table.model
    prior = Prior(model, {}, None)
    pairs = sorted({tuple(sorted((link.cause, link.victim))) for link in model.links})
    for pair in pairs:
        checks = [COMPLAINT, *seeded(len(pair[0])).sample(sorted(setup.machine.checks), 6)]
        rows = {check: setup.table.chances(check, frozenset(pair)) for check in checks}
        readings = [Reading(check, max(range(len(row)), key=row.__getitem__)) for check, row in rows.items()]
        told = tuple(Heard(epoch, judge.cells, prior.odds) for epoch in Evidence(tuple(readings)).epochs())
        judged = set(start_sets(prior, told, (), judge.limits))
        weighed = Timeline(model, prior, sorted({*judged, *pairs}), (), judge.limits).weigh(told)
        missed = {faults: chance for (faults, _), chance in weighed.epochs[-1].items() if faults not in judged}
        assert sum(missed.values()) < MISSED, (pair, missed)
