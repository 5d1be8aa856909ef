"""SAE J1939-73: the numbers of a trouble code, and what its FMI stands for.

The sense of FMI 0 to 21 and 31 as read in the header Src/SAE_J1939/SAE_J1939_Enums/Enum_DM1_DM2.h of the free library
Open-SAE-J1939 by DanielMartensson (commit 315a955), that of 0 to 14 also at scribd.com/document/562799618. The library
names 31 after an older edition ("not available"); the present sense, "condition exists", is that of two makers' lists.
22 to 30 are reserved. The standard's own sentences are not copied; a few words that decide the sense are held here.
"""

from __future__ import annotations

import pytest

from coldiron.machine.codes import read_code
from coldiron.machine.fmi import RESERVED, sense
from coldiron.readings.refusal import AnswerError

DECIDES = {
    0: ("above", "most"),
    1: ("below", "most"),
    2: ("erratic", "incorrect"),
    3: ("volts", "high", "shorted"),
    4: ("volts", "low", "shorted"),
    5: ("current", "low", "open"),
    6: ("current", "high", "grounded"),
    7: ("mechanism",),
    8: ("frequency", "pulse", "period"),
    9: ("rate",),
    10: ("abnormal", "rate", "changes"),
    11: ("cause", "not known"),
    12: ("bad", "device", "component"),
    13: ("calibration",),
    14: ("special instructions",),
    15: ("above", "least"),
    16: ("above", "moderately"),
    17: ("below", "least"),
    18: ("below", "moderately"),
    19: ("network", "error"),
    20: ("drifted", "high"),
    21: ("drifted", "low"),
    31: ("condition",),
}
"""FMI and the words that decide its sense, all read; 31 as two makers' lists have it."""


@pytest.mark.parametrize(("fmi", "words"), DECIDES.items())
def test_each_fmi_says_what_the_standard_means(fmi: int, words: tuple[str, ...]) -> None:
    assert all(word in sense(fmi) for word in words)


def test_no_two_have_the_same_words() -> None:
    """One stored list mistypes 4 as high, another repeats "above" for 17 and 18: neither slip is here."""
    assert len({sense(fmi) for fmi in DECIDES}) == len(DECIDES)


@pytest.mark.parametrize("fmi", range(22, 31))
def test_reserved_ones_are_called_so_and_not_refused(fmi: int) -> None:
    """A maker of steering valves uses 25, 27 and 28 all the same."""
    assert sense(fmi) == RESERVED
    assert read_code(f"2000 {fmi}") == (2000, fmi)


def test_an_spn_has_19_bits_and_an_fmi_5() -> None:
    assert read_code(f"{2**19 - 1} {2**5 - 1}") == (2**19 - 1, 2**5 - 1)
    for text in (f"{2**19} 1", f"168 {2**5}"):
        with pytest.raises(AnswerError, match="There is no"):
            read_code(text)
