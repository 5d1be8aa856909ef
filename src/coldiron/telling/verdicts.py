"""From a judged state of a job to its outcome."""

from __future__ import annotations

from coldiron.book.checks import ODD
from coldiron.book.history import COMPLAINT
from coldiron.job.handing import failed, results, still_open
from coldiron.job.state import State
from coldiron.judging.judgement import MOST_REPAIRS, Judgement
from coldiron.machine.duties import stops
from coldiron.questions.check import finding_in_words
from coldiron.record import replace
from coldiron.telling.between import where_it_lies
from coldiron.telling.in_vain import in_vain
from coldiron.telling.leaving import HELP, good_day, missing_kit, no_trial
from coldiron.telling.loom import wires_at
from coldiron.telling.outcome import EvidenceLink, Outcome, Status

TELLING = 0.2
"""Smallest change of log-odds, in nats, for a reading to be listed as support for a fault."""

NOT_EXCLUDED = 0.02
"""Smallest chance of a fault to be listed as still possible."""


def outcome_of(judged: Judgement, *, proven: bool, nothing_left: bool) -> Outcome:
    """The outcome of a judged state: whether a repair is proven, and `nothing_left` when no question follows."""
    found = results(judged.state)
    return replace(
        _outcome(judged, proven=proven, nothing_left=nothing_left),
        in_vain=in_vain(judged),
        shown=tuple(str(one) for one in found if one.how == "shown"),
        still_open=tuple((str(one), one.duty.until) for one in found if one.how == "open"),
        failed=tuple((str(one), f"{one.duty.otherwise} {one.duty.until}") for one in found if one.how == "failed"),
    )


def _outcome(judged: Judgement, *, proven: bool, nothing_left: bool) -> Outcome:
    state = judged.state
    repaired = tuple(epoch.repaired for epoch in state.epochs if epoch.repaired)
    advice = tuple(advice.text for advice in judged.directives.advice)
    if state.handed_back:
        status: Status = "out of service" if stops(still_open(state)) else "handed back"
        return Outcome(status, repaired=repaired, advice=advice)
    if proven and not failed(state):
        needs = "When everything is shown, change the answer 'no' and hand it back." if nothing_left else ""
        return Outcome("proven", repaired=repaired, advice=advice, needs=needs)
    verdict = judged.decision.verdict
    if verdict is None or (nothing_left and not _is_a_cause(judged, verdict.faults)):
        needs = "" if not nothing_left else _needs(judged) if verdict is None else _left_with(judged, verdict.faults)
        rest = tuple((name, p) for name, p in judged.belief.suspects[:5] if p >= NOT_EXCLUDED)
        return Outcome(
            "needs" if nothing_left else "open",
            not_excluded=rest,
            unknown=judged.belief.unknown,
            repaired=repaired,
            advice=advice,
            needs=needs,
        )
    faults = [state.book.faults[name] for name in verdict.faults]
    rest = tuple((n, p) for n, p in judged.belief.suspects if p >= NOT_EXCLUDED and n not in verdict.faults)
    return Outcome(
        "cause",
        faults=tuple((name, judged.belief.chance(name)) for name in verdict.faults),
        evidence=chain_of_evidence(judged, verdict.faults[0]),
        not_excluded=rest[:5],
        unknown=verdict.unknown,
        damages=tuple(fault.what.damages for fault in faults if fault.what.damages),
        cautions=tuple(state.book.cautions[c] for c in dict.fromkeys(c for f in faults for c in f.what.cautions)),
        repairs=tuple(f"{fault.name}. {fault.what.repair}" for fault in faults),
        proofs=tuple(fault.what.proof for fault in faults if fault.what.proof),
        repaired=repaired,
        advice=advice,
        needs=_undone(judged, verdict.faults) if nothing_left else "",
        wires=wires_at(judged, verdict.faults[0]),
    )


def _was_offered(judged: Judgement, faults: tuple[str, ...]) -> bool:
    """Whether the repair of a verdict was turned down or done, or so many were done that none is offered any more."""
    done = [epoch.repaired for epoch in judged.state.epochs if epoch.repaired]
    return len(done) >= MOST_REPAIRS or not judged.state.declined.union(done).isdisjoint(faults)


def _is_a_cause(judged: Judgement, faults: tuple[str, ...]) -> bool:
    """Whether a job may end with these as its cause: something of them is left to be done."""
    done = {epoch.repaired for epoch in judged.state.epochs}
    return _was_offered(judged, faults) and not done.issuperset(faults)


def _left_with(judged: Judgement, faults: tuple[str, ...]) -> str:
    """The sentence for a job that ends with a verdict that is no cause to be repaired."""
    return _undone(judged, faults) if _was_offered(judged, faults) else no_trial(judged)


def _undone(judged: Judgement, faults: tuple[str, ...]) -> str:
    """The sentence for a job with a verdict and no next step: its repair was turned down, or cured nothing."""
    state = judged.state
    turned_down = [state.book.faults[name].name for name in faults if name in state.declined]
    if turned_down:
        named = "; ".join(turned_down)
        return f"You turned down this fix: {named}. Once it is done, type 'done' and words of its name."
    done = [epoch.repaired for epoch in state.epochs if epoch.repaired]
    if len(done) >= MOST_REPAIRS:
        return (
            f"{len(done)} fixes were done and none cured it. Go over the answers again with 'change'. "
            "If they are all right, this tool does not know the fault. "
            "Get the maker's diagram, or a licensed electrician."
        )
    names = ", ".join(state.book.faults[name].name for name in faults)
    return f"The fix for {names} was done before and did not cure it. {where_it_lies(judged)} {HELP}"


def chain_of_evidence(judged: Judgement, fault: str) -> tuple[EvidenceLink, ...]:
    """The readings that support a fault, the strongest first."""
    return tuple(
        EvidenceLink(change.check, shown_in_words(judged.state, change.check, change.epoch), change.log_odds)
        for change in judged.changes(fault)
        if change.log_odds >= TELLING
    )


def shown_in_words(state: State, check: str, epoch: int) -> str:
    """A reading in words: the check, the answer, and the finding."""
    if check == COMPLAINT:
        known = state.book.complaints.get(state.epochs[epoch].taken[COMPLAINT].understood.finding)
        return f"The symptom: {known.name}" if known else "The symptom"
    record = state.book.checks[check]
    taken = state.epochs[epoch].taken.get(check)
    if taken is None:
        return f"{record.ask}: worked out from other readings"
    name = taken.understood.finding
    finding = next((f for f in record.findings if f.id == name), None)
    if taken.understood.value is None:
        words = finding_in_words(state, record, finding) if finding else taken.raw
        return f"{record.ask}: {words}"
    return f"{record.ask}: {taken.raw} ({'in no known range' if name == ODD else name.replace('_', ' ')})"


def _needs(judged: Judgement) -> str:
    """The sentence for a job without a next step: the tool, the check or the help it needs."""
    wrong = failed(judged.state)
    if wrong:
        steps = " ".join(f"{duty.name}: {duty.otherwise}" for duty in wrong)
        return f"Do not hand it back like this. {steps} When it works, change the answer and go on."
    if said := good_day(judged):
        return said
    why = judged.decision.why
    if why == "held":
        asks = ", ".join(judged.state.book.checks[name].ask for name in judged.decision.held_by)
        return f"This check is needed first, but it was skipped or is out of reach: {asks}."
    if why == "no trial":
        return no_trial(judged)
    if why == "unknown":
        return f"This tool does not know the fault. {where_it_lies(judged)} {HELP}"
    missing = missing_kit(judged)
    if missing:
        return f"You need a tool that is not at hand: {', '.join(missing)}."
    return "By the readings nothing is wrong any more, or the fault comes and goes. Watch for the symptom again."
