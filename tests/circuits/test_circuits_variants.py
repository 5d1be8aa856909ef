"""Machines put together from options: right by construction, whatever was said first.

Healthy figures are held against the bands of the checks, which come from published limits where these name them.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.audit import audit
from coldiron.book.machines import Circuit
from coldiron.book.variants import as_said, base_of, brought, circuit_named, variants
from coldiron.circuits import compose
from coldiron.proving.yard import Yard
from coldiron.record import replace
from support import networks
from support.covering import covering, pairs_of, possible

BOOK = networks.shipped()
COVERING = covering(BOOK)
SOME = st.lists(st.sampled_from(list(BOOK.options)), max_size=5, unique=True)
CIRCUITS = st.sampled_from(list(BOOK.circuits.values()))


def test_the_machines_looked_at_have_every_pair_that_can_be() -> None:
    """Each circuit with each option, and each two options that one machine can have."""
    assert {pair for one in COVERING for pair in pairs_of(one)} >= possible(BOOK)


def test_every_option_can_be_had_by_some_machine_and_every_row_is_used() -> None:
    """A row that no machine uses is a line that nobody has tried."""
    made = [one for circuit in BOOK.circuits.values() for one in (circuit, *variants(BOOK, circuit))]
    made += [other for one in made for other in variants(BOOK, one)]
    used = {section for one in made for section in one.sections}
    for option in BOOK.options.values():
        for row in option.rows:
            assert set(row.sections) <= used, (option.id, row)


def test_variants_join_without_a_problem() -> None:
    """The audit of a book that has them as its own circuits finds no error."""
    own = {one.id: replace(one, odds={}) for one in COVERING}
    cases = {name: case for name, case in BOOK.cases.items() if case.circuit in BOOK.circuits}
    made = replace(BOOK, circuits={**BOOK.circuits, **own}, options={}, usual={}, cases=cases)
    assert not [problem for problem in audit(made) if problem.weight == "error" and problem.kind != "circuits-alike"]


def test_a_sound_variant_reads_good_at_every_check() -> None:
    """Nothing is wrong with it, so nothing may be found wrong: two in three of such machines at least, by the scatter.

    The limits are those of the checks; with all it can have a machine comes nearer to them than the book's own.
    """
    for solved in Yard(BOOK, circuits=[one.id for one in COVERING]).machines:
        for name in sorted(solved.checks):
            good = BOOK.checks[name].good
            value = next(read(name) for read in solved.coarse(frozenset()))
            assert solved.chance(name, good, value) >= 2 / 3, (solved.machine.circuit.id, name, value)


@given(CIRCUITS, SOME, st.randoms(use_true_random=False))
def test_the_order_in_which_options_are_told_does_not_matter(
    circuit: Circuit, options: list[str], chance: st.DataObject
) -> None:
    """Those that were taken once are taken in any order, and make the same machine."""
    first, taken = circuit, []
    for option in options:
        made = brought(BOOK, first, option)
        if made is not None:
            first = made
            taken.append(option)
    chance.shuffle(taken)  # type: ignore[attr-defined]
    second = circuit
    for option in taken:
        made = brought(BOOK, second, option)
        assert made is not None, (circuit.id, taken)
        second = made
    assert second == first
    assert circuit_named(BOOK, first.id) == first
    assert base_of(first.id) == circuit.id
    compose(BOOK, first.id)


@given(CIRCUITS, st.data())
def test_a_machine_is_as_it_was_told_and_stays_so(circuit: Circuit, data: st.DataObject) -> None:
    """Whatever answer to whatever feature: afterwards that answer fits it."""
    feature = data.draw(st.sampled_from(list(BOOK.features.values())))
    answer = data.draw(st.sampled_from([answer for answer, _ in feature.answers]))
    made = as_said(BOOK, circuit, feature.id, answer)
    if made is not None:
        assert as_said(BOOK, made, feature.id, answer) == made
        if feature.id in made.has:
            assert answer in made.has[feature.id]


@pytest.mark.parametrize("name", ["no_such", "start_relay+no_such", "+tracker", "series_start+tracker"])
def test_an_id_that_names_no_machine_is_none(name: str) -> None:
    """It raises nothing: it may come from the log of another book."""
    assert circuit_named(BOOK, name) is None
