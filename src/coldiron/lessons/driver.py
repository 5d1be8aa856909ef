"""A lesson as a screen sees it: one page of text, a machine to measure, and a reading to take before the next page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from coldiron.circuits.machine import Machine
from coldiron.circuits.trial import Bench
from coldiron.drill.naming import UnclearError, one_of, point_of
from coldiron.jobs.log import Entry
from coldiron.lessons.lesson import Lesson, LessonPage, changed, filled, reading, solved
from coldiron.map import text
from coldiron.map.marks import Marks
from coldiron.map.sketch import Sketch
from coldiron.record import dataclass, field, replace
from coldiron.screens.lines import Block, Drawn, Driver, Heading, Page, Prompt, Reply, Text

WORDS = ("next", "volts", "add", "map", "back", "drill", "help", "quit")

MOST_ADDED = 1000.0
"""Thousandths of an ohm that may be added to a part: an ohm."""

HELP = (
    "next: the next page, once you have taken its reading. back: the page before.",
    "volts 2 to 4 at start: red probe at point 2, black at 4, while START is held. Leave out at start for key off.",
    "add 5 positive cable: 5 thousandths of an ohm more in that part. add 0 takes them out.",
    "map: the drawing with the numbers of the points. drill 1: the first drill of this lesson. quit: stop here.",
)

Practice = Callable[[int], Driver]
"""Begins a drill of the lesson by its number, from 1."""


@dataclass(frozen=True, slots=True)
class LessonDriver:
    """A lesson at one of its pages. Pure, and nothing of it is kept.

    `added` are thousandths of an ohm that the pupil put into parts, `taken` the readings taken on this page.
    """

    lesson: Lesson
    machine: Machine
    drawing: Sketch
    practice: Practice
    at: int = 0
    added: Mapping[str, float] = field(default_factory=dict)
    taken: tuple[tuple[str, str], ...] = ()
    left: bool = False

    @property
    def unsaved(self) -> tuple[Entry, ...]:
        """Nothing."""
        return ()

    def saved(self) -> LessonDriver:
        """The same."""
        return self

    @property
    def _page(self) -> LessonPage:
        return self.lesson.pages[self.at]

    def _bench(self, *, own: bool) -> Bench:
        """The machine of this page, with what the pupil changed or without."""
        return Bench(changed(self.machine, {**self._page.added, **self.added} if own else self._page.added))

    def page(self) -> Page:
        """What to show now."""
        title = f"Lesson: {self.lesson.title} · page {self.at + 1} of {len(self.lesson.pages)}"
        if self.left:
            return Page(title, (Text("Left here."),))
        bench = self._bench(own=False)
        blocks: list[Block] = [Heading(self._page.heading)]
        blocks += [Text(filled(one, bench, self.drawing)) for one in self._page.paragraphs]
        blocks += [Text(shown, label=asked) for asked, shown in self.taken]
        missing = self._missing()
        if missing:
            blocks.append(Text(missing[0], label="To go on, type"))
        return Page(title, (*blocks, Prompt("Type" if missing else "Type next", words=WORDS)))

    def _missing(self) -> list[str]:
        """The readings of this page that were not taken yet, as they are typed."""
        done = {asked for asked, _ in self.taken}
        return [typed for typed in map(self._typed, self._page.tasks) if typed not in done]

    def _typed(self, task: str) -> str:
        reads, state = reading(task)
        numbers = f"{self.drawing.spots[reads.a].number} to {self.drawing.spots[reads.b].number}"
        return f"volts {numbers}{' at start' if state else ''}"

    def enter(self, text_: str) -> Driver | Reply:
        """What one typed line does."""
        line = " ".join(text_.lower().split())
        try:
            return self._entered(line)
        except UnclearError as error:
            return Reply((Text(str(error)),), refused=True)

    def _entered(self, line: str) -> Driver | Reply:
        word, _, rest = line.partition(" ")
        if word in ("quit", "park", "stop", "q"):
            return replace(self, left=True)
        if word == "help":
            return Reply(tuple(Text(one) for one in HELP))
        if word == "map":
            rows = (partial(one, self.drawing, Marks()) for one in (text.lanes, text.legend))
            return Reply(tuple(Drawn(one) for one in rows))
        if word == "back":
            return self._turned(-1)
        if word == "next":
            return self._next()
        if word == "drill":
            return self._drill(rest)
        if word == "add":
            return self._add(rest)
        if word == "volts":
            return self._volts(rest)
        raise UnclearError(f"'{line[:40]}' is not understood. Type help.")

    def _turned(self, pages: int) -> LessonDriver:
        at = min(len(self.lesson.pages) - 1, max(0, self.at + pages))
        return replace(self, at=at, added={}, taken=())

    def _next(self) -> LessonDriver:
        missing = self._missing()
        if missing:
            raise UnclearError(f"Take that reading first: {missing[0]}.")
        if self.at + 1 == len(self.lesson.pages):
            raise UnclearError("This was the last page. Type drill 1.")
        return self._turned(1)

    def _drill(self, rest: str) -> Driver:
        numbers = [str(number) for number in range(1, len(self.lesson.drills) + 1)]
        if rest not in numbers:
            raise UnclearError(f"Which one? Type drill and {' or '.join(numbers)}.")
        return self.practice(int(rest))

    def _add(self, rest: str) -> LessonDriver:
        number, _, words = rest.partition(" ")
        parts = {id_: part.name for id_, part in self.machine.parts.items() if _takes_ohms(self.machine, id_)}
        if not number.replace(".", "", 1).isdecimal() or float(number) > MOST_ADDED:
            raise UnclearError("How much? Thousandths of an ohm up to 1000, and a part: add 5 positive cable.")
        part = one_of(parts, words, "part")
        told = (f"{parts[part]}", f"{number} thousandths of an ohm more")
        return replace(self, added={**self.added, part: float(number)}, taken=(*self.taken, told))

    def _volts(self, rest: str) -> LessonDriver:
        words, at, key = rest.partition(" at ")
        if at and key not in ("start", "on", "off"):
            raise UnclearError("The key stands at off, on or start: volts 2 to 4 at start.")
        red, to, black = words.partition(" to ")
        if not to:
            raise UnclearError("Name two points: volts 2 to 4 at start.")
        a, b = point_of(self.drawing, red), point_of(self.drawing, black)
        reads, state = reading(f"volts {a} to {b}{f' at {key}' if key not in ('', 'off') else ''}")
        value = solved(self._bench(own=True), reads, state)
        numbers = f"{self.drawing.spots[a].number} to {self.drawing.spots[b].number}"
        asked = f"volts {numbers}{f' at {key}' if key not in ('', 'off') else ''}"
        return replace(self, taken=(*self.taken, (asked, f"{value:.2f} V")))


def _takes_ohms(machine: Machine, part: str) -> bool:
    return machine.kind(part).acts in ("wire", "joint", "switch", "fuse", "load")
