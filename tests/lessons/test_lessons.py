"""The lessons: figures in print come out of them, each is solved when shown, each page can be done as it says.

TM 10-3930-671-24 (12 V diesel fork truck), p. F-299 and F-303; TM 5-3820-256-24-4, tests 1 and 3: the sources and where
they were read stand in `tests/outside/` under these numbers.
"""

from __future__ import annotations

import re
from math import isclose

import pytest

from coldiron.circuits.trial import Bench
from coldiron.drill.yard import world_with
from coldiron.lessons.driver import LessonDriver
from coldiron.lessons.lesson import Lesson, changed, filled, lesson, reading, solved
from coldiron.map.sketch import sketch
from coldiron.screens.lines import Driver, Reply, Text
from support.mechanic import shipped
from support.own_machine import OwnMachine
from support.own_meter import OwnMeter

POST_TO_STUD = 0.4  # largest volts from positive post to the stud, TM 10-3930-671-24 p. F-303 (read)
A_HUNDRED_AMPS = 0.20  # volts for each 100 A, same page (read)
CRANKING = 9.6  # least battery volts while cranking, p. F-299 (read)


def first() -> Lesson:
    """The first lesson."""
    found = lesson(1)
    assert found is not None
    return found


def begun(at: int = 0) -> LessonDriver:
    """The lesson at one of its pages."""
    machine = world_with(shipped(), first().circuit, first().drills[0], 1).machine
    return LessonDriver(first(), machine, sketch(machine), _no_practice, at)


def _no_practice(_: int) -> Driver:
    raise AssertionError


def figures(driver: LessonDriver) -> list[float]:
    """The volts on a page, in their order."""
    words = " ".join(block.text for block in driver.page().blocks if isinstance(block, Text))
    return [float(one) for one in re.findall(r"(-?\d+\.\d\d) V", words)]


def page(words: str) -> int:
    """The number of the page with some words in its heading."""
    return next(number for number, one in enumerate(first().pages) if words in one.heading)


def test_the_sound_machine_of_the_lesson_keeps_the_figures_in_print() -> None:
    """0.4 V to the stud, 0.2 V for each 100 A on either side, 9.6 V at the posts; and the three add up."""
    positive, ground, battery, starter = figures(begun(page("left over")))[:4]
    amps = solved(begun()._bench(own=False), *reading("amps starter at start"))
    assert positive < POST_TO_STUD
    assert max(positive, ground) < A_HUNDRED_AMPS * amps / 100
    assert battery > CRANKING
    assert isclose(positive + ground + starter, battery, abs_tol=0.02)


def test_the_poor_lug_is_over_the_figures_in_print_and_goes_by_ohms_law() -> None:
    """5 thousandths of an ohm leave 5 V at 1000 A: what is read over the sound cable is that share of the amps."""
    drop, left = figures(begun(page("go together")))[:2]
    machine = begun().machine
    amps = solved(Bench(changed(machine, {"plus_cable": 5})), *reading("amps starter at start"))
    path = machine.values("plus_cable")["joints"] + 5e-3
    assert drop > POST_TO_STUD
    assert drop > A_HUNDRED_AMPS * amps / 100
    assert path * amps < drop < (path + 1e-3) * amps
    assert left < figures(begun(page("left over")))[3]


def test_moving_one_probe_finds_the_strap() -> None:
    """The fault lies between where the reading falls and the place before it (TM 5-3820-256-24-4, test 3)."""
    block, frame = figures(begun(page("know now")))[:2]
    assert block - frame > 0.2
    assert frame < 0.2


@pytest.mark.parametrize("number", range(len(first().pages)))
def test_every_figure_is_that_of_another_solver(number: int) -> None:
    """The sound pages, by the tableau of `support/own_meter.py`, which shares no code with the program."""
    if first().pages[number].added:
        return
    driver = begun(number)
    meter = OwnMeter(OwnMachine(shipped(), first().circuit))
    for paragraph in first().pages[number].paragraphs:
        for found in re.findall(r"\{(volts [^}]*)\}", paragraph):
            reads, state = reading(" ".join(found.split()))
            its = meter.value(reads, state, frozenset())
            mine = filled(f"{{{found}}}", driver._bench(own=False), driver.drawing)
            assert isclose(float(mine.split()[0]), its, abs_tol=0.02)


def test_the_lesson_is_played_to_its_drills() -> None:
    """Each page asks for readings that are typed as it says; the next page waits for them."""
    driver: Driver = begun()
    for _ in first().pages[:-1]:
        assert isinstance(driver, LessonDriver)
        waits = driver.enter("next")
        while isinstance(waits, Reply) and waits.refused:
            texts = [block for block in driver.page().blocks if isinstance(block, Text)]
            asked = next(block.text for block in texts if block.label == "To go on, type")
            after = driver.enter(asked)
            assert isinstance(after, LessonDriver)
            driver, waits = after, after.enter("next")
        assert isinstance(waits, LessonDriver)
        driver = waits
    with pytest.raises(AssertionError):
        driver.enter("drill 1")
    last = driver.enter("next")
    assert isinstance(last, Reply)


def test_a_pupil_changes_a_part_and_sees_what_the_meter_does() -> None:
    """More ohms, more volts left behind; the page itself stays as it was written."""
    driver = begun(page("go together"))
    line = "volts 2 to 4 at start"
    for typed in (line, "add 20 positive cable", line):
        after = driver.enter(typed)
        assert isinstance(after, LessonDriver)
        driver = after
    less, _, more = (shown for _, shown in driver.taken)
    assert float(more.split()[0]) > float(less.split()[0])
    for wrong in ("add", "add lots cable", "add 5 nothing", "volts 2", "volts 2 to 4 at noon", "dance", "drill 9"):
        refused = driver.enter(wrong)
        assert isinstance(refused, Reply)
        assert refused.refused
