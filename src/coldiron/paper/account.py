"""What a job comes to, in plain words for the owner of the machine. All of it is what the log folds to."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.agenda.proving import proofs
from coldiron.job.dangers import standing_dangers
from coldiron.job.shares import in_100
from coldiron.job.steps import RepairStep
from coldiron.paper.course import LogLine, with_unit
from coldiron.questions.check import good_in_words
from coldiron.questions.complaint import kind_in_words
from coldiron.record import dataclass
from coldiron.telling.so_far import SoFar
from coldiron.telling.verdicts import chain_of_evidence

LEADS = {
    "handed back": "The machine was handed back.",
    "out of service": "The machine is out of service. It must not be used.",
    "proven": "The fix is proven. The machine was not handed back yet.",
    "cause": "The most likely cause is known. It is not fixed yet.",
    "open": "The search for the cause is not finished.",
    "needs": "The search can go no further with what is at hand.",
}
"""How a job stands, by the status of its outcome."""

FIXED = "The machine is fixed and was handed back."

MOST_REASONS = 4
"""Readings that are named for one cause."""

MUST_NOT = ("out of service", "cause", "open", "needs", "proven")
"""A job that stands so leaves a machine behind that nobody should start without asking."""


@dataclass(frozen=True, slots=True)
class Fixed:
    """One fix that was done: what was wrong, when, what such a fix is, the part, the readings that spoke for it."""

    fault: str
    clock: str
    how: str
    part: str
    helped: bool
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Account:
    """What a job comes to.

    `wrong` is what the machine did, `told` what the owner told in his own words. `likely` are the causes left while
    none is proven. `proven` are the readings that showed the fix, `shown` what the machine was seen to do. `open` are
    things not shown, each with what must not be done until they are; `off` what is off, out or open, `unsure` what
    nobody knows of, `dangers` what was found and not cleared.
    """

    lead: str
    machine: str
    wrong: str
    told: tuple[str, ...]
    fixes: tuple[Fixed, ...]
    likely: tuple[str, ...]
    because: tuple[str, ...]
    proven: tuple[str, ...]
    shown: tuple[str, ...]
    open: tuple[tuple[str, str], ...]
    failed: tuple[tuple[str, str], ...]
    off: tuple[tuple[str, str], ...]
    unsure: tuple[str, ...]
    dangers: tuple[str, ...]
    needs: str
    notes: tuple[str, ...]
    minutes: float
    parked: bool
    stopped: bool


def account(course: Sequence[SoFar], lines: Sequence[LogLine]) -> Account:
    """Return what a job comes to.

    Args:
        course: the job before its first entry and after each.
        lines: its log in words.
    """
    job = course[-1]
    state, outcome, book = job.state, job.verdict, job.book
    known = book.complaints.get(state.complaint)
    off, unsure = stands_now(job)
    names = {name: book.faults[name].name for name, _ in (*outcome.faults, *outcome.not_excluded)}
    fixes = _fixes(course, lines)
    mended = outcome.status == "handed back" and any(fix.helped for fix in fixes)
    return Account(
        lead=FIXED if mended else LEADS[outcome.status],
        machine=kind_in_words(state) if state.circuit else "",
        wrong=known.name if known else "",
        told=tuple(line.said for line in lines if line.sort == "story" and line.asked == "Told:" and not line.struck),
        fixes=fixes,
        likely=tuple(f"{names[name]} ({in_100(p)})" for name, p in (*outcome.faults, *outcome.not_excluded)),
        because=tuple(link.shown for link in outcome.evidence[:MOST_REASONS]),
        proven=_proven(job),
        shown=outcome.shown,
        open=outcome.still_open,
        failed=outcome.failed,
        off=off,
        unsure=unsure,
        dangers=tuple(dict.fromkeys(one.danger.name for one in standing_dangers(state))),
        needs=outcome.needs,
        notes=tuple(line.said for line in lines if line.sort == "note" and not line.struck),
        minutes=job.minutes,
        parked=state.parked and not state.handed_back,
        stopped=outcome.status in MUST_NOT,
    )


def stands_now(job: SoFar) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Return what stands at something else than normal, each with how it was last told, and what nobody knows of."""
    state = job.state
    named = [(job.book.settings[name].name, state.settings[name]) for name, _ in state.undone]
    return tuple((name, value) for name, value in named if value), tuple(name for name, value in named if not value)


def _fixes(course: Sequence[SoFar], lines: Sequence[LogLine]) -> tuple[Fixed, ...]:
    """The fixes that count, in the order in which they were done, each with the readings before it."""
    found = []
    job = course[-1]
    for line, before, now in zip(lines, course, course[1:], strict=False):
        step = now.steps[-1]
        if isinstance(step, RepairStep) and step.word == "done" and not line.struck and step.fault in job.book.faults:
            found.append(_fixed(job, before, step.fault, line.clock))
    return tuple(found)


def _fixed(job: SoFar, before: SoFar, name: str, clock: str) -> Fixed:
    """One fix, with what spoke for it just before it was done."""
    fault = job.book.faults[name]
    part = job.book.parts[fault.part].name if fault.part in job.book.parts else fault.part
    spoke = chain_of_evidence(before.judged, name)[:MOST_REASONS] if before.judged else ()
    return Fixed(
        fault=fault.name,
        clock=clock,
        how=fault.what.repair,
        part=part if fault.what.renews else "",
        helped=name not in job.verdict.in_vain,
        because=tuple(link.shown for link in spoke),
    )


def _proven(job: SoFar) -> tuple[str, ...]:
    """The readings since the latest fix that show that it held, each with its limits."""
    if job.judged is None:
        return ()
    state = job.state
    taken = state.present.taken
    good = [check for check in proofs(job.judged) if check.id in taken]
    good = [check for check in good if taken[check.id].understood.finding == check.good]
    said = []
    for check in good:
        limits = good_in_words(state, check)
        finding = {one.id: one.meaning for one in check.findings}.get(taken[check.id].raw, "")
        read = finding or with_unit(check, taken[check.id].raw)
        said.append(f"{check.ask}: {read}" + (f" (good: {limits})" if limits != read else ""))
    return tuple(said)
