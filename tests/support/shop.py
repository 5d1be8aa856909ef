"""Hands for tests of whole jobs: the shipped book, a job begun on one of its machines, a reading put to its bands."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from coldiron import Consultation, load_book
from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.circuits import Machine, compose
from coldiron.judging.composing import setup_of
from coldiron.readings.interpret import understand
from support.mechanic import Mechanic

SOUND = frozenset[str]()
"""The set of faults of a sound machine."""


@cache
def book() -> Book:
    """The shipped book, without an error in it."""
    loaded, _ = load_book()
    assert not loaded.broken, loaded.broken
    return loaded


@cache
def machine(circuit: str) -> Machine:
    """The composed machine of a shipped circuit; nothing of it is solved yet."""
    return compose(book(), circuit)


def circuits(volts: int) -> tuple[str, ...]:
    """The shipped circuits of a voltage."""
    return tuple(name for name, circuit in book().circuits.items() if circuit.volts == volts)


def circuits_with(check: str, volts: int) -> tuple[str, ...]:
    """The shipped circuits of a voltage that have a check."""
    return tuple(name for name in circuits(volts) if check in machine(name).checks)


def solved(circuit: str, check: str, faults: frozenset[str] = SOUND) -> float:
    """What a check reads on a machine by the solved circuit; the middle of the grid if the faults have sizes."""
    values = setup_of(book(), circuit).predictor.values(check, faults)
    return sorted(values)[len(values) // 2]


def finding(check: str, reading: float | str, volts: int = 12) -> str:
    """The finding of a check that a typed reading becomes, on a 12 V machine or on a 24 V one with two batteries."""
    text = reading if isinstance(reading, str) else f"{reading:.4f}"
    return understand(book().checks[check], text, volts, volts // 12, sure=True).finding


def is_good(check: str, reading: float | str, volts: int = 12) -> bool:
    """Whether a reading is the finding of a sound machine."""
    return finding(check, reading, volts) == book().checks[check].good


def words(check: Check) -> str:
    """All that a check says to the mechanic and of its source."""
    return " ".join((check.ask, check.how, *(finding.meaning for finding in check.findings), check.source))


def begin(circuit: str, complaint: str) -> Consultation:
    """A job on a machine that stands safely, with every kit at hand, up to the end of the opening questions."""
    volts = book().circuits[circuit].volts
    given = {"raised": "none", "usual": "other", "volts": str(volts), "circuit": circuit, "kit": "all"}
    given["complaint"] = complaint
    job = Consultation(book())
    while job.next is not None and job.judged is None:
        asked = job.next
        known = given.get(asked.id, circuit)  # what is asked of the machine is answered by naming its circuit
        job = job.answer(asked.id, known if asked.kind == "intake" else asked.choices[0])
    return job


WELL = {"engine_inside": "sound", "frost": "mild"}


def told(job: Consultation, readings: Mapping[str, str]) -> Consultation:
    """The job after readings already taken and answers of the operator, in their order."""
    for check, value in readings.items():
        job = job.answer(check, value)
    return job


def onward(job: Consultation) -> Consultation:
    """The job at its next check or repair: cautions due acknowledged, settings told, questions of history left open.

    What is asked before a START or a charge is answered: nothing is in the engine, and there is no frost.
    """
    while (asked := job.next) is not None and (asked.kind in ("caution", "set") or asked.id in job.book.questions):
        job = job.answer(
            asked.id, asked.choices[0] if asked.kind in ("caution", "set") else WELL.get(asked.id, "not sure")
        )
    return job


def next_step(job: Consultation) -> str:
    """The id of the next check, or of the fault to repair now; empty if there is neither."""
    asked = onward(job).next
    return asked.id if asked else ""


def chance(job: Consultation, name: str) -> float:
    """The chance of a fault, or of any fault of a part (the largest single one)."""
    return max((p for fault, p in job.suspects if name in (fault, fault.partition(".")[0])), default=0.0)


def first(job: Consultation) -> str:
    """The fault suspected most."""
    return job.suspects[0][0]


def first_part(job: Consultation) -> str:
    """The part suspected most."""
    return first(job).partition(".")[0]


def part_chance(job: Consultation, part: str) -> float:
    """The chance that a part is at fault: all its faults together."""
    return sum(p for fault, p in job.suspects if fault.partition(".")[0] == part)


def worked_out(job: Consultation, *faults: str, limit: int = 40) -> Consultation:
    """The job carried on to its verdict: every further check is answered by the solved circuit with these faults."""
    mechanic = Mechanic(job.book, job.state.circuit, frozenset(faults))
    for _ in range(limit):
        asked = job.next
        if asked is None or job.verdict.status == "cause":
            return job
        job = job.answer(asked.id, mechanic.answer(asked), sure=True)
    raise AssertionError(f"no verdict after {limit} further answers: {job.findings}")


def blamed(job: Consultation) -> set[str]:
    """The parts of the verdict."""
    return {fault.partition(".")[0] for fault, _ in job.verdict.faults}
