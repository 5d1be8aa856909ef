"""Builders of what machines are made of: kinds with their faults, sections, circuits, chains."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.acts import ACTS, Act
from coldiron.book.faults import (
    AddsOhms,
    Chain,
    Effect,
    FaultKind,
    FaultRef,
    Leaks,
    Locks,
    Opens,
    ScalesValue,
    SetsValue,
    Shows,
    Slips,
    StaysClosed,
    Victim,
)
from coldiron.book.joining import NEXT
from coldiron.book.machines import Brings, Circuit, CircuitOption, Closed, Kind, Part, Section
from coldiron.language.build.names import faults_of, finding_of, point_of, value_of
from coldiron.language.build.scope import LARGEST, Lines
from coldiron.language.build.words import comes_and_goes
from coldiron.language.tree import Block, Phrase, Statement, Token

ODDS_OF = 1000
"""Odds are kept as dead machines out of so many, however they were written."""

LEAST_AREA = 0.01
"""Square millimeters of the thinnest wire that is drawn for circuits; one of no area carries nothing."""

_VERBS = ("becomes", "adds", "leaks", "sets", "scales")


def values_of(act: Act) -> dict[str, str]:
    """Return every value a part of this act may have, with its unit."""
    return {**act.values, **act.optional}


def kind(lines: Lines) -> Kind:
    """Build a kind with its faults."""
    line = lines.line("acts")
    acts = lines.word("acts")
    if line and acts not in ACTS:
        lines.scope.unknown("way to act", acts, lines.at(line, line.phrases[0].words[0]), ACTS)
    act = ACTS.get(acts)
    ends = _ends(lines, act)
    values = {}
    for statement in lines.lines("value") if act else ():
        name, number = _value(lines, statement, statement.phrases[0], acts)
        if name in values:
            lines.report("value-twice", statement, statement.phrases[0].words[0], word=name)
        values[name] = number
    faults: dict[str, FaultKind] = {}
    for inner in lines.block.inner:
        fault = _fault(Lines(lines.scope, lines.file, inner), lines, act, ends)
        if fault.id in faults:
            first = (("the first", faults[fault.id].place),)
            lines.report("duplicate", inner.opener, _id(inner), what="fault", word=fault.id, related=first)
        faults[fault.id] = fault
    return Kind(lines.block.id, lines.text("name"), acts, ends, values, tuple(faults.values()), lines.place)


def _id(block: Block) -> Token | None:
    return block.opener.phrases[0].words[0] if block.opener.phrases else None


def _ends(lines: Lines, act: Act | None) -> tuple[str, ...]:
    """Return the ends of a kind: those of its act, or the two it names."""
    named = lines.listed("ends")
    line = lines.line("ends")
    if act is None:
        return named
    if act.ends:
        if line and set(named) != set(act.ends):
            lines.report("other-ends", line, acts=lines.word("acts"), ends=", ".join(act.ends))
        return act.ends
    if len(named) != 2 and not lines.block.damaged:
        word = line.phrases[0].words[0] if line else None
        lines.report("two-ends", line or lines.block.opener, word, acts=lines.word("acts"))
    return named


def _value(lines: Lines, line: Statement, phrase: Phrase, acts: str) -> tuple[str, float]:
    """Return the name and number of a value, checked against what the act has."""
    name, *rest = phrase.words
    allowed = values_of(ACTS[acts])
    if name.text not in allowed:
        lines.scope.unknown(f"value of a {acts}", name.text, lines.at(line, name), allowed)
        return name.text, 0.0
    numbers = lines.units(line, rest, allowed[name.text], name.text)
    return name.text, lines.number(line, numbers[0], LEAST_AREA if name.text == "area" else 0, LARGEST, name.text)


def _fault(lines: Lines, outer: Lines, act: Act | None, ends: tuple[str, ...]) -> FaultKind:
    """Build one fault of a kind."""
    odds = lines.line("odds")
    effects = [
        _effect(lines, line, act, ends) for line in lines.block.statements if act and line.keyword.text in _VERBS
    ]
    shows = tuple(
        _shows(lines, line, outer.block.id)
        for line in lines.block.statements
        if line.keyword.text in ("shows", "overrules")
    )
    if not effects and not shows and not lines.block.damaged and act:
        lines.report("no-effect", lines.block.opener, _id(lines.block), word=lines.block.id)
    waits, waiting = _waits(lines)
    return FaultKind(
        id=lines.block.id,
        name=lines.text("name"),
        odds=odds_of(lines, odds) if odds else 0.0,
        effects=tuple(effects),
        shows=shows,
        repair=lines.text("repair"),
        minutes=lines.minutes(),
        proof=lines.text("proof"),
        damages=lines.text("damages"),
        cautions=lines.listed("warns", "caution"),
        shows_now=comes_and_goes(lines),
        renews=lines.line("renews") is not None,
        both=lines.line("both") is not None,
        source=lines.text("source"),
        place=lines.place,
        waits=waits,
        waiting=waiting,
    )


def _waits(lines: Lines) -> tuple[tuple[float, float], str]:
    """Return the hours that a repair waits, at least and at most, and what for; none without a `waits` line."""
    line = lines.line("waits")
    if line is None:
        return (0.0, 0.0), ""
    words = line.phrases[0].words
    hours = [lines.number(line, word, 0.1, 1_000, "hours") for word in words]
    if len(hours) == 2 and hours[0] >= hours[1]:
        lines.report("turned-range", line, words[0], low=words[0].text, high=words[1].text)
    text = line.find("text")
    return (hours[0], hours[-1]), text.words[0].text if text else ""


def _effect(lines: Lines, line: Statement, act: Act, ends: tuple[str, ...]) -> Effect:
    """Build one change of the network."""
    keyword, first = line.keyword.text, line.phrases[0].words[0] if line.phrases else None
    verb = first.text if keyword == "becomes" and first else keyword
    if verb not in act.verbs:
        can = tuple(word if word in ("adds", "leaks", "sets", "scales") else f"becomes {word}" for word in act.verbs)
        lines.report("cannot-fail-so", line, first if keyword == "becomes" else None, verb=verb, can=", ".join(can))
    portion = line.find("at")
    at = portion.words[0].text if portion else ""
    if portion and at not in act.portions:
        lines.scope.unknown("portion", at, lines.at(line, portion.words[0]), act.portions)
    place = lines.at(line)
    if verb == "adds":
        return AddsOhms(*lines.sizes(line, "ohms", "ohms added", 0.000_001, LARGEST), at, place)
    if verb == "leaks" and first:
        return _leak(lines, line, ends)
    if verb in ("sets", "scales") and first:
        allowed = values_of(act)
        if first.text not in allowed:
            lines.scope.unknown("value of this kind", first.text, lines.at(line, first), allowed)
        unit = allowed.get(first.text, "") if verb == "sets" else ""
        least = -LARGEST if verb == "sets" else 0
        mild, severe = lines.sizes(line, unit, "the value" if verb == "sets" else "the factor", least, LARGEST)
        return (SetsValue if verb == "sets" else ScalesValue)(first.text, mild, severe, place)
    if verb in ("locked", "slipping"):
        return Locks(place) if verb == "locked" else Slips(place)
    return StaysClosed(at, place) if verb == "closed" else Opens(at, place)


def _leak(lines: Lines, line: Statement, ends: tuple[str, ...]) -> Leaks:
    leaks = line.find("leaks")
    if leaks is None:
        raise AssertionError(line)
    end, to = leaks.words
    if end.text not in ends:
        lines.scope.unknown("end of this kind", end.text, lines.at(line, end), ends)
    if to.text not in ends:
        point_of(lines, line, to)
    mild, severe = lines.sizes(line, "ohms", "ohms leaked through", 0.000_001, LARGEST)
    return Leaks(end.text, to.text, mild, severe, lines.at(line))


def _shows(lines: Lines, line: Statement, kind_id: str) -> Shows:
    """Build a line that shows or overrules; a template's name stands for its check of the part with the fault."""
    check, finding = line.phrases[0].words
    chance = lines.chance(line, line.find("chance"))
    because = line.find("text")
    why = because.words[0].text if because else ""
    each = lines.declared.each.get(check.text)
    if each is None:
        name, found = finding_of(lines, line, check, finding)
        return Shows(name, found, chance, lines.at(line), why)
    if kind_id not in each:
        lines.report("template-kind", line, check, word=check.text, kind=kind_id, kinds=" or ".join(each))
    allowed = lines.declared.findings[check.text]
    if finding.text not in allowed:
        lines.scope.unknown(f"finding of {check.text}", finding.text, lines.at(line, finding), allowed)
    return Shows(check.text, finding.text, chance, lines.at(line), why)


def odds_of(lines: Lines, line: Statement, *, none: bool = False) -> float:
    """Return the odds of a fault as dead machines of `ODDS_OF`."""
    phrase = line.find("chance")
    if phrase is None:
        raise AssertionError(line)
    lines.chance(line, phrase, none=none)
    part, whole = (float(word.text) for word in phrase.words)
    return part if whole == ODDS_OF else part * ODDS_OF / (whole or 1.0)


def section(lines: Lines) -> Section:
    """Build a section with its parts."""
    parts: dict[str, Part] = {}
    for inner in lines.block.inner:
        part = _part(Lines(lines.scope, lines.file, inner))
        if part.id in parts:
            first = (("the first", parts[part.id].place),)
            lines.report("duplicate", inner.opener, _id(inner), what="part", word=part.id, related=first)
        parts[part.id] = part
    ends = lines.listed("ends")
    for line in lines.lines("ends"):
        for word in line.phrases[0].words:
            _joint(lines, line, word)
    return Section(lines.block.id, lines.text("name"), ends, tuple(parts.values()), lines.place)


def _part(lines: Lines) -> Part:
    """Build one part; its kind must be the one the same part has everywhere."""
    opener = lines.block.opener
    if not opener.phrases:
        return Part("", "", "", {}, {})
    name, kind = opener.phrases[0].words
    declared = lines.declared
    lines.check_id("kind", opener, kind)
    other = declared.parts.get(name.text, kind.text)
    if other != kind.text:
        first = (("the first", declared.part_places[name.text]),)
        lines.report("part-of-two-kinds", opener, kind, part=name.text, kind=kind.text, other=other, related=first)
    closed = tuple(Closed(*value_of(lines, line, *line.phrases[0].words)) for line in lines.lines("closed"))
    return Part(
        name.text,
        lines.text("name") or name.text.replace("_", " "),
        kind.text,
        _joins(lines, declared.ends.get(kind.text, ()), kind.text),
        _part_values(lines, kind.text),
        closed,
        lines.at(opener, name),
    )


def _joins(lines: Lines, ends: tuple[str, ...], kind: str) -> Mapping[str, str]:
    """Return which point each end is joined to."""
    between, opener = lines.line("from"), lines.block.opener
    joins: dict[str, str] = {}
    if between:
        points = [_joint(lines, between, word) for word in between.phrases[0].words]
        if ends and len(ends) != 2:
            lines.report("more-ends", between, between.phrases[0].words[0], kind=kind, ends=", ".join(ends))
            return {}
        joins = dict(zip(ends, points, strict=False))
    for line in lines.lines("joins"):
        end, point = line.phrases[0].words
        if ends and end.text not in ends:
            lines.scope.unknown(f"end of a {kind}", end.text, lines.at(line, end), ends)
        if end.text in joins:
            lines.report("end-twice", line, end, word=end.text)
        joins[end.text] = _joint(lines, line, point)
    for lacking in ends if not lines.block.damaged else ():
        if lacking not in joins:
            lines.report("end-missing", opener, _id(lines.block), word=lacking, kind=kind)
    return joins


def _joint(lines: Lines, line: Statement, word: Token) -> str:
    """Return a point at which parts join: a declared one, or where the section that comes next begins."""
    return NEXT if word.text == NEXT else point_of(lines, line, word)


def _part_values(lines: Lines, kind: str) -> dict[str, float]:
    """Return the values a part has of its own; they are matched with its kind when the book is put together."""
    acts = lines.declared.acts.get(kind, "")
    values: dict[str, float] = {}
    if acts not in ACTS:
        return values
    for line in lines.lines("value"):
        name, number = _value(lines, line, line.phrases[0], acts)
        if name in values:
            lines.report("value-twice", line, line.phrases[0].words[0], word=name)
        values[name] = number
    lacking = [name for name in ACTS[acts].values if name not in values | dict.fromkeys(lines.declared.given[kind])]
    if lacking and not lines.block.damaged:
        lines.report("value-missing", lines.block.opener, _id(lines.block), kind=kind, lacking=", ".join(lacking))
    return values


def circuit(lines: Lines) -> Circuit:
    """Build a circuit."""
    odds: dict[str, float] = {}
    for line in lines.lines("odds"):
        fault = line.phrases[0].words[0]
        faults_of(lines, line, fault)
        if fault.text in odds:
            lines.report("listed-twice", line, fault, word=fault.text)
        odds[fault.text] = odds_of(lines, line, none=True)
    volts = _whole(lines, "volts", (12, 24))
    batteries = _whole(lines, "batteries", (1, 2, 4))
    common = lines.line("common")
    return Circuit(
        id=lines.block.id,
        name=lines.text("name"),
        volts=volts,
        batteries=batteries,
        sections=lines.listed("uses", "section"),
        odds=odds,
        about=lines.text("about"),
        has=_has(lines),
        common=lines.chance(common, common.find("chance")) if common else 0.0,
        place=lines.place,
        free=_free(lines),
    )


def _free(lines: Lines) -> dict[str, str]:
    """Return the ends that are meant to meet nothing, each with the reason."""
    free: dict[str, str] = {}
    for line in lines.lines("free"):
        point, why = (phrase.words[0] for phrase in line.phrases)
        if point.text in free:
            lines.report("listed-twice", line, point, word=point.text)
        free[lines.check_id("point", line, point)] = why.text
    return free


def option(lines: Lines) -> CircuitOption:
    """Build an option with the sections it brings."""
    common = lines.line("common")
    return CircuitOption(
        id=lines.block.id,
        name=lines.text("name"),
        gives=_has(lines, "gives"),
        rows=tuple([_brings(lines, line) for line in lines.lines("brings")]),
        because=lines.text("because"),
        source=lines.text("source"),
        never=_never(lines),
        common=lines.chance(common, common.find("chance")) if common else 0.0,
        matters=_matters(lines),
        place=lines.place,
    )


def _matters(lines: Lines) -> dict[str, float]:
    """Return how often the fault lies in an option, by complaint."""
    matters: dict[str, float] = {}
    for line in lines.lines("matters"):
        word = line.phrases[0].words[0]
        if word.text in matters:
            lines.report("listed-twice", line, word, word=word.text)
        matters[lines.check_id("complaint", line, word)] = lines.chance(line, line.find("chance"))
    return matters


def _brings(lines: Lines, line: Statement) -> Brings:
    """Build one row of sections that come and sections that give way."""
    come, instead, on = line.find("list"), line.find("instead"), line.find("on")
    names = [
        tuple([lines.check_id("section", line, word) for word in phrase.words]) if phrase else ()
        for phrase in (come, instead)
    ]
    volts = int(lines.number(line, on.words[0], 1, 1_000, "volts")) if on else 0
    return Brings(names[0], names[1], volts, lines.at(line))


def _never(lines: Lines) -> dict[str, str]:
    """Return the circuits that cannot have an option, each with the reason."""
    never: dict[str, str] = {}
    for line in lines.lines("never"):
        why = next(phrase for phrase in line.phrases if phrase.form == "text")
        for word in line.phrases[0].words:
            if word.text in never:
                lines.report("listed-twice", line, word, word=word.text)
            never[lines.check_id("circuit", line, word)] = why.words[0].text
    return never


def _has(lines: Lines, keyword: str = "has") -> dict[str, tuple[str, ...]]:
    """Return answers by feature, as lines with that keyword give them."""
    has: dict[str, tuple[str, ...]] = {}
    for line in lines.lines(keyword):
        feature, *answers = line.phrases[0].words
        name = lines.check_id("feature", line, feature)
        if name in has:
            lines.report("listed-twice", line, feature, word=name)
        allowed = lines.declared.options.get(name)
        for place, answer in enumerate(answers):
            if allowed and answer.text not in allowed:
                lines.scope.unknown(f"answer of {name}", answer.text, lines.at(line, answer), allowed)
            if answer.text in [other.text for other in answers[:place]]:
                lines.report("listed-twice", line, answer, word=answer.text)
        has[name] = tuple(answer.text for answer in answers)
    return has


def _whole(lines: Lines, keyword: str, allowed: tuple[int, ...]) -> int:
    line = lines.line(keyword)
    if line is None:
        return allowed[0]
    word = line.phrases[0].words[0]
    words = tuple(str(number) for number in allowed)
    if word.text not in words:
        lines.report("one-of", line, word, keyword=keyword, words=" or ".join(words))
        return allowed[0]
    return int(word.text)


def chain(lines: Lines) -> Chain:
    """Build a chain of a cause and its victims."""
    line = lines.line("cause")
    cause = faults_of(lines, line, line.phrases[0].words[0]) if line else FaultRef()
    victims: dict[str, Victim] = {}
    for line in lines.lines("victim"):
        word = line.phrases[0].words[0]
        faults = faults_of(lines, line, word)
        if str(faults) == str(cause):
            lines.report("own-victim", line, word)
        if str(faults) in victims:
            lines.report("listed-twice", line, word, word=str(faults))
        victims[str(faults)] = Victim(faults, lines.chance(line, line.find("chance")), lines.at(line, word))
    return Chain(
        lines.block.id,
        cause,
        tuple(victims.values()),
        lines.text("because"),
        lines.text("source"),
        lines.text("circle"),
        lines.place,
    )
