"""What proves a repair, and what follows it: put back what is off, show every duty, hand the machine over."""

from __future__ import annotations

from coldiron.agenda.preparing import check_question, page_question, setting_question, warned, way_out_question
from coldiron.book.checks import Check
from coldiron.book.duties import Duty
from coldiron.book.history import COMPLAINT
from coldiron.choice.doubt import Change
from coldiron.job.at_machine import place_of
from coldiron.job.cautions import before_check
from coldiron.job.dangers import barred_proof, barred_setting
from coldiron.job.handing import failed, pages_left, still_open
from coldiron.job.question import Question
from coldiron.job.state import HAND_BACK
from coldiron.job.warned import waiting_for
from coldiron.judging.judgement import Judgement
from coldiron.machine.duties import duties_of, seen_by
from coldiron.machine.unasked import feature_that_tells
from coldiron.questions.caution import ask_caution
from coldiron.questions.hand_back import ask_hand_back
from coldiron.questions.machine import ask_feature


def proof_question(judged: Judgement) -> Question | None:
    """The next proof of the latest repair, or what must come before it; nothing where none is left or one failed.

    One that failed is read once more where all else says that the machine is sound: leads slip, and words are misheard.
    """
    if not judged.state.epochs[:-1]:
        return None
    if failed_proofs(judged):
        doubted = _doubted(judged)
        if doubted:
            why = "This alone did not read right; all else says that it is fixed. Take it again."
            return check_question(judged, doubted, kind="proof", why=why)
        if not _missed_by_a_hair(judged):
            return None
    for check in open_proofs(judged):
        if barred_proof(judged.state, check, judged.dangers):
            return way_out_question(judged, last=True)
        return check_question(judged, check, kind="proof", why="It is not fixed until this reads right.")
    return None


def is_proven(judged: Judgement) -> bool:
    """Whether something was repaired, every proof since was asked for, none failed, and the last was good.

    Where one cannot be had, or misses its band by a hair, all that was read since decides: if that says that nothing is
    wrong any more, the machine goes on to be shown, piece by piece.
    """
    wanted = proofs(judged)
    if not wanted or open_proofs(judged) or _doubted(judged):
        return False
    last = [*wanted, *judged.setup.turning, *judged.setup.running][-1]
    taken = judged.state.present.taken
    if not failed_proofs(judged) and taken[last.id].understood.finding == last.good:
        return True
    return _missed_by_a_hair(judged)


def _reads_sound(judged: Judgement) -> bool:
    """Whether something was read since the repair, and the odds of it say that nothing is wrong any more."""
    read = any(one.understood.tells for name, one in judged.state.present.taken.items() if name != COMPLAINT)
    return read and judged.decision.why == "sound"


def _doubted(judged: Judgement) -> Check | None:
    """The failed proof that is read once more before the machine is shown, if all else says that it is sound."""
    again = judged.state.present.again
    failed_ones = [check for check in failed_proofs(judged) if check.id not in again]
    if not failed_ones or not _reads_sound(judged):
        return None
    return next((c for c in failed_ones if not barred_proof(judged.state, c, judged.dangers)), None)


def _missed_by_a_hair(judged: Judgement) -> bool:
    """Whether all else says that it is sound, and the proofs that failed, read again, do not contradict that."""
    if not _reads_sound(judged):
        return False
    doubted = judged.contradiction
    return doubted is None or doubted.check not in {check.id for check in failed_proofs(judged)}


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
    turns, runs = judged.setup.turning, judged.setup.running
    seen = [check for check in _complained(judged) if check not in (*turns, *runs)]  # at OFF and ON, before it cranks
    # What is read at START where it is cranked follows the first crank: all that can hurt then is read of in full once.
    cranked = [check for check in found if _cranks_there(judged, check)]
    order = (*([] if cranked else found), *seen, *turns, *cranked, *runs)
    return tuple({check.id: check for check in order}.values())


def _cranks_there(judged: Judgement, check: Check) -> bool:
    """Whether a check is read while something like START is held, in the place where it is seen that it cranks."""
    book = judged.state.book
    held = any(book.settings[name].held == value for name, value in check.state.items() if book.settings[name].held)
    place = place_of(book, check.area)
    return held and any(place == place_of(book, turning.area) for turning in judged.setup.turning)


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


def hand_back_question(judged: Judgement) -> Question | None:
    """Put back what is off, show every duty, put back again, hand over. Nothing while a duty fails."""
    state = judged.state
    if state.kept_back or not is_proven(judged):
        return None
    wrong = failed(state)
    if any(tells(judged, one) for one in wrong) or has_what_failed(judged):
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


def has_what_failed(judged: Judgement) -> Question | None:
    """What the machine may have and nobody was asked for, where something failed that none of its checks is made on."""
    state = judged.state
    named = {check for duty in failed(state) for check, _ in duty.fails_as}
    feature = feature_that_tells(state.book, state.said, named) if named else None
    return ask_feature(state, feature) if feature is not None else None


def tells(judged: Judgement, duty: Duty) -> bool:
    """Whether the failure of a duty is a finding of some check of this machine."""
    state = judged.state
    shown = state.present.shown[duty.id].understood
    seen = seen_by(state.book, duty, shown, state.volts, state.batteries)
    return any(check in judged.setup.machine.checks for check, _ in seen)
