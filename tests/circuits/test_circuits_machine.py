"""Joining sections to a machine: its parts, odds, checks, and the order of its parts along the feed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.book import Book
from coldiron.book.machines import Part, Section
from coldiron.circuits import Machine, compose
from support import networks
from support.mechanic import shipped

TEXT = """
battery battery battery_positive battery_negative volts=12.65 ohms=0.005
link fuse battery_positive link_out ohms=0.001 amps=60
feed wire link_out key_feed area=4 length=2
key switch key_feed key_start ohms=0.01 key:start
relay relay key_start coil_ground relay_feed relay_out coil_ohms=80 contact_ohms=0.003 pull_in=7 drop_out=2
big_feed wire battery_positive relay_feed area=6 length=1
s_wire wire relay_out s area=4 length=1
coil_wire wire coil_ground frame area=1 length=1
starter starter battery_positive s motor_stud engine pull_in_ohms=0.25 hold_in_ohms=0.9 armature_ohms=0.01 \
contact_ohms=0.0003 crank_amps=240 crank_volts=10.4 pull_in=7.5 drop_out=3.5
strap wire engine frame area=50 length=0.5
ground wire frame battery_negative area=50 length=0.5
"""


def book(text: str = TEXT, **more: object) -> Book:
    return networks.book(networks.parse(text).parts, **more)  # type: ignore[arg-type]


def machine(**more: object) -> Machine:
    return compose(book(TEXT, **more), "it")


def test_sections_join_at_points_of_the_same_name() -> None:
    """Split in two sections anywhere, the machine has the same parts and points."""
    whole = book()
    parts = whole.sections["all"].parts
    for cut in range(1, len(parts)):
        sections = {"one": Section("one", "", (), parts[:cut]), "two": Section("two", "", (), parts[cut:])}
        circuit = replace(whole.circuits["it"], sections=("one", "two"))
        joined = compose(replace(whole, sections=sections, circuits={"it": circuit}), "it")
        assert joined.parts == compose(whole, "it").parts
        assert joined.points == compose(whole, "it").points


def test_odds_are_shares_and_the_circuit_overrides_the_kind() -> None:
    """They add up to 1; a fault with odds of 0 on this circuit cannot be."""
    plain, changed = machine(), machine(odds={"link.blown": 50.0, "feed.broken": 0.0})
    assert sum(changed.odds.values()) == pytest.approx(1)
    assert changed.odds["link.blown"] / changed.odds["link.loose"] == pytest.approx(5)
    assert plain.odds["link.blown"] == pytest.approx(plain.odds["link.loose"])
    assert "feed.broken" in plain.faults
    assert "feed.broken" not in changed.faults
    assert list(changed.faults) == sorted(changed.faults) == list(changed.odds)


def test_only_checks_whose_points_and_parts_are_there_apply() -> None:
    """Points by name or as part.end; a template that stands for one check a part does not count as a check."""
    checks = [
        networks.check("there", "volts", "key_feed", "battery_negative"),
        networks.check("end", "volts", "link.load", "frame"),
        networks.check("no_point", "volts", "seat_in", "battery_negative"),
        networks.check("no_part", "volts", "seat.feed", "battery_negative"),
        networks.check("no_end", "volts", "link.middle", "battery_negative"),
        networks.check("clamp", "amps", part="feed"),
        networks.check("no_clamp", "amps", part="seat"),
        networks.check("look", "eye"),
        replace(networks.check("look_at", "eye"), each="wire"),
        replace(networks.check("look_at.feed", "eye"), each="wire"),
        replace(networks.check("look_at.seat_wire", "eye"), each="wire"),
    ]
    assert machine(checks=checks).checks == ("there", "end", "clamp", "look", "look_at.feed")


def test_order_along_the_feed() -> None:
    """From the source on; the coil's feed does not run through the contact; the return comes after everything."""
    found = machine()
    assert found.upstream["key"] == ("link", "feed")
    assert found.upstream["relay"] == ("big_feed", "link", "feed", "key")
    assert found.upstream["s_wire"] == ("big_feed", "relay")
    assert "key" not in found.upstream["s_wire"]
    assert found.downstream["strap"] == ("ground",)
    assert set(found.upstream["ground"]) == set(found.parts) - {"ground", "battery"}
    assert found.upstream["battery"] == found.downstream["battery"] == ()


@given(st.permutations(networks.parse(TEXT).parts))
def test_order_of_parts_in_the_file_does_not_matter(parts: list[Part]) -> None:
    mixed, plain = compose(networks.book(parts), "it"), machine()
    assert (dict(mixed.upstream), dict(mixed.downstream)) == (dict(plain.upstream), dict(plain.downstream))
    assert mixed.points == plain.points
    assert dict(mixed.odds) == pytest.approx(dict(plain.odds))


@given(st.sampled_from(sorted(machine().parts)), st.sampled_from(sorted(machine().parts)))
def test_before_is_the_mirror_of_after(one: str, other: str) -> None:
    found = machine()
    assert (one in found.upstream[other]) == (other in found.downstream[one])
    assert not (one in found.upstream[other] and one in found.downstream[other])


def test_a_circuit_that_is_not_there() -> None:
    with pytest.raises(ValueError, match="no circuit nowhere"):
        compose(book(), "nowhere")


def test_a_section_that_is_not_there() -> None:
    whole = book()
    circuit = replace(whole.circuits["it"], sections=("all", "missing"))
    with pytest.raises(ValueError, match="section missing"):
        compose(replace(whole, circuits={"it": circuit}), "it")


def test_a_part_joined_in_two_ways() -> None:
    whole = book()
    other = networks.parse("link fuse battery_positive elsewhere ohms=0.001 amps=60").parts
    sections = {**whole.sections, "more": Section("more", "", (), other)}
    circuit = replace(whole.circuits["it"], sections=("all", "more"))
    with pytest.raises(ValueError, match="part link twice"):
        compose(replace(whole, sections=sections, circuits={"it": circuit}), "it")


def test_a_machine_without_the_reference() -> None:
    with pytest.raises(ValueError, match="no point battery_negative"):
        compose(book("link fuse battery_positive link_out ohms=0.001 amps=60"), "it")


def test_a_check_of_a_part_is_read_at_that_part_on_every_machine() -> None:
    """A part of one name may lie between other points on another machine: there its ends are other points too."""
    for circuit in shipped().circuits:
        joined = compose(shipped(), circuit)
        for name in joined.checks:
            check = shipped().checks[name]
            for point in (check.reads.a, check.reads.b):
                part, dot, end = point.partition(".")
                if check.each and dot:
                    assert part == name.partition(".")[2]
                    assert joined.point(point) == joined.parts[part].joins[end]
    fuse = {joined.point("key_fuse.load") for joined in (compose(shipped(), c) for c in ("start_relay", "starter_cut"))}
    assert fuse == {"key_fuse_out", "key_feed"}
    assert shipped().checks["fuse_out_lamp.key_fuse"].reads.a == "key_fuse.load"
