"""A machine that cranks is not yet one that runs: its complaints, and what proves that it runs."""

from __future__ import annotations

import pytest

from coldiron.book.history import COMPLAINT
from coldiron.inference.table import WRONG_STORY
from coldiron.judging.composing import setup_of
from support.mechanic import Job, Mechanic, shipped, work

OF_RUNNING = ("cranks_only", "dies_at_release", "will_not_stop")
SAYS_NOTHING_OF_RUNNING = ("direct_start", "start_relay", "coded_start")


def asked_after_repair(job: Job) -> list[str]:
    """The checks asked after the last repair, in order."""
    last = max(place for place, (asked, _) in enumerate(job.said) if asked.kind == "repair")
    return [asked.id for asked, _ in job.said[last:] if asked.id in shipped().checks]


@pytest.mark.parametrize("circuit", SAYS_NOTHING_OF_RUNNING)
def test_where_nothing_tells_of_running_nothing_but_a_slip_tells_of_it(circuit: str) -> None:
    """A fault under which the engine turns well makes no complaint of an engine that turns well."""
    table = setup_of(shipped(), circuit).table
    slip = WRONG_STORY / (len(shipped().complaints) + 1)
    for faults in (frozenset[str](), frozenset({"battery.half"}), frozenset({"key_run.dead"})):
        told = dict(zip(table.findings(COMPLAINT), table.chances(COMPLAINT, faults), strict=True))
        assert [told[name] for name in OF_RUNNING] == pytest.approx([slip] * len(OF_RUNNING))


@pytest.mark.parametrize(
    ("circuit", "fault", "complaint", "proofs"),
    [
        ("fed_to_run", "hold_coil.open", "dies_at_release", ("starter_turn", "fires_at_start", "runs_on")),
        ("fed_to_run", "pull_relay.contacts_dead", "cranks_only", ("starter_turn", "fires_at_start", "runs_on")),
        ("fed_to_stop", "stop_knob.stuck", "cranks_only", ("starter_turn", "fires_unless_stopped", "stops_when_told")),
        ("fed_to_stop", "stop_coil.open", "will_not_stop", ("starter_turn", "fires_unless_stopped", "stops_when_told")),
        ("start_relay", "relay_ground.off", "silent", ("starter_turn",)),
    ],
)
def test_it_is_handed_back_when_it_cranks_and_runs(
    circuit: str, fault: str, complaint: str, proofs: tuple[str, ...]
) -> None:
    """The proof of a repair ends with what the machine's own complaints are told by."""
    mechanic = Mechanic(shipped(), circuit, frozenset((fault,)))
    assert mechanic.complains() == complaint
    job = work(mechanic)
    assert (job.status, job.mechanic.present) == ("handed back", frozenset())
    assert tuple(asked_after_repair(job)[-len(proofs) :]) == proofs


def test_a_machine_that_cranks_and_dies_again_is_not_handed_back() -> None:
    """After the repair of the pull side the hold side lets go: the job goes on, and the second fault is found."""
    job = work(Mechanic(shipped(), "fed_to_run", frozenset(("pull_relay.contacts_dead", "hold_coil.open"))))
    assert job.status == "handed back"
    assert set(job.mechanic.repaired) >= {"pull_relay.contacts_dead", "hold_coil.open"}
    assert not job.mechanic.present
