"""Healthy machines and added ohms against figures worked out elsewhere.

The volts in the netlist files and the table of added ohms below are common practice values (usual parts of such
machines) that were solved with an independent node solver and printed to 0.01 V and 0.1 V.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldiron.book.checks import Reads
from coldiron.circuits import compose
from coldiron.circuits.readings import read
from coldiron.circuits.trial import Bench
from support import networks


@pytest.mark.parametrize("name", [*networks.NAMES, *networks.MORE])
def test_healthy_volts_and_amps_with_key_off_on_and_at_start(name: str) -> None:
    """Every point within 0.02 V (24 V: 0.03 V), battery amps within 1 A or 0.01 A as printed."""
    bench = Bench(compose(networks.netlist_book(name), "it"))
    healthy = networks.read(name).healthy
    battery = next(id_ for id_ in bench.layout.machine.parts if "battery" in id_)
    for number, key in enumerate(networks.KEY):
        state = bench.layout.state({"key": key})
        for point, row in healthy.items():
            if point == "amps":
                amps = read(Reads("amps", part=battery), networks.trial(bench), state)
                assert amps == pytest.approx(row[number], abs=1.0 if row[number] > 30 else 0.006), (key, point)
            else:
                volts = networks.trial(bench).solution(state).volts(point)
                assert volts == pytest.approx(row[number], abs=0.02 * bench.layout.machine.volts / 12 - 0.01), (
                    key,
                    point,
                )


ADDED = """
0     10.4 10.3 100   10.8 100
1     10.2 10.3  96   10.5  96
2      9.9 10.2  93   10.3  92
3      9.6 10.2  89   10.0  88
5      9.1 10.2  82    9.4  81
8      8.3 10.1  72    8.5  70
12     7.3 10.0  59    7.4  56
20     5.3  9.8  34    5.1  27
40     2.3  9.7   0   chatters
100    1.3 10.2   0    8.1   0
1000   0.5 10.6   0    2.1   0
100000 0.4 10.6   0    0.5   0
"""
"""Milliohm added; at the starter end of the plus cable: stud to case, S to case (V), percent of full speed; at the plus
clamp: clamp to frame (V), percent. START held on the machine with three interlocks."""


@pytest.mark.parametrize("row", ADDED.strip().splitlines(), ids=lambda row: row.split()[0])
def test_ohms_in_the_plus_side_become_slow_cranking_a_clunk_or_chatter(row: str) -> None:
    """At the starter end the control side stays alive; at the post it is starved too and the solenoid lets go."""
    added, stud, s, speed, *clamp = row.split()
    end = _started("wire_isolator_out", "joints", float(added) / 1000)
    assert end.volts("starter_stud") - end.volts("starter_case") == pytest.approx(float(stud), abs=0.06)
    assert end.volts("starter_s") - end.volts("starter_case") == pytest.approx(float(s), abs=0.06)
    assert end.turn == pytest.approx(float(speed) / 100, abs=0.006)
    post = _started("plus_clamp", "ohms", float(added) / 1000)
    if clamp == ["chatters"]:
        assert post.click == 0.5
        assert post.turn == 0
    else:
        assert post.volts("positive_clamp") - post.volts("frame") == pytest.approx(float(clamp[0]), abs=0.06)
        assert post.turn == pytest.approx(float(clamp[1]) / 100, abs=0.006)


class _started:  # noqa: N801 - reads as a question
    """The machine with three interlocks, START held, one value of one part raised."""

    def __init__(self, part: str, value: str, by: float) -> None:
        parts = networks.read("interlocks").parts
        parts = tuple(
            replace(one, values={**one.values, value: one.values[value] + by}) if one.id == part else one
            for one in parts
        )
        bench = Bench(compose(networks.book(parts), "it"))
        trial, state = networks.trial(bench), bench.layout.state({"key": "start"})
        self.volts = trial.solution(state).volts
        self.turn = read(Reads("turn", part="starter"), trial, state)
        self.click = read(Reads("click", part="starter"), trial, state)
