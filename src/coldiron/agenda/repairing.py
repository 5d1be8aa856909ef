"""Which repair is due, if any."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.agenda.preparing import check_question, lifting, repair_question
from coldiron.book.checks import Check
from coldiron.book.history import COMPLAINT
from coldiron.choice.verdict import SURE, is_worth_a_trial, mending
from coldiron.job.dangers import barred_repair
from coldiron.job.question import Question
from coldiron.judging.judgement import MOST_REPAIRS, Judgement

LIKELY = 0.9
"""Chance from which a victim of the fault repaired last is repaired before anything is proved: below, proofs tell."""

OFTEN = 2
"""A repair that was done so often and cured nothing is not offered again: it is something else."""

SPEAKS = 0.2
"""Log-odds by which readings have to move a fault up to speak for its repair."""


def repair_due(judged: Judgement) -> Question | None:
    """The repair that is due: wanted by the mechanic, of the verdict or a likely victim; or the check that holds it."""
    wanted = judged.state.wanted
    if judged.setup.may_have(wanted) and not barred_repair(
        judged.state, wanted, judged.dangers
    ):  # the mechanic asked for it himself
        return repair_question(judged, wanted)
    verdict = judged.decision.verdict
    faults = verdict.faults if verdict else _victims(judged)
    open_ones = [fault for fault in faults if may_be_repaired(judged, fault)]
    if not open_ones or (verdict and not any(speaks_for(judged, fault) for fault in faults)):
        return None
    holding_it = judged.held.get(open_ones[0], ())  # of a victim: a verdict is not given while one waits
    if holding_it:
        check = preferred(judged, holding_it)
        return check_question(judged, check, why=held_reason(judged, check))
    return repair_question(judged, open_ones[0])


def may_be_repaired(judged: Judgement, fault: str) -> bool:
    """Whether a repair may be offered: not barred by a danger, not turned down, and not done often enough already.

    What was just repaired is the last to be suspected again: only a fault that is sure to be back is repaired once
    more, or a victim whose cause was repaired since.
    """
    state = judged.state
    if barred_repair(state, fault, judged.dangers):
        return False
    done = [epoch.repaired for epoch in state.epochs if epoch.repaired]
    again = [number for number, mended in enumerate(judged.evidence.repairs) if fault in mended]
    seldom = len(again) < OFTEN and judged.belief.chance(fault) >= SURE
    if again and not seldom and not _caused_since(judged, fault, again[-1]):
        return False
    return fault not in state.declined and len(done) < MOST_REPAIRS


def _caused_since(judged: Judgement, fault: str, number: int) -> bool:
    """Whether a cause of a fault was repaired after the repair of that number, so that it may well last now."""
    causes = {link.cause for link in judged.judge.model.links if link.victim == fault}
    return any(not causes.isdisjoint(mended) for mended in judged.evidence.repairs[number + 1 :])


def speaks_for(judged: Judgement, fault: str) -> bool:
    """Whether what was read at the machine, all or some of it and not the complaint alone, makes a fault likelier."""
    if judged.raised(fault) >= SPEAKS:
        return True
    return any(change.log_odds >= SPEAKS and change.check != COMPLAINT for change in judged.changes(fault))


def _victims(judged: Judgement) -> list[str]:
    """What the fault repaired last most likely took with it: that is repaired before anything is proved."""
    state = judged.state
    if not state.epochs[:-1] or set(state.present.taken).difference(judged.directives.required, lifting(judged)):
        return []
    repaired = state.epochs[-2].repaired
    struck = judged.setup.machine.events.get(repaired)  # what its wires took with them was brought by it too
    causes = {repaired, *struck.hurts} if struck else {repaired}
    brought = {link.victim for link in judged.judge.model.links if link.cause in causes}
    return sorted(fault for fault in brought if judged.belief.chance(fault) >= LIKELY)


def last_resort(judged: Judgement) -> Question | None:
    """With no check left that tells anything: the likeliest repair not turned down, if it is worth its trial."""
    if judged.decision.why in ("unknown", "no trial", "sound", "no reading"):
        return None
    model, belief = judged.judge.model, judged.belief
    for fault, _ in belief.suspects:
        chance = mending(fault, belief, model)
        hopeful = chance > belief.unknown and is_worth_a_trial(chance, model.minutes(fault))
        if hopeful and may_be_repaired(judged, fault) and speaks_for(judged, fault):
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
