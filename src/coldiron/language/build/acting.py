"""The builder of actions: what a step does that can hurt, how that is seen from its lines, and what it then needs."""

from __future__ import annotations

from coldiron.book.cautions import (
    Action,
    AsksForSetting,
    IsAnswer,
    IsCheck,
    IsDuty,
    IsInArea,
    IsRepair,
    Mark,
    Need,
    ReadsQuantity,
    Renews,
    TouchesPoint,
    UsesKit,
)
from coldiron.language.build.names import faults_of, value_of, values_of
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Phrase, Statement

_NAMED: dict[str, tuple[str, type[IsInArea | UsesKit | TouchesPoint | Renews | IsCheck | IsDuty]]] = {
    "area": ("area", IsInArea),
    "kit": ("kit", UsesKit),
    "point": ("point", TouchesPoint),
    "renews": ("kind", Renews),
    "check": ("check", IsCheck),
    "duty": ("duty", IsDuty),
}
"""Marks that name one thing, by their form: among which ids it is, and the record."""


def action(lines: Lines) -> Action:
    """Build an action; it is seen by some mark or by words, and needs a caution or a state of the machine."""
    whens = tuple(
        tuple(_mark(lines, line, phrase) for phrase in line.phrases if phrase.words) for line in lines.lines("when")
    )
    says = lines.phrases("says")
    needs = tuple(_need(lines, line) for line in lines.lines("needs"))
    stands = tuple(_stands(lines, line) for line in lines.lines("stands"))
    named = lines.block.opener.phrases[0].words[0] if lines.block.opener.phrases else None
    if not (whens or says or lines.block.damaged):
        lines.report("missing-line", lines.block.opener, named, block="action", keyword="when")
    if not (needs or stands or lines.block.damaged):
        lines.report("missing-line", lines.block.opener, named, block="action", keyword="needs")
    return Action(
        id=lines.block.id,
        name=lines.text("name"),
        whens=whens,
        says=says,
        needs=needs,
        stands=stands,
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def _mark(lines: Lines, line: Statement, phrase: Phrase) -> Mark:
    words = phrase.words
    if phrase.form == "setting":
        setting, (value,) = value_of(lines, line, *words)
        return AsksForSetting(setting, value)
    if phrase.form == "answer":
        return _answer(lines, line, phrase)
    if phrase.form == "repair":
        return IsRepair(faults_of(lines, line, words[0]))
    if phrase.form == "reading":
        return ReadsQuantity(words[0].text)
    space, mark = _NAMED[phrase.form]
    return mark(lines.check_id(space, line, words[0]))


def _answer(lines: Lines, line: Statement, phrase: Phrase) -> IsAnswer:
    question, answer = phrase.words
    name = lines.check_id("question", line, question)
    allowed = lines.declared.answers.get(name)
    if allowed and answer.text not in allowed:
        lines.scope.unknown(f"answer of {name}", answer.text, lines.at(line, answer), allowed)
    return IsAnswer(name, answer.text)


def _need(lines: Lines, line: Statement) -> Need:
    signal, *cautions = line.phrases[0].words
    return Need(signal.text, tuple(lines.check_id("caution", line, word) for word in cautions))  # type: ignore[arg-type]


def _stands(lines: Lines, line: Statement) -> dict[str, str]:
    """Return the settings of which the step must have at least one at its value."""
    return values_of(lines, line)
