"""Which repairs are offered: those that readings speak for, and a victim again once its cause is gone."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.agenda.repairing import SPEAKS, may_be_repaired, speaks_for
from coldiron.book.book import Book
from coldiron.telling.between import where_it_lies
from support.mechanic import Mechanic, shipped, work
from support.wander import lesser

REVERSED = "ground_battery.reversed"
PAIR = {"fuse_out_lamp.key_fuse": "dark", "rest_volts": "0.25 V", "battery_a_rest_volts": "-12.4 V"}


def begun(circuit: str, volts: str, complaint: str, book: Book | None = None) -> Consultation:
    """A job on a machine, its complaint told and no reading taken."""
    asked = Consultation(book or shipped())
    for line, said in {
        "raised": "none",
        "volts": volts,
        "circuit": circuit,
        "complaint": complaint,
        "kit": "all",
    }.items():
        asked = asked.answer(line, said)
    return asked


def test_readings_that_say_the_same_speak_together() -> None:
    """A pair and one of it, where few faults can be: without either the other says as much, and still both speak."""
    told = begun("tap_12v", "24", "no_power", lesser("tap_12v", 0))
    for check, figure in PAIR.items():
        told = told.answer(check, figure, sure=True)
    assert told.judged
    assert told.judged.belief.chance(REVERSED) > 0.9
    assert all(change.log_odds < SPEAKS for change in told.judged.changes(REVERSED))
    assert speaks_for(told.judged, REVERSED)


def test_a_complaint_alone_speaks_for_no_repair() -> None:
    """However likely it makes a fault: nothing was read at the machine."""
    told = begun("start_relay", "12", "chatter")
    assert told.judged
    assert not any(speaks_for(told.judged, fault) for fault, _ in told.suspects[:5])
    read = told.answer("rest_volts", "11.2 V", sure=True)
    assert read.judged
    assert speaks_for(read.judged, "battery.flat")


@pytest.mark.parametrize(("cause", "victim"), [("run_relay_wire.chafed", "key_fuse.blown")])
def test_a_victim_is_renewed_again_once_its_cause_is_repaired(cause: str, victim: str) -> None:
    """A new fuse that blew again is no proof against the fuse: the short is mended, and then it lasts."""
    job = work(Mechanic(shipped(), "isolator_24", frozenset((cause, victim))))
    mended = [job.mechanic.machine.mended_with(fault) for fault in job.mechanic.repaired]
    last = max(number for number, faults in enumerate(mended) if victim in faults)
    assert any(cause in faults for faults in mended[:last])
    assert job.status == "handed back"


def test_what_was_repaired_in_vain_is_not_offered_again() -> None:
    """Only a fault that is sure to be back, or whose cause is gone since."""
    told = begun("start_relay", "12", "one_clunk").answer("rest_volts", "12.6 V", sure=True)
    told = told.answer("motor_volts", "0.1 V", sure=True)
    fault = told.suspects[0][0]
    assert told.judged
    assert may_be_repaired(told.judged, fault)
    done = told.answer(fault, "done")
    while done.next and done.next.kind == "caution":
        done = done.answer(done.next.id, done.next.choices[0])
    done = done if fault in [epoch.repaired for epoch in done.state.epochs] else done.answer(fault, "done")
    assert done.judged
    assert done.judged.belief.chance(fault) < 0.95
    assert not may_be_repaired(done.judged, fault)


def test_what_is_good_and_where_to_halve_is_told_between_points() -> None:
    """Clamps and cables that lost nothing are named good; what is left lies between two points of the book."""
    told = begun("start_relay", "12", "silent")
    for check, figure in {"rest_volts": "12.6 V", "key_start_volts": "12.5 V", "relay_coil_volts": "0.0 V"}.items():
        told = told.answer(check, figure, sure=True)
    assert told.judged
    said = where_it_lies(told.judged)
    chances = dict(told.judged.belief.parts)
    good, _, rest = said.partition("Still open")
    parts = {part.name: name for name, part in told.judged.setup.machine.parts.items()}
    named = [parts[name] for name in parts if name in good]
    assert named
    assert all(chances[part] < 0.01 for part in named)
    likeliest = max(chances, key=lambda part: (round(chances[part], 9), part))
    assert told.judged.setup.machine.parts[likeliest].name in rest
    assert "So the trouble lies between" in rest
    assert "measure volts at" in rest
