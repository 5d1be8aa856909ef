"""What proves a repair, and whether it is proven."""

from __future__ import annotations

from coldiron.agenda.preparing import check_question, way_out_question
from coldiron.book.checks import Check
from coldiron.choice.doubt import Change
from coldiron.job.barring import barred_proof
from coldiron.job.question import Question
from coldiron.judging.judgement import Judgement


def proof_question(judged: Judgement) -> Question | None:
    """The next proof of the latest repair, or what must come before it; nothing where none is left or one failed."""
    if not judged.state.epochs[:-1] or failed_proofs(judged):
        return None
    for check in open_proofs(judged):
        if barred_proof(judged.state, check, judged.dangers):
            return way_out_question(judged, last=True)
        return check_question(judged, check, kind="proof", why="It is not fixed until this reads right.")
    return None


def is_proven(judged: Judgement) -> bool:
    """Whether something was repaired, every proof since was taken, none failed, and the last was good."""
    wanted = proofs(judged)
    if not wanted or open_proofs(judged) or failed_proofs(judged):
        return False
    last = wanted[-1]
    return judged.state.present.taken[last.id].understood.finding == last.good


def proofs(judged: Judgement) -> tuple[Check, ...]:
    """What proves the latest repair: what told most against the fault, the complaint, that it cranks and runs."""
    if not judged.state.epochs[:-1]:
        return ()
    told = [
        judged.state.book.checks[change.check]
        for change in judged.changes_before_repair
        if change.log_odds > 0 and _read_badly(judged, change)
    ]
    # What is found by eye, or by fitting another part, may look the same on a sound machine: it proves nothing.
    measured = [check for check in told if check.reads.quantity != "eye" and _reachable(judged, check)]
    found = measured[:1]
    runs = [*judged.setup.turning, *judged.setup.running]
    seen = [check for check in _complained(judged) if check not in runs]  # at OFF and ON, before it is cranked
    return (*found, *(check for check in (*seen, *runs) if check not in found))


def _read_badly(judged: Judgement, change: Change) -> bool:
    """Whether a check read badly before the repair, so that a good reading now tells something."""
    check = judged.state.book.checks.get(change.check)
    taken = judged.state.epochs[change.epoch].taken.get(change.check)
    return check is not None and taken is not None and taken.understood.finding not in ("", check.good)


def _complained(judged: Judgement) -> list[Check]:
    """What the complaint saw amiss, less the clicks: an engine that cranks has clicked, lamps may still be dark."""
    state = judged.state
    told = state.book.complaints.get(state.complaint)
    seen = [(state.book.checks[name], finding) for name, finding in told.sees] if told else []
    amiss = [check for check, finding in seen if finding != check.good and check.reads.quantity != "click"]
    return [check for check in amiss if check.id in judged.setup.machine.checks and _reachable(judged, check)]


def _reachable(judged: Judgement, check: Check) -> bool:
    return judged.state.kit is None or judged.state.kit.issuperset(check.kit)


def open_proofs(judged: Judgement) -> list[Check]:
    """The proofs that were not taken yet."""
    return [check for check in proofs(judged) if check.id not in judged.state.present.taken]


def failed_proofs(judged: Judgement) -> list[Check]:
    """The proofs that read badly: the search goes on."""
    taken = judged.state.present.taken
    return [c for c in proofs(judged) if c.id in taken and taken[c.id].understood.finding not in ("", c.good)]
