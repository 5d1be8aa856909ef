"""What is typed for a reading is read as meant, or asked again; it is never silently misread."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coldiron.book.checks import UNITS
from coldiron.readings.figures import written
from coldiron.readings.reading import LARGEST, LIMIT, SMALLEST, Misread, ReadValue, implausible
from coldiron.readings.spans import read

TABLE = Path(__file__).with_name("readings.tsv")
QUANTITIES = st.sampled_from(sorted(UNITS))
NEAR_READINGS = st.text("0123456789.,'-+<> vVaAmMkKrRoOlLhsu\u03a9\u2212", max_size=12)


def rows() -> list[tuple[str, str, str]]:
    """Quantity, text, outcome."""
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    split = [line.split("\t") for line in lines if not line.startswith("#")]
    return [(quantity, json.loads(text), outcome) for quantity, text, outcome in split]


def outcome_of(found: ReadValue | Misread) -> str:
    if isinstance(found, ReadValue):
        return f"= {found}"
    could_be = " | ".join(map(str, found.could_be))
    return f"{found.kind} {found.place}" + (f" -> {could_be}" if could_be else "")


@pytest.mark.parametrize(("quantity", "text", "outcome"), rows(), ids=ascii)
def test_table(quantity: str, text: str, outcome: str) -> None:
    """Every text of the table comes out as the table says."""
    assert outcome == outcome_of(read(text, quantity))


def test_table_is_long_enough() -> None:
    """The table holds at least 200 different texts."""
    assert len({(quantity, text) for quantity, text, _ in rows()}) >= 200


@given(st.text(max_size=LIMIT + 6) | NEAR_READINGS, QUANTITIES)
def test_no_text_raises(text: str, quantity: str) -> None:
    """Any text gives a reading or a misread with a place in the text and a sentence."""
    found = read(text, quantity)
    if isinstance(found, Misread):
        assert 1 <= found.place <= max(1, len(text))
        assert found.sentence.endswith((".", "?"))
    else:
        assert found.text == text
        assert found.unit == UNITS[quantity]
        assert not math.isnan(found.value)
        assert quantity == "ohms" or math.isfinite(found.value)
        assert quantity != "ohms" or found.value >= 0


@given(NEAR_READINGS, QUANTITIES)
@example("-1M", "ohms")
@example("99999m5", "ohms")
def test_what_it_could_be_is_understood_when_typed(text: str, quantity: str) -> None:
    """Every suggestion, typed as shown, is read as that very value."""
    found = read(text, quantity)
    for option in found.could_be if isinstance(found, Misread) else (found,):
        again = read(str(option), quantity)
        assert isinstance(again, ReadValue)
        assert (again.value, again.comparator) == (option.value, option.comparator)


def significant(text: str) -> str:
    return re.sub(r"\D", "", text).strip("0")


@given(NEAR_READINGS, QUANTITIES)
def test_an_accepted_figure_keeps_every_digit(text: str, quantity: str) -> None:
    """Whatever is accepted has the digits that were typed, in their order: none dropped, joined on or worked out."""
    found = read(text, quantity)
    if isinstance(found, ReadValue) and math.isfinite(found.value):
        assert significant(text) == significant(str(found))


@given(
    st.sampled_from(("", "<", ">")),
    st.just(0.0) | st.floats(SMALLEST, LARGEST) | st.floats(-LARGEST, -SMALLEST),
    QUANTITIES,
)
@example("", -5.960464477539063e-08, "amps")  # its exact value lies half way between two shorter ones
def test_what_is_written_is_read_back(comparator: str, value: float, quantity: str) -> None:
    """Writing any value a meter can show and reading it gives the very same value, to the last bit."""
    size = abs(value) if quantity == "ohms" or comparator else value
    mark = ">" if comparator and size == 0 else comparator
    found = read(written(size, UNITS[quantity], mark), quantity)
    assert isinstance(found, ReadValue), found
    assert (found.value, found.comparator) == (size, mark)


@pytest.mark.parametrize(
    ("value", "quantity", "volts", "said"),
    [
        (12.6, "volts", 12, None),
        (16.0, "volts", 12, None),  # on a boost charger
        (25.4, "volts", 24, None),
        (-0.02, "volts", 12, None),  # the meter's own zero
        (0.0, "volts", 24, None),
        (16.4, "volts", 12, None),  # the same in frost
        (17.2, "volts", 12, "24 V machine"),  # no battery of 12 V is charged so high, and none of 24 V is so flat
        (32.8, "volts", 24, None),  # a boost charger again, on two batteries
        (34.4, "volts", 24, "point"),
        (25.4, "volts", 12, "24 V machine"),
        (32.8, "volts", 12, "24 V machine"),
        (34.4, "volts", 12, "point"),
        (126.0, "volts", 12, "point"),
        (126.0, "volts", 24, "point"),
        (254.0, "volts", 24, "point"),
        (12600.0, "volts", 12, "millivolts"),
        (-12.6, "volts", 12, "right way round"),
        (900.0, "amps", 12, None),
        (-35.0, "amps", 12, None),  # a clamp put on the other way round
        (35000.0, "amps", 12, "unit"),
        (0.3, "ohms", 12, None),
        (0.0, "ohms", 12, None),
        (math.inf, "ohms", 12, None),
        (0.0003, "ohms", 24, "hand meter"),
    ],
)
def test_implausible_values_are_questioned(value: float, quantity: str, volts: int, said: str | None) -> None:
    """A value that can hardly be so on this machine is questioned with the likely slip; a plausible one is not."""
    sentence = implausible(value, quantity, volts)
    assert sentence is None if said is None else sentence is not None and said in sentence
