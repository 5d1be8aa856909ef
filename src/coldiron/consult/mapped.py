"""The drawing of the machine at hand with what the job knows of it: parts, probes of the present check, volts read."""

from __future__ import annotations

from functools import lru_cache

from coldiron.judging.setup import Setup
from coldiron.map.marks import Marks, by_part, known_of
from coldiron.map.sketch import Sketch, sketch
from coldiron.telling.so_far import SoFar

TO = "{} V to {}"


def mapped(consultation: SoFar) -> tuple[Sketch, Marks] | None:
    """The drawing and its marks; None while the machine is not known."""
    setup = consultation.setup
    if setup is None:
        return None
    machine, book = setup.machine, consultation.book
    settings = consultation.state.settings
    fitted = frozenset(name for name, value in settings.items() if value != book.settings[name].normal)
    known = known_of(by_part(machine, machine.odds.items()), by_part(machine, consultation.suspects))
    red, black = _probes(consultation)
    return _sketch_of(setup, fitted), Marks(known, _volts(consultation), red, black)


@lru_cache(maxsize=8)
def _sketch_of(setup: Setup, fitted: frozenset[str]) -> Sketch:
    """The drawing of a machine, laid out once: every page of a check shows a line of it."""
    return sketch(setup.machine, fitted)


def _probes(consultation: SoFar) -> tuple[str, str]:
    """The points that the probes of the present check touch; none where it is no check, or made without any."""
    asked, setup = consultation.next, consultation.setup
    check = consultation.book.checks.get(asked.step or asked.id) if asked else None
    if check is None or setup is None or not check.reads.a:
        return "", ""
    return setup.machine.point(check.reads.a) or "", setup.machine.point(check.reads.b) or ""


def _volts(consultation: SoFar) -> dict[str, str]:
    """What was read at each point since the latest repair, the latest reading of each."""
    setup, book = consultation.setup, consultation.book
    found: dict[str, str] = {}
    for name, taken in consultation.state.present.taken.items():
        reads = book.checks[name].reads if name in book.checks else None
        value = taken.understood.value
        if setup is None or reads is None or reads.quantity != "volts" or value is None:
            continue
        red, black = setup.machine.point(reads.a), setup.machine.point(reads.b)
        if red and black:
            found[red] = TO.format(f"{value:g}", book.points[black].name)
    return found
