"""Put back what is off, show every duty, hand the machine over."""

from __future__ import annotations

from coldiron.agenda.preparing import page_question, setting_question, warned, way_out_question
from coldiron.agenda.proving import is_proven
from coldiron.agenda.waits import waiting_for
from coldiron.book.duties import Duty
from coldiron.job.barring import barred_setting
from coldiron.job.cautions import before_check
from coldiron.job.handing import failed, pages_left, still_open
from coldiron.job.question import Question
from coldiron.job.state import HAND_BACK
from coldiron.judging.judgement import Judgement
from coldiron.machine.duties import duties_of, seen_by
from coldiron.questions.caution import ask_caution
from coldiron.questions.hand_back import ask_hand_back


def hand_back_question(judged: Judgement) -> Question | None:
    """Put back what is off, show every duty, put back again, hand over. Nothing while a duty fails."""
    state = judged.state
    wrong = failed(state)
    if not is_proven(judged) or state.kept_back or any(tells(judged, one) for one in wrong):
        return None
    left = pages_left(state)
    # What the pages move goes from page to page, and is put back after the last.
    moved = {name for one in duties_of(state.book, state.circuit) for name in one.state} if left else set()
    for setting, value in state.undone:
        if setting not in moved:
            return _put_back(judged, setting, value)
    if left:
        return page_question(judged, left[0])
    return None if wrong else _hand_over(judged)


def _put_back(judged: Judgement, setting: str, value: str) -> Question | None:
    """Put a setting back before the machine is handed over; while a danger bars that, the way out."""
    if barred_setting(judged.state, setting, value, judged.dangers):
        return way_out_question(judged, last=True)
    return setting_question(judged, setting, value)


def _hand_over(judged: Judgement) -> Question:
    """The last question; where the book lists no duties, it is the machine itself that is shown, engine and all."""
    state = judged.state
    listed = bool(duties_of(state.book, state.circuit))
    told = tuple(warned(judged))
    cranks = () if listed else judged.setup.turning
    due = [name for check in cranks for name in before_check(state.book, check, state.settings, told)]
    open_ones = waiting_for(state, dict.fromkeys(due or told), HAND_BACK, moves=True)
    if open_ones:
        words = "handing it back" if listed else "starting it and showing all it must do"
        return ask_caution(open_ones, words, HAND_BACK)
    return ask_hand_back(still_open(state), listed=listed)


def tells(judged: Judgement, duty: Duty) -> bool:
    """Whether the failure of a duty is a finding of some check of this machine."""
    state = judged.state
    shown = state.present.shown[duty.id].understood
    seen = seen_by(state.book, duty, shown, state.volts, state.batteries)
    return any(check in judged.setup.machine.checks for check, _ in seen)
