"""Events that hurt several wires at one place: found where the story tells of them, and weighed nowhere else."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import pytest

from coldiron import Consultation
from coldiron.book.checks import Check
from support.mechanic import Job, Mechanic, work
from support.shop import begin, book, machine, told


@dataclass
class Beside(Mechanic):
    """One who looks where wires pass, and sees there what happened; to open the harness there mends what it hurt.

    Args:
        event: what happened, and at which route.
    """

    event: str = ""

    def reads(self, check: Check) -> str:
        """At a route its event, as long as it is there; elsewhere as ever."""
        if check.reads.part not in book().routes:
            return super().reads(check)
        route, _, name = self.event.partition(".")
        there = check.reads.part == route and self.event not in self.repaired
        return name if there else check.good

    def mend(self, fault: str) -> None:
        """The fix of an event mends each wire there that it can have hurt."""
        route = fault.partition(".")[0]
        if route not in book().routes:
            super().mend(fault)
            return
        self.repaired.append(fault)
        passing = book().routes[route].parts
        self.present -= {one for one in self.present if one.partition(".")[0] in passing}


TOLD = (
    ("start_relay", "bulkhead.chewed", ("cab_feed.broken", "start_wire.broken"), ("rodents", "nest")),
    ("start_relay", "at_relay_box.washed", ("relay_ground.poor", "start_wire.poor"), ("water", "washed")),
    ("controller_start", "bulkhead.chewed", ("controller_supply_wire.off", "request_wire.off"), ("rodents", "nest")),
)
"""Circuit, what happened where, which wires it hurt, and what the owner tells of it."""

MOST_STEPS = 40
"""Answers up to the fix of an event, cautions and settings among them: a job on a single wire takes some 25."""


@cache
def job(number: int) -> Job:
    """A whole job on such a machine, worked once."""
    circuit, event, faults, (asked, answer) = TOLD[number]
    mechanic = Beside(book(), circuit, frozenset(faults), event=event)
    return work(mechanic, begin(circuit, mechanic.complains()).answer(asked, answer))


@pytest.mark.parametrize("number", range(len(TOLD)))
def test_an_event_the_story_tells_of_is_found(number: int) -> None:
    """It is fixed, soon; nothing that it hurt is left, and the machine goes back to its owner."""
    _, event, _, _ = TOLD[number]
    done = job(number)
    assert event in done.mechanic.repaired
    assert done.status == "handed back"
    assert not done.mechanic.present
    fixed = next(n for n, (asked, answer) in enumerate(done.said) if asked.id == event and answer == "done")
    assert fixed <= MOST_STEPS


@pytest.mark.parametrize("number", range(len(TOLD)))
def test_its_verdict_names_the_wires(number: int) -> None:
    """At least one of the wires still hurt is named as hurt, none as sound; each wire stands in one list only."""
    _, event, faults, _ = TOLD[number]
    done = job(number)
    place = next(n for n, (asked, _) in enumerate(done.said) if asked.id == event and asked.kind == "repair")
    before = done.after[place]
    assert before.verdict.faults[0][0] == event
    lists = dict(before.verdict.wires)
    names = [name for wires in lists.values() for name in wires]
    assert len(set(names)) == len(names)
    fixed = {epoch.repaired for epoch in before.state.epochs}
    hurt = {before.book.parts[fault.partition(".")[0]].name for fault in faults if fault not in fixed}
    assert hurt & set(lists["Hurt by the readings"])
    assert not hurt & set(lists.get("Sound by the readings", ()))


def awake(now: Consultation) -> frozenset[str]:
    """The events that a consultation weighs."""
    return now.judged.awake if now.judged else frozenset()


def test_without_a_word_of_it_none_is_weighed() -> None:
    """Neither at the start nor after a reading that speaks for one wire; nor is a place looked at."""
    now = told(begin("start_relay", "no_power"), {"link_out_lamp.main_link": "bright", "fuse_in_lamp.key_fuse": "dark"})
    assert now.suspects[0][0] == "cab_feed.broken"
    assert awake(now) == frozenset()
    assert now.judged
    offered = {offer.check for offer in now.judged.offers}
    assert offered.isdisjoint(machine("start_relay").looks.values())
    assert offered


def test_two_hurt_wires_at_one_place_wake_what_hurts_both() -> None:
    """No story, but a second wire that passes where the first one does."""
    readings = {
        "link_out_lamp.main_link": "bright",
        "fuse_in_lamp.key_fuse": "dark",
        "start_wire_look.start_wire": "broken",
        "chain_walk": "wire",
    }
    one = told(begin("start_relay", "no_power"), readings)
    assert "bulkhead.chewed" in awake(one)
    assert {name.partition(".")[0] for name in awake(one)} <= set(machine("start_relay").routes)


def test_a_look_at_the_place_tells_events_apart() -> None:
    """Teeth marks there speak for the nest, a screw tip for the screw, and nothing seen against both."""
    now = begin("start_relay", "no_power").answer("rodents", "nest").answer("near_loom", "screws")
    now = told(now, {"link_out_lamp.main_link": "bright", "fuse_in_lamp.key_fuse": "dark"})
    before = dict(now.suspects)
    for seen, other in (("chewed", "screwed"), ("screwed", "chewed")):
        after = dict(now.answer("bulkhead_look", seen).suspects)
        assert after[f"bulkhead.{seen}"] > 2 * before[f"bulkhead.{seen}"]
        assert after[f"bulkhead.{other}"] < before[f"bulkhead.{other}"]
    nothing = dict(now.answer("bulkhead_look", "sound").suspects)
    assert nothing["bulkhead.chewed"] < before["bulkhead.chewed"] / 2


def test_what_an_event_hurt_is_one_line_with_it() -> None:
    """The page of the job shows the event, and not beside it each wire that it most likely hurt."""
    _, event, faults, _ = TOLD[0]
    done = job(0)
    place = next(n for n, (asked, _) in enumerate(done.said) if asked.id == event and asked.kind == "repair")
    seen = done.after[place].judged
    assert seen is not None
    lines = dict(seen.belief.in_view)
    assert event in lines
    assert not set(faults) & set(lines)
