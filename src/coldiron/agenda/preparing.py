"""A step at the machine, or what has to be asked, set and acknowledged before it."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.checks import Check
from coldiron.job.at_machine import moves_on
from coldiron.job.card import notes_about
from coldiron.job.cautions import before_check, before_repair, before_setting, target
from coldiron.job.dangers import asked_before, asked_before_repair, barred_check
from coldiron.job.question import Question
from coldiron.job.reported import to_confirm
from coldiron.job.steps import SET
from coldiron.job.warned import waiting_for, warned_by_answers
from coldiron.judging.judgement import Judgement
from coldiron.machine.duties import Page, as_check
from coldiron.questions.caution import ask_caution
from coldiron.questions.check import ask_check
from coldiron.questions.page import ask_page
from coldiron.questions.repair import ask_repair
from coldiron.questions.setting import ask_set
from coldiron.questions.story import ask_story


def check_question(judged: Judgement, check: Check, kind: str = "check", why: str = "") -> Question:
    """A check, or the preparation screen for it."""
    return prepared(judged, check, check.ask) or ask_check(judged.state, check, kind, why, warned(judged))


def repair_question(judged: Judgement, fault: str) -> Question:
    """The repair of a fault, or the preparation for it."""
    state = judged.state
    first = asked_before_repair(state, fault, judged.setup.machine.checks)
    if first:
        return ask_story(first)
    named = state.book.faults[fault]
    due = before_repair(state.book, fault, warned(judged))
    open_ones = waiting_for(state, due, fault, moves=True)
    if open_ones:
        return ask_caution(open_ones, f"the fix for {named.name}", fault)
    notes = notes_about(state, (named.id, named.part))
    return ask_repair(named, judged.belief.chance(fault), [state.book.cautions[name] for name in due], notes)


def page_question(judged: Judgement, page: Page) -> Question | None:
    """A page of duties, or the preparation screen for it; of one that a danger bars, the way out."""
    check = as_check(page)
    if barred_check(judged.state, check, judged.dangers):
        return way_out_question(judged, last=True)
    words = page[0].ask if len(page) == 1 else f"showing {', '.join(duty.name for duty in page)}"
    return prepared(judged, check, words) or ask_page(judged.state, page, tuple(warned(judged)))


def way_out_question(judged: Judgement, *, last: bool = False) -> Question | None:
    """What may tell that a danger is over; nothing while there is no such way."""
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


def way_out(judged: Judgement, *, last: bool = False) -> tuple[str, str] | None:
    """The check or question that can lift a danger that stands, with the reason; None if there is none now.

    What was told by words is looked into at once. What was read is looked for where it comes from, and read again
    after a repair, or with `last`, where nothing else is left to do.
    """
    for stands in judged.dangers:
        if stands.by_words or stands.repaired or last:
            for way in stands.ways:
                if all(_may(judged, name) for name in way):
                    return way[0], f"This shows whether it is still so: {stands.danger.name}."
    return None


def _may(judged: Judgement, name: str) -> bool:
    """Whether it can be asked now: the kit is there and no danger bars it."""
    state = judged.state
    check = state.book.checks.get(name)
    if check is None:
        return name in state.book.questions
    if state.kit is not None and not state.kit.issuperset(check.kit):
        return False
    return barred_check(state, check, judged.dangers) is None


def lifting(judged: Judgement) -> frozenset[str]:
    """The checks of the machine that can lift any danger of the book: to read one of them begins no new search."""
    signs = (sign for danger in judged.state.book.dangers.values() for lift in danger.lifts for sign in lift.signs)
    names = {sign.name for sign in signs}
    return frozenset(
        check for check in judged.state.present.taken if not names.isdisjoint((check, check.partition(".")[0]))
    )


def setting_question(judged: Judgement, setting: str, value: str, step: str = "") -> Question:
    """Put a setting to a value, for a check or back to normal; what can hurt in doing so stands before it."""
    state = judged.state
    due = before_setting(state.book, setting, value, warned(judged))
    before = step or SET + setting
    open_ones = waiting_for(state, due, before, moves=True)
    if open_ones:
        return ask_caution(open_ones, f"{state.book.settings[setting].name} to '{value}'", before)
    return ask_set(state, setting, value, [state.book.cautions[name] for name in due], step)


def prepared(judged: Judgement, check: Check, words: str) -> Question | None:
    """What comes before a step at the machine: settings that are said by themselves, then what can hurt in it."""
    state = judged.state
    first = asked_before(state, check, judged.setup.machine.checks)
    if first:
        return ask_story(first)
    wanted = target(state.book, check, state.settings)
    for setting, value in to_confirm(state.book, state.settings, wanted):
        return setting_question(judged, setting, value, check.id)
    due = before_check(state.book, check, state.settings, warned(judged))
    open_ones = waiting_for(state, due, check.id, moves=moves_on(state, check))
    return ask_caution(open_ones, words, check.id) if open_ones else None


def warned(judged: Judgement) -> Iterable[str]:
    """Cautions that answers, rules and standing dangers make due before every step."""
    of_dangers = (name for stands in judged.dangers for name in stands.danger.warns)
    return tuple(
        dict.fromkeys((*warned_by_answers(judged.state.book, judged.state), *judged.directives.warned, *of_dangers))
    )
