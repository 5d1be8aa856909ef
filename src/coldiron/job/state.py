"""The state of a job, computed from its log and from nothing else."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.history import COMPLAINT
from coldiron.book.machines import Card
from coldiron.book.variants import circuit_named
from coldiron.job.acknowledged import Acks
from coldiron.job.danger_records import Fold
from coldiron.job.steps import Step
from coldiron.machine.codes import TroubleCode
from coldiron.readings.findings import Understood
from coldiron.readings.heard import MayMean
from coldiron.record import dataclass, field

KIT = "kit"
HAND_BACK = "hand_back"
NOT_SURE = ("not sure", "nobody knows, or it was not looked at")


@dataclass(frozen=True, slots=True)
class Taken:
    """One answer to a check in one epoch: as typed, as understood, and whether it was asked for.

    `earlier` is what was read before of the same thing, where it was measured more than once.
    """

    raw: str
    understood: Understood
    asked: bool
    earlier: tuple[Understood, ...] = ()


@dataclass(slots=True)
class Epoch:
    """The stretch of a job between two repairs. `repaired` ends it.

    `shown` are the duties asked for before the hand-back, by id, and `pages` the pages of several that were ticked.
    `again` are the checks that were asked for twice.
    """

    taken: dict[str, Taken] = field(default_factory=dict)
    shown: dict[str, Taken] = field(default_factory=dict)
    pages: set[str] = field(default_factory=set)
    again: set[str] = field(default_factory=set)
    repaired: str = ""


@dataclass(slots=True)
class State:
    """Everything the log says. Built by `replay`; nobody else changes it.

    `held` are readings given before the machine was known, as typed; `once_more` is the check to be taken again.
    `said` is what was said of the machine, as `coldiron.machine.describing` has it. With `taken`, nobody knows which of
    several circuits it has, and the one that leaves out least is taken for it. `settings` are as told, or `NOT_TOLD`.
    `begun` is the check for which something was set last, `area` that of the latest step at the machine. `away` and
    `unseen` are whether it has to be asked who comes back, and how the machine stands now. `log` are all its steps,
    also those taken back: what was found of danger is worked out from them, and `dangers` is how far that has come.
    `heard` are the questions that an owner's own words may answer. `card` is the machine's card as this job has it,
    `of_card` what of `said` only it says, `noted` what was noted for it, `card_kept` what it was kept as; with
    `card_off` the machine is not as on it any more. `bare` are options that it was asked for and does not have.
    """

    book: Book
    said: dict[str, str] = field(default_factory=dict)
    taken: bool = False
    questions: dict[str, tuple[str, ...]] = field(default_factory=dict)
    heard: dict[str, MayMean] = field(default_factory=dict)
    complaint: str = ""
    circuit: str = ""
    volts: int = 0
    kit: frozenset[str] | None = None
    epochs: list[Epoch] = field(default_factory=lambda: [Epoch()])
    wanted: str = ""
    once_more: str = ""
    held: dict[str, str] = field(default_factory=dict)
    declined: set[str] = field(default_factory=set)
    settings: dict[str, str] = field(default_factory=dict)
    begun: str = ""
    area: str = ""
    away: bool = False
    unseen: bool = False
    acks: Acks = Acks()
    told: frozenset[str] = frozenset()
    opened: set[str] = field(default_factory=set)
    minutes: float = 0.0
    codes: list[TroubleCode] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    parked: bool = False
    handed_back: bool = False
    kept_back: bool = False
    card: Card = Card("")
    of_card: frozenset[str] = frozenset()
    card_off: bool = False
    noted: tuple[tuple[str, str], ...] = ()
    card_kept: str = ""
    bare: tuple[str, ...] = ()
    log: tuple[Step, ...] = ()
    dangers: Fold | None = field(default=None, compare=False)

    @property
    def batteries(self) -> int:
        """Batteries in series on this machine."""
        known = circuit_named(self.book, self.circuit)
        return known.batteries if known else max(1, self.volts // 12)

    @property
    def has_read(self) -> bool:
        """Whether any check was answered on this job, readings given unasked and those out of reach included."""
        return any(name != COMPLAINT for epoch in self.epochs for name in epoch.taken)

    @property
    def present(self) -> Epoch:
        """The epoch since the latest repair."""
        return self.epochs[-1]

    @property
    def undone(self) -> tuple[tuple[str, str], ...]:
        """What is still off, out, open or fitted, or not known not to be: (setting, value it must be put back to)."""
        return tuple(
            (name, setting.normal)
            for name, setting in self.book.settings.items()
            if self.settings.get(name, setting.normal) != setting.normal
        )
