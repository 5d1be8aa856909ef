"""Simulated people: they answer, skip, misread, lie about what they have seen, walk away, come back, are replaced.

A person does to the machine what he does, and tells what he tells; both are written down apart.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from yard.facts import BULGED
from yard.habits import AT_ONCE, MENDS_AFTER, MISCHIEF, NOT_SO, READINGS, SELDOM
from yard.hands import Hands
from yard.machine import POWER, noun, usual
from yard.page import Page, read
from yard.telling import alike, answers


class Person(Hands):
    """Somebody at a screen beside a machine: reads every page and does one thing at it."""

    def walk(self, pages: int) -> Iterator[Page]:
        """Every page that he sees, until the job is over or he has seen enough."""
        for _ in range(pages):
            page = read(self.screen.lines())
            self.reckoner.see(page)
            yield page
            if not page.prompt or page.kind in ("end", "nothing"):
                return
            self._act(page)

    def _act(self, page: Page) -> None:
        """One thing that he does at a page."""
        if page.kind == "before":
            self._at_caution(page)
        elif page.kind == "tell":
            self._at_question(page)
        else:
            self._at_work(page)

    # -- cautions

    def _at_caution(self, page: Page) -> None:
        if self._chance.random() < 0.06 and self._type("skip"):
            if not page.step.startswith("the fix for"):
                self.reckoner.event("skip")
        elif self._chance.random() < 0.04 and self._type("back"):
            self.reckoner.event("back")
        elif not self._lies and self._chance.random() < NOT_SO and self._type("n"):
            self.reckoner.event("no")
        elif not self._type(page.word, "1"):
            self._stuck()

    # -- questions

    def _at_question(self, page: Page) -> None:
        if "What has changed since" in page.step or "Which of these are so now" in page.step:
            self._comes_back(page)
            return
        for line, text in answers(page, self._chance, self._circuit, calm=self.plain):
            if self._type(line):
                self.reckoner.says(page.step, [text])
                return
        self._stuck()

    def _comes_back(self, page: Page) -> None:
        """Who comes back says so, and tells what he sees when he goes round the machine."""
        if "What has changed since" in page.step:
            self._type({"same": "1", "person": "2", "others": "3"}[self._back_as])
            return
        left = self.machine.left()
        so = [best for name in left if (best := alike(name, page.choices))]
        if self._type(",".join(dict.fromkeys(so)) or "1"):  # what is on no list stays as nobody has told it
            self.machine.told = {name: self.machine.real[name] for name in left}
        else:
            self._stuck()

    # -- work

    def _at_work(self, page: Page) -> None:
        self._step += 1
        move = self._move(page) if page.kind != "now" else ""
        if move and getattr(self, f"_{move}")(page):
            return
        if page.kind == "repair":
            self._repairs(page)
        elif page.kind == "set":
            self._sets(page)
        elif page.kind == "now":
            self._type(*(("1", "2") if self._chance.random() < AT_ONCE else ("2", "1")))
        else:
            self._does(page)

    def _move(self, page: Page) -> str:
        if self._after:
            return self._after if page.kind != "repair" and self._step % 4 == 0 else ""
        if self.plain and not self.mended and self._step % MENDS_AFTER == 0:
            return "mend"
        if self._chance.random() * 100 >= sum(MISCHIEF.values()) * (SELDOM if self.plain else 1):
            return ""
        return self._chance.choices(list(MISCHIEF), weights=list(MISCHIEF.values()))[0]

    def _does(self, page: Page) -> None:
        """He does the step as it stands there, and says what he saw."""
        self._notices()
        answer, words = self._sees(page)
        self.reckoner.done(page)
        others = (*(number for number, _ in page.choices), *READINGS.get(page.prompt, ()), "all")
        if line := self._type(answer, answer, *others):
            self.reckoner.found(page, words if line == answer else dict(page.choices).get(line, line))
        elif not self._skip(page):
            self._stuck()

    def _sets(self, page: Page) -> None:
        """He does what is to be set and says so, or says that he has not."""
        if self._chance.random() < 0.06 and self._type("2"):
            self.reckoner.event("skip")
            return
        self.reckoner.done(page)
        if not self._type("1"):
            self._stuck()

    def _sees(self, page: Page) -> tuple[str, str]:
        """What he types, and what it means."""
        good = page.said.get("Good", "")
        well = self._chance.random() >= (self.slips if self.mended else self._bad)
        if page.choices:
            numbers = dict(page.choices)
            fits = [n for n, text in page.choices if good and good in text] or [
                n for n, text in page.choices if text.startswith(("works", "done", "it is back", "all"))
            ]
            pick = fits[0] if well and fits else self._chance.choice(list(numbers))
            return pick, numbers[pick]
        if well and (figures := re.findall(r"-?[\d.]+", good)):
            value = float(figures[0])
            shown = "OL" if "open line" in good else f"{value * (0.5 if 'under' in good else 1.01):.3g}"
            return shown, shown
        shown = self._chance.choice(READINGS.get(page.prompt, ("1",)))
        return shown, shown

    def _notices(self) -> None:
        """With the power off by his own hand, which he told nobody, nothing works: he sees it and puts it back."""
        for name, value in list(self.machine.real.items()):
            if noun(name) in POWER and value != usual(name) and name not in self.machine.told_off():
                self.machine.do(name, usual(name))

    def _repairs(self, page: Page) -> None:
        if self._chance.random() < 0.25 and self._type("no", "2"):
            return
        if self._type("done", "1"):
            self.mended += 1
            self.reckoner.event("repair")
            if re.search(r"[Ii]nstall (a )?(new )?battery", page.step):
                self.machine.facts.discard(BULGED)
        else:
            self._stuck()
