"""The wires at a place where an event hurt several: those proven hurt, those to be looked at, those proven sound."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.judging.judgement import Judgement

HURT = 0.9
"""Chance from which a wire counts as proven hurt: nine in ten."""

SOUND = -3.0
"""A wire is proven sound where each thing that the event may have done to it makes the readings 20 times less likely,
as a log."""

WORDS = {"hurt": "Hurt by the readings", "open": "Look at these there too", "sound": "Sound by the readings"}


def wires_at(judged: Judgement, event: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What is known of each wire at the place of an event, the hurt ones first; nothing for any other fault."""
    machine = judged.setup.machine
    struck = machine.events.get(event)
    if struck is None:
        return ()
    known: dict[str, list[str]] = {how: [] for how in WORDS}
    for part in machine.routes[struck.fault.part]:
        faults = [name for name in struck.hurts if machine.faults[name].part == part]
        if faults:
            known[_known_of(judged, event, faults)].append(machine.parts[part].name)
    return tuple((WORDS[how], tuple(names)) for how, names in known.items() if names)


def _known_of(judged: Judgement, event: str, faults: Iterable[str]) -> str:
    """Whether a wire is proven hurt, proven sound, or neither."""
    if sum([judged.belief.chance(name) for name in faults]) >= HURT:
        return "hurt"
    found = max((one for one in judged.belief.hypotheses if event in one.faults), key=lambda one: one.chance)
    sets = [found.shown, *[tuple(sorted({*found.shown, name})) for name in faults]]
    told = judged.judge.hear(judged.evidence).told[-1].likelihoods(sets)
    return "sound" if max([told[one] for one in sets[1:]]) - told[sets[0]] <= SOUND else "open"
