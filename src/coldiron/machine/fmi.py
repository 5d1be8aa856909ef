"""How something is wrong, by number: the FMI of a trouble code.

The numbers and their sense are those of SAE J1939-73; the words are ours. Numbers 0 to 21 and 31 as read in the header
`Enum_DM1_DM2.h` of the free library Open-SAE-J1939; its name for 31 is that of an older edition and is not used here.
22 to 30 are reserved: a maker may use one all the same, so such a code is taken down.
"""

from __future__ import annotations

from coldiron.book.history import LARGEST_FMI

RESERVED = "reserved by the standard: only the maker's book says what it stands for"

_SENSE = (
    "above normal, most severe",
    "below normal, most severe",
    "erratic or incorrect, perhaps now and then",
    "volts high, or shorted to a higher feed",
    "volts low, or shorted to a lower one",
    "current low, or the circuit is open",
    "current high, or the circuit is grounded",
    "the mechanism does not follow",
    "wrong frequency, pulse width or period",
    "comes at the wrong rate",
    "changes at an abnormal rate",
    "wrong, and the cause is not known",
    "bad device or component",
    "out of calibration",
    "look up the maker's special instructions",
    "above normal, least severe",
    "above normal, moderately severe",
    "below normal, least severe",
    "below normal, moderately severe",
    "the network brought it in error",
    "drifted high",
    "drifted low",
)


def sense(fmi: int) -> str:
    """What an FMI says, in words that follow a comma; `RESERVED` for those without a sense."""
    if fmi == LARGEST_FMI:
        return "the condition is there"
    return _SENSE[fmi] if fmi < len(_SENSE) else RESERVED
