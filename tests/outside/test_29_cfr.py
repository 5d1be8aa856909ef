"""29 CFR: what the law says, and where it does not apply, as the cautions cite it.

1910.147(a)(1)(ii)(A): lockout does not cover construction and agriculture (read:
edocket.access.gpo.gov/cfr_2002/julqtr/29cfr1910.147.htm). 1926.600(a)(3)(i): raised parts are blocked or cribbed
before anyone works under or between them (read: OSHA letter of 11 May 2005, osha.gov/pls/oshaweb, p_id=25067).
1917.157: the ground lead of a jumper goes to ground away from the battery (read: codes.findlaw.com/cfr/title-29-labor).
1926.441(a): face shields, aprons and gloves for acid, water within 25 ft (read: osha.gov, owadisp p_id=10742).
1910.178(g): ventilate, no smoking, no flame, spark or arc, no metal on top of a battery (read:
bwsindustrialservicesinc.com/osha-regulation/). 1910.244(a)(2): crib, block or secure at once what a jack has raised
(read: 17ehs.com/doc/425.html).
OSHA letter of 26 January 1976: hydrogen burns from 4.1 % (read: osha.gov/laws-regs/standardinterpretations/1976-01-26).
"""

from __future__ import annotations

import re

import pytest

from coldiron import AnswerError, Consultation
from coldiron.book.cautions import Caution
from coldiron.job.cautions import before_check
from support.shop import book

SCOPES = {
    "1910.147": ("general industry", "construction", "farms"),
    "1926.": ("construction",),
    "1910.178": ("fork truck",),
    "1910.244": ("general industry",),
    "1917.": ("marine",),
}
"""Section and the words by which a caution has to say where it binds, or does not."""


def cautions() -> list[Caution]:
    return list(book().cautions.values())


def test_lockout_is_cited_with_what_its_scope_leaves_out() -> None:
    """Most machines of the book stand on farms and building sites, where 1910.147 does not bind."""
    cited = [caution for caution in cautions() if "1910.147" in caution.source]
    assert all("leaves out construction and farms" in caution.source for caution in cited)


@pytest.mark.parametrize("section", SCOPES)
def test_a_section_of_law_is_cited_with_the_places_it_binds(section: str) -> None:
    for caution in cautions():
        if f"29 CFR {section}" in caution.source or f"and {section}" in caution.source:
            assert all(word in caution.source for word in SCOPES[section]), caution.id


def test_raised_parts_are_propped_before_a_hand_goes_under() -> None:
    caution = book().cautions["raised_parts"]
    assert caution.word == "DANGER"
    assert "before you reach under" in caution.avoid
    assert "Never work under a part held by a jack" in caution.avoid
    assert "1926.600(a)(3)(i)" in caution.source


def test_a_job_on_a_raised_machine_goes_no_further_without_it() -> None:
    """The caution stands before the complaint is even asked."""
    job = Consultation(book()).answer("raised", "raised")
    assert job.next is not None
    assert job.next.kind == "caution"
    assert "raised_parts" in {caution.id for caution in job.next.cautions}
    with pytest.raises(AnswerError):
        job.answer(job.next.id, "")


def test_the_last_jump_lead_goes_to_the_engine_away_from_the_battery() -> None:
    text = book().cautions["jump_or_charge"].avoid
    assert re.search(r"last the dead machine's engine or frame,\s+20 inches \(half a meter\) from its battery", text)


def test_the_gas_of_a_battery_burns_from_the_printed_share() -> None:
    caution = book().cautions["battery_gas"]
    assert "4 in 100 of hydrogen" in caution.hazard
    assert "4.1 in 100" in caution.source


def test_acid_needs_what_the_law_of_building_sites_names() -> None:
    """1926.441(a)(5) and (6): shield, apron, gloves, water near by; before the only check that opens a cell."""
    text = book().cautions["battery_acid"].avoid
    assert all(word in text for word in ("face shield", "apron", "gloves", "water"))
    assert "battery_acid" in before_check(book(), book().checks["cell_gravity.battery"], {})


def test_a_battery_is_aired_and_kept_from_flame_and_metal() -> None:
    """1910.178(g): ventilation, no smoking, no flame or spark, no tools on top."""
    gas, short = book().cautions["battery_gas"].avoid, book().cautions["battery_short"].avoid
    assert all(word in gas for word in ("air", "flame", "smoking"))
    assert "no tool on the battery" in short


def test_a_jack_alone_holds_nobody_safe() -> None:
    """1910.244(a)(2), and WAC 296-307-22509(3) for farms: no work under a load on jacks alone (read)."""
    assert "cribbing" in book().cautions["raised_parts"].avoid
    assert "1910.244(a)(2) (general industry" in " ".join(book().cautions["raised_parts"].source.split())


def test_a_charger_is_off_before_its_leads_move() -> None:
    """1917.157(n), on marine terminals."""
    assert "Charger off before its leads go on" in " ".join(book().cautions["jump_or_charge"].avoid.split())
