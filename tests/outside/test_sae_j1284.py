"""SAE J1284, J554 and J2077, scope: a fuse works once and is replaced only after the fault is put right.

Read as the first pages of the standards: mydoc123.com, p-1026235, p-1027146 and p-1026721.
"""

from __future__ import annotations

import pytest

from support.shop import begin, blamed, book, chance, told, worked_out

SHORTED = {"main_link.blown": "cab_feed.chafed"}
"""A link that a wire chafed through to the frame has blown."""


def test_a_dead_link_alone_is_no_verdict_yet() -> None:
    """Battery volts before the link and none behind it: before a new one the short is looked for."""
    readings = {"rest_volts": "12.6", "link_in_lamp.main_link": "bright", "link_out_lamp.main_link": "dark"}
    job = told(begin("start_relay", "no_power"), readings)
    assert chance(job, "main_link") > 0.5
    assert job.verdict.status == "open"


@pytest.mark.parametrize("victim", SHORTED)
def test_the_fault_that_blew_it_is_named_and_comes_first(victim: str) -> None:
    """Cause and victim are both found, and the cause is repaired before the link."""
    done = worked_out(begin("start_relay", "no_power"), victim, SHORTED[victim])
    assert {"main_link", "cab_feed"} <= blamed(done)
    names = [name for name, _ in done.verdict.faults]
    assert names.index(SHORTED[victim]) < names.index(victim)


def test_every_blown_fuse_says_so_in_its_repair() -> None:
    for name, fault in book().faults.items():
        if fault.what.id == "blown" and fault.part != "charge_lamp":  # a bulb is no fuse
            assert "what blew it" in fault.what.repair, name
