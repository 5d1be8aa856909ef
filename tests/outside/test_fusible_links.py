"""Part suppliers on fusible links: four gauge numbers smaller than the wire, same gauge and length when replaced.

18 protects 14, 16 protects 12, 14 protects 10, 12 protects 8; never an ordinary wire in its place, never a link in that
of a fuse. Read alike in three stored pages: madelectrical.com/catalog/fusible-link.shtml,
picocanada.com/view_product/8612-RL, rvelectricity.substack.com/p/a-deep-dive-into-fusible-link-wires. (Two forum pages
say two sizes, counting even sizes only: the same rule.)
"""

from __future__ import annotations

import pytest

from coldiron.sizing import choose
from coldiron.sizing.report import sizes
from support.rows import value_of
from support.shop import begin, book, onward, told

LINKS = ((14, 18), (12, 16), (10, 14), (8, 12))
"""Gauge of the wire and of its link (read)."""


@pytest.mark.parametrize(("wire", "link"), LINKS)
def test_a_link_is_four_numbers_smaller(wire: int, link: int) -> None:
    assert choose.link(wire) == link


def test_no_page_of_sizes_puts_a_wire_in_the_place_of_a_link() -> None:
    text = sizes(30, 4, 12)
    assert "never a wire for a link" in text
    assert "only where the maker has one" in text


def test_a_blown_link_is_replaced_by_its_like_after_its_cause_was_found() -> None:
    """Same type, rating and length; the caution stands before the repair and is typed."""
    job = told(begin("start_relay", "no_power"), {"rest_volts": "12.6", "link_out_lamp.main_link": "dark"})
    job = job.answer("main_link.blown", "done")
    assert value_of(job.steps[-1]) == "next"
    while job.next is not None and job.next.kind == "caution":
        if "fuse_rating" in {caution.id for caution in job.next.cautions}:
            break
        job = job.answer(job.next.id, job.next.choices[0])
    assert job.next is not None
    shown = {caution.id: caution for caution in job.next.cautions}
    assert "type, rating and length" in shown["fuse_rating"].avoid.replace("\n", " ")
    assert "what blew it" in book().faults["main_link.blown"].what.repair
    assert onward(job).next is not None
