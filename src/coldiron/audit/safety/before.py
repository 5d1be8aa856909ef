"""Which cautions stand before what, by the lines of the book: what the audit knows of it, apart from any job."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from coldiron.book.book import Book
from coldiron.book.cautions import BeforeArea, BeforeCheck, BeforeRepair, BeforeSetting, BeforeStart, Need
from coldiron.book.checks import Check
from coldiron.book.duties import Duty
from coldiron.book.faults import Fault, FaultRef
from coldiron.record import dataclass, field

DANGER = ("DANGER",)
TYPED = (*DANGER, "WARNING")
"""Signal words that are acknowledged by typing the state seen."""

SEVERITY = (*TYPED, "CAUTION", "NOTICE")
"""Signal words, the most severe first."""

Pair = tuple[str, str]


@dataclass(slots=True)
class Before:
    """Ids of cautions by what they are due before. Settings are (name, value)."""

    settings: dict[Pair, set[str]] = field(default_factory=dict)
    checks: dict[str, set[str]] = field(default_factory=dict)
    areas: dict[str, set[str]] = field(default_factory=dict)
    repairs: list[tuple[str, FaultRef]] = field(default_factory=list)

    def of_itself(self, check: Check) -> set[str]:
        """Those that a check has by itself, at whatever settings and wherever it is made."""
        own = (self.checks.get(name, ()) for name in (check.id, check.id.partition(".")[0]))
        return {*check.warns, *(name for names in own for name in names)}

    def of_check(self, check: Check) -> set[str]:
        """Those before a check, whatever was answered: its own, those of its area and of the settings it asks for."""
        return self.of_itself(check) | self.of_place(check.area, check.state.items())

    def of_duty(self, duty: Duty) -> set[str]:
        """Those before a duty is shown."""
        return {*duty.warns} | self.of_place(duty.area, duty.state.items())

    def of_repair(self, fault: Fault) -> set[str]:
        """Those before a repair."""
        return {*fault.what.cautions, *(name for name, ref in self.repairs if covers(ref, fault))}

    def of_place(self, area: str, pairs: Iterable[Pair]) -> set[str]:
        """Those before an area is opened and settings take values."""
        return {*self.areas.get(area, ()), *(name for pair in pairs for name in self.settings.get(pair, ()))}


def before(book: Book) -> Before:
    """Sort the cautions of a book out."""
    found = Before()
    for caution in book.cautions.values():
        for due in caution.due:
            match due:
                case BeforeSetting(setting, value):
                    found.settings.setdefault((setting, value), set()).add(caution.id)
                case BeforeCheck(check):
                    found.checks.setdefault(check, set()).add(caution.id)
                case BeforeArea(area):
                    found.areas.setdefault(area, set()).add(caution.id)
                case BeforeRepair(faults):
                    found.repairs.append((caution.id, faults))
                case BeforeStart():
                    pass  # it stands before a job, not before a step of it
                case _:
                    assert_never(due)
    return found


def covers(ref: FaultRef, fault: Fault) -> bool:
    """Whether a reference to faults speaks of this one."""
    return ref.matches(fault.part, fault.kind, fault.what.id)


def severe(book: Book, name: str, need: Need) -> bool:
    """Whether a caution is as severe as an action needs: a NOTICE does not stand in for a DANGER."""
    return SEVERITY.index(book.cautions[name].word) <= SEVERITY.index(need.word)
