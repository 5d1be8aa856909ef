"""Predicted findings: the same whether solved now, together with others, or read from a file."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from pathlib import Path

import pytest

from coldiron.book.checks import Band, Check, Finding
from coldiron.circuits import Machine, Predictor, compose
from coldiron.circuits import solved as lines
from coldiron.circuits.readings import read
from coldiron.circuits.trial import Bench
from coldiron.store.cache import Cache
from support import networks

BANDS = (
    Finding("dead", "", (Band(-0.3, 1.0),)),
    Finding("low", "", (Band(1.0, 11.5),)),
    Finding("live", "", (Band(11.5, 13.2),)),
)


def checks() -> list[Check]:
    found = networks.everything(networks.read("interlocks").parts)
    found += [
        networks.check("lit", "lamp", "fuse_panel", "battery_negative"),
        networks.check("clear", "ohms", "link_out", "frame", state={"battery_lead": "off"}),
        networks.check("look", "eye"),
    ]
    return [replace(one, findings=BANDS, spread=0.02, step=0.05) for one in found]


@pytest.fixture(scope="module")
def machine() -> Machine:
    return compose(networks.netlist_book("interlocks", checks()), "it")


def test_one_value_where_no_size_matters_and_three_where_one_does(machine: Machine) -> None:
    predictor = Predictor(machine)
    for faults, many in (((), 1), (("fuse_fuse_panel.blown",), 1), (("battery.flat",), 3)):
        assert len(predictor.values("starter_stud_start", frozenset(faults))) == many
    assert len(predictor.values("starter_s_off", frozenset({"battery.flat", "fuse_fuse_panel.blown"}))) == 3


def test_a_flatter_battery_reads_lower_all_along(machine: Machine) -> None:
    """The grid runs from mild to severe, and the severe end of a set value may be the lower one."""
    values = Predictor(machine).values("battery_positive_off", frozenset({"battery.flat"}))
    assert list(values) == sorted(values, reverse=True)
    assert values == pytest.approx((11.9 - 2.9 / 6, 11.9 - 2.9 / 2, 11.9 - 2.9 * 5 / 6), abs=0.01)


def test_every_value_is_that_of_the_network_solved_for_it_alone(machine: Machine) -> None:
    """Whatever was asked before: a fresh bench gives the same, for seeded sets of one to three faults."""
    predictor = Predictor(machine)
    draw = random.Random("sets")  # noqa: S311 - not for secrets
    for _ in range(40):
        faults = frozenset(draw.sample(sorted(machine.faults), draw.randint(1, 3)))
        check = draw.choice(predictor.checks)
        bench = Bench(machine)
        state = bench.layout.state(machine.book.checks[check].state)
        reads = machine.book.checks[check].reads
        alone = tuple(read(reads, trial, state) for trial in bench.trials(faults))
        assert predictor.values(check, faults) == alone


def test_chances_are_the_mean_over_severities(machine: Machine) -> None:
    """A battery of 9.5 to 11.4 V is low, a good one live, one with a broken link inside dead."""
    predictor = Predictor(machine)
    check = "battery_positive_off"
    assert predictor.chances(check, frozenset()) == pytest.approx((0, 0, 1, 0), abs=0.02)
    assert predictor.chances(check, frozenset({"battery.flat"})) == pytest.approx((0, 0.9, 0.1, 0), abs=0.1)
    assert predictor.chances(check, frozenset({"battery.broken_inside"})) == pytest.approx((1, 0, 0, 0), abs=0.02)


def test_checks_made_by_eye_are_not_solved(machine: Machine) -> None:
    predictor = Predictor(machine)
    assert "look" not in predictor.checks
    with pytest.raises(KeyError):
        predictor.values("look", frozenset())


def test_unknown_faults_and_checks_are_refused(machine: Machine) -> None:
    predictor = Predictor(machine)
    with pytest.raises(KeyError):
        predictor.values("lit", frozenset({"nothing.wrong"}))
    with pytest.raises(KeyError):
        predictor.values("nothing", frozenset())


@pytest.fixture
def solved(monkeypatch: pytest.MonkeyPatch) -> set[frozenset[str]]:
    """The sets of faults of which anything is solved."""
    seen: set[frozenset[str]] = set()
    solve = Predictor._solve

    def noted(self: Predictor, check: str, faults: frozenset[str], known: dict[str, lines.Values]) -> None:
        seen.add(faults)
        solve(self, check, faults, known)

    monkeypatch.setattr(Predictor, "_solve", noted)
    return seen


def test_values_read_from_the_file_are_the_solved_ones(
    machine: Machine, tmp_path: Path, solved: set[frozenset[str]]
) -> None:
    """Bit for bit, an open line included; and nothing is solved for them again."""
    first = Predictor(machine, Cache(tmp_path))
    assert len(solved) == len(machine.faults) + 1
    solved.clear()
    second = Predictor(machine, Cache(tmp_path))
    assert not solved
    fresh = Predictor(machine)
    for fault in list(machine.faults)[::7]:
        for check in first.checks:
            faults = frozenset({fault})
            assert first.values(check, faults) == second.values(check, faults) == fresh.values(check, faults)


def test_sets_solved_on_the_way_are_kept_when_asked(machine: Machine, tmp_path: Path) -> None:
    pair = frozenset({"battery.flat", "starter_face.dirty"})
    first = Predictor(machine, Cache(tmp_path))
    solved = first.values("starter_case_start", pair)
    assert first.save()
    kept = lines.from_bytes(Cache(tmp_path).get(next(tmp_path.glob("*.kept")).stem))
    assert kept is not None
    assert kept[pair]["starter_case_start"] == solved


def test_the_likeliest_sets_are_kept_and_not_too_many(
    machine: Machine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sound machine and single faults always; a second run has the kept sets as they were solved."""
    monkeypatch.setattr("coldiron.circuits.predictor.MOST_SETS", 2)
    ranked = sorted(machine.faults, key=lambda fault: -machine.odds[fault])
    flat, plain, other, last = ranked[0], ranked[1], ranked[2], ranked[-1]
    sets = [frozenset({plain, last}), frozenset({flat, plain}), frozenset({flat, other})]
    assert flat == "battery.flat"
    first = Predictor(machine, Cache(tmp_path))
    solved = [first.values("starter_case_start", faults) for faults in sets]
    assert first.save()
    kept = lines.from_bytes(Cache(tmp_path).get(next(tmp_path.glob("*.kept")).stem))
    assert kept is not None
    assert sum(len(faults) > 1 for faults in kept.sets) == 2
    assert {faults for faults in kept.sets if len(faults) == 1}
    second = Predictor(machine, Cache(tmp_path))
    assert [second.values("starter_case_start", faults) for faults in sets] == solved


def test_nothing_is_written_if_nothing_is_new(machine: Machine, tmp_path: Path) -> None:
    Predictor(machine, Cache(tmp_path))
    file = next(tmp_path.glob("*.kept"))
    written = file.stat().st_ino  # each writing puts a new file in its place
    again = Predictor(machine, Cache(tmp_path))
    assert again.save()
    assert file.stat().st_ino == written
    again.values("starter_case_start", frozenset({"battery.flat", "starter_face.dirty"}))
    assert again.save()
    assert file.stat().st_ino != written


def key_of(machine: Machine) -> str:
    """Under what its values are kept."""
    return lines.SOLVED.key(machine.book.hash, "it")


def kept_lines(machine: Machine, folder: Path) -> list[str]:
    """The lines that are kept of it."""
    return (Cache(folder).get(key_of(machine)) or b"").decode().split("\n")


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"checks":[],"sets":[""]}', b"\xff\xfe", b"null"])
def test_a_damaged_file_is_solved_anew(machine: Machine, tmp_path: Path, damage: bytes) -> None:
    """And put right; also where it says of itself that it is sound."""
    key = key_of(machine)
    for write in ((tmp_path / f"{key}.kept").write_bytes, lambda data: Cache(tmp_path).put(key, data)):
        write(damage)
        Predictor(machine, Cache(tmp_path))
        assert json.loads(kept_lines(machine, tmp_path)[0])["sets"]


def test_a_file_that_lacks_a_fault_is_solved_anew(
    machine: Machine, tmp_path: Path, solved: set[frozenset[str]]
) -> None:
    Predictor(machine, Cache(tmp_path))
    first, *rows = kept_lines(machine, tmp_path)
    kept = json.loads(first)
    del rows[kept["sets"].index("battery.flat")]
    kept["sets"].remove("battery.flat")
    Cache(tmp_path).put(key_of(machine), "\n".join([json.dumps(kept), *rows]).encode())
    solved.clear()
    Predictor(machine, Cache(tmp_path))
    assert frozenset({"battery.flat"}) in solved


def test_a_damaged_line_is_solved_anew(machine: Machine, tmp_path: Path) -> None:
    flat = frozenset({"battery.flat"})
    solved = Predictor(machine, Cache(tmp_path)).values("starter_case_start", flat)
    first, *rows = kept_lines(machine, tmp_path)
    rows[json.loads(first)["sets"].index("battery.flat")] = "[[1"
    Cache(tmp_path).put(key_of(machine), "\n".join([first, *rows]).encode())
    assert Predictor(machine, Cache(tmp_path)).values("starter_case_start", flat) == solved


def test_a_folder_that_cannot_be_written_only_costs_time(machine: Machine, tmp_path: Path) -> None:
    """Here a file stands where the folder should be."""
    blocked = tmp_path / "cache"
    blocked.write_text("in the way")
    predictor = Predictor(machine, Cache(blocked))
    assert predictor.values("lit", frozenset())
    assert not predictor.save()
    assert not Predictor(machine).save()
