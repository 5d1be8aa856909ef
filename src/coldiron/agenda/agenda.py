"""What comes next once the machine is known: whatever tells most for its minutes, to the hand-back."""

from __future__ import annotations

from coldiron.agenda.again import once_more, surer
from coldiron.agenda.preparing import check_question, way_out_question
from coldiron.agenda.proving import hand_back_question, has_what_failed, is_proven, proof_question, tells
from coldiron.agenda.repairing import held_reason, holding, last_resort, repair_due
from coldiron.book.checks import Check
from coldiron.book.history import Ask
from coldiron.job.at_machine import AWAY, TOUCHED
from coldiron.job.dangers import shown_now
from coldiron.job.handing import failed
from coldiron.job.question import Question
from coldiron.job.shares import narrows
from coldiron.job.state import State
from coldiron.job.steps import (
    AcknowledgeStep,
    AnswerStep,
    BackStep,
    CardStep,
    NoteStep,
    ParkStep,
    PauseStep,
    Step,
    standing,
)
from coldiron.judging.history import gain, has_to_tell, turns
from coldiron.judging.judgement import Judgement
from coldiron.machine.describing import feature_before
from coldiron.machine.duties import duties_of
from coldiron.machine.unasked import feature_before_fix
from coldiron.questions.machine import ask_feature
from coldiron.questions.now import ask_now
from coldiron.questions.stands import ask_stands
from coldiron.questions.story import ask_story
from coldiron.questions.told import ask_heard

LOOKED_AT = 40
"""Suspects that the worth of a history question is weighed over: those after them hold next to nothing of the odds."""

BEST = "Best next check"
"""How the reason of a check begins that was chosen for what it tells."""

LEAST_BITS = 0.01
"""Bits: a history question that tells less is not worth the breath."""


def after_intake(judged: Judgement) -> Question | None:
    """What comes next once the machine is known; None when the job is over or nothing more can be asked."""
    state = judged.state
    if state.handed_back:
        return None
    asked = (
        _of_danger(judged)
        or ask_heard(state)
        or _stands(judged)
        or _repeated(judged, once_more(judged))
        or _on_a_good_day(judged)
        or _before_repair(judged, repair_due(judged))
        or proof_question(judged)
        or hand_back_question(judged)
    )
    if asked is None:
        asked = has_what_failed(judged) if _fails_beside_the_book(judged) else _learn(judged)
    return asked or way_out_question(judged, last=True)


def _before_repair(judged: Judgement, due: Question | None) -> Question | None:
    """The repair that is due, or first a question that may well name another: it saves the minutes of one in vain."""
    if due is None or due.kind != "repair" or due.id == judged.state.wanted:
        return due
    suspects = judged.belief.suspects[:LOOKED_AT]
    talks = has_to_tell(judged.state.book, judged.state.questions)
    saved = {
        asked.id: talks * turns(judged.setup.history(asked), suspects) * due.minutes - asked.minutes
        for asked in _open_history(judged)
    }
    best = max(saved, key=lambda name: saved[name], default="")
    if best and saved[best] > 0:
        return ask_story(judged.state.book.questions[best])
    return _what_lies_there_too(judged, due.id) or due


def _what_lies_there_too(judged: Judgement, fault: str) -> Question | None:
    """What may lie in the same stretch as the part that is to be fixed, if nobody was asked for it."""
    state = judged.state
    part = judged.setup.machine.faults[fault].part if fault in judged.setup.machine.faults else ""
    feature = feature_before_fix(state.book, state.said, state.complaint, part) if part else None
    return ask_feature(state, feature) if feature is not None else None


def _open_history(judged: Judgement) -> list[Ask]:
    """The questions of history that were not put yet, in the order of the book."""
    book = judged.state.book
    return [one for one in book.questions.values() if one.stage == "history" and one.id not in judged.state.questions]


def _repeated(judged: Judgement, wanted: tuple[Check, str] | None) -> Question | None:
    """A reading once more."""
    return check_question(judged, wanted[0], why=wanted[1]) if wanted else None


def _on_a_good_day(judged: Judgement) -> Question | None:
    """The way back to its owner once a fix of what comes and goes is proven: good starts alone clear little of it."""
    return hand_back_question(judged) if judged.there < 1 else None


def _of_danger(judged: Judgement) -> Question | None:
    """What to do this second about a danger just found, then what may tell that one is over."""
    at_once = shown_now(judged.state, judged.dangers)
    return ask_now(at_once) if at_once else way_out_question(judged)


def _stands(judged: Judgement) -> Question | None:
    """How the machine stands, where somebody else worked on it: asked of what the steps on it move."""
    if not judged.state.unseen:
        return None
    book = judged.state.book
    states = [book.checks[name].state for name in judged.setup.machine.checks]
    states += [duty.state for duty in duties_of(book, judged.state.circuit)]
    moved = {name for state in states for name in state}
    return ask_stands(judged.state, [name for name in book.settings if name in moved and book.settings[name].confirm])


def _fails_beside_the_book(judged: Judgement) -> bool:
    """Whether the repair is proven, and all that fails is something that no check of this machine has to do with."""
    wrong = failed(judged.state) if is_proven(judged) else ()
    return bool(wrong) and not any(tells(judged, duty) for duty in wrong)


def _learn(judged: Judgement) -> Question | None:
    """The check or history question that tells most per minute.

    Before anything was read a check comes first: one would be made anyway, and its reading leaves most of the history
    not worth asking.
    """
    begun = judged.state.begun
    if begun in {offer.check for offer in judged.offers}:  # something was set for it: it is read before anything else
        return check_question(judged, judged.state.book.checks[begun], why="The machine is set up for it.")
    if judged.decision.why == "held":
        check = holding(judged)
        return check_question(judged, check, why=held_reason(judged, check))
    choice, read_for = judged.choice, _acknowledged_for(judged.state)
    if read_for in {offer.check for offer in judged.offers}:
        why = _reason(judged) if choice and choice.check == read_for else "You have just read its cautions."
        return check_question(judged, judged.state.book.checks[read_for], why=why)
    best = choice.bits / max(choice.minutes, 0.1) if choice else 0.0
    told = _best_story(judged) if choice is None or judged.state.has_read else None
    if told and told[1] > best:
        return ask_story(told[0])
    if choice is None:
        return _repeated(judged, surer(judged)) or last_resort(judged)
    return _whether_it_has(judged.state, choice.check) or check_question(
        judged, judged.state.book.checks[choice.check], why=_reason(judged)
    )


def _whether_it_has(state: State, check: str) -> Question | None:
    """What is asked of the machine first where not every machine of its sort has what a check is made on."""
    feature = feature_before(state.book, state.said, check) if state.taken else None
    return ask_feature(state, feature) if feature is not None else None


def _acknowledged_for(state: State) -> str:
    """The step whose cautions were just read: it is done, though another may now be as quick; empty if none were.

    It still is after a note, and where the job was parked there and nobody touched the machine since.
    """
    last = state.log[-1] if state.log else None
    if not isinstance(last, AcknowledgeStep | BackStep) and not _says_nothing(last):
        return ""  # without looking for what still stands of the log
    first = next((step for step in reversed(standing(state.log)) if not _says_nothing(step)), None)
    return first.before if isinstance(first, AcknowledgeStep) else ""


def _says_nothing(step: Step | None) -> bool:
    """Whether a step tells nothing of the machine: a note, or a stay away after which it stands as it did."""
    come_back = isinstance(step, AnswerStep) and step.id == AWAY and step.value != TOUCHED
    return come_back or isinstance(step, NoteStep | ParkStep | PauseStep | CardStep)


def _reason(judged: Judgement) -> str:
    choice = judged.choice
    if choice is None:
        return ""
    wanted = judged.directives.preferred.get(choice.check)
    if wanted:
        return judged.state.book.rules[wanted[1]].because
    return f"{BEST}: {narrows(judged.settled(choice.bits))}, {_minutes(choice.minutes)}."


def _minutes(minutes: float) -> str:
    return "1 minute" if minutes < 1.5 else f"{minutes:.0f} minutes"


def _best_story(judged: Judgement) -> tuple[Ask, float] | None:
    """The open history question with most bits per minute, and that figure."""
    suspects = judged.belief.suspects[:LOOKED_AT]
    talks = has_to_tell(judged.state.book, judged.state.questions)
    best: tuple[Ask, float] | None = None
    for asked in _open_history(judged):
        bits = talks * gain(judged.setup.history(asked), suspects)
        rate = bits / max(asked.minutes, 0.1)
        if bits >= LEAST_BITS and (best is None or rate > best[1]):
            best = (asked, rate)
    return best
