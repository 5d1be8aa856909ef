"""The drawing of a machine: every part of every circuit once, each number one point, no line too wide."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from coldiron.circuits.machine import REFERENCE, Machine, compose
from coldiron.map import text
from coldiron.map.marks import Marks, known_of
from coldiron.map.sketch import Sketch, sketch
from coldiron.map.svg import svg
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Reply
from support.mechanic import Mechanic, shipped, work
from support.sizes import few

CIRCUITS = tuple(shipped().circuits)


def drawn(circuit: str) -> tuple[Machine, Sketch]:
    """A circuit of the book and its drawing."""
    machine = compose(shipped(), circuit)
    return machine, sketch(machine)


@pytest.mark.parametrize("circuit", CIRCUITS)
def test_everything_that_can_fail_is_drawn_once(circuit: str) -> None:
    """Each way through a part stands in one lane, between two points that the part does join."""
    machine, drawing = drawn(circuit)
    ways = [one for lane in drawing.lanes for one in lane.stretches]
    assert len({(one.part, one.way) for one in ways}) == len(ways)
    assert {fault.part for fault in machine.faults.values()} <= {one.part for one in ways}
    assert all({one.a, one.b} <= set(machine.parts[one.part].joins.values()) for one in ways)
    assert [spot.number for spot in drawing.spots.values()] == list(range(1, len(drawing.spots) + 1))


@pytest.mark.parametrize("circuit", CIRCUITS)
def test_lanes_hang_together(circuit: str) -> None:
    """Each part of a lane begins where the one before it ends, and a lane begins at a point drawn above it."""
    _, drawing = drawn(circuit)
    above = {REFERENCE}
    for lane in drawing.lanes:
        points = [lane.start, *(one.b for one in lane.stretches)]
        assert [one.a for one in lane.stretches] == points[:-1]
        assert lane.start in above
        above.update(points)
    assert above == set(drawing.spots)


@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("circuit", CIRCUITS)
def test_the_lanes_fit_a_terminal(circuit: str, width: int) -> None:
    """All lanes in 24 rows at 80 columns and 60, and no row wider."""
    _, drawing = drawn(circuit)
    marks = Marks(red="starter_battery_stud", black=REFERENCE)
    rows = text.lanes(drawing, marks, width)
    assert len(rows) <= 24
    assert max(map(len, rows + text.legend(drawing, marks, width))) <= width
    assert f"[{drawing.spots[REFERENCE].number} black]" in rows[1]


def test_an_aid_is_drawn_once_it_is_fitted() -> None:
    """A jumper cable stands in no drawing before."""
    machine, bare = drawn("start_relay")
    parts = {one.part for lane in sketch(machine, {"remote_button"}).lanes for one in lane.stretches}
    of = {name for name, part in machine.parts.items() if any(one.setting == "remote_button" for one in part.closed)}
    assert of <= parts
    assert not of & {one.part for lane in bare.lanes for one in lane.stretches}


def test_what_is_known_is_told_by_sign_and_word() -> None:
    """A part of which next to nothing is left is proven good only where readings made it so much less likely."""
    known = known_of({"a": 0.4, "b": 0.4, "c": 0.003, "d": 0.1}, {"a": 0.96, "b": 0.001, "c": 0.001, "d": 0.06})
    assert known == {"a": "condemned", "b": "proven good", "c": "not known", "d": "likely cause"}
    _, drawing = drawn("start_relay")
    marks = Marks({"battery": "proven good", "main_link": "condemned"})
    assert text.lanes(drawing, marks, 80)[1].startswith("  1=2-3-4-5X6-7")
    assert any("the main link, condemned" in row for row in text.legend(drawing, marks, 80))


@pytest.mark.parametrize("circuit", few(CIRCUITS, 3))
def test_the_svg_is_sound_and_says_the_same(circuit: str) -> None:
    """It can be read as XML, shows every point, nothing outside its page, and names what is condemned."""
    machine, drawing = drawn(circuit)
    part = next(iter(machine.faults.values())).part
    root = ET.fromstring(svg(drawing, Marks({part: "condemned"}, {REFERENCE: "0 < 1 & so"})))  # noqa: S314 - our own
    names = "{http://www.w3.org/2000/svg}"
    wide, high = map(float, root.attrib["viewBox"].split()[2:])
    circles = root.findall(f"{names}circle")
    assert {one.findtext(f"{names}title") for one in circles} == {spot.name for spot in drawing.spots.values()}
    assert all(0 < float(one.attrib["cx"]) < wide and 0 < float(one.attrib["cy"]) < high for one in circles)
    words = [one.text or "" for one in root.findall(f"{names}text")]
    assert any("condemned" in word for word in words)
    assert any(word.endswith("0 < 1 & so") for word in words)


def test_map_at_a_prompt_shows_the_machine_with_what_was_read() -> None:
    """With the probes of the check at hand, and the volts of the one before."""
    job = work(Mechanic(shipped(), "start_relay", frozenset(("main_link.blown",))))
    now = next(now for now in job.after if now.next and now.next.kind == "check")
    driver = JobDriver("map", now.answer("rest_volts", "12.6"))
    reply = driver.enter("map")
    assert isinstance(reply, Reply)
    rows = [row.text for row in draw(reply.blocks, 80)]
    assert any("battery positive post" in row and "12.6 V to" in row for row in rows)
    assert any(row.startswith("  1") and "-2" in row.replace("=", "-").replace("?", "-") for row in rows)
    before = JobDriver("map", job.after[0]).enter("map")
    assert isinstance(before, Reply)
    assert "not known yet" in " ".join(getattr(block, "text", "") for block in before.blocks)
