"""Which repair is due, if any."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.agenda.preparing import check_question, lifting, repair_question
from coldiron.book.checks import Check
from coldiron.choice.verdict import is_worth_a_trial
from coldiron.job.dangers import barred_repair
from coldiron.job.question import Question
from coldiron.judging.judgement import MOST_REPAIRS, Judgement

LIKELY = 0.5
"""Chance from which a victim of the fault repaired last is repaired next: likelier gone than not."""

OFTEN = 2
"""A repair that was done so often and cured nothing is not offered again: it is something else."""


def repair_due(judged: Judgement) -> Question | None:
    """The repair that is due: wanted by the mechanic, of the verdict or a likely victim; or the check that holds it."""
    wanted = judged.state.wanted
    if wanted in judged.setup.machine.faults and not barred_repair(
        judged.state, wanted, judged.dangers
    ):  # the mechanic asked for it himself
        return repair_question(judged, wanted)
    verdict = judged.decision.verdict
    faults = verdict.faults if verdict else _victims(judged)
    open_ones = [fault for fault in faults if may_be_repaired(judged, fault)]
    if not open_ones:
        return None
    holding_it = judged.held.get(open_ones[0], ())  # of a victim: a verdict is not given while one waits
    if holding_it:
        check = preferred(judged, holding_it)
        return check_question(judged, check, why=held_reason(judged, check))
    return repair_question(judged, open_ones[0])


def may_be_repaired(judged: Judgement, fault: str) -> bool:
    """Whether a repair may be offered: not barred by a danger, not turned down, and not done often enough already."""
    state = judged.state
    if barred_repair(state, fault, judged.dangers):
        return False
    done = [epoch.repaired for epoch in state.epochs if epoch.repaired]
    return fault not in state.declined and done.count(fault) < OFTEN and len(done) < MOST_REPAIRS


def _victims(judged: Judgement) -> list[str]:
    """What the fault repaired last most likely took with it: that is repaired before anything is proved."""
    state = judged.state
    if not state.epochs[:-1] or set(state.present.taken).difference(judged.directives.required, lifting(judged)):
        return []
    repaired = state.epochs[-2].repaired
    brought = {link.victim for link in judged.setup.table.model.links if link.cause == repaired}
    return sorted(fault for fault in brought if judged.belief.chance(fault) >= LIKELY)


def last_resort(judged: Judgement) -> Question | None:
    """With no check left that tells anything: the likeliest repair not turned down, if any is likely at all."""
    if judged.decision.why in ("unknown", "sound", "no reading"):
        return None
    for fault, chance in judged.belief.suspects:
        worth = is_worth_a_trial(chance, judged.setup.table.model.minutes(fault)) and chance > judged.belief.unknown
        if worth and may_be_repaired(judged, fault):
            return repair_question(judged, fault)
    return None


def holding(judged: Judgement) -> Check:
    """Of the checks that hold a verdict the one that comes first."""
    return preferred(judged, judged.decision.held_by)


def preferred(judged: Judgement, checks: Iterable[str]) -> Check:
    """Of several checks that hold something the one that the rules prefer most, then the shortest."""

    def rank(name: str) -> tuple[float, float, str]:
        weight, _ = judged.directives.preferred.get(name, (1.0, ""))
        return -weight, judged.state.book.checks[name].minutes, name

    return judged.state.book.checks[min(checks, key=rank)]


def held_reason(judged: Judgement, check: Check) -> str:
    """Why a check comes before anything is blamed."""
    if check.id == judged.contradicting:
        return "It does not fit the other readings. Check leads and range, then take it again."
    rules = judged.directives.because.get(("require", check.id), ())
    said = [judged.state.book.rules[name].because for name in rules]
    return said[0] if said else "The rules of the shop put this check before any part is condemned."
