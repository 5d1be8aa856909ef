"""What the book thinks first on a machine nobody has touched, held against published trouble tables.

The tables are those of army technical manuals and a handbook (read in stored copies), named at each row. A difference
is explained in its row; an explanation that explains nothing is a mistake too.
"""

from __future__ import annotations

import pytest

from support.first_thoughts import TABLE, Row, causes, circuits_of

MOST = 0.6
"""On so many of the circuits one of the checks that a table begins with is among the first three of the book."""

ROWS = pytest.mark.parametrize("row", TABLE, ids=lambda row: row.complaint)


@ROWS
def test_causes_that_a_table_names_first_lead_in_the_book(row: Row) -> None:
    """The first of the table leads, and the others are among the first three groups."""
    assert row.agrees


@ROWS
def test_the_first_checks_are_those_of_the_table_or_the_difference_is_explained(row: Row) -> None:
    """A row that says why it differs does differ, and one that says nothing agrees."""
    assert bool(row.differs) is (row.asked < MOST)


@pytest.mark.parametrize("complaint", ["chatter", "slow_crank", "weak_lamps"])
def test_a_battery_is_likely_on_every_circuit(complaint: str) -> None:
    """The commonest fault of all: a quarter at least wherever volts run low (common practice, no source)."""
    assert min(causes(circuit, complaint).get("battery", 0.0) for circuit in circuits_of(complaint)) > 0.25


def test_nothing_at_all_may_be_an_empty_battery_on_every_circuit() -> None:
    """Batteries stand in the table for no power (TM 9-6115-645-24); two that feed one machine are both empty."""
    one = [circuit for circuit in circuits_of("no_power") if circuit != "series_start"]
    assert min(causes(circuit, "no_power").get("battery", 0.0) for circuit in one) > 0.05
