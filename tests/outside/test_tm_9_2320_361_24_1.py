"""TM 9-2320-361-24-1: jewellery comes off, since a ring across a post and the frame is a dead short.

Read in a stored copy: nsndepot.com/Library/TM/TM-9-2320-361-24-1?PageNumber=380.
"""

from __future__ import annotations

import pytest

from support.shop import begin, book


def test_the_caution_says_what_comes_off_and_has_to_be_typed() -> None:
    caution = book().cautions["battery_short"]
    assert "Rings, watch and chain off" in caution.avoid
    assert caution.word in ("DANGER", "WARNING")
    assert caution.type


@pytest.mark.parametrize("circuit", ["start_relay", "isolator_24"])
def test_it_is_on_the_page_before_the_first_probe_at_a_post(circuit: str) -> None:
    """All else is left until a check at the battery box is asked for."""
    job = begin(circuit, "slow_crank")
    seen: set[str] = set()
    while job.next is not None and not at_the_battery(job.next.id):
        seen |= {caution.id for caution in job.next.cautions if job.next.kind == "caution"}
        job = job.answer(job.next.id, job.next.choices[0] if job.next.kind == "caution" else "not sure")
    assert job.next is not None
    assert "battery_short" in seen


def at_the_battery(step: str) -> bool:
    return step in book().checks and book().checks[step].area == "battery_box"
