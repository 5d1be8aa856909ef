"""From what was typed to a finding of a check."""

from __future__ import annotations

from coldiron.book.checks import UNITS, Check
from coldiron.readings.choosing import choose
from coldiron.readings.findings import NOTHING, Understood
from coldiron.readings.refusal import UNKNOWN


def understand(check: Check, text: str, volts: int, batteries: int, *, sure: bool = False) -> Understood:
    """Read an answer to a check.

    Raises:
        AnswerError: the answer is no choice, cannot be read, or is implausible (accepted with `sure`).
    """
    plain = " ".join(text.split())
    if plain.lower() in UNKNOWN:
        return NOTHING
    if check.reads.quantity in UNITS:
        from coldiron.readings.measured import measured  # noqa: PLC0415 - not needed for the first question

        return measured(check, plain, volts, batteries, sure=sure)
    return Understood(choose(plain, [(f.id, f.meaning) for f in check.findings]))
