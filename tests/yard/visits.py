"""Past every step of a machine: each is offered to somebody who has just come back to it, read, and left undone.

What is seen on the way is kept, so that the same step can be looked at again with another book.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from yard.habits import READINGS
from yard.hands import Hands
from yard.page import Page, read
from yard.reckoner import Reckoner
from yard.screen import Screen
from yard.telling import answers

MOST = 400
"""Steps past which a machine has no more."""

WORK = ("do", "prove", "repair", "set")


@dataclass
class Spot:
    """One step: where the job stood before it, what was typed to have it, the pages that belong to it, the warnings."""

    kept: Screen
    typed: str = ""
    pages: list[Page] = field(default_factory=list)
    warnings: set[str] = field(default_factory=set)
    alarms: set[tuple[str, str]] = field(default_factory=set)


class Visitor(Hands):
    """Somebody who goes past every step and does none of them; his machine stands quiet."""

    def steps(self) -> Iterator[Spot]:
        """Every step that is offered, one after another."""
        for _ in range(MOST):
            page = self._next()
            if page is None:
                return
            spot = Spot(self.screen.keep())
            look(spot, self.screen)
            yield spot
            if not self._type("skip", "no"):
                return

    def begin(self) -> Screen:
        """The job, opened as far as its first step."""
        self._next()
        return self.screen.keep()

    def _next(self) -> Page | None:
        """The first page of the next step, as it is for somebody who has just come back."""
        back = False
        for _ in range(60):
            page = read(self.screen.lines())
            if not page.prompt or page.kind in ("end", "nothing"):
                return None
            if page.kind == "tell":
                self._tells(page)
            elif not back:
                back = bool(self._type("park"))
                self.screen.come_back()
            else:
                return page
        return None

    def _tells(self, page: Page) -> None:
        if "What has changed since" in page.step:
            self._type("1")
        elif "How does the machine stand" in page.step:
            self._type(page.choices[-1][0])
        elif not any(self._type(line) for line, _ in answers(page, self._chance, self._circuit)):
            self._type("1", *READINGS.get(page.prompt, ()))


def look(spot: Spot, screen: Screen) -> None:
    """Go through the warnings before a step to the step itself, and write down what is seen."""
    reckoner = Reckoner()
    if spot.typed and screen.type(spot.typed):
        return
    for _ in range(14):
        page = read(screen.lines())
        if page.kind not in (*WORK, "before"):
            break
        spot.warnings |= {warning.text for warning in page.warned}
        reckoner.see(page)
        if page.kind == "before":
            if screen.type(page.word) and screen.type("1"):
                break
            continue
        spot.pages.append(page)
        if page.kind != "set":
            break
        reckoner.done(page)
        if screen.type("1"):
            break
    spot.alarms = set(reckoner.alarms)


def again(spot: Spot, screen: Screen) -> tuple[set[tuple[str, str]], bool]:
    """The alarms that a step raises with another book and did not raise before, and whether its warnings are others.

    Where the other book no longer shows a page of the step, the step is judged as a person knows it, without that page.
    """
    now = replace(spot, pages=[], warnings=set(), alarms=set())
    look(now, screen)
    if not now.pages:
        reckoner = Reckoner()
        for page in spot.pages:
            reckoner.see(replace(page, warned=[]))
        now.alarms |= set(reckoner.alarms)
    return now.alarms - spot.alarms, now.warnings != spot.warnings
