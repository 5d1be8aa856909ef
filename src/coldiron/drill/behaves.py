"""What a simulated machine does, as its owner would see it: the complaint whose signs it shows."""

from __future__ import annotations

from coldiron.book.checks import Check
from coldiron.book.history import Complaint
from coldiron.circuits.bands import scale
from coldiron.circuits.simulated import SimulatedMachine


def complaint_of(real: SimulatedMachine) -> str:
    """The first complaint of the book of which the machine shows every sign; empty if it shows none."""
    return next((one.id for one in real.machine.book.complaints.values() if _does(real, one)), "")


def _does(real: SimulatedMachine, complaint: Complaint) -> bool:
    book = real.machine.book
    sees = [(book.checks[check], finding) for check, finding in complaint.sees if check in real.machine.checks]
    amiss = any(finding != check.good for check, finding in sees)
    return amiss and all(seen(real, check) == finding for check, finding in sees)


def seen(real: SimulatedMachine, check: Check) -> str:
    """The finding of a check on a machine."""
    found = real.answer(check.id)
    return found.sign or nearest_finding(check, found.number or 0.0, real.machine.volts, real.machine.batteries)


def nearest_finding(check: Check, value: float, volts: int, batteries: int) -> str:
    """The finding of a check in whose limits a value lies, or comes nearest to."""
    bands = scale(check, volts, batteries).bands
    _, nearest = min((max(low - value, value - high, 0.0), number) for number, low, high in bands)
    return check.findings[nearest].id
