"""The table of a machine: solved checks, declared findings, misreading and the complaint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.book.book import Book
from coldiron.book.faults import Chain, FaultKind, FaultRef, Shows, Victim
from coldiron.book.history import COMPLAINT
from coldiron.choice.judge import Judge
from coldiron.circuits import Machine, Predictor, compose
from coldiron.inference.descent import Link
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.machine_model import model_of, named
from coldiron.inference.table import WRONG_STORY, BookTable, misread, worst
from coldiron.language.load import load
from support import shop

LAMP_BOOK = Path(__file__).parents[1] / "support" / "ground.rules"
SOUND = frozenset[str]()


@pytest.fixture(name="book", scope="module")
def _book() -> Book:
    book, problems = load(LAMP_BOOK)
    assert not problems
    return book


@pytest.fixture(name="machine", scope="module")
def _machine(book: Book) -> Machine:
    return compose(book, "lamp_12")


@pytest.fixture(name="table", scope="module")
def _table(machine: Machine) -> BookTable:
    return BookTable(machine, Predictor(machine))


def with_shows(book: Book, kind: str, fault: str, *lines: Shows) -> Machine:
    """The lamp's machine with lines of what a fault shows."""

    def changed(what: FaultKind) -> FaultKind:
        return replace(what, shows=lines) if what.id == fault else what

    record = book.kinds[kind]
    kinds = {**book.kinds, kind: replace(record, faults=tuple(changed(what) for what in record.faults))}
    return compose(replace(book, kinds=kinds), "lamp_12")


def rows(count: int) -> st.SearchStrategy[list[float]]:
    drawn = st.lists(st.floats(0, 1), min_size=count, max_size=count).filter(lambda row: sum(row) > 0.1)
    return drawn.map(lambda row: [chance / sum(row) for chance in row])


@given(rows(4), rows(4), st.integers(0, 2))
def test_the_worse_of_two_independent_findings_is_reported(one: list[float], other: list[float], good: int) -> None:
    """As by going through all pairs: `odd` (the last) is worst, then the order of the book, the good one last."""
    rank = {place: number for number, place in enumerate([3, *(i for i in range(3) if i != good), good])}
    expected = [0.0] * 4
    for (a, p), (b, q) in product(enumerate(one), enumerate(other)):
        expected[min(a, b, key=lambda place: rank[place])] += p * q
    assert worst(one, other, good) == pytest.approx(expected)


@given(rows(4), st.floats(0, 0.5))
def test_a_misread_finding_becomes_any_other(row: list[float], wrong: float) -> None:
    """The true finding keeps what is not misread; the rest goes to the others, least to `odd`; nothing is lost."""
    read = misread(row, wrong)
    assert sum(read) == pytest.approx(1)
    assert misread(row, 0.0) == pytest.approx(row)
    certain = misread([1.0, 0.0, 0.0, 0.0], wrong)
    assert certain[0] == pytest.approx(1 - wrong)
    assert certain[1] == pytest.approx(certain[2])
    assert certain[3] <= certain[1]


def test_an_eye_check_is_good_where_no_fault_shows(table: BookTable) -> None:
    """Misreading alone gives another finding."""
    bare, whole, odd = table.chances("look_at.feed_wire", SOUND)
    assert whole == pytest.approx(0.9)
    assert bare + odd == pytest.approx(0.1)
    assert table.findings("look_at.feed_wire") == ("bare", "whole", "odd")


def test_a_template_check_shows_the_faults_of_its_own_part(table: BookTable, machine: Machine) -> None:
    """A broken wire shows on itself at its declared rate, and on no other wire."""
    check = machine.book.checks["look_at.feed_wire"]
    assert table.shown(check, frozenset({"feed_wire.broken"}))[0] == pytest.approx(0.6)
    assert table.shown(check, frozenset({"ground_wire.broken"}))[0] == 0


def test_two_faults_that_show_are_joined_by_noisy_or(book: Book) -> None:
    """Either may bring the finding about."""
    machine = with_shows(book, "battery", "flat", Shows("look_at.feed_wire", "bare", 0.5))
    table = BookTable(machine, Predictor(machine))
    both = frozenset({"feed_wire.broken", "battery.flat"})
    assert table.shown(machine.book.checks["look_at.feed_wire"], both)[0] == pytest.approx(1 - 0.4 * 0.5)


def test_a_declared_finding_overrides_the_circuit_for_its_fault(book: Book) -> None:
    """A blown lamp said to let the feed read dead half the time does; other faults are still solved, the worse wins."""
    machine = with_shows(book, "lamp", "blown", Shows("key_feed_volts", "dead", 0.5))
    table = BookTable(machine, Predictor(machine))
    plain = BookTable(compose(book, "lamp_12"), Predictor(compose(book, "lamp_12")))
    check = machine.book.checks["key_feed_volts"]
    assert plain.shown(check, frozenset({"lamp.blown"})) == pytest.approx((0.0, 1.0, 0.0), abs=0.07)
    assert table.shown(check, frozenset({"lamp.blown"})) == pytest.approx((0.5, 0.5, 0.0), abs=0.07)
    assert table.shown(check, frozenset({"feed_wire.broken"})) == pytest.approx((1.0, 0.0, 0.0), abs=1e-3)
    both = frozenset({"lamp.blown", "feed_wire.broken"})
    assert table.shown(check, both) == pytest.approx((1.0, 0.0, 0.0), abs=1e-3)


def test_a_fault_with_a_declared_finding_is_left_out_of_the_circuit(book: Book) -> None:
    """A blown lamp said to glow half the time, seen through a fogged glass, is not solved as dark besides."""
    machine = with_shows(book, "lamp", "blown", Shows("lamp_glow", "dark", 0.5))
    table = BookTable(machine, Predictor(machine))
    shown = table.shown(machine.book.checks["lamp_glow"], frozenset({"lamp.blown"}))
    assert shown == pytest.approx((0.5, 0.5, 0.0))


def test_a_set_reads_as_the_circuit_with_all_its_faults_in_it(table: BookTable, machine: Machine) -> None:
    """For all sets of up to three faults and all solved checks: solved together, never put together from singles."""
    solver = Predictor(machine)
    differ = 0
    for size in range(4):
        for faults in combinations(machine.faults, size):
            for check in solver.checks:
                record = machine.book.checks[check]
                row = table.chances(check, frozenset(faults))
                assert row == misread(solver.chances(check, frozenset(faults)), record.wrong)
                differ += size > 1 and row != pytest.approx(worst_of(table, check, faults), abs=0.01)
    assert differ > 0


def worst_of(table: BookTable, check: str, faults: Sequence[str]) -> tuple[float, ...]:
    """The rule that is wrong on circuits: the worst finding of any of the faults alone."""
    singles = [table.chances(check, frozenset({fault})) for fault in faults]
    found = singles[0]
    for other in singles[1:]:
        found = worst(found, other, len(found) - 2)
    return found


@pytest.mark.slow
def test_all_pairs_of_a_shipped_circuit_read_as_solved_together() -> None:
    """In one state of the smallest circuit."""
    machine = shop.machine("direct_start")
    solver = Predictor(machine)
    table = BookTable(machine, Predictor(machine))
    check = next(name for name in solver.checks if machine.book.checks[name].reads.quantity == "turn")
    record = machine.book.checks[check]
    lines = {name for name, fault in machine.faults.items() if any(s.check == check for s in fault.what.shows)}
    for pair in combinations([name for name in machine.faults if name not in lines], 2):
        assert table.chances(check, frozenset(pair)) == misread(solver.chances(check, frozenset(pair)), record.wrong)


def test_every_row_of_the_shipped_book_is_a_distribution() -> None:
    """Of every check and the complaint, on a sound machine and under every single fault."""
    machine = shop.machine("direct_start")
    table = BookTable(machine, Predictor(machine))
    for faults in [SOUND, *(frozenset({name}) for name in machine.faults)]:
        for check in (COMPLAINT, *machine.checks):
            row = table.chances(check, faults)
            assert len(row) == len(table.findings(check))
            assert min(row) >= 0
            assert sum(row) == pytest.approx(1)


def test_the_complaint_speaks_for_the_faults_that_make_it(table: BookTable) -> None:
    """A blown lamp makes it dark; a dark lamp says nothing for a battery that still lights it, or a sound machine."""
    assert table.findings(COMPLAINT) == ("dark", "odd")
    blown = table.chances(COMPLAINT, frozenset({"lamp.blown"}))[0]
    flat = table.chances(COMPLAINT, frozenset({"battery.flat"}))[0]
    sound = table.chances(COMPLAINT, SOUND)[0]
    assert blown > 0.9
    assert flat == pytest.approx(sound)
    assert sound < 0.05


def test_who_mistakes_what_it_does_for_something_else_tells_that() -> None:
    """A share of those who see one thing tell the other; nothing is lost, and what it does not do is not moved."""
    setup = shop.begin("interlocks", "silent").setup
    assert setup
    book, told = setup.machine.book, setup.table
    plain = {name: replace(one, mistaken=()) for name, one in book.complaints.items()}
    exact = BookTable(replace(setup.machine, book=replace(book, complaints=plain)), setup.predictor)
    place = {name: number for number, name in enumerate(plain)}
    astray = WRONG_STORY / (len(plain) + 1)
    for fault in sorted(setup.machine.faults)[::9]:
        was, now = exact.chances(COMPLAINT, frozenset((fault,))), told.chances(COMPLAINT, frozenset((fault,)))
        expected = list(was)
        for name, one in book.complaints.items():
            for other, share in one.mistaken:
                if any(check in setup.machine.checks for check, _ in book.complaints[other].sees):
                    expected[place[name]] -= share * (was[place[name]] - astray)
                    expected[place[other]] += share * (was[place[name]] - astray)
        assert now == pytest.approx(expected, abs=1e-9), fault


def test_a_set_that_seldom_makes_a_complaint_is_not_helped_by_it(book: Book) -> None:
    """A fault that darkens the lamp two times in a hundred does not explain a dark lamp as well as a blown one."""
    machine = with_shows(book, "battery", "flat", Shows("lamp_glow", "dark", 0.02))
    table = BookTable(machine, Predictor(machine))
    assert table.chances(COMPLAINT, frozenset({"battery.flat"}))[0] < 0.3


def test_a_chain_from_a_kind_to_itself_leaves_each_fault_out_of_its_own_victims(book: Book) -> None:
    """Any wire may chafe the other, and none itself."""
    wires = FaultRef(kind="wire", fault="broken")
    chain = Chain("rub", wires, (Victim(wires, 0.1),), "They rub.", "common practice")
    model = model_of(compose(replace(book, chains={"rub": chain}), "lamp_12"))
    assert {(link.cause, link.victim) for link in model.links} == {
        ("feed_wire.broken", "ground_wire.broken"),
        ("ground_wire.broken", "feed_wire.broken"),
    }


def test_the_complaint_is_one_of_those_that_a_set_can_make() -> None:
    """On a shipped machine the likeliest complaint of an open starter circuit is that nothing happens at START."""
    machine = shop.machine("start_relay")
    table = BookTable(machine, Predictor(machine))
    row = table.chances(COMPLAINT, frozenset({"start_relay.coil_open"}))
    assert table.findings(COMPLAINT)[row.index(max(row))] == "silent"
    assert max(row) > 0.8


def test_the_model_of_a_machine(machine: Machine) -> None:
    """Odds, parts, minutes and chains as the book has them."""
    model = model_of(machine)
    assert sum(model.odds.values()) == pytest.approx(1)
    assert model.part("feed_wire.broken") == "feed_wire"
    assert model.minutes("lamp.blown") == 5
    assert model.links == (Link("ground_wire.broken", "battery.flat", 0.2),)
    assert named(machine, FaultRef(kind="wire", fault="broken")) == ["feed_wire.broken", "ground_wire.broken"]
    assert named(machine, FaultRef(part="lamp")) == ["lamp.blown"]


def test_what_comes_and_goes_and_what_may_be_disturbed_is_taken_over() -> None:
    """Joints at the point that is worked on are neighbours; a fault that comes and goes keeps its chance."""
    machine = shop.machine("start_relay")
    model = model_of(machine)
    for name, fault in machine.faults.items():
        assert model.shows_now.get(name, 1.0) == fault.what.shows_now
        for near in model.neighbours.get(name, ()):
            other = machine.parts[machine.faults[near].part]
            assert machine.kind(other.id).acts == "joint"
            assert set(other.joins.values()) & set(machine.parts[fault.part].joins.values())
    assert model.neighbours


def test_the_judge_and_the_table_of_a_machine_find_its_fault(table: BookTable, machine: Machine) -> None:
    """Dark lamp, dead feed: the feed wire."""
    judge = Judge(table.model, table)
    readings = (Reading(COMPLAINT, 0), Reading("key_feed_volts", 0), Reading("rest_volts", 1))
    assert judge.belief(Evidence(readings)).suspects[0][0] == "feed_wire.broken"
    assert set(dict(judge.belief(Evidence()).suspects)) == set(machine.faults)
