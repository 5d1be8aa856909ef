"""A figure weighs as a figure: no edge of a band moves the odds, and sizes between the solved ones count.

The shape of a ruler is held against Student's distribution with four degrees of freedom, whose density is written out
here from its published formula (Student, "The probable error of a mean", 1908), the sizes between the solved ones
against plain draws.
"""

from __future__ import annotations

import random
from math import gamma, inf, log, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import Consultation
from coldiron.circuits import Predictor, compose
from coldiron.inference.ruler import NODES, WHOLE, Ruler, ruler
from coldiron.inference.table import BookTable
from support.mechanic import shipped

VOLTS = ((0, -0.5, 8.0), (1, 8.0, 9.6), (2, 9.6, 13.0))
OHMS = ((0, 0.0, 5.0), (1, 5.0, 1000.0), (2, 1000.0, inf))
CRANKING = ruler(VOLTS, (0.03, 0.02), 2, 10.6, 0.02, even=True)


def student(away: float, degrees: int) -> float:
    """The density of Student's distribution."""
    top = gamma((degrees + 1) / 2) / (sqrt(degrees * pi) * gamma(degrees / 2))
    return float(top * (1 + away * away / degrees) ** (-(degrees + 1) / 2))


@given(st.floats(0.0, 13.0), st.floats(-0.5, 13.0))
def test_a_sharp_figure_lies_about_its_place_as_student_says(figure: float, solved: float) -> None:
    """Four degrees of freedom, one step wide."""
    away = CRANKING.steps(figure) - CRANKING.steps(solved)
    wanted = 0.98 * student(away, 4) * WHOLE + 0.02 * CRANKING.anywhere
    assert CRANKING.told((figure,), (solved,))[0] == pytest.approx(wanted)


@given(st.sampled_from([1, 3]).flatmap(lambda count: st.lists(st.floats(2.0, 11.0), min_size=count, max_size=count)))
def test_all_figures_together_come_to_the_same_for_every_fault(solved: list[float]) -> None:
    """What lies under a likelihood over the whole scale is `WHOLE`, but for what is beyond its ends."""

    def mean(steps: float) -> float:
        figures = Ruler(1.0, 0.0, CRANKING.low, CRANKING.high, 0.02)
        told = figures.told((steps,), [CRANKING.steps(one) for one in solved])
        return sum(told) / len(told)

    width = (CRANKING.high - CRANKING.low) / 2000
    whole = sum(mean(CRANKING.low + (place + 0.5) * width) for place in range(2000)) * width
    assert whole == pytest.approx(WHOLE, rel=0.15)


@given(st.floats(0.2, 12.5), st.lists(st.floats(0.2, 12.5), min_size=3, max_size=3).map(sorted))
def test_sizes_between_those_solved_count_as_plain_draws_would_have_it(figure: float, solved: list[float]) -> None:
    """A size drawn evenly, read off the straight lines between the solved ones, in steps, blurred by a step."""
    draw = random.Random(f"{figure} {solved}")  # noqa: S311 - no secret
    levels = [CRANKING.steps(one) for one in solved]
    at = CRANKING.steps(figure)
    total = 0.0
    for _ in range(4000):
        place = draw.random() * 3 - 0.5
        first = 0 if place < 1 else 1
        steps = levels[first] + (place - first) * (levels[first + 1] - levels[first])
        total += 0.98 * WHOLE * student(at - min(max(steps, 0.0), CRANKING.high), 4) + 0.02 * CRANKING.anywhere
    told = CRANKING.told((figure,), solved)
    assert len(told) == 3 * NODES
    widest = max(levels[1] - levels[0], levels[2] - levels[1]) / NODES
    assert sum(told) / len(told) == pytest.approx(total / 4000, rel=0.25 + widest / 4, abs=0.02)


@given(st.floats(2.0, 12.99), st.floats(-0.5, 12.99), st.floats(-0.5, 12.99))
def test_a_hundredth_of_a_volt_is_never_much(figure: float, one: float, other: float) -> None:
    """At no edge of a band and nowhere else, away from nought, where a hundredth is half of what a meter shows."""
    moved = figure + 0.01
    ratio = [log(CRANKING.told((at,), (one,))[0] / CRANKING.told((at,), (other,))[0]) for at in (figure, moved)]
    assert abs(ratio[0] - ratio[1]) < 0.25
    bands = [[(low, high)] for _, low, high in VOLTS]
    spread = [CRANKING.spread((at,), list(zip((0.7, 0.2, 0.1), bands, strict=True)), 0.0) for at in (figure, moved)]
    assert abs(log(spread[0] / spread[1])) < 0.15


def test_open_lines_are_alike_however_many_ohms_a_meter_still_shows() -> None:
    """Dirt and damp leave a broken wire some megohms; a meter may show OL or those."""
    measure = ruler(OHMS, (0.05, 0.2), 0, 1.0, 0.02, even=False)
    told = [measure.told((ohms,), (inf,))[0] for ohms in (inf, 30e6, 1e6, 50e3)]
    assert told == [pytest.approx(told[0])] * 4
    assert measure.told((3.0,), (inf,))[0] == pytest.approx(0.02 * measure.anywhere, rel=0.2)


def test_a_figure_read_twice_is_surer_than_once_and_not_twice_as_sure() -> None:
    """Part of the slips are the same both times; two that differ say that one is a slip, and not which."""
    sound, bad = (10.6,), (6.0,)
    once = CRANKING.told((10.5,), sound)[0] / CRANKING.told((10.5,), bad)[0]
    twice = CRANKING.told((10.5, 10.5), sound)[0] / CRANKING.told((10.5, 10.5), bad)[0]
    torn = CRANKING.told((6.0, 10.5), sound)[0] / CRANKING.told((6.0, 10.5), bad)[0]
    assert once < twice < once**2
    assert torn == pytest.approx(1.0, rel=0.2)


def test_where_a_minus_is_read_the_probes_may_be_changed_over() -> None:
    """Common practice, no source: of all slips the likeliest."""
    wide = ruler(((0, -16.0, -1.0), (1, -1.0, 16.0)), (0.01, 0.02), 1, 12.6, 0.02, even=True)
    minus = wide.told((-12.6,), (12.6,))[0]
    assert minus > 2 * wide.told((-8.0,), (12.6,))[0]
    assert minus < wide.told((-12.6,), (-12.6,))[0] / 50


@pytest.mark.parametrize("circuit", ["direct_start", "start_relay"])
def test_likelihoods_compare_solved_figures_with_declared_findings(circuit: str) -> None:
    """What is only declared lies somewhere in its band: never likelier than the figure that was solved."""
    machine = compose(shipped(), circuit)
    table = BookTable(machine, Predictor(machine))
    for check in [one for one in machine.checks if table.weighs(one)]:
        for name in machine.faults:
            faults = frozenset((name,))
            for figures in table.usual(check, frozenset()):
                sizes = table.weighed(check, faults, figures)
                assert all(0 < likelihood < 1.6 for likelihood in sizes)
                if not table.usual(check, faults):
                    assert len(sizes) == 1
                assert table.astray(check, figures) <= max(table.weighed(check, frozenset(), figures))


def begun(circuit: str, complaint: str) -> Consultation:
    """A job on a machine of 12 V, its complaint told."""
    said = {"raised": "none", "volts": "12", "circuit": circuit, "complaint": complaint, "kit": "all"}
    asked = Consultation(shipped())
    for line, answer in said.items():
        asked = asked.answer(line, answer)
    return asked


EDGES = {"rest_volts": (11.0, 11.9, 12.35), "crank_volts": (7.2, 8.5, 9.6), "s_terminal_volts": (7.0, 8.0, 9.0)}


@pytest.mark.parametrize("check", sorted(EDGES))
@pytest.mark.parametrize("complaint", ["slow_crank", "one_clunk", "silent"])
def test_a_hundredth_of_a_volt_over_an_edge_moves_no_suspect_by_more_than_a_few_points(
    check: str, complaint: str
) -> None:
    """On a machine of the book, between the two sides of each edge and midway."""
    asked = begun("start_relay", complaint)
    for edge in EDGES[check]:
        below, above = (dict(asked.answer(check, f"{edge + by:.3f} V", sure=True).suspects) for by in (-0.005, 0.005))
        moved = {name: abs(below.get(name, 0.0) - above.get(name, 0.0)) for name in {*below, *above}}
        assert max(moved.values()) < 0.05, max(moved, key=lambda name: moved[name])
