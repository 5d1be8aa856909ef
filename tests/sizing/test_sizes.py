"""Sizes of a repair: laws that hold for any load, and what is said before the figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.cli import DONE, main
from coldiron.sizing import choose, gauge
from coldiron.sizing.report import FIRST, sizes

AMPS = st.floats(0.1, 300)
METERS = st.floats(0.1, 60)
VOLTS = st.sampled_from((12, 24))


@given(AMPS, METERS, VOLTS)
def test_the_wire_bears_its_fuse_and_the_fuse_bears_the_load(amps: float, meters: float, volts: int) -> None:
    """Load, fuse, wire: each is larger than the one before; and no more volts are lost than may be."""
    found = choose.wire(amps, meters, choose.allowed(volts))
    if found is not None:
        assert amps <= 0.8 * found.fuse <= found.fuse <= found.carries
        assert found.loses <= choose.allowed(volts)


@given(AMPS, METERS, VOLTS, st.floats(1, 3), st.floats(1, 3))
def test_more_amps_or_more_length_never_give_a_thinner_wire(
    amps: float, meters: float, volts: int, more: float, longer: float
) -> None:
    first = choose.wire(amps, meters, choose.allowed(volts))
    second = choose.wire(more * amps, longer * meters, choose.allowed(volts))
    assert first is not None or second is None
    if first is not None and second is not None:
        assert second.area >= first.area


@given(st.lists(st.sampled_from(gauge.sold()[:6]), min_size=1, max_size=3))
def test_a_splice_is_never_for_less_copper_than_it_joins(numbers: list[int]) -> None:
    found = choose.splice(numbers)
    if found is not None:
        assert gauge.circular_mils(found[1]) >= sum(map(gauge.circular_mils, numbers)) * (1 - 1e-9)


@pytest.mark.parametrize("amps", [0.5, 8, 120, 5000])
def test_the_cautions_come_before_any_figure(amps: float) -> None:
    """The maker first, never a larger fuse, the cause before the fuse, the battery off: on every page."""
    assert sizes(amps, 6, 24).startswith(FIRST)
    for words in ("maker's own parts come first", "Never a larger fuse", "what blew a fuse", "Battery lead off"):
        assert words in FIRST


def test_what_no_single_wire_can_do_is_said() -> None:
    assert "ask the maker" in sizes(5000, 6, 12)
    assert "Fuse" not in sizes(5000, 6, 12)


def test_the_command_takes_a_decimal_comma_and_refuses_nothing_or_less(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", "7,5", "6m", "12"]) == DONE
    assert "Wire" in capsys.readouterr().out
    for amps in ("0", "-3", "many", "nan"):
        with pytest.raises(SystemExit):
            main(["size", "--", amps, "6m", "12"])
    capsys.readouterr()


def test_a_length_says_whether_it_is_feet_or_meters(capsys: pytest.CaptureFixture[str]) -> None:
    """The same length in both units gives the same sizes, and both are shown; a bare number is refused."""
    shown = []
    for length in ("10ft", "3.048m"):
        assert main(["size", "7.5", length, "12"]) == DONE
        shown.append(capsys.readouterr().out)
    assert shown[0] == shown[1]
    assert "10 ft (3.05 m)" in shown[0]
    for length in ("10", "0m", "10 yards", "m"):
        with pytest.raises(SystemExit):
            main(["size", "7.5", length, "12"])
    assert "10ft or 10m" in capsys.readouterr().err
