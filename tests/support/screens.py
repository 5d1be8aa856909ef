"""Walks on the screens: lines typed one after another, each chosen when the page before it stands."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass, field
from typing import TextIO, cast

from prompt_toolkit.application import create_app_session
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput

from coldiron import Consultation
from coldiron.jobs.log import Entry
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import CautionBlock, Driver, Page, Reply, Text
from coldiron.screens.plain import run as run_plain
from coldiron.screens.replay import keep_nothing
from coldiron.screens.screen import run as run_terminal
from support.hazards import DEADLY
from support.walks import wanderer, wrongs

LINES = 60
"""Lines typed on one walk."""

SITTINGS = 4
"""How often a parked job is gone on with."""

CLEAR = "\x01\x0b"
"""Keys that empty the line."""


@dataclass
class Watch:
    """One walk on a screen: where the job stands, what was typed, and what was wrong.

    Args:
        circuit, seed: of the walk.
    """

    circuit: str
    seed: int
    now: Consultation = field(init=False)
    lines: int = 0
    pages: int = 0
    left: bool = False
    wrong: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.walker = wanderer(self.circuit, self.seed)
        self.now = Consultation(self.walker.book)
        self.chance = random.Random(f"lines {self.seed}")  # noqa: S311 - no secret

    def line(self) -> str:
        """What is typed next; parks when enough was typed."""
        self.lines += 1
        asked = self.now.next
        if asked is None or self.lines > LINES:
            self.left = True
            return "park"
        word = self.chance.random()
        if word < 0.65:
            return self.walker.mechanic.answer(asked) if asked.id in self._answerable() else "not sure"
        if word < 0.72 and self.now.suspects:
            return f"done {self.now.suspects[0][0]}"
        if word < 0.8 and self.now.setup is not None:
            return f"{self.chance.choice(self.now.setup.machine.checks)} 12.6"
        return self.chance.choice(("skip", "cannot reach", "back", "back", "change 2 1", "why", "ok", "1", "2", "park"))

    def _answerable(self) -> set[str]:
        asked = self.now.next
        known = self.walker.book.checks.keys() - set(self.walker.mechanic.machine.checks)
        return {asked.id} - known if asked else set()

    def saw(self, page: Page) -> None:
        """A page was shown: the law of the step, and that its cautions are really on it."""
        self.pages += 1
        asked = self.now.next
        place = f"{self.circuit}, walk {self.seed}, line {self.lines}"
        self.wrong += [f"{place}: {wrong}" for wrong in wrongs(self.now)]
        if asked is not None and asked.kind == "caution" and page.prompt is not None:
            shown = " ".join(block.hazard for block in page.blocks if isinstance(block, CautionBlock))
            shown += " ".join(block.text for block in page.blocks if isinstance(block, Text))
            grave = [caution for caution in asked.cautions if caution.id in asked.acks and caution.word in DEADLY]
            self.wrong += [
                f"{place}: {c.id} is not on the page"
                for c in grave
                if c.hazard.partition(". ")[0].rstrip(".") not in shown
            ]


@dataclass(frozen=True)
class Watched:
    """A driver of a screen that is watched."""

    driver: Driver
    watch: Watch

    @property
    def unsaved(self) -> tuple[Entry, ...]:
        return self.driver.unsaved

    def page(self) -> Page:
        page = self.driver.page()
        if isinstance(self.driver, JobDriver):
            self.watch.now = self.driver.consultation
        self.watch.saw(page)
        return page

    def enter(self, text: str) -> Driver | Reply:
        after = self.driver.enter(text)
        return after if isinstance(after, Reply) else Watched(after, self.watch)

    def saved(self) -> Driver:
        return Watched(self.driver.saved(), self.watch)


class Typed:
    """Lines as they are typed on the plain screen; of a file it has what that screen asks for."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch

    def readline(self, _longest: int) -> str:
        line, asked = self._watch.line(), self._watch.now.next
        named = asked is not None and asked.kind == "caution" and line in asked.choices
        return f"{asked.id} {line}\n" if named and asked else f"{line}\n"

    def isatty(self) -> bool:
        return False


def on_plain_lines(circuit: str, seed: int) -> Watch:
    """A walk on the plain screen, parked and gone on with."""
    watch = Watch(circuit, seed)
    for _ in range(SITTINGS):
        run_plain(_seated(watch), keep_nothing, cast("TextIO", Typed(watch)), io.StringIO())
        if watch.left:
            break
    return watch


def _seated(watch: Watch) -> Watched:
    return Watched(JobDriver("a walk", watch.now), watch)


class Fed(DummyOutput):
    """A tall terminal that shows nothing; whenever something was drawn, the next line is typed."""

    def __init__(self, watch: Watch, source: PipeInput) -> None:
        self._watch, self._source = watch, source

    def get_size(self) -> Size:
        return Size(rows=400, columns=100)

    def flush(self) -> None:
        """Called at the end of every drawing; a line typed brings about the next one."""
        if not self._watch.left:
            self._source.send_text(f"{CLEAR}{self._watch.line()}\r")


class Ticking:
    """A clock on which every press is slow."""

    def __init__(self) -> None:
        self._now = 0.0

    def __call__(self) -> float:
        self._now += 1.0
        return self._now


def at_terminal(circuit: str, seed: int) -> Watch:
    """A walk at the terminal screen, parked and gone on with."""
    watch = Watch(circuit, seed)
    for _ in range(SITTINGS):
        _sitting(watch)
        if watch.left:
            break
    return watch


def _sitting(watch: Watch) -> None:
    with create_pipe_input() as source, create_app_session(input=source):
        run_terminal(_seated(watch), keep_nothing, source, Fed(watch, source), Ticking())
