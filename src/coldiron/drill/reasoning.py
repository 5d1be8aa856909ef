"""Errors of reasoning that a reading shows: what is held and ruled out, what it cannot tell, what is missed."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.drill.play import Play, Shot, meter_words
from coldiron.drill.thinking import foreseen_of, near, ruled_out

ALIKE = 0.6
"""How near two readings are that a meter does not tell apart."""

NOT_NAMED = 0.3
"""The chance from which a part that is not held is pointed at, without its name."""

SAID_OF_METER = ("volts", "ohms", "lamp", "amps")


def errors(play: Play) -> tuple[str, ...]:
    """What the latest reading says against what is held, in sentences. Nothing is said to who holds nothing."""
    if not play.shots or not play.held:
        return ()
    shot = play.shots[-1]
    return (*_ruled_out(play, shot), *_cannot_tell(play, shot), *_not_named(play))


def ruled_out_parts(play: Play, shot: Shot) -> tuple[str, ...]:
    """The parts that are held and that a reading has ruled out."""
    sets = shot.before.sets
    weighed = dict(zip(sets, foreseen_of(play.world.setup).likelihoods(shot.probe, shot.shown, sets), strict=True))
    return tuple(part for part in sorted(play.held) if ruled_out(weighed, _faults(play, part)))


def _ruled_out(play: Play, shot: Shot) -> Iterator[str]:
    for part in ruled_out_parts(play, shot):
        name = play.world.machine.parts[part].name
        would = _would(play, shot, part)
        more = f" With it you would read {would}." if would else ""
        yield f"You hold {name} likely. This reading rules it out.{more}"


def _would(play: Play, shot: Shot, part: str) -> str:
    """What a meter would have shown with the likeliest fault of a part; nothing of what is seen or heard."""
    if shot.probe.reads.quantity not in SAID_OF_METER:
        return ""
    odds = {name: shot.before.by_fault().get(name, 0.0) for name in _faults(play, part)}
    if not odds:
        return ""
    fault = max(sorted(odds), key=lambda name: odds[name])
    values = foreseen_of(play.world.setup).values(shot.probe, frozenset((fault,)))
    words = [meter_words(shot.probe.reads.quantity, value) for value in (min(values), max(values))]
    return " to ".join(dict.fromkeys(words))


def _cannot_tell(play: Play, shot: Shot) -> Iterator[str]:
    """Of two parts or more that are held: whether all of them would have shown much the same."""
    if len(play.held) > 1 and shot.probe.reads.quantity in SAID_OF_METER:
        foreseen = foreseen_of(play.world.setup)
        faults = [fault for part in play.held for fault in _faults(play, part)]
        values = [value for name in faults for value in foreseen.values(shot.probe, frozenset((name,)))]
        if near(shot.probe.reads.quantity, min(values), max(values)) >= ALIKE:
            shown = meter_words(shot.probe.reads.quantity, values[0])
            yield f"All you hold likely would read about {shown} here. This reading cannot tell between them."


def _not_named(play: Play) -> Iterator[str]:
    chances = play.causes.by_part()
    part = next(iter(chances), "")
    if part and part not in play.held and chances[part] >= NOT_NAMED:
        yield "Something you do not hold fits the readings better by now. What else lies between your probes?"


def _faults(play: Play, part: str) -> frozenset[str]:
    return frozenset(name for name, fault in play.world.machine.faults.items() if fault.part == part)
