"""How people write the units of volts, amps and ohms, and the units they may write by mistake.

A spelling is compared in small letters, without blanks and full stops. What a small or capital m means is asked where
both a milli and a mega make sense, which is with ohms only: nobody measures megavolts on a machine.
"""

from __future__ import annotations

from collections.abc import Mapping

SIGNS = {"\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u03c9": "ohm", "\u2126": "ohm"}
"""Micro sign, mu; capital and small omega, ohm sign."""

_UNIT_NAMES = {
    "volts": ("v", "volt", "volts", "vdc", "dcv", "voltdc", "voltsdc", "dcvolt", "dcvolts"),
    "amps": ("a", "amp", "amps", "ampere", "amperes", "adc", "dca", "ampsdc", "dcamps"),
    "ohms": ("ohm", "ohms", "r"),
}

_PREFIXES: Mapping[str, Mapping[int, tuple[str, ...]]] = {
    "volts": {-3: ("m", "milli"), -6: ("u", "micro")},
    "amps": {-3: ("m", "milli"), -6: ("u", "micro"), 3: ("k", "kilo")},
    "ohms": {-3: ("milli",), -6: ("u", "micro"), 3: ("k", "kilo"), 6: ("meg", "mega")},
}

_EITHER = (-3, 6)
_ALONE: Mapping[str, dict[str, tuple[int, ...]]] = {
    "volts": {"m": (-3,)},
    "amps": {"m": (-3,)},
    "ohms": {"k": (3,), "kilo": (3,), "kilohm": (3,), "kilohms": (3,), "meg": (6,), "megs": (6,)}
    | {"megohm": (6,), "megohms": (6,)}
    | dict.fromkeys(("m", "mr", "mohm", "mohms"), _EITHER),
}
"""Spellings out of the row: a prefix alone, run-together names, and the m that may be milli or mega."""

ALTERNATING = "alternating current"

_OTHER: Mapping[str, tuple[str, ...]] = {
    ALTERNATING: ("ac", "vac", "acv", "voltsac", "acvolts", "aac", "aca", "ampsac", "acamps", "mvac"),
    "kilovolts, which no machine of 12 or 24 V has": ("kv", "kilovolt", "kilovolts", "kvolt", "kvolts"),
    "power": ("w", "watt", "watts", "kw", "hp", "va"),
    "amp hours": ("ah", "mah", "amphour", "amphours"),
    "cold cranking amps": ("cca",),
    "frequency": ("hz", "khz"),
    "speed": ("rpm", "km/h", "mph"),
    "a share": ("%", "percent", "pct"),
    "a temperature": ("c", "°c", "°f", "°", "f", "deg", "degc", "degf", "degrees", "celsius", "fahrenheit"),
    "pressure": ("bar", "psi", "kpa", "mpa", "mbar"),
    "torque": ("nm", "ftlb", "lbft"),
    "length": ("mm", "cm", "in", "inch", "inches", "ft", "foot", "feet", '"'),
    "area": ("mm2", "awg"),
    "time": ("s", "sec", "secs", "second", "seconds", "ms", "min", "mins", "minute", "minutes", "h", "hour", "hours"),
    "density": ("sg", "kg/l", "g/ml"),
    "a volume": ("l", "litre", "litres", "liter", "liters"),
    "a weight": ("kg", "lb", "lbs"),
}


def fold(text: str) -> str:
    """A spelling as it is compared: small letters, signs spelt out, no blanks, no full stops."""
    return "".join(SIGNS.get(character, character) for character in text.lower() if character not in " .")


def _scales(quantity: str) -> dict[str, tuple[int, ...]]:
    """Every spelling of the units of a quantity: the power of ten it stands for, or several where it must be asked."""
    names = _UNIT_NAMES[quantity]
    known: dict[str, tuple[int, ...]] = dict.fromkeys(names, (0,))
    for power, prefixes in _PREFIXES[quantity].items():
        known |= {prefix + name: (power,) for prefix in prefixes for name in names}
    return known | _ALONE[quantity]


_CACHE: dict[str, dict[str, tuple[int, ...]]] = {}


def scales(quantity: str, spelling: str) -> tuple[int, ...]:
    """The powers of ten a spelling may stand for: none when it is no unit of the quantity, several when it is unclear.

    A bare m stands for one power with volts and amps too, yet is to be asked: see `unclear`.
    """
    if quantity not in _CACHE:
        _CACHE[quantity] = _scales(quantity)
    return _CACHE[quantity].get(fold(spelling), ()) if spelling else (0,)


def unclear(spelling: str) -> bool:
    """Whether a spelling is to be asked even where only one power of ten makes sense: an m that may be a metre."""
    return fold(spelling) == "m"


def other(quantity: str, spelling: str) -> str:
    """What a spelling measures when it is not the quantity; empty when it is no unit known here."""
    folded = fold(spelling)
    for name, spellings in _OTHER.items():
        if folded in spellings:
            return name
    return next((name for name in _UNIT_NAMES if name != quantity and scales(name, spelling)), "")
