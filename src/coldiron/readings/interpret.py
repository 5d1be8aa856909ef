"""From what was typed to a finding of a check."""

from __future__ import annotations

from coldiron.book.checks import UNITS, Check
from coldiron.readings.choosing import choose
from coldiron.readings.findings import NOTHING, Understood
from coldiron.readings.refusal import UNKNOWN, AnswerError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import ModuleType


def understand(check: Check, text: str, volts: int, batteries: int, *, sure: bool = False) -> Understood:
    """Read an answer to a check.

    Raises:
        AnswerError: the answer is no choice, cannot be read, or is implausible (accepted with `sure`).
    """
    plain = " ".join(text.split())
    if plain.lower() in UNKNOWN:
        return NOTHING
    if check.reads.quantity in UNITS:
        found: Understood = _figures().measured(check, plain, volts, batteries, sure=sure)
        return found
    return Understood(choose(plain, [(f.id, f.meaning) for f in check.findings]))


def kept(check: Check, text: str) -> str:
    """A reading as it is kept until the machine is known.

    Raises:
        AnswerError: it is no reading, or what is told of this check is not measured.
    """
    if check.reads.quantity not in UNITS:
        raise AnswerError("not now", "Only meter readings can be given before the machine is known.")
    reading: str = _figures().kept(check.reads.quantity, text)
    return reading


def _figures() -> ModuleType:
    """What reads figures: its patterns take 10 ms to make ready, and the first questions ask for none."""
    from coldiron.readings import measured  # noqa: PLC0415 - see above

    return measured
