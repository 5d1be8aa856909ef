"""The cautions of the shipped book: no hazardous step without its own, and none that tells anyone to do harm."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coldiron.book.checks import Check
from coldiron.job.cautions import before_check, before_repair, before_setting
from support.mechanic import shipped
from support.stands_before import stands_before, written

POSTS = ("battery_positive", "battery_negative", "ground_battery_positive", "top_battery_negative")
CLAMPS = ("positive_clamp", "negative_clamp")
AT_STARTER = ("starter_battery_stud", "starter_motor_stud", "starter_s", "starter_case", "s_wire_end")
SAME = re.compile(r"the same (type and )?rating|the rating that")


WRITTEN = written((Path(__file__).parent / "cautions.tsv").read_text(encoding="utf-8"))
"""Every caution with what it stands before, kept a second time beside the book."""


@pytest.mark.parametrize("name", WRITTEN)
def test_no_caution_and_no_step_of_one_is_lost(name: str) -> None:
    """A caution taken out of the book fails here, and so does one that no longer stands before what it stood before.

    More steps may come without a line here. One that goes on purpose goes here too: `tests/support/stands_before.py`.
    """
    assert sorted(WRITTEN[name] - stands_before(shipped()).get(name, set())) == []


def test_every_caution_is_written_down() -> None:
    """So that the next one that is lost is missed as well; each stands before something."""
    assert stands_before(shipped()).keys() == WRITTEN.keys()
    assert all(WRITTEN.values())


def due(check: Check) -> set[str]:
    """Cautions on screen before a check of a machine that stands as it is handed over."""
    normal = {name: setting.normal for name, setting in shipped().settings.items()}
    return set(before_check(shipped(), check, normal))


@pytest.mark.parametrize("name", [n for n, c in shipped().checks.items() if c.state.get("key") == "start"])
def test_nobody_cranks_without_the_caution_of_the_crank_area(name: str) -> None:
    """NIOSH and State FACE reports of people run over at the start; ANSI Z535.4 calls that DANGER."""
    assert "crank_area" in due(shipped().checks[name])
    assert shipped().cautions["crank_area"].word == "DANGER"


def at_posts(check: Check) -> bool:
    """Whether hands work at the posts; where the black clip alone sits on the minus post, the work is elsewhere."""
    probed = {check.reads.a, check.reads.b} & {*POSTS, *CLAMPS}
    return bool(probed - {"battery_negative"}) or (bool(probed) and check.area == "battery_box")


@pytest.mark.parametrize("name", [n for n, c in shipped().checks.items() if c.reads.b == "battery_negative"])
def test_a_clip_on_the_minus_post_is_warned_of(name: str) -> None:
    """A lamp clip that slips sparks where TM 9-6140-200-14 says that gas must be assumed."""
    assert {"black_clip", "battery_gas"} & due(shipped().checks[name])


@pytest.mark.parametrize("name", [n for n, c in shipped().checks.items() if at_posts(c)])
def test_nobody_touches_a_post_without_the_cautions_of_gas_and_short(name: str) -> None:
    """TM 9-6140-200-14: gas must be assumed at any battery at any time; TM 9-2320-361-24-1: jewellery off."""
    assert {"battery_gas", "battery_short"} <= due(shipped().checks[name])


@pytest.mark.parametrize("name", [n for n, c in shipped().checks.items() if c.reads.quantity == "ohms"])
def test_nobody_measures_ohms_on_a_live_circuit(name: str) -> None:
    """TM 5-3805-254-20-1: key off and battery ground off before resistance checks; else the part is out of its plug."""
    check = shipped().checks[name]
    apart = {"start_relay": "out", "ring_plug": "out"}
    assert check.state.get("battery_lead") == "off" or apart.items() & check.state.items()
    if check.state.get("battery_lead") == "off":
        assert {"negative_first", "power_gone"} <= due(check)


@pytest.mark.parametrize(
    "name",
    [
        n
        for n, c in shipped().checks.items()
        if c.state.get("key") == "start" and {c.reads.a, c.reads.b} & set(AT_STARTER)
    ],
)
def test_nobody_has_probes_at_the_starter_while_it_turns_unwarned(name: str) -> None:
    """Fan, belts and shafts turn as soon as it cranks."""
    assert "turning_parts" in due(shipped().checks[name])


@pytest.mark.parametrize("name", ["runs_on", "stops_when_told"])
def test_nobody_starts_an_engine_to_see_it_run_unwarned(name: str) -> None:
    """The key stands at ON when it is read, but the engine was started for it: crank area and exhaust come first."""
    assert {"crank_area", "exhaust_gas"} <= due(shipped().checks[name])


def test_power_comes_back_and_engines_start_only_after_their_cautions() -> None:
    """Settings that give power or motion carry a caution of their own."""
    moves = {
        ("key", "start"),
        ("isolator", "on"),
        ("battery_lead", "on"),
        ("battery_lead", "off"),
        ("neutral", "out"),
        ("park_brake", "released"),
        ("remote_button", "pressed"),
        ("booster", "on"),
        ("jump_pack", "on"),
        ("main_link", "out"),
    }
    for setting, value in sorted(moves):
        assert before_setting(shipped(), setting, value), f"{setting} {value}"


@pytest.mark.parametrize("name", sorted(shipped().faults))
def test_repairs_that_hurt_people_carry_their_caution(name: str) -> None:
    """Fuses and links, interlocks, heavy cables and starters, charging: each repair shows what it needs."""
    fault = shipped().faults[name]
    named = set(before_repair(shipped(), name))
    if fault.what.id in ("blown", "cracked") and fault.kind in ("main_link", "fuse", "module_fuse"):
        assert "fuse_rating" in named
    if fault.kind.endswith("_switch") and fault.what.id in ("dead", "out_of_adjustment"):
        assert "interlock_repair" in named
    if fault.kind == "heavy_cable":
        assert {"dead_cable", "negative_first"} & named
    if fault.kind == "battery" and fault.what.id in ("flat", "empty", "half"):
        assert "jump_or_charge" in named


BEFORE_REPAIRS = [
    ("brake_switch", ("dead", "out_of_adjustment"), "springs_of_the_brake"),
    ("lever_switch", ("dead", "out_of_adjustment"), "trapped_pressure"),
    ("starter", ("seized", "brushes", "contacts_dead", "drags"), "heavy_lift"),
    ("battery", ("worn", "dead_cell", "opens_inside", "frozen"), "battery_out_and_in"),
    ("battery", ("worn", "dead_cell", "opens_inside", "frozen", "reversed"), "battery_gas"),
    ("battery", ("worn", "dead_cell", "opens_inside", "frozen", "reversed"), "negative_first"),
    ("starter", ("contacts_burnt", "welded", "brushes_worn", "stud_shorted"), "raised_parts"),
    ("reader_ring", ("open",), "airbag_near"),
    ("pull_coil", ("open", "shorted"), "pump_linkage"),
    ("glow_plugs", ("some_open", "shorted"), "negative_first"),
    ("battery", ("empty",), "lithium_pack"),
    ("controller_wire", ("off", "poor"), "injector_volts"),
    ("signal_wire", ("off", "poor"), "injector_volts"),
]
"""Kinds of parts, ways they fail, and the hazard that stands beside their repair whatever the wiring says."""


@pytest.mark.parametrize(("kind", "ways", "caution"), BEFORE_REPAIRS)
def test_what_stands_beside_a_repair_is_warned_of(kind: str, ways: tuple[str, ...], caution: str) -> None:
    """Springs, oil under pressure, weight, injectors, lithium: on every machine that has such a part."""
    faults = [name for name, fault in shipped().faults.items() if fault.kind == kind and fault.what.id in ways]
    assert faults
    assert [name for name in faults if caution not in before_repair(shipped(), name)] == []


@pytest.mark.parametrize(
    ("area", "caution"), [("steering_column", "airbag_near"), ("seat_base", "column_and_seat_pinch")]
)
def test_an_area_is_opened_with_its_caution(area: str, caution: str) -> None:
    """Airbags in a column, the springs of a seat: before every check that is made there."""
    checks = [check for check in shipped().checks.values() if check.area == area]
    assert checks
    assert [check.id for check in checks if caution not in due(check)] == []


@pytest.mark.parametrize(
    ("question", "answer", "caution"), [("moved", "towed", "push_or_tow"), ("struck_by", "lightning", "thunder")]
)
def test_what_the_owner_tells_can_warn(question: str, answer: str, caution: str) -> None:
    """A machine that was towed will be towed again; where lightning struck it may strike again."""
    told = next(one for one in shipped().questions[question].answers if one.id == answer)
    assert caution in told.warns


def test_no_meter_on_amps_is_put_in_line_unwarned() -> None:
    """Its jack is a short across whatever it touches: amps are read by clamp."""
    amps = [check for check in shipped().checks.values() if check.reads.quantity == "amps"]
    assert [check.id for check in amps if "meter_jack" not in due(check)] == []


def test_signal_words_fit_what_they_warn_of() -> None:
    """ANSI Z535.4-2007 4.14: NOTICE is about damage, CAUTION about minor injury; both need no typing, the others do."""
    for caution in shipped().cautions.values():
        assert bool(caution.type) == (caution.word in ("DANGER", "WARNING")), caution.id
        assert all((caution.hazard, caution.harm, caution.avoid, caution.source)), caution.id


def test_repairs_never_give_way() -> None:
    """A blown fuse gets the rating it had, a dead interlock a sound switch: no larger fuse, no bridge."""
    for name, fault in shipped().faults.items():
        if fault.what.id in ("blown", "cracked", "missing") and fault.kind in ("main_link", "fuse", "module_fuse"):
            assert SAME.search(fault.what.repair), name
        if fault.kind.endswith("_switch") and fault.what.id == "dead":
            assert "Never leave it bridged" in fault.what.repair, name
