"""What comes next: safety, machine, complaint, kit, then whatever tells most for its minutes, to the hand-back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from coldiron.consult.again import once_more, surer
from coldiron.consult.asking import (
    ask_caution,
    ask_check,
    ask_circuit,
    ask_complaint,
    ask_hand_back,
    ask_kit,
    ask_last_time,
    ask_now,
    ask_page,
    ask_repair,
    ask_set,
    ask_stands,
    ask_story,
    ask_trait,
    ask_volts,
)
from coldiron.consult.shares import settled
from coldiron.consult.ways_out import lifting, way_out
from coldiron.job.acknowledged import Waiting, waiting
from coldiron.job.at_machine import moves_on
from coldiron.job.barring import (
    asked_before,
    asked_before_repair,
    barred_check,
    barred_proof,
    barred_repair,
    barred_setting,
)
from coldiron.job.cautions import before_check, before_repair, before_setting, target
from coldiron.job.dangers import shown_now, standing_dangers
from coldiron.job.describing import next_trait
from coldiron.job.functions import Page, as_check, functions_of, seen_by
from coldiron.job.handing import failed, pages_left, still_open
from coldiron.job.question import Question
from coldiron.job.reported import to_confirm
from coldiron.job.state import HAND_BACK, State
from coldiron.job.steps import SET
from coldiron.job.warned import warned_by_answers
from coldiron.model import COMPLAINT, Ask, Check, Function

if TYPE_CHECKING:
    from coldiron.consult.judgement import Judgement
    from coldiron.diagnosis import Change

LOOKED_AT = 40
"""Suspects that the worth of a history question is weighed over."""

LIKELY = 0.5
"""A victim of the fault repaired last that is likelier than this is repaired next."""

OFTEN = 2
"""A repair that was done so often and cured nothing is not offered again: it is something else."""

LEAST_BITS = 0.01
"""A history question that tells less than this is not worth asking."""


MOST = 10
"""After so many repairs none is offered any more: an answer is wrong, or the cause is not in the book."""


def intake(state: State, before: str = "") -> Question | None:
    """The compulsory opening: safety, its cautions, the machine, the complaint, the kit. None once all is answered.

    Args:
        state: what was answered.
        before: the circuit of the machine on an earlier job, if it is known.
    """
    for asked in state.book.questions.values():
        if asked.stage == "safety" and asked.id not in state.questions:
            return ask_story(asked)
    at_once = shown_now(state, standing_dangers(state)) if state.kit is None else None
    if at_once:
        return ask_now(at_once)
    opening = not state.circuit
    due = warned_by_answers(state.book, state) if opening else ()
    if due and (open_ones := _waiting(state, due, "")):
        return ask_caution(open_ones, "what you said of how the machine stands")
    if not state.circuit:
        return _machine(state, before)
    if not state.complaint:
        return ask_complaint(state)
    if state.kit is None:
        return ask_kit(state)
    return None


def _machine(state: State, before: str) -> Question:
    """What is asked to find the circuit: that of last time, the volts, what tells most, at last the list."""
    if before in state.book.circuits and not state.said:
        return ask_last_time(state, before)
    if not state.volts:
        return ask_volts(state)
    trait = next_trait(state.book, state.said)
    return ask_trait(state, trait) if trait else ask_circuit(state)


def after_intake(judged: Judgement) -> Question | None:
    """What comes next once the machine is known; None when the job is over or nothing more can be asked."""
    state = judged.state
    if state.handed_back:
        return None
    asked = (
        _of_danger(judged)
        or _stands(judged)
        or _repeated(judged, once_more(judged))
        or _repair(judged)
        or _proof(judged)
        or _hand_back(judged)
    )
    if asked is None and not _fails_beside_the_book(judged):
        asked = _learn(judged)
    return asked or _way_out(judged, last=True)


def _repeated(judged: Judgement, wanted: tuple[Check, str] | None) -> Question | None:
    """A reading once more."""
    return check_question(judged, wanted[0], why=wanted[1]) if wanted else None


def _of_danger(judged: Judgement) -> Question | None:
    """What to do this second about a danger just found, then what may tell that one is over."""
    at_once = shown_now(judged.state, judged.dangers)
    return ask_now(at_once) if at_once else _way_out(judged)


def _way_out(judged: Judgement, *, last: bool = False) -> Question | None:
    found = way_out(judged, last=last)
    if found is None:
        return None
    name, why = found
    book = judged.state.book
    return (
        ask_story(book.questions[name], why)
        if name in book.questions
        else check_question(judged, book.checks[name], why=why)
    )


def _waiting(state: State, due: Iterable[str], step: str, *, moves: bool = False) -> Waiting:
    return waiting(state.book, state.acks, due, step, moves=moves)


def _stands(judged: Judgement) -> Question | None:
    """How the machine stands, where somebody else was at it: asked of what the steps on it move."""
    if not judged.state.unseen:
        return None
    book = judged.state.book
    states = [book.checks[name].state for name in judged.setup.machine.checks]
    states += [function.state for function in functions_of(book, judged.state.circuit)]
    moved = {name for state in states for name in state}
    return ask_stands(judged.state, [name for name in book.settings if name in moved and book.settings[name].confirm])


def _fails_beside_the_book(judged: Judgement) -> bool:
    """Whether the repair is proven, and all that fails is something that no check of this machine has to do with."""
    wrong = failed(judged.state)
    return bool(wrong) and is_proven(judged) and not any(tells(judged, function) for function in wrong)


def tells(judged: Judgement, function: Function) -> bool:
    """Whether the failure of a function is a finding of some check of this machine."""
    state = judged.state
    shown = state.present.shown[function.id].understood
    seen = seen_by(state.book, function, shown, state.volts, state.batteries)
    return any(check in judged.setup.machine.checks for check, _ in seen)


def is_proven(judged: Judgement) -> bool:
    """Whether something was repaired, every proof since was taken, none failed, and the last was good."""
    wanted = proofs(judged)
    if not wanted or _open_proofs(judged) or _failed_proofs(judged):
        return False
    last = wanted[-1]
    return judged.state.present.taken[last.id].understood.finding == last.good


def _repair(judged: Judgement) -> Question | None:
    wanted = judged.state.wanted
    if wanted in judged.setup.machine.faults and not barred_repair(
        judged.state, wanted, judged.dangers
    ):  # the mechanic asked for it himself
        return repair_question(judged, wanted)
    verdict = judged.decision.verdict
    faults = verdict.faults if verdict else _victims(judged)
    open_ones = [fault for fault in faults if _may_be_repaired(judged, fault)]
    if not open_ones:
        return None
    holding_it = judged.held.get(open_ones[0], ())  # of a victim: a verdict is not given while one waits
    if holding_it:
        check = preferred(judged, holding_it)
        return check_question(judged, check, why=_held_reason(judged, check))
    return repair_question(judged, open_ones[0])


def _may_be_repaired(judged: Judgement, fault: str) -> bool:
    """Whether a repair may be offered: not barred by a danger, not turned down, and not done often enough already."""
    state = judged.state
    if barred_repair(state, fault, judged.dangers):
        return False
    done = [epoch.repaired for epoch in state.epochs if epoch.repaired]
    return fault not in state.declined and done.count(fault) < OFTEN and len(done) < MOST


def _victims(judged: Judgement) -> list[str]:
    """What the fault repaired last most likely took with it: that is repaired before anything is proved."""
    state = judged.state
    if not state.epochs[:-1] or set(state.present.taken).difference(judged.directives.required, lifting(judged)):
        return []
    repaired = state.epochs[-2].repaired
    brought = {link.victim for link in judged.setup.table.model.links if link.cause == repaired}
    return sorted(fault for fault in brought if judged.belief.chance(fault) >= LIKELY)


def repair_question(judged: Judgement, fault: str) -> Question:
    """The repair of a fault, or the preparation for it."""
    state = judged.state
    first = asked_before_repair(state, fault, judged.setup.machine.checks)
    if first:
        return ask_story(first)
    named = state.book.faults[fault]
    due = before_repair(state.book, fault, _warned(judged))
    open_ones = _waiting(state, due, fault, moves=True)
    if open_ones:
        return ask_caution(open_ones, f"the repair of {named.name}", fault)
    return ask_repair(named, judged.belief.chance(fault), [state.book.cautions[name] for name in due])


def _proof(judged: Judgement) -> Question | None:
    if not judged.state.epochs[:-1] or _failed_proofs(judged):
        return None
    for check in _open_proofs(judged):
        if barred_proof(judged.state, check, judged.dangers):
            return _way_out(judged, last=True)
        return check_question(judged, check, kind="proof", why="The repair is only done when this reads well.")
    return None


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


def _open_proofs(judged: Judgement) -> list[Check]:
    return [check for check in proofs(judged) if check.id not in judged.state.present.taken]


def _failed_proofs(judged: Judgement) -> list[Check]:
    taken = judged.state.present.taken
    return [c for c in proofs(judged) if c.id in taken and taken[c.id].understood.finding not in ("", c.good)]


def _hand_back(judged: Judgement) -> Question | None:
    """Put back what is off, show every function, put back again, hand over. Nothing while a function fails."""
    state = judged.state
    wrong = failed(state)
    if not is_proven(judged) or state.raw.get(HAND_BACK) == "no" or any(tells(judged, one) for one in wrong):
        return None
    left = pages_left(state)
    # What the pages move goes from page to page, and is put back after the last.
    moved = {name for one in functions_of(state.book, state.circuit) for name in one.state} if left else set()
    for setting, value in state.undone:
        if setting not in moved:
            return _put_back(judged, setting, value)
    if left:
        return _page_question(judged, left[0])
    return None if wrong else _hand_over(judged)


def _put_back(judged: Judgement, setting: str, value: str) -> Question | None:
    """Put a setting back before the machine is handed over; while a danger bars that, the way out."""
    if barred_setting(judged.state, setting, value, judged.dangers):
        return _way_out(judged, last=True)
    return _set(judged, setting, value)


def _set(judged: Judgement, setting: str, value: str, step: str = "") -> Question:
    """Put a setting to a value, for a check or back to normal; what can hurt in doing so stands before it."""
    state = judged.state
    due = before_setting(state.book, setting, value, _warned(judged))
    before = step or SET + setting
    open_ones = _waiting(state, due, before, moves=True)
    if open_ones:
        return ask_caution(open_ones, f"{state.book.settings[setting].name} to '{value}'", before)
    return ask_set(state, setting, value, [state.book.cautions[name] for name in due], step)


def _prepared(judged: Judgement, check: Check, words: str) -> Question | None:
    """What comes before a step at the machine: settings that are said by themselves, then what can hurt in it."""
    state = judged.state
    first = asked_before(state, check, judged.setup.machine.checks)
    if first:
        return ask_story(first)
    wanted = target(state.book, check, state.settings)
    for setting, value in to_confirm(state.book, state.settings, wanted):
        return _set(judged, setting, value, check.id)
    due = before_check(state.book, check, state.settings, _warned(judged))
    open_ones = _waiting(state, due, check.id, moves=moves_on(state, check))
    return ask_caution(open_ones, words, check.id) if open_ones else None


def _page_question(judged: Judgement, page: Page) -> Question | None:
    """A page of functions, or the preparation screen for it; of one that a danger bars, the way out."""
    check = as_check(page)
    if barred_check(judged.state, check, judged.dangers):
        return _way_out(judged, last=True)
    words = page[0].ask if len(page) == 1 else f"showing {', '.join(function.name for function in page)}"
    return _prepared(judged, check, words) or ask_page(judged.state, page, tuple(_warned(judged)))


def _hand_over(judged: Judgement) -> Question:
    """The last question; where the book lists no functions, it is the machine itself that is shown, engine and all."""
    state = judged.state
    listed = bool(functions_of(state.book, state.circuit))
    warned = tuple(_warned(judged))
    cranks = () if listed else judged.setup.turning
    due = [name for check in cranks for name in before_check(state.book, check, state.settings, warned)]
    open_ones = _waiting(state, dict.fromkeys(due or warned), HAND_BACK, moves=True)
    if open_ones:
        words = "handing it back" if listed else "starting it and showing every function"
        return ask_caution(open_ones, words, HAND_BACK)
    return ask_hand_back(still_open(state), listed=listed)


def _learn(judged: Judgement) -> Question | None:
    """The check or history question that tells most per minute.

    Before anything was read a check comes first: one would be made anyway, and its reading leaves most of the history
    not worth asking.
    """
    begun = judged.state.begun
    if begun in {offer.check for offer in judged.offers}:  # something was set for it: it is read before anything else
        return check_question(judged, judged.state.book.checks[begun], why="The machine was set for it.")
    if judged.decision.why == "held":
        check = holding(judged)
        return check_question(judged, check, why=_held_reason(judged, check))
    choice = judged.choice
    best = choice.bits / max(choice.minutes, 0.1) if choice else 0.0
    told = _best_story(judged) if choice is None or _read_anything(judged.state) else None
    if told and told[1] > best:
        return ask_story(told[0])
    if choice is None:
        return _repeated(judged, surer(judged)) or _last_resort(judged)
    return check_question(judged, judged.state.book.checks[choice.check], why=_reason(judged))


def _read_anything(state: State) -> bool:
    """Whether any check was answered on this job, readings given unasked and those out of reach included."""
    return any(name != COMPLAINT for epoch in state.epochs for name in epoch.taken)


def holding(judged: Judgement) -> Check:
    """Of the checks that hold a verdict the one that comes first."""
    return preferred(judged, judged.decision.held_by)


def preferred(judged: Judgement, checks: Iterable[str]) -> Check:
    """Of several checks that hold something the one that the rules prefer most, then the shortest."""

    def rank(name: str) -> tuple[float, float, str]:
        weight, _ = judged.directives.preferred.get(name, (1.0, ""))
        return -weight, judged.state.book.checks[name].minutes, name

    return judged.state.book.checks[min(checks, key=rank)]


def _held_reason(judged: Judgement, check: Check) -> str:
    if check.id == judged.contradicting:
        return (
            "It does not fit the other answers. Before anything is blamed: leads and range looked over, and once more."
        )
    rules = judged.directives.because.get(("require", check.id), ())
    said = [judged.state.book.rules[name].because for name in rules]
    return said[0] if said else "A rule wants this done before anything is blamed."


def _reason(judged: Judgement) -> str:
    choice = judged.choice
    if choice is None:
        return ""
    wanted = judged.directives.preferred.get(choice.check)
    if wanted:
        return judged.state.book.rules[wanted[1]].because
    belief = judged.belief
    return f"It settles {settled(choice.bits, belief.parts, belief.unknown)} for its {_minutes(choice.minutes)}."


def _minutes(minutes: float) -> str:
    return "minute" if minutes < 1.5 else f"{minutes:.0f} minutes"


def check_question(judged: Judgement, check: Check, kind: str = "check", why: str = "") -> Question:
    """A check, or the preparation screen for it."""
    return _prepared(judged, check, check.ask) or ask_check(judged.state, check, kind, why, _warned(judged))


def _warned(judged: Judgement) -> Iterable[str]:
    of_dangers = (name for stands in judged.dangers for name in stands.danger.warns)
    return tuple(
        dict.fromkeys((*warned_by_answers(judged.state.book, judged.state), *judged.directives.warned, *of_dangers))
    )


def _best_story(judged: Judgement) -> tuple[Ask, float] | None:
    """The open history question with most bits per minute, and that figure."""
    from coldiron.consult.history import gain  # noqa: PLC0415 - keeps the first question light

    suspects = judged.belief.suspects[:LOOKED_AT]
    best: tuple[Ask, float] | None = None
    for asked in judged.state.book.questions.values():
        if asked.stage != "history" or asked.id in judged.state.questions:
            continue
        bits = gain(judged.setup.history(asked), suspects)
        rate = bits / max(asked.minutes, 0.1)
        if bits >= LEAST_BITS and (best is None or rate > best[1]):
            best = (asked, rate)
    return best


def _last_resort(judged: Judgement) -> Question | None:
    """With no check left that tells anything: the likeliest repair not turned down, if any is likely at all."""
    if judged.decision.why in ("unknown", "sound", "no reading"):
        return None
    for fault, chance in judged.belief.suspects:
        if _may_be_repaired(judged, fault) and chance > judged.belief.unknown:
            return repair_question(judged, fault)
    return None
