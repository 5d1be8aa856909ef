"""The checks of the shipped book fit its circuits: a sound machine reads good, and no fault goes unseen."""

from __future__ import annotations

from itertools import pairwise

import pytest

from coldiron.book.checks import Check
from coldiron.judging.composing import setup_of
from support.mechanic import shipped

SURELY = 0.97
"""How often a check of a sound machine must be in its good band, meter and spread of sound parts counted in."""

SEEN = 0.5
"""How often at least one check must show something wrong where there is one fault."""

REST = 1e-9
"""What two bounds may differ by and still be the same."""

BARELY_ELECTRICAL = frozenset({"key_start.worn"})
"""Faults that matter on one sort of circuit only, where the contact carries the current of the solenoid itself."""


def good_place(check: Check) -> int:
    """The place of the finding of a sound machine."""
    return [finding.id for finding in check.findings].index(check.good)


@pytest.mark.parametrize("circuit", shipped().circuits)
def test_a_sound_machine_reads_good_everywhere(circuit: str) -> None:
    """On 12 V and on 24 V every solved check of the healthy circuit falls in its good band, with room for spread."""
    setup = setup_of(shipped(), circuit)
    off = {}
    for name in setup.machine.checks:
        check = shipped().checks[name]
        if check.reads.quantity != "eye":
            chance = setup.predictor.chances(name, frozenset())[good_place(check)]
            if chance < SURELY:
                off[name] = chance
    assert off == {}


@pytest.mark.parametrize("circuit", shipped().circuits)
def test_every_fault_shows_somewhere(circuit: str) -> None:
    """Each single fault puts some check of the machine out of its good band."""
    setup = setup_of(shipped(), circuit)
    hidden = []
    for fault in setup.machine.faults:
        best = 0.0
        for name in setup.machine.checks:
            row = setup.table.chances(name, frozenset((fault,)))
            told = row[good_place(shipped().checks[name])]
            best = max(best, 1 - told)
            if best >= SEEN:
                break
        if best < SEEN and fault not in BARELY_ELECTRICAL:
            hidden.append(fault)
    assert hidden == []


@pytest.mark.parametrize("volts", [12, 24])
@pytest.mark.parametrize("name", sorted({name.partition(".")[0] for name in shipped().checks}))
def test_bands_follow_one_another(name: str, volts: int) -> None:
    """The bands of a solved check neither overlap nor leave a gap: what lies between two findings is one of them."""
    checks = [check for id_, check in shipped().checks.items() if id_.partition(".")[0] == name]
    check = checks[0]
    if check.reads.quantity == "eye":
        assert all(not finding.bands for finding in check.findings)
        return
    times = volts // 12
    spans = sorted(
        (band.low * (times if band.per_battery else 1), band.high * (times if band.per_battery else 1))
        for finding in check.findings
        for band in finding.bands
        if band.volts in (0, volts)
    )
    assert spans
    assert all(low < high for low, high in spans)
    assert all(abs(high - low) < REST for (_, high), (low, _) in pairwise(spans))
