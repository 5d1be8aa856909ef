"""Builders of routes and events, and what follows from them: the look at a place, and each event there as a fault."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.checks import LOOKS_GOOD, Check, Finding, Reads, look_at
from coldiron.book.faults import FaultKind, FaultRef, Victim
from coldiron.book.history import Ask, Shift
from coldiron.book.machines import Route, RouteEvent, StoryTold
from coldiron.language.build.asking import state_of
from coldiron.language.build.machines import odds_of
from coldiron.language.build.names import faults_of
from coldiron.language.build.scope import Lines
from coldiron.record import replace

MOST_TIMES = 100.0
"""No answer makes an event likelier by more."""


def route(lines: Lines) -> tuple[Route, Check]:
    """Build a route, and the look at it; what eyes can see there is known once all events are."""
    events: dict[str, float] = {}
    for line in lines.lines("suffers"):
        word = line.phrases[0].words[0]
        if word.text in events:
            lines.report("listed-twice", line, word, word=word.text)
        events[lines.check_id("event", line, word)] = odds_of(lines, line)
    wrong = lines.line("wrong")
    made = Route(
        id=lines.block.id,
        name=lines.text("name"),
        parts=lines.listed("passes", "part"),
        events=events,
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )
    look = Check(
        id=look_at(made.id),
        ask=lines.text("ask"),
        how=lines.text("how"),
        reads=Reads("eye", part=made.id),
        state=state_of(lines),
        minutes=lines.minutes(),
        area=lines.known("area", "area"),
        kit=lines.listed("kit", "kit"),
        warns=lines.listed("warns", "caution"),
        findings=(),
        good=LOOKS_GOOD,
        wrong=lines.chance(wrong, wrong.find("chance")) if wrong else 0.0,
        spread=0.0,
        step=0.0,
        source=made.source,
        place=lines.place,
    )
    return made, look


def event(lines: Lines) -> RouteEvent:
    """Build an event with what it hurts, and what tells of it."""
    hurts: dict[str, Victim] = {}
    for line in lines.lines("hurts"):
        word = line.phrases[0].words[0]
        faults = faults_of(lines, line, word)
        if str(faults) in hurts:
            lines.report("listed-twice", line, word, word=str(faults))
        hurts[str(faults)] = Victim(faults, lines.chance(line, line.find("chance")), lines.at(line, word))
    seen = lines.line("seen")
    meaning = seen.find("meaning") if seen else None
    return RouteEvent(
        id=lines.block.id,
        what=_what(lines),
        hurts=tuple(hurts.values()),
        seen=lines.chance(seen, seen.find("chance")) if seen else 0.0,
        meaning=meaning.words[0].text if meaning else "",
        told=_told(lines),
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def _what(lines: Lines) -> FaultKind:
    """What is to be done about it; its odds are a matter of the place."""
    return FaultKind(
        id=lines.block.id,
        name=lines.text("name"),
        odds=0.0,
        effects=(),
        shows=(),
        repair=lines.text("repair"),
        minutes=lines.minutes(),
        proof=lines.text("proof"),
        damages=lines.text("damages"),
        cautions=lines.listed("warns", "caution"),
        source=lines.text("source"),
        place=lines.place,
    )


def _told(lines: Lines) -> tuple[StoryTold, ...]:
    """The answers that make it likelier."""
    found: dict[tuple[str, str], StoryTold] = {}
    for line in lines.lines("after"):
        asked, answer, times = line.phrases[0].words
        name = lines.check_id("question", line, asked)
        allowed = lines.declared.answers.get(name)
        if allowed and answer.text not in allowed:
            lines.scope.unknown(f"answer of {name}", answer.text, lines.at(line, answer), allowed)
        if (name, answer.text) in found:
            lines.report("listed-twice", line, answer, word=answer.text)
        factor = lines.number(line, times, 1, MOST_TIMES, "a factor on odds")
        found[name, answer.text] = StoryTold(name, answer.text, factor, lines.at(line, answer))
    return tuple(found.values())


def with_findings(look: Check, where: Route, events: Mapping[str, RouteEvent]) -> Check:
    """The look at a route with what its events show, and that nothing is seen."""
    seen = [Finding(name, events[name].meaning, ()) for name in where.events if name in events]
    return replace(look, findings=(*seen, Finding(LOOKS_GOOD, "nothing of it: clean, dry and whole", ())))


def told_of(
    questions: Mapping[str, Ask], routes: Mapping[str, Route], events: Mapping[str, RouteEvent]
) -> dict[str, Ask]:
    """The questions with what their answers say of events, wherever those may happen."""
    shifts: dict[tuple[str, str], list[Shift]] = {}
    for where in routes.values():
        for name in where.events:
            for told in events[name].told if name in events else ():
                shift = Shift(FaultRef(part=where.id, fault=name), told.factor)
                shifts.setdefault((told.question, told.answer), []).append(shift)
    spoken = {question for question, _ in shifts}
    return {name: _with(asked, shifts) if name in spoken else asked for name, asked in questions.items()}


def _with(asked: Ask, shifts: Mapping[tuple[str, str], list[Shift]]) -> Ask:
    answers = [replace(one, shifts=(*one.shifts, *shifts.get((asked.id, one.id), ()))) for one in asked.answers]
    return replace(asked, answers=tuple(answers))
