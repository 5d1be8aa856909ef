"""What is wrong with a page, by the machine as it really stands and by what its step does to people.

A warning is heard while nothing has ended it: a repair, a night, another person, a new run of the program, the thing
itself moved. START is said at every step that holds it: in full first, and in one line while the stretch is unbroken.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field

from yard.facts import REVERSED, barred, facts_of, put_right, seen
from yard.kinds import KINDS, LEVELS, START_MEANS, START_SAYS, Kind, cranks
from yard.machine import HURTS, Machine, noun, usual
from yard.page import Page, Warned

FULL = 25
"""Words from which a warning says hazard, harm and what to do."""

BREAKS = frozenset(("repair", "skip", "park", "resume", "person", "back", "change", "wait", "no"))
"""What ends a stretch of STARTs."""

FORGETS = frozenset(("repair", "park", "resume", "person"))
"""What ends every warning heard."""

ENDINGS = (
    ("Handed back", "handed back"),
    ("Out of service", "out of service"),
    ("This tool can go no further", "no way on"),
)
"""How the last page of a job begins, and what that is called here."""

GONE_BACK = r"owner has it|[Hh]anded back|Out of service"


@dataclass
class Reckoner:
    """Reads every page that comes, and writes down what is wrong with it."""

    machine: Machine = field(default_factory=Machine)
    alarms: list[tuple[str, str]] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    _heard: set[str] = field(default_factory=set)
    _pending: list[Warned] = field(default_factory=list)
    _read: list[Warned] = field(default_factory=list)
    _last: str = ""
    _asked: str = ""
    _stretch: bool = False

    def see(self, page: Page) -> None:
        """Judge one page."""
        self.counts["pages"] += 1
        if put_right(page.lines):
            self.machine.facts.discard(REVERSED)
        self._lists(page)
        if page.kind == "before":
            self._pending += page.warned
            self._hear(page.warned)
            self._stretch = self._stretch or _in_full(page.warned)
            return
        same = page.words == self._last
        warned = [*(self._read if same else self._pending), *page.warned]
        self._last, self._read = page.words, warned
        if page.kind != "set":  # it belongs to the step that follows
            self._pending = []
        moves = self.machine.moves(page.first)
        self._kinds(page, moves, warned)
        self._start(page, moves, warned, same=same)
        self._stands(page, moves)
        self._goes_back(page)

    def event(self, what: str) -> None:
        """Something happened that ends warnings: skip, repair, park, resume, person, back, change."""
        self._last = ""
        self._pending = []
        if what in BREAKS:
            self._stretch = False
        if what in FORGETS:
            self._heard -= {kind.name for kind in KINDS if what != "repair" or kind.word != "NOTICE"}

    def done(self, page: Page) -> None:
        """The step of a page was really done."""
        moves = self.machine.moves(page.first)
        for kind in KINDS:
            if set(kind.ends) & set(moves):
                self._heard.discard(kind.name)
        # What a step sets before its own START was set after its warning was read in full: the stretch begins with it.
        if any(name != "key" for name in moves) and not cranks(page, moves, self.machine):
            self._stretch = False
        for name, value in page.first:
            self.machine.do(name, value)
            self.machine.tell(name, value)
        self.machine.let_go()
        self._last = ""
        if page.kind != "set":
            self._pending = []

    def found(self, page: Page, answer: str) -> None:
        """A reading, as typed or in the words of the choice."""
        there, over = seen(page.step, answer, page.said.get("Good", ""))
        self.machine.facts |= there
        self.machine.facts -= over

    def says(self, step: str, answers: list[str]) -> None:
        """What a person answers to a question about the machine."""
        said, no_more = facts_of(step, answers)
        self.machine.facts |= said
        self.machine.facts -= no_more

    def _alarm(self, kind: str, page: Page) -> None:
        self.alarms.append((kind, page.step[:90]))

    def _lists(self, page: Page) -> None:
        """What the page says is to be put back, beside what the person said."""
        listed = {name: value for name, value in page.standing if "not known" not in value}
        for name, value in listed.items():
            if (noun(name), value) == ("key", "start"):
                self._alarm("list: START is held no more", page)
            elif (
                noun(name) in HURTS and self.machine.told.get(name, usual(name)) == usual(name) and value != usual(name)
            ):
                self._alarm("list: nobody did it", page)
        named = {name for name, _ in (*page.standing, *page.first)} | set(page.unsaid)
        if page.kind not in ("end", "nothing"):
            for name in self.machine.told_off():
                if name not in named:
                    self._alarm("list: done, and not on it", page)

    def _kinds(self, page: Page, moves: dict[str, str], warned: list[Warned]) -> None:
        for kind in KINDS:
            said = any(_says(kind, warning) for warning in warned)
            if kind.asks(page, moves, self.machine):
                self.counts[f"asked: {kind.name}"] += 1
                if not said and (kind.once or kind.name not in self._heard):
                    self._alarm(f"no warning: {kind.name}", page)
        self._hear(warned)

    def _hear(self, warned: list[Warned]) -> None:
        self._heard |= {kind.name for kind in KINDS if any(_says(kind, warning) for warning in warned)}

    def _start(self, page: Page, moves: dict[str, str], warned: list[Warned], *, same: bool) -> None:
        if not cranks(page, moves, self.machine):
            return
        self.counts["START pages"] += not same
        if any(name == "key" and value == "start" for name, value in _first(page)):
            self.counts["START among what to set first"] += not same
        if set(moves) - {"key"}:
            self._stretch = False
        said = [w for w in warned if w.word in LEVELS[2:] and re.search(START_SAYS, w.text)]
        if not said:
            self._alarm("START: nothing said", page)
        elif not _in_full(said) and not self._stretch:
            self._alarm("START: one line where all is due", page)
        self._stretch = self._stretch or _in_full(said)
        off = [word for word in ("lead", "link", "disconnect") if self._told(word, moves) not in ("on", "in")]
        if off:
            self._alarm("START: with the power off", page)

    def _told(self, word: str, moves: dict[str, str]) -> str:
        said = [value for name, value in self.machine.told.items() if noun(name) == word]
        return moves.get(word) or (said[-1] if said else "on")

    def _stands(self, page: Page, moves: dict[str, str]) -> None:
        """Steps that the machine, as it really stands, makes dangerous."""
        after = {word: moves.get(word, self.machine.value(word)) for word in ("lead", "disconnect", "plug", "relay")}
        apart = after["lead"] == "off" or "out" in (after["plug"], after["relay"])
        if page.kind in ("do", "prove") and page.step.startswith("Ohms") and not apart:
            self._alarm("ohms on a live circuit", page)
        live = "off" not in (after["lead"], after["disconnect"])
        if page.kind == "do" and page.step.startswith("Turn the engine") and live:
            self._alarm("barred with power on", page)
        for act, fact in barred(self.machine.facts, _acts(page, moves, self.machine)):
            self._alarm(f"asked for: {act}, with {fact}", page)

    def _goes_back(self, page: Page) -> None:
        """The machine goes back to its owner: nothing that can hurt may be left off, out, on or bridged."""
        self._ends(page)
        gives = page.kind == "end" or any(re.search(GONE_BACK, words) for _, words in page.choices)
        if not gives or not re.search(GONE_BACK, " ".join(page.lines)):
            return
        for name in self.machine.left():
            self._alarm(f"handed back: {noun(name)} {self.machine.real[name]}", page)

    def _ends(self, page: Page) -> None:
        """Count how jobs end."""
        if page.kind == "end":
            name = next(name for words, name in ENDINGS if page.step.startswith(words))
            self.counts[name] += 1
        elif page.step != self._asked and any(re.search(GONE_BACK, words) for _, words in page.choices):
            self.counts["hand-overs asked"] += 1
        self._asked = page.step


def _in_full(warned: list[Warned]) -> bool:
    """Whether START is said with hazard, harm and what to do."""
    grave = [w.text for w in warned if w.word in LEVELS[2:] and len(w.text.split()) >= FULL]
    return any(re.search(START_SAYS, text) and re.search(START_MEANS, text) for text in grave)


def _acts(page: Page, moves: dict[str, str], machine: Machine) -> set[str]:
    """What a page asks for, of what a fact can forbid."""
    acts = {
        "START": cranks(page, moves, machine) or moves.get("button") == "pressed",
        "power behind the link": _feeds(moves, machine),
        "link in": moves.get("link") == "in",
        "jump": moves.get("booster") == "on",
        "charge": page.kind == "repair" and bool(re.search(r"(?<![Nn]ot )[Cc]harge it", page.step)),
        "load test": page.kind in ("do", "prove") and page.step.startswith("Load test"),
    }
    return {act for act, asked in acts.items() if asked}


def _feeds(moves: dict[str, str], machine: Machine) -> bool:
    """Whether a step brings power behind the main link: with the lead off a link that goes in feeds nothing."""
    after = {word: moves.get(word, machine.value(word)) for word in ("lead", "disconnect", "link")}
    return after == {"lead": "on", "disconnect": "on", "link": "in"} and not moves.keys().isdisjoint(after)


def _first(page: Page) -> list[tuple[str, str]]:
    return [(noun(name), value) for name, value in page.first]


def _says(kind: Kind, warning: Warned) -> bool:
    least = min(LEVELS.index(word) for word in kind.word.split("|"))
    return LEVELS.index(warning.word) >= least and bool(re.search(kind.says, warning.text))
