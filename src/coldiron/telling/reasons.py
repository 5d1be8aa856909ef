"""Why: every question, suspicion, caution and conclusion in sentences, from the records behind it."""

from __future__ import annotations

from difflib import get_close_matches

from coldiron.choice.choice import NextCheck, foresee
from coldiron.engine import why as prove
from coldiron.job.question import Question
from coldiron.job.shares import in_100, settled
from coldiron.judging.judgement import Judgement
from coldiron.machine.codes import entry_of, in_words
from coldiron.model import ODD, UNITS, Answer, Caution, Check
from coldiron.questions.check import finding_in_words
from coldiron.readings.refusal import AnswerError
from coldiron.telling.conclusions import say_proof
from coldiron.telling.so_far import SoFar
from coldiron.telling.verdicts import shown_in_words

WHY_WORSE = {
    "tells less": "it tells less",
    "takes longer": "it takes longer",
    "tells less and takes longer": "it tells less and takes longer",
    "less preferred": "the rules of the shop prefer this one",
    "later in the plan": "it comes later in the plan",
    "tie": "it is as good, and comes later in the book",
}


def why(consultation: SoFar, name: str) -> tuple[str, ...]:
    """Why something is asked, suspected, due or concluded.

    Raises:
        AnswerError: there is nothing of that name to explain.
    """
    book = consultation.book
    asked = consultation.next
    if asked is not None and asked.kind == "caution" and not name:
        return tuple(line for caution in asked.cautions for line in _why_caution(caution))
    wanted = name or (asked.id if asked else "")
    if wanted in book.cautions:
        return _why_caution(book.cautions[wanted])
    judged = consultation.judged
    if judged is None:
        return (asked.why,) if asked and asked.why else ("It is asked of every machine.",)
    if wanted in book.faults:
        return _why_fault(consultation, judged, wanted)
    if wanted in book.facts:
        return _why_fact(judged, wanted)
    if wanted in book.parts:
        known = [fault for fault, _ in consultation.suspects if fault.partition(".")[0] == wanted]
        return tuple(line for fault in known[:3] for line in _why_fault(consultation, judged, fault))
    if wanted in book.checks:
        return _why_check(judged, book.checks[wanted], asked)
    if wanted in book.questions:
        return (book.questions[wanted].because,)
    if asked is not None and wanted == asked.id:
        return (asked.why,)
    raise AnswerError(
        "unknown question", f"There is nothing called '{wanted}' to explain.", nearest(consultation, wanted)
    )


def _why_caution(caution: Caution) -> tuple[str, ...]:
    return (caution.hazard, caution.harm, f"Source: {caution.source}.")


def _why_check(judged: Judgement, check: Check, asked: Question | None) -> tuple[str, ...]:
    if check.id in judged.state.present.taken:
        shown = shown_in_words(judged.state, check.id, len(judged.state.epochs) - 1)
        return (shown, f"Source of its bands: {check.source}.")
    lines = _why_rules(judged, check.id)
    choice = judged.choice
    if asked is not None and asked.id == check.id and (choice is None or choice.check != check.id):
        lines += [asked.why] if asked.why and not lines else []
    elif choice is not None and choice.check == check.id:
        lines += _why_choice(judged, choice)
    elif check.id not in {offer.check for offer in judged.offers}:
        lines.append("It cannot be done now: it needs kit that is not at hand, or a rule or the complaint closes it.")
    else:
        lines.append("Another check tells more for its minutes.")
    return (*lines, f"Source of its bands: {check.source}.")


def _why_rules(judged: Judgement, check: str) -> list[str]:
    lines = []
    for action, words in (("prefer", "comes first"), ("open", "is worth doing"), ("close", "is not to be done now")):
        for rule in judged.directives.because.get((action, check), ()):
            record = judged.state.book.rules[rule]
            lines.append(f"It {words}: {record.because} (rule {rule}, {record.source})")
    preferred = judged.directives.preferred.get(check)
    if preferred and not lines:
        record = judged.state.book.rules[preferred[1]]
        lines.append(f"It comes first: {record.because} (rule {record.id}, {record.source})")
    return lines


def _why_choice(judged: Judgement, choice: NextCheck) -> list[str]:
    lines = [
        f"It settles {_settles(judged, choice.bits)}, for {choice.minutes:.1f} minutes"
        + (f", {choice.reach:.1f} of them to get there." if choice.reach >= 0.1 else ".")
    ]
    if choice.with_it:
        lines.append(f"While the machine stands so, the next is: {judged.state.book.checks[choice.with_it].ask}.")
    second = choice.runner_up
    if second is not None:
        ask = judged.state.book.checks[second.check].ask
        lines.append(
            f"Second best: {ask} ({_settles(judged, second.bits)}, {second.minutes:.1f} min); {WHY_WORSE[second.why]}."
        )
    return lines


def _settles(judged: Judgement, bits: float) -> str:
    return settled(bits, judged.belief.parts, judged.belief.unknown)


def _why_fault(consultation: SoFar, judged: Judgement, fault: str) -> tuple[str, ...]:
    named = consultation.book.faults[fault].name
    lines = [f"{named}: {in_100(judged.belief.chance(fault))}."]
    for change in judged.changes(fault):
        if abs(change.log_odds) < 0.05:
            continue
        side = "for" if change.log_odds > 0 else "against"
        shown = shown_in_words(judged.state, change.check, change.epoch)
        lines.append(f"{shown}: speaks {side} it ({change.log_odds:+.1f}).")
    lines += [
        f"{_told_by(consultation, shift.source)}: odds times {shift.factor:g}."
        for shift in judged.directives.shifted
        if shift.fault == fault
    ]
    if fault in judged.doubted:
        factor = judged.evidence.shifts[fault]
        lines.append(f"Nobody knows whether it is fitted: odds times {factor:.2g}, all history counted.")
    return tuple(lines)


def _told_by(consultation: SoFar, source: str) -> str:
    """Where a shift comes from: a trouble code, an answer or a rule."""
    book = consultation.book
    given = [code for code in consultation.state.codes if (entry := entry_of(book, code)) and entry.id == source]
    return f"Trouble code {in_words(book, given[0])}" if given else f"History ({source})"


def _why_fact(judged: Judgement, fact: str) -> tuple[str, ...]:
    proof = prove(judged.directives.result, ("fact", fact))
    if proof is None:
        return (f"It does not hold now: {judged.state.book.facts[fact].name}.",)
    return say_proof(judged.state, proof)


def told(consultation: SoFar, name: str) -> tuple[str, ...]:
    """What each answer to a check, or to a question of history, would do to the suspects.

    Raises:
        AnswerError: it is neither, or the machine is not known yet.
    """
    judged = consultation.judged
    asked = consultation.next
    wanted = name or (asked.id if asked else "")
    check = consultation.book.checks.get(wanted)
    if judged is not None and wanted in consultation.book.questions:
        return tuple(_told_by_answer(judged, answer) for answer in consultation.book.questions[wanted].answers)
    if judged is None or check is None or wanted not in judged.setup.machine.checks:
        raise AnswerError("not now", "What an answer would tell is known for checks and history, once the machine is.")
    names = [*(finding.id for finding in check.findings), ODD]
    lines = []
    for sight in foresee(judged.setup.judge, judged.belief, wanted):
        finding = next((f for f in check.findings if f.id == names[sight.finding]), None)
        if sight.chance < 0.005 or (finding is None and check.reads.quantity not in UNITS):  # no choice is odd
            continue
        words = finding_in_words(judged.state, check, finding) if finding else "in no band"
        leading = ", ".join(f"{_part(consultation, part)} {in_100(p)}" for part, p in sight.parts[:3])
        lines.append(f"{words} ({in_100(sight.chance)}): then {leading}.")
    return tuple(lines)


def _told_by_answer(judged: Judgement, answer: Answer) -> str:
    """Which faults of the machine an answer makes likelier, and which less likely."""
    said = []
    for words, shifts in (
        ("likelier", [shift for shift in answer.shifts if shift.factor > 1]),
        ("less likely", [shift for shift in answer.shifts if shift.factor < 1]),
    ):
        named = dict.fromkeys(name for shift in shifts for name in judged.setup.grounding.named(shift.faults))
        listed = [judged.state.book.faults[name].name for name in named]
        more = f" and {len(listed) - 3} more" if len(listed) > 3 else ""
        said += [f"{words}: {'; '.join(listed[:3])}{more}"] if listed else []
    return f"{answer.meaning or answer.id}: {'. '.join(said) or 'the suspects stay as they are'}."


def _part(consultation: SoFar, part: str) -> str:
    known = consultation.book.parts.get(part)
    return known.name if known else {"": "something this book does not know", ".": "nothing any more"}.get(part, part)


def nearest(consultation: SoFar, word: str) -> tuple[str, ...]:
    """Names that could have been meant."""
    setup = consultation.setup
    known = [*(setup.machine.checks if setup else ()), *consultation.book.questions]
    return tuple(get_close_matches(word, known, n=3))
