"""Drills: machines that answer as circuits do, cautions that end a drill, what is said of errors, what is kept."""

from __future__ import annotations

import io
import random
from datetime import date
from math import isclose, isinf
from pathlib import Path

import pytest

from coldiron.circuits.readings import reader
from coldiron.circuits.trial import Bench
from coldiron.drill import skills
from coldiron.drill.driver import DrillDriver, opened
from coldiron.drill.kept import FILE, DrillFile, progress
from coldiron.drill.play import begin, fix, take
from coldiron.drill.pupils import fixed_order, guesser, halver, planner, played
from coldiron.drill.review import HINTS, score_of
from coldiron.drill.skills import due, skills_of
from coldiron.drill.step import between, in_words
from coldiron.drill.world import World
from coldiron.drill.yard import world_of, world_with
from coldiron.jobs.log import Entry
from coldiron.map.sketch import sketch
from coldiron.screens import plain
from coldiron.screens.lines import Reply
from support.mechanic import shipped
from support.own_machine import OwnMachine
from support.own_meter import OwnMeter
from support.sizes import THOROUGH, size

START = {"key": "start"}

ANY = "" if THOROUGH else "start_relay"
"""The circuit of drawn machines: any where a change is judged, one in a plain run, which then composes no others."""


def drill(seed: int, circuit: str, fault: str) -> World:
    """A machine with a given fault, told of as it does."""
    return world_with(shipped(), circuit, fault, seed)


def typed(driver: DrillDriver, *lines: str) -> DrillDriver:
    """A drill after some lines, none of which is refused."""
    for line in lines:
        after = driver.enter(line)
        assert isinstance(after, DrillDriver), (line, after)
        driver = after
    return driver


def words(reply: DrillDriver | Reply) -> str:
    """All that is said on a page or in a reply."""
    blocks = reply.page().blocks if isinstance(reply, DrillDriver) else reply.blocks
    return " ".join(f"{getattr(block, 'label', '')} {getattr(block, 'text', '')}" for block in blocks)


@pytest.mark.parametrize("seed", range(size(3, 60, 300)))
def test_a_seed_brings_the_same_machine_and_a_fault_that_shows(seed: int) -> None:
    """Its complaint is what the machine does, seen check by check, and a cause comes before its victim."""
    one, same = world_of(shipped(), seed, ANY), world_of(shipped(), seed, ANY)
    assert (one.faults, one.told, one.story) == (same.faults, same.told, same.story)
    assert set(one.faults) <= set(one.machine.faults)
    real = one.real()
    for name, finding in shipped().complaints[one.told].sees:
        if name in one.machine.checks:
            found = real.answer(name)
            check = shipped().checks[name]
            bands = next(known.bands for known in check.findings if known.id == finding)
            mine = [band for band in bands if band.volts in (0, one.machine.volts)]
            value = found.number or 0.0
            assert found.sign == finding or any(band.low <= value <= band.high for band in mine)


@pytest.mark.parametrize("fault", ["main_link.blown", "plus_cable.poor", "key_feed_wire.poor", "start_relay.coil_open"])
def test_readings_between_any_two_points_are_those_of_another_solver(fault: str) -> None:
    """The tableau of `support/own_meter.py`, which shares no code with the program, reads the same anywhere."""
    machine = world_of(shipped(), 1, "start_relay").machine
    fault = fault if fault in machine.faults else next(iter(machine.faults))
    bench, meter = Bench(machine), OwnMeter(OwnMachine(shipped(), "start_relay"), 1)
    points = list(sketch(machine).spots)
    chance = random.Random(fault)  # noqa: S311 - no secret
    trials = bench.trials((fault,))
    for state in ({}, {"key": "on"}, START):
        for quantity in ("volts", "lamp"):
            red, black = chance.sample(points, 2)
            probe = between(machine, quantity, red, black, state)
            read = reader(probe.reads, bench.layout)
            trial = trials[len(trials) // 2]
            mine = read(trial, trial.solution(bench.layout.state(probe.state)))
            its = meter.value(probe.reads, probe.state, frozenset((fault,)))
            assert isclose(mine, its, abs_tol=0.02) or (isinf(mine) and isinf(its)), (red, black, state, mine, its)


def test_a_poor_joint_passes_a_meter_and_fails_a_test_light() -> None:
    """Ghost volts: nuts left loose on a link pass full volts, and that it was trusted is written down."""
    world = drill(3, "start_relay", "main_link_nuts.loose")
    meter = take(begin(world), between(world.machine, "volts", "fuse_panel", "battery_negative", {}))
    light = take(meter, between(world.machine, "lamp", "fuse_panel", "battery_negative", {}))
    assert float(meter.shots[0].shown) > 9
    assert light.shots[1].words in ("dim", "faint", "dark")
    assert meter.shots[0].trusted


def test_leads_not_zeroed_read_high() -> None:
    """Half an ohm of leads stands in every reading until they were touched together."""
    bare = opened("drill", drill(4, "start_relay", "main_link.blown"))
    off = typed(bare, "prepare set battery ground lead off", "set battery ground lead off")
    line = "ohms 27 to 28"
    before = typed(off, f"prepare {line}", line)
    after = typed(off, "zero", f"prepare {line}", line)
    raw, zeroed = (float(one.play.shots[-1].words.split()[0]) for one in (before, after))
    assert isclose(raw - zeroed, 0.5, abs_tol=0.11)


def test_a_danger_not_prepared_ends_the_drill_and_names_its_source() -> None:
    """At the battery the gas; prepared first, the same step is done."""
    first = opened("drill", drill(5, "start_relay", "main_link.blown"))
    stopped = typed(first, "volts 2 to 1")
    assert stopped.play.over == "hurt"
    assert stopped.page().prompt is None
    assert "coldiron drill --seed 5" in words(stopped)
    assert shipped().cautions["battery_gas"].source in words(stopped)
    assert "main link" not in words(stopped)
    assert typed(first, "prepare volts 2 to 1", "volts 2 to 1").play.shots[0].words.endswith(" V")


def test_ohms_on_a_live_machine_end_it() -> None:
    """An ohmmeter on a live wire: the action of the book says what has to be off."""
    stopped = typed(opened("drill", drill(5, "start_relay", "main_link.blown")), "ohms 20 to 27")
    assert stopped.play.over == "hurt"
    assert "TM 5-3805-254-20-1" in words(stopped)


def test_errors_of_reasoning_are_pointed_at() -> None:
    """A held cause that a reading rules out; a reading that cannot tell; a cause nobody thought of."""
    world = drill(6, "start_relay", "main_link.blown")
    light = ("prepare light 6 to 1", "light 6 to 1")
    held = typed(opened("drill", world), "hold key switch fuse, starter wire", *light)
    assert "cannot tell between them" in words(held) or "rules it out" in words(held)
    assert "Something you do not hold" in words(held)
    right = typed(opened("drill", world), "hold main link", *light)
    assert "rules it out" not in words(right)
    battery = typed(opened("drill", world), "hold main link", "prepare light 7 to 1", "light 7 to 1")
    assert battery.play.shots[0].words == "dark"


def test_a_victim_fails_again_while_its_cause_is_there() -> None:
    """And a cause fixed first leaves the victim to be fixed."""
    world = next(one for one in (world_of(shipped(), seed, "start_relay") for seed in range(60)) if len(one.faults) > 1)
    cause, victim = world.faults
    if victim in world.machine.mended_with(cause):
        pytest.skip("one fix mends both")
    assert victim in fix(begin(world), victim).present
    both = fix(fix(begin(world), cause), victim)
    assert both.over == "found"
    assert not both.in_vain


def test_the_planner_finds_it_and_the_score_is_its_minutes_by_yours() -> None:
    """Played as the planner plays, the score is 100; a hint costs its minutes."""
    world = drill(7, "start_relay", "main_link.blown")
    end = played(world, planner)
    assert end.over == "found"
    assert score_of(end).score == 100
    hinted = typed(opened("drill", world), "hint", "hint", "hint", "hint")
    assert hinted.play.minutes == hinted.play.hints == sum(HINTS)
    first = played(world, planner).shots[0].probe
    assert in_words(shipped(), first) in words(hinted)


def test_pupils_rank_as_they_should() -> None:
    """On the same machines the planner needs the fewest minutes, then whoever halves, the fixed order, a guesser.

    In the book's own world: machines and odds are those of the book. The sizes of plain runs only tell best from worst.
    """
    worlds = [world_of(shipped(), seed, ANY) for seed in range(size(3, 24, 120))]
    pupils = (planner, halver, fixed_order, guesser(1))
    minutes = [sum(played(world, pupil).minutes for world in worlds) / len(worlds) for pupil in pupils]
    assert minutes[0] < minutes[3]
    if THOROUGH:
        assert minutes[0] <= minutes[1] * 1.05
        assert minutes[1] < minutes[2]


def test_what_is_looked_at_is_named_shortly() -> None:
    """`look negative clamp` is the look, though the clamp is felt by another check."""
    driver = typed(opened("drill", drill(8, "start_relay", "main_link.blown")), "prepare look negative clamp")
    assert typed(driver, "look negative clamp").play.shots[0].probe.reads.quantity == "eye"


def test_what_cannot_be_understood_is_refused_in_a_sentence() -> None:
    """Nothing typed raises, and the machine stays as it was."""
    driver = opened("drill", drill(8, "start_relay", "main_link.blown"))
    for line in ("volts", "volts 4", "volts 4 to 99", "volts frme to 1", "look", "set", "set key", "set key sideways",
                 "fix", "fix everything", "hold nonsense", "prepare", "prepare dance", "ask moon", "xyzzy",
                 "set key start", "set key off", "amps", "check volts", "volts 4 to 4 to 4"):  # fmt: skip
        after = driver.enter(line)
        assert isinstance(after, Reply), line
        assert after.refused, line
    for line in ("map", "help", "ask"):
        assert isinstance(driver.enter(line), Reply)


def test_a_drill_is_played_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On plain lines from a pipe: every line is kept at once, and what it came to is told over time."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    assert "No drill has ended yet" in progress()[0]
    world = drill(9, "start_relay", "main_link.blown")
    kept = DrillFile(9, "start_relay", shipped().hash)
    lines = "ask water\nprepare fix main link blown\nfix main link blown\n"
    out = io.StringIO()
    end = plain.run(opened("Drill 9", world), kept.save, io.StringIO(lines), out)
    assert isinstance(end.driver, DrillDriver)
    assert end.driver.play.over == "found"
    assert "It was: the main link" in out.getvalue()
    kept.close(score_of(end.driver.play), end.driver.play)
    told = progress()
    assert any(line.startswith("prepares a step that can hurt: 1 of 1, due ") for line in told)
    with (tmp_path / FILE).open("a", encoding="utf-8") as torn:
        torn.write('{"drill": "17')
    told = progress()
    assert "  drill 9  " in told[0]
    assert (tmp_path / FILE).read_text(encoding="utf-8").count("typed") == 3
    of_lesson = DrillFile(2, "start_relay", shipped().hash, lesson=1)
    of_lesson.save((Entry("drill", "1", "map"),))
    of_lesson.close(score_of(end.driver.play), end.driver.play)
    assert "  lesson 1, drill 9  " in progress()[1]


def test_a_skill_is_due_later_the_more_often_it_was_shown() -> None:
    """With the library and without; a miss brings it back at once."""
    days = [date(2031, 1, 1), date(2031, 1, 3), date(2031, 1, 8)]
    shown = [(day, True) for day in days]
    missed = [*shown[:2], (days[2], False)]
    for rule in (due, skills._doubled):
        assert days[2] < rule(missed) < rule(shown)
        assert rule(shown) - days[2] > rule(shown[:1]) - days[0]


def test_skills_are_told_by_what_was_done() -> None:
    """A reading trusted without load, a fix in vain and a step not prepared are each seen."""
    world = drill(3, "start_relay", "main_link_nuts.loose")
    clean = played(world, planner)
    assert skills_of(clean, 100)["feed"]
    trusting = take(begin(world), between(world.machine, "volts", "fuse_panel", "battery_negative", {}))
    assert not skills_of(fix(trusting, "battery.flat"), 0)["measures"]
    assert not skills_of(trusting, 0)["loads"]
    hurt = typed(opened("drill", world), "volts 2 to 1").play
    assert not skills_of(hurt, 0)["prepares"]
