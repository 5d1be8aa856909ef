"""Random walks with simulated people, counted by kind of alarm, each with the shortest walk that shows it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from yard.habits import AFTER
from yard.person import Person
from yard.screen import Screen

PAGES = 70
"""Pages of a walk."""

TO_THE_END = 100
"""Pages of a walk of somebody who works plainly: his job comes to its end."""

SHORT = 34
"""Pages of a walk that is about what follows one thing."""

CIRCUITS = 15
"""So many circuits are gone through; where the list is shorter, round again."""


ENDED = ("hand-overs asked", "handed back", "out of service", "no way on")
"""What is counted of the end of jobs: by the page that asks whether it is handed over, and by the last page."""


@dataclass(frozen=True)
class Place:
    """Where an alarm was raised: enough to walk there again."""

    seed: int
    circuit: int
    after: str
    page: int
    step: str

    def __str__(self) -> str:
        after = f" after {self.after}" if self.after else ""
        return f"seed {self.seed}, circuit {self.circuit}{after}, page {self.page}: {self.step}"


@dataclass
class Tally:
    """What walks have come to."""

    walks: int = 0
    counts: Counter[str] = field(default_factory=Counter)
    alarms: Counter[str] = field(default_factory=Counter)
    first: dict[str, Place] = field(default_factory=dict)

    def add(self, more: Tally) -> None:
        """Count more walks in."""
        self.walks += more.walks
        self.counts += more.counts
        self.alarms += more.alarms
        for kind, place in more.first.items():
            if kind not in self.first or place.page < self.first[kind].page:
                self.first[kind] = place

    def table(self) -> str:
        """The counts, one a line, and the shortest walk for each alarm."""
        shown = ("pages", "START pages", "START among what to set first", *ENDED, "stuck")
        rows = [f"{self.walks:>8}  walks", *(f"{self.counts[name]:>8}  {name}" for name in shown)]
        rows += [
            f"{number:>8}  ALARM {kind}\n          {self.first[kind]}" for kind, number in self.alarms.most_common()
        ]
        return "\n".join([*rows, f"{sum(self.alarms.values()):>8}  alarms in all"])


def walk(seed: int, circuit: int, after: str = "", screen: Screen | None = None) -> tuple[Tally, Person]:
    """One walk to its end."""
    person = Person(screen or Screen(), seed, circuit, after)
    tally = Tally(walks=1)
    known = 0
    for number, _ in enumerate(person.walk(pages_of(person, after))):
        for kind, step in person.reckoner.alarms[known:]:
            tally.alarms[kind] += 1
            tally.first.setdefault(kind, Place(seed, circuit, after, number, step))
        known = len(person.reckoner.alarms)
    tally.counts = person.reckoner.counts
    return tally, person


def pages_of(person: Person, after: str) -> int:
    """The most pages of one walk."""
    return TO_THE_END if person.plain else SHORT if after else PAGES


def walks(seeds: Iterable[int], *, after: bool = False) -> Tally:
    """Many walks, over all circuits in turn; with `after`, each about what follows one thing."""
    every = Tally()
    for seed in seeds:
        about = AFTER[seed // CIRCUITS % len(AFTER)] if after else ""
        every.add(walk(seed, seed % CIRCUITS, about)[0])
    return every
