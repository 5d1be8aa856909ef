"""Explanations for `why` and `what`: each question, likely cause, caution and conclusion in sentences."""

from __future__ import annotations

from difflib import get_close_matches

from coldiron.book.cautions import Caution
from coldiron.book.checks import ODD, UNITS, Check
from coldiron.book.history import Answer
from coldiron.choice.choice import NextCheck
from coldiron.engine import why as prove
from coldiron.job.question import Question
from coldiron.job.shares import in_100, narrows
from coldiron.judging.judgement import Judgement
from coldiron.machine.codes import entry_of, in_words
from coldiron.machine.duties import page_named
from coldiron.questions.check import finding_in_words
from coldiron.readings.refusal import AnswerError
from coldiron.telling.conclusions import say_proof
from coldiron.telling.so_far import SoFar
from coldiron.telling.verdicts import shown_in_words

WHY_WORSE = {
    "tells less": "it tells less",
    "takes longer": "it takes longer",
    "tells less and takes longer": "it tells less and takes longer",
    "less preferred": "the rules of the shop put this one first",
    "later in the plan": "it comes later in the plan",
    "tie": "it is as good, and comes later in the book",
}


def why(consultation: SoFar, name: str, *, more: bool = False) -> tuple[str, ...]:
    """The reason for a question, a likely cause, a caution or a conclusion; with `more` rules, sources and figures.

    Raises:
        AnswerError: there is nothing of that name to explain.
    """
    book = consultation.book
    asked = consultation.next
    if asked is not None and asked.kind == "caution" and not name:
        return tuple(line for caution in asked.cautions for line in _why_caution(caution, more=more))
    wanted = name or (asked.id if asked else "")
    if wanted in book.cautions:
        return _why_caution(book.cautions[wanted], more=more)
    judged = consultation.judged
    if judged is None:
        return (asked.why,) if asked and asked.why else ("It is asked of every machine.",)
    if wanted in book.faults:
        return _why_fault(consultation, judged, wanted, more=more)
    if wanted in book.facts:
        return _why_fact(judged, wanted, more=more)
    if wanted in book.parts:
        known = [fault for fault, _ in consultation.suspects if fault.partition(".")[0] == wanted]
        return tuple(line for fault in known[:3] for line in _why_fault(consultation, judged, fault, more=more))
    if wanted in book.checks:
        return _why_check(judged, book.checks[wanted], asked, more=more)
    if wanted in book.questions:
        source = (f"Source: {book.questions[wanted].source}.",) if more else ()
        return (book.questions[wanted].because, *source)
    if asked is not None and wanted == asked.id:
        page = page_named(book, judged.state.circuit, wanted) if more else ()
        return (asked.why, *dict.fromkeys(f"Source: {duty.source}." for duty in page))
    raise AnswerError(
        "unknown question", f"There is nothing called '{wanted}' to explain.", nearest(consultation, wanted)
    )


def _why_caution(caution: Caution, *, more: bool) -> tuple[str, ...]:
    return (caution.hazard, caution.harm, *((f"Source: {caution.source}.",) if more else ()))


def _why_check(judged: Judgement, check: Check, asked: Question | None, *, more: bool) -> tuple[str, ...]:
    source = (f"Source of its limits: {check.source}.",) if more else ()
    if check.id in judged.state.present.taken:
        return (shown_in_words(judged.state, check.id, len(judged.state.epochs) - 1), *source)
    lines = _why_rules(judged, check.id, more=more)
    choice = judged.choice
    if asked is not None and asked.id == check.id and (choice is None or choice.check != check.id):
        lines += [asked.why] if asked.why and not lines else []
    elif choice is not None and choice.check == check.id:
        lines += _why_choice(judged, choice, more=more)
    elif check.id not in {offer.check for offer in judged.offers}:
        lines.append("You cannot do it now. You lack a tool for it, or a rule or the symptom rules it out.")
    else:
        lines.append("Another check tells more for its minutes.")
    return (*lines, *source)


def _why_rules(judged: Judgement, check: str, *, more: bool) -> list[str]:
    ids = [
        (words, rule)
        for action, words in (("ask", "comes first"), ("allow", "is worth doing"), ("forbid", "is not to be done now"))
        for rule in judged.directives.because.get((action, check), ())
    ]
    preferred = judged.directives.preferred.get(check)
    if preferred and not ids:
        ids = [("comes first", preferred[1])]
    rules = judged.state.book.rules
    return [
        f"It {words}: {rules[rule].because}" + (f" (rule {rule}, {rules[rule].source})" if more else "")
        for words, rule in ids
    ]


def _why_choice(judged: Judgement, choice: NextCheck, *, more: bool) -> list[str]:
    checks = judged.state.book.checks
    lines = [f"It {narrows(judged.settled(choice.bits))}, {choice.minutes:.0f} min."]
    if more:
        reach = f", {choice.reach:.1f} of them to get there" if choice.reach >= 0.1 else ""
        lines = [f"It settles {_figure(judged, choice.bits)}, for {choice.minutes:.1f} minutes{reach}."]
    if choice.with_it:
        lines.append(f"With the machine set up like this, next do: {checks[choice.with_it].ask}.")
    second = choice.runner_up
    if second is not None:
        lines.append(f"Second best: {checks[second.check].ask}. Why second: {WHY_WORSE[second.why]}.")
        if more:
            lines.append(f"The second best settles {_figure(judged, second.bits)}, for {second.minutes:.1f} minutes.")
    return lines


def _figure(judged: Judgement, bits: float) -> str:
    return f"{in_100(judged.settled(bits))} of the doubt"


def _why_fault(consultation: SoFar, judged: Judgement, fault: str, *, more: bool) -> tuple[str, ...]:
    named = consultation.book.faults[fault].name
    lines = [f"{named}: {in_100(judged.belief.chance(fault))}."]
    for change in judged.changes(fault):
        if abs(change.log_odds) < 0.05:
            continue
        side = "more" if change.log_odds > 0 else "less"
        shown = shown_in_words(judged.state, change.check, change.epoch)
        figure = f" (log-odds {change.log_odds:+.1f})" if more else ""
        lines.append(f"{shown}: makes it {side} likely{figure}.")
    for shift in judged.directives.shifted:
        if shift.fault == fault:
            side = "more" if shift.factor > 1 else "less"
            figure = f" (odds times {shift.factor:g}, by {shift.source})" if more else ""
            lines.append(f"{_told_by(consultation, shift.source)}: makes it {side} likely{figure}.")
    if fault in judged.doubted:
        factor = judged.evidence.shifts[fault]
        figure = f" (odds times {factor:.2g}, all history counted)" if more else ""
        lines.append(f"Nobody knows whether it is fitted: makes it less likely{figure}.")
    return tuple(lines)


def _told_by(consultation: SoFar, source: str) -> str:
    """The source of a shift in words: a trouble code, an answer or a rule."""
    book = consultation.book
    given = [code for code in consultation.state.codes if (entry := entry_of(book, code)) and entry.id == source]
    if given:
        return f"Trouble code {in_words(book, given[0])}"
    if source in book.questions:
        return f"Your answer to '{book.questions[source].ask.partition('?')[0]}?'"
    return book.rules[source].because.rstrip(".") if source in book.rules else "The history"


def _why_fact(judged: Judgement, fact: str, *, more: bool) -> tuple[str, ...]:
    proof = prove(judged.directives.result, ("fact", fact))
    if proof is None:
        return (f"Not so now: {judged.state.book.facts[fact].name}.",)
    return say_proof(judged.state, proof, more=more)


def predicted_answers(consultation: SoFar, name: str) -> tuple[str, ...]:
    """The likely causes after each possible answer to a check or to a question of history.

    Raises:
        AnswerError: it is neither, or the machine is not known yet.
    """
    judged = consultation.judged
    asked = consultation.next
    wanted = name or (asked.id if asked else "")
    check = consultation.book.checks.get(wanted)
    if judged is not None and wanted in consultation.book.questions:
        return tuple(_told_by_answer(judged, answer) for answer in consultation.book.questions[wanted].answers)
    if judged is None or check is None or not judged.setup.can_make(wanted):
        raise AnswerError("not now", "'what' works on a check or a question, once the machine is known.")
    names = [*(finding.id for finding in check.findings), ODD]
    lines = []
    for sight in judged.foresee(wanted):
        finding = next((f for f in check.findings if f.id == names[sight.finding]), None)
        if sight.chance < 0.005 or (finding is None and check.reads.quantity not in UNITS):  # no choice is odd
            continue
        words = finding_in_words(judged.state, check, finding) if finding else "in no known range"
        leading = ", ".join(f"{_part(consultation, part)} {in_100(p)}" for part, p in sight.parts[:3])
        lines.append(f"{words} ({in_100(sight.chance)}): then {leading}.")
    return tuple(lines)


def _told_by_answer(judged: Judgement, answer: Answer) -> str:
    """The faults of the machine that an answer makes likelier, and those it makes less likely."""
    said = []
    for words, shifts in (
        ("likelier", [shift for shift in answer.shifts if shift.factor > 1]),
        ("less likely", [shift for shift in answer.shifts if shift.factor < 1]),
    ):
        named = dict.fromkeys(name for shift in shifts for name in judged.setup.grounding.named(shift.faults))
        listed = [judged.state.book.faults[name].name for name in named]
        more = f" and {len(listed) - 3} more" if len(listed) > 3 else ""
        said += [f"{words}: {'; '.join(listed[:3])}{more}"] if listed else []
    return f"{answer.meaning or answer.id}: {'. '.join(said) or 'the likely causes stay as they are'}."


def _part(consultation: SoFar, part: str) -> str:
    known = consultation.book.parts.get(part)
    return known.name if known else {"": "something this tool does not know", ".": "nothing any more"}.get(part, part)


def nearest(consultation: SoFar, word: str) -> tuple[str, ...]:
    """Names near to the word, for a suggestion."""
    setup = consultation.setup
    known = [*(setup.machine.checks if setup else ()), *consultation.book.questions]
    return tuple(get_close_matches(word, known, n=3))
