"""The builder of dangers: what tells of one, which steps it bars, what lifts it."""

from __future__ import annotations

from coldiron.book.dangers import Bar, BarsAll, BarsCheck, BarsProof, BarsRepair, BarsSettings, Danger, Lift, Sign
from coldiron.book.faults import FaultRef
from coldiron.book.history import COMPLAINT
from coldiron.language.build.names import check_of, faults_of, finding_of, values_of
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Phrase, Statement, Token

THE_PART = "part"
"""In the repair that a danger bars: the part of the check that told of it, as `part.end` in a check."""


def danger(lines: Lines) -> Danger:
    """Build a danger."""
    return Danger(
        id=lines.block.id,
        name=lines.text("name"),
        told=tuple(_signs(lines, line) for line in lines.lines("told")),
        bars=tuple(step_of(lines, line) for line in lines.lines("bars")),
        lifts=tuple(_lift(lines, line) for line in lines.lines("lifted")),
        now=lines.text("now"),
        warns=lines.listed("warns", "caution"),
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def _lift(lines: Lines, line: Statement) -> Lift:
    after = line.find("after repair")
    faults = _faults(lines, line, after.words[0]) if after else None
    return Lift(_signs(lines, line), faults, lines.at(line))


def _signs(lines: Lines, line: Statement) -> tuple[Sign, ...]:
    return tuple(_sign(lines, line, phrase) for phrase in line.phrases if phrase.form not in ("and", "after repair"))


def _sign(lines: Lines, line: Statement, phrase: Phrase) -> Sign:
    first = phrase.words[0]
    place = lines.at(line, first)
    if phrase.form == "complaint":
        return Sign("complaint", COMPLAINT, lines.check_id("complaint", line, first), place)
    if phrase.form == "finding":
        return Sign("finding", *_found(lines, line, *phrase.words), place=place)
    name = lines.check_id("question", line, first)
    if phrase.form == "history not known":
        return Sign("history", name, place=place)
    allowed = lines.declared.answers.get(name)
    answer = phrase.words[1]
    if allowed and answer.text not in allowed:
        lines.scope.unknown(f"answer of {name}", answer.text, lines.at(line, answer), allowed)
    return Sign("history", name, answer.text, place)


def _found(lines: Lines, line: Statement, check: Token, finding: Token) -> tuple[str, str]:
    """Return a check and its finding; a template alone stands for every check that is made of it."""
    if check.text not in lines.declared.each:
        return finding_of(lines, line, check, finding)
    allowed = lines.declared.findings.get(check.text)
    if allowed and finding.text not in allowed:
        lines.scope.unknown(f"finding of {check.text}", finding.text, lines.at(line, finding), allowed)
    return check.text, finding.text


def step_of(lines: Lines, line: Statement) -> Bar:
    """Build a sort of step: settings brought to values together, a check, a repair, or every step."""
    first = line.phrases[0]
    place = lines.at(line)
    if first.form == "check":
        name = first.words[0]
        if name.text not in lines.declared.each:
            check_of(lines, line, name)
        return BarsCheck(name.text, place)
    if first.form == "repair":
        return BarsRepair(_faults(lines, line, first.words[0]), place)
    if first.form == "all":
        return BarsAll(place)
    state = values_of(lines, line)
    return (BarsProof if first.form.startswith("proof") else BarsSettings)(state, place)


def _faults(lines: Lines, line: Statement, word: Token) -> FaultRef:
    name, _, fault = word.text.partition(".")
    if name == THE_PART:
        return FaultRef(part=name, fault=fault, place=lines.at(line, word))
    return faults_of(lines, line, word)
