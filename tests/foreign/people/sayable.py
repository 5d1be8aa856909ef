"""What share of the foreign faults the book can say at all, on the circuit that fits each machine."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from coldiron import load_book
from coldiron.book.book import Book
from coldiron.book.faults import Fault as FaultEntry
from coldiron.circuits import compose
from coldiron.machine.fitting import fitting
from foreign.people import adaptor, adaptor_parts
from foreign.people.person import is_mended
from foreign.record import Fault, Machine

ASKED_FIRST = ("start_way", "interlocks", "stop_device", "isolator", "cold_aid")
"""Features in the order that tells most of what can be wrong; the first that a circuit does not fit is passed over."""


@dataclass(frozen=True)
class Said:
    """One foreign fault: whether its part is on the circuit, and whether some repair of the book mends it."""

    machine: Machine
    circuit: str
    fault: Fault
    part: bool
    act: bool


def circuit_of(book: Book, machine: Machine) -> str:
    """The circuit that somebody who knows the machine ends with."""
    told = adaptor.features(machine)
    order = sorted(told, key=lambda name: (*[name != each for each in ASKED_FIRST], name))
    said = {"volts": str(machine.volts), **{f"has.{name}": told[name] for name in order}}
    return max(fitting(book, said).circuits, key=lambda circuit: circuit.common).id


def said_of(book: Book, machine: Machine) -> Iterator[Said]:
    """Every fault of a machine that a usual book of such machines knows."""
    circuit = circuit_of(book, machine)
    parts = set(compose(book, circuit).parts)
    known = [each for each in book.faults.values() if each.id.rpartition(".")[0] in parts]
    repairs = [(each.id, _acts(each)) for each in known]
    for fault in machine.faults:
        if fault.book:
            part = any(fault.part in adaptor_parts.at_fault(name) for name, _ in repairs)
            act = any(is_mended(fault, name, done) for name, done in repairs)
            yield Said(machine, circuit, fault, part, act)


def _acts(fault: FaultEntry) -> set[str]:
    return adaptor_parts.acts(fault.what.name, fault.what.repair, renews=fault.what.renews)


def table(machines: Iterable[Machine]) -> Iterator[str]:
    """All faults, then by machine and by part, weighed by how often they are the call; then what cannot be said."""
    book, _ = load_book()
    said = [each for machine in machines for each in said_of(book, machine)]
    yield f"{'':44}{'faults':>7}{'part':>6}{'repair':>8}  in 100 of the calls"
    yield _row("all", said)
    groups: tuple[tuple[str, Callable[[Said], str]], ...] = (
        ("machine", lambda each: f"{each.machine.name} as {each.circuit}"),
        ("part", lambda each: each.fault.part),
    )
    for title, key in groups:
        yield f"by {title}"
        for name in sorted({key(each) for each in said}):
            yield _row(f"  {name}", [each for each in said if key(each) == name])
    yield "cannot be said"
    for each in said:
        if not each.act:
            yield f"  {each.machine.name}: {each.fault.words} [{each.fault.part}, {', '.join(each.fault.mends)}]"


def _row(title: str, said: Sequence[Said]) -> str:
    calls = sum(_calls(each) for each in said)
    part = 100 * sum(_calls(each) for each in said if each.part) / calls
    act = 100 * sum(_calls(each) for each in said if each.act) / calls
    return f"{title:44}{len(said):7}{part:6.0f}{act:8.0f}"


def _calls(said: Said) -> float:
    """How often it is the call, of all calls to its machine."""
    return said.fault.weight / sum(each.weight for each in said.machine.faults if each.book)
