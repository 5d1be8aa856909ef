"""Builders of what is said and concluded: cautions, rules, cases."""

from __future__ import annotations

from coldiron.book.cases import (
    Case,
    Expect,
    ExpectsAmong,
    ExpectsFirst,
    ExpectsHeld,
    ExpectsNext,
    ExpectsNot,
    ExpectsTold,
    ExpectsWarned,
    Given,
)
from coldiron.book.cautions import (
    ENDS,
    BeforeArea,
    BeforeCheck,
    BeforeRepair,
    BeforeSetting,
    BeforeStart,
    Caution,
    Due,
    SignalWord,
)
from coldiron.book.conclusions import (
    Advises,
    AllowsCheck,
    AsksSooner,
    AvoidsValue,
    ConcludesFact,
    Conclusion,
    CountsInstead,
    ForbidsCheck,
    LeavesSetting,
    RequiresCheck,
    ShiftsOdds,
    WarnsOf,
)
from coldiron.book.conditions import (
    AnswerIs,
    CheckMade,
    ComplaintIs,
    Condition,
    FactHolds,
    FindingIs,
    PartIsThere,
    ReadingAgainst,
    ReadingsAgainst,
    RepairMade,
    SettingIs,
    Test,
    Way,
)
from coldiron.book.faults import FaultRef
from coldiron.book.history import CODE
from coldiron.book.rules import Loop, Rule
from coldiron.language.build.asking import factor_of
from coldiron.language.build.coding import check_given, code_test
from coldiron.language.build.names import check_of, circuit_of, faults_of, finding_of, part_of, value_of
from coldiron.language.build.scope import LARGEST, Lines
from coldiron.language.tree import Phrase, Statement
from coldiron.record import replace

_WORDS: dict[str, SignalWord] = {"DANGER": "DANGER", "WARNING": "WARNING", "CAUTION": "CAUTION", "NOTICE": "NOTICE"}


def caution(lines: Lines) -> Caution:
    """Build a caution."""
    return Caution(
        id=lines.block.id,
        word=_WORDS.get(lines.word("word"), "DANGER"),
        hazard=lines.text("hazard"),
        harm=lines.text("harm"),
        avoid=lines.text("avoid"),
        type=lines.text("type"),
        due=tuple(_due(lines, line) for line in lines.lines("due")),
        until=_until(lines),
        source=lines.text("source"),
        place=lines.place,
    )


def _until(lines: Lines) -> tuple[str, ...]:
    """Return what ends the acknowledgement of a caution: `once` or `day` alone, or settings and questions."""
    declared = lines.declared
    allowed = (*ENDS, *declared.of("setting"), *declared.of("question"))
    found = lines.listed("until")
    for line in lines.lines("until"):
        for word in line.phrases[0].words:
            known = word.text in ENDS or declared.has("setting", word.text) or declared.has("question", word.text)
            if not known:
                lines.scope.unknown("end of a caution", word.text, lines.at(line, word), allowed)
            if word.text in ENDS and len(found) > 1:
                lines.report("end-alone", line, word, word=word.text)
    return found


def _due(lines: Lines, line: Statement) -> Due:
    phrase = line.phrases[0]
    words = phrase.words
    if phrase.form == "before setting":
        setting, (value,) = value_of(lines, line, *words)
        return BeforeSetting(setting, value)
    if phrase.form == "before check":
        name = words[0].text
        return BeforeCheck(name if name in lines.declared.each else check_of(lines, line, words[0]))
    if phrase.form == "before area":
        return BeforeArea(lines.check_id("area", line, words[0]))
    if phrase.form == "before repair":
        return BeforeRepair(faults_of(lines, line, words[0]))
    return BeforeStart()


def rule(lines: Lines) -> Rule:
    """Build a rule; its lines are read in order, so that `and` can tell a condition from a forgotten `then`."""
    loop = _loop(lines)
    conditions: list[Condition] = []
    conclusions: list[Conclusion] = []
    for line in lines.block.statements:
        keyword = line.keyword.text
        if keyword in ("when", "and"):
            if conclusions:
                lines.report("and-after-then", line, word=keyword)
            if keyword == "and" and not conditions and not lines.block.damaged:
                lines.report("and-before-when", line)
            conditions.append(_condition(lines, line, loop))
        elif keyword == "then":
            _add(conclusions, _conclusion(lines, line, loop))
    return Rule(
        lines.block.id,
        loop,
        tuple(conditions),
        tuple(conclusions),
        lines.text("because"),
        lines.text("source"),
        lines.place,
    )


def _add(conclusions: list[Conclusion], new: Conclusion) -> None:
    """Add a conclusion; an advice, or what readings compared count for, may go on in the line behind it."""
    match conclusions[-1:], new:
        case [Advises(text=text) as last], Advises():
            conclusions[-1] = replace(last, text=f"{text} {new.text}")
        case [CountsInstead() as last], CountsInstead() if (last.check, last.finding, last.replaces) == (
            new.check,
            new.finding,
            new.replaces,
        ):
            conclusions[-1] = replace(last, about=last.about + new.about)
        case _:
            conclusions.append(new)


def _loop(lines: Lines) -> Loop | None:
    line = lines.line("for")
    if line is None:
        return None
    variable, kind = line.phrases[0].words
    lines.check_id("kind", line, kind)
    bound = line.find("before") or line.find("after")
    if bound is None:
        return Loop(variable.text, kind.text)
    return Loop(
        variable.text, kind.text, "before" if bound.form == "before" else "after", part_of(lines, line, bound.words[0])
    )


def _condition(lines: Lines, line: Statement, loop: Loop | None) -> Condition:
    negated = line.find("not") is not None
    phrase = next(phrase for phrase in line.phrases if phrase.form != "not")
    test = code_test(lines, line, phrase) or _test(lines, line, phrase, loop)
    return Condition(test, negated, lines.at(line))


def _test(lines: Lines, line: Statement, phrase: Phrase, loop: Loop | None) -> Test:
    words = phrase.words
    first = words[0]
    match phrase.form:
        case "complaint":
            return ComplaintIs(lines.check_id("complaint", line, first))
        case "history":
            name = lines.check_id("question", line, first)
            allowed = lines.declared.answers.get(name)
            if allowed and words[1].text not in allowed:
                lines.scope.unknown(f"answer of {name}", words[1].text, lines.at(line, words[1]), allowed)
            return AnswerIs(name, words[1].text)
        case "machine has":
            return PartIsThere(part_of(lines, line, first, loop))
        case "setting":
            setting, (value,) = value_of(lines, line, *words)
            return SettingIs(setting, value)
        case "fact":
            return FactHolds(lines.check_id("fact", line, first))
        case "repaired":
            return RepairMade(faults_of(lines, line, first, loop))
        case "taken":
            return CheckMade(check_of(lines, line, first, loop))
        case "finding":
            return FindingIs(*finding_of(lines, line, first, words[1], loop))
    return _comparison(lines, line, phrase, loop)


def _comparison(lines: Lines, line: Statement, phrase: Phrase, loop: Loop | None) -> Test:
    """Build `CHECK above N UNIT` or `CHECK above CHECK by N UNIT`."""
    way: Way = "above" if phrase.form.startswith("above") else "below"
    name = check_of(lines, line, phrase.words[0], loop)
    unit = lines.declared.units.get(name.partition(".")[0], "")
    if not unit and lines.declared.sound("check", name.partition(".")[0]):
        lines.report("no-number", line, phrase.words[0], word=name)
    if phrase.form.endswith("check"):
        other = check_of(lines, line, phrase.words[1], loop)
        if unit and lines.declared.units.get(other.partition(".")[0], unit) != unit:
            lines.report("unlike", line, phrase.words[1], word=name, other=other)
        by = line.find("by")
        margin = lines.units(line, by.words, unit, name)[0] if by else None
        return ReadingsAgainst(name, way, other, lines.number(line, margin, 0, LARGEST, "a margin") if margin else 0.0)
    word = lines.units(line, phrase.words[1:], unit, name)[0]
    return ReadingAgainst(name, way, lines.number(line, word, -LARGEST, LARGEST, name))


def _conclusion(lines: Lines, line: Statement, loop: Loop | None) -> Conclusion:
    phrase = line.phrases[0]
    words, place = phrase.words, lines.at(line)
    first = words[0]
    match phrase.form:
        case "conclude":
            return ConcludesFact(lines.check_id("fact", line, first), place)
        case "likelier" | "rarer":
            faults = faults_of(lines, line, first, loop)
            return ShiftsOdds(faults, factor_of(lines, line, words[1], phrase.form), place)
        case "allow":
            return AllowsCheck(check_of(lines, line, first, loop), place)
        case "forbid":
            return ForbidsCheck(check_of(lines, line, first, loop), place)
        case "leave" | "avoid":
            setting, (value,) = value_of(lines, line, *words)
            return (LeavesSetting if phrase.form == "leave" else AvoidsValue)(setting, value, place)
        case "ask":
            times = lines.number(line, words[1], 1, 1000, "a preference")
            factor = times if words[2].text == "sooner" else 1 / times
            return AsksSooner(check_of(lines, line, first, loop), factor, place)
        case "warn":
            return WarnsOf(lines.check_id("caution", line, first), place)
        case "require":
            faults = faults_of(lines, line, words[1], loop)
            return RequiresCheck(check_of(lines, line, first, loop), faults, place)
        case "advise":
            return Advises(first.text, place)
    return _count(lines, line, loop)


def _count(lines: Lines, line: Statement, loop: Loop | None) -> CountsInstead:
    """Build a derived finding that replaces the evidence of its checks about some faults."""
    count, replacing, about = line.phrases
    check, finding = count.words
    name, found = finding_of(lines, line, check, finding, loop)
    return CountsInstead(
        name,
        found,
        tuple(check_of(lines, line, word, loop) for word in replacing.words),
        tuple(faults_of(lines, line, word, loop) for word in about.words),
        lines.at(line),
    )


def case(lines: Lines) -> Case:
    """Build a case; each `repaired` line closes an epoch."""
    given: list[Given] = []
    repaired: list[FaultRef] = []
    for line in lines.block.statements:
        if line.keyword.text == "repaired":
            repaired.append(faults_of(lines, line, line.phrases[0].words[0]))
        elif line.keyword.text == "given":
            given.append(_given(lines, line, len(repaired)))
    return Case(
        id=lines.block.id,
        name=lines.text("name"),
        circuit=circuit_of(lines, machine) if (machine := lines.line("circuit")) else "",
        complaint=lines.known("complaint", "complaint"),
        given=tuple(given),
        repaired=tuple(repaired),
        expects=tuple(_expect(lines, line) for line in lines.lines("expect")),
        source=lines.text("source"),
        place=lines.place,
    )


def _given(lines: Lines, line: Statement, epoch: int) -> Given:
    """Build one answer of a case: of a question, or of a check, then a finding or a reading as typed."""
    name, value = line.phrases[0].words
    declared = lines.declared
    given = Given(name.text, value.text, epoch, lines.at(line))
    base = name.text.partition(".")[0]
    if name.text == CODE and not declared.has("check", CODE):
        check_given(lines, line, value)
    elif name.text in declared.of("question"):
        allowed = declared.answers.get(name.text)
        for part in value.text.split(", "):
            if allowed and part not in allowed:
                lines.scope.unknown(f"answer of {name.text}", part, lines.at(line, value), allowed)
    elif not declared.has("check", base) and not declared.has("question", base):
        words = (*declared.of("question"), *declared.of("check"))
        lines.scope.unknown("question or check", name.text, lines.at(line, name), words)
    elif declared.sound("check", base):
        check_of(lines, line, name)
        findings = (*declared.findings[base], "odd")
        reading = declared.units[base] and value.text[0] in "-+.0123456789<O"
        if not reading and value.text not in findings:
            lines.scope.unknown(f"finding of {name.text}", value.text, lines.at(line, value), findings)
    return given


_OF_FAULTS: dict[str, type[ExpectsFirst | ExpectsAmong | ExpectsNot | ExpectsHeld]] = {
    "first": ExpectsFirst,
    "among": ExpectsAmong,
    "not": ExpectsNot,
    "held": ExpectsHeld,
}
"""What a case expects of faults, by the word of its line."""


def _expect(lines: Lines, line: Statement) -> Expect:
    phrase = line.phrases[0]
    word = phrase.words[0]
    match phrase.form:
        case "next":
            name = word.text
            known = name in lines.declared.of("question")
            return ExpectsNext(name if known else check_of(lines, line, word))
        case "warned":
            return ExpectsWarned(lines.check_id("caution", line, word))
        case "told":
            return ExpectsTold(word.text)
    return _OF_FAULTS[phrase.form](faults_of(lines, line, word))
