"""A drill as a screen sees it: one page, and what each typed line does. What was typed is all there is to keep."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial

from coldiron.book.cautions import Caution
from coldiron.drill.naming import UnclearError, one_of, probe_of
from coldiron.drill.play import Play, begin, fix, take
from coldiron.drill.reasoning import errors
from coldiron.drill.review import HINTS, account, best_now, causes_now, hint
from coldiron.drill.safety import due_before, due_before_fix, due_before_setting, misses, worst
from coldiron.drill.step import Probe, in_words
from coldiron.drill.world import World
from coldiron.jobs.log import Entry
from coldiron.map import text
from coldiron.map.marks import Marks
from coldiron.map.sketch import Sketch, sketch
from coldiron.record import dataclass, replace
from coldiron.screens.lines import Block, CautionBlock, Drawn, Heading, Page, Prompt, Reply, Suspects, Text

WORDS = (
    "map",
    "volts",
    "light",
    "ohms",
    "look",
    "listen",
    "ask",
    "set",
    "prepare",
    "hold",
    "fix",
    "hint",
    "review",
    "help",
)

SHOWN = 5
"""Readings on the page: the latest."""

HELP = (
    "volts 4 to 27: red probe at point 4 of the drawing, black at 27. Words do too: volts starter S to frame at start.",
    "light 4 to 27: a test light, which loads what it touches. ohms 4 to 27: the power has to be off.",
    "map: the machine as a drawing, with the numbers of its points.",
    "look, listen, amps or check, and some words: look main link. check alone takes anything the book checks.",
    "ask, and some words: ask the owner, such as ask water.",
    "set, and how it is to stand: set key on, set battery ground lead off, set start relay out.",
    "prepare, and a step: prepare volts 2 to 1. It tells what can hurt in that step, and you see to it.",
    "zero: touch the leads together before ohms.",
    "hold, and the parts you think likely: hold main link, key switch.",
    "fix, and a part: fix main link. What it had is told; a part that had nothing was fixed in vain.",
    "hint: which half, then what to measure, then where, then the check. They cost 1, 2, 3 and 5 minutes.",
    "review: what is likely now, and the best next check. It costs 5 minutes, as the last hint does.",
    "The score is 100 times the minutes of the best order by yours, hints included; 0 if it is not found.",
    "try: hold START and see what it does. give up: end it and see what it was. quit: stop here.",
)


@dataclass(frozen=True, slots=True)
class DrillDriver:
    """One drill at a screen. Pure: `typed` are the lines so far, `said` what the last one brought about.

    `again` is the command that brings the same machine again.
    """

    title: str
    play: Play
    drawing: Sketch
    typed: tuple[str, ...] = ()
    committed: int = 0
    said: tuple[Block, ...] = ()
    hinted: int = 0
    left: bool = False
    again: str = ""

    @property
    def unsaved(self) -> tuple[Entry, ...]:
        """The lines that are not kept yet."""
        return tuple(
            Entry("drill", str(self.committed + n), line) for n, line in enumerate(self.typed[self.committed :], 1)
        )

    def saved(self) -> DrillDriver:
        """The same, once they are."""
        return replace(self, committed=len(self.typed))

    def page(self) -> Page:
        """What to show now."""
        world = self.play.world
        title = f"{self.title} · {world.machine.circuit.name} · {self.play.minutes:.0f} min"
        blocks: list[Block] = [*self.said]
        if self.play.over or self.left:
            return Page(title, (*blocks, *self._closing()))
        says = "The owner says" if not self.play.fixed else "What it does now"
        blocks.append(Text(world.book.complaints[self.play.told].name, label=says))
        blocks += [Text(shot.words, label=in_words(world.book, shot.probe)) for shot in self.play.shots[-SHOWN:]]
        stands = [f"{world.book.settings[name].name} {value}" for name, value in self.play.settings.items()]
        if stands:
            blocks.append(Text("; ".join(stands), label="Stands"))
        if self.play.held:
            names = [world.machine.parts[part].name for part in sorted(self.play.held)]
            blocks.append(Text(", ".join(names), label="You hold likely"))
        if not self.typed:
            blocks += [Text(line) for line in FIRST]
        return Page(title, (*blocks, Prompt("What do you do?", words=WORDS)))

    def _closing(self) -> Iterable[Block]:
        if self.left:
            return [Text(f"Left here. The same machine again: {self.again}")]
        if self.play.over == "hurt":
            return [Heading("Here the drill ends"), Text(f"The same machine again, to do it safely: {self.again}")]
        ends = {"found": "It works", "left": "Given up"}
        return [Heading(ends[self.play.over]), *(Text(words, label=label) for label, words in account(self.play))]

    def enter(self, text_: str) -> DrillDriver | Reply:
        """What one typed line does."""
        line = " ".join(text_.lower().split())
        try:
            after = self._entered(line)
        except UnclearError as error:
            return Reply((Text(str(error)),), refused=True)
        return after if isinstance(after, Reply) else replace(after, typed=(*self.typed, line))

    def _entered(self, line: str) -> DrillDriver | Reply:
        word, _, rest = line.partition(" ")
        if line in ("quit", "park", "stop", "q"):
            return replace(self, left=True, said=())
        deeds: Mapping[str, Callable[[str], DrillDriver | Reply]] = {
            "map": self._map, "help": self._help, "ask": self._ask, "set": self._set, "prepare": self._prepare,
            "zero": self._zero, "hold": self._hold, "fix": self._fix, "call": self._fix, "hint": self._hint,
            "review": self._review, "try": self._try, "give": self._give_up,
        }  # fmt: skip
        if word in deeds:
            return deeds[word](rest)
        probe = probe_of(self.play.world, self.drawing, line, self.play.settings)
        if probe is None:
            raise UnclearError(f"'{line[:40]}' is not understood. Type help to see what you can do.")
        return self._take(probe)

    def _with(self, play: Play, *said: Block) -> DrillDriver:
        return replace(self, play=play, said=said)

    # At the machine

    def _take(self, probe: Probe) -> DrillDriver:
        book = self.play.world.book
        wrong = misses(book, probe, self.play.settings)
        if wrong is not None:
            over = replace(self.play, over="hurt")
            return self._with(over, Text(f"{wrong.because} ({wrong.source})", label="This step"))
        due = due_before(book, probe, self.play.settings)
        stopped, play, said = self._guard(due)
        if stopped is not None:
            return stopped
        after = take(play, probe)
        told = [Text(one) for one in errors(after)]
        return replace(self._with(after, *said, *told), hinted=0)

    def _guard(self, due: Iterable[str]) -> tuple[DrillDriver | None, Play, tuple[Block, ...]]:
        """The drill ended, if a DANGER was not seen to; else the play with what was missed, and what is said of it."""
        book = self.play.world.book
        left = [name for name in due if name not in self.play.prepared]
        danger = worst(book, left)
        if danger is not None:
            over = replace(self.play, over="hurt", missed=(*self.play.missed, danger.id))
            source = Text(f"({danger.source})")
            return self._with(over, Text(UNPREPARED), _shown(danger), source), self.play, ()
        missed = replace(self.play, missed=(*self.play.missed, *left), prepared=self.play.prepared | set(left))
        return None, missed, tuple(_shown(book.cautions[name]) for name in left)

    def _prepare(self, rest: str) -> DrillDriver | Reply:
        if not rest:
            raise UnclearError("Prepare for what? Type the step behind it: prepare volts 2 to 1, prepare fix battery.")
        book = self.play.world.book
        new = [name for name in self._due(rest) if name not in self.play.prepared]
        if not new:
            return self._with(self.play, Text("Nothing more is to be seen to before that step."))
        play = replace(self.play, prepared=self.play.prepared | set(new), minutes=self.play.minutes + PREPARING)
        return self._with(play, *(_shown(book.cautions[name]) for name in new), Text("Seen to."))

    def _due(self, line: str) -> tuple[str, ...]:
        """The cautions due before a step as it is typed."""
        world = self.play.world
        word, _, rest = line.partition(" ")
        if word == "fix":
            return due_before_fix(world.book, self._fault(rest))
        if word == "set":
            return due_before_setting(world.book, *self._setting(rest))
        probe = self._trial() if line == "try" else probe_of(world, self.drawing, line, self.play.settings)
        if probe is None:
            raise UnclearError("Type the step behind it: prepare volts 2 to 1, prepare try, prepare set key on.")
        return due_before(world.book, probe, self.play.settings)

    def _trial(self) -> Probe:
        found = probe_of(self.play.world, self.drawing, "check starter_turn", self.play.settings)
        if found is None:
            raise UnclearError("This machine has no START.")
        return found

    def _try(self, _: str) -> DrillDriver:
        return self._take(self._trial())

    def _set(self, rest: str) -> DrillDriver | Reply:
        name, value = self._setting(rest)
        book = self.play.world.book
        if value == book.settings[name].held:
            raise UnclearError(f"It springs back. Say it behind the step: volts 4 to 1 at {value}.")
        if value == self.play.settings.get(name, book.settings[name].normal):
            raise UnclearError(f"{book.settings[name].name}: {value}. It stands so already.")
        stopped, play, said = self._guard(due_before_setting(book, name, value))
        if stopped is not None:
            return stopped
        stands = {key: one for key, one in {**play.settings, name: value}.items() if one != book.settings[key].normal}
        after = replace(play, settings=stands, minutes=play.minutes + book.settings[name].minutes)
        return self._with(after, *said, Text(f"{book.settings[name].name}: {value}."))

    def _setting(self, rest: str) -> tuple[str, str]:
        book = self.play.world.book
        words, _, value = rest.rpartition(" ")
        used = {one.setting for part in self.play.world.machine.parts.values() for one in part.closed}
        names = {name: book.settings[name].name for name in sorted(used)}
        name = one_of(names, words, "switch, lead or plug")
        if value not in book.settings[name].values:
            raise UnclearError(f"{book.settings[name].name} can be: {', '.join(book.settings[name].values)}.")
        return name, value

    def _fix(self, rest: str) -> DrillDriver | Reply:
        fault = self._fault(rest)
        stopped, play, said = self._guard(due_before_fix(self.play.world.book, fault))
        if stopped is not None:
            return stopped
        after = fix(play, fault)
        world = self.play.world
        name = world.machine.faults[fault].name
        now = "It still does it" if after.told == self.play.told else "Now it does this"
        still = "" if after.over else f" {now}: {world.book.complaints[after.told].name}."
        return self._with(after, *said, Text(f"Fixed: {name}.{still}"))

    def _fault(self, rest: str) -> str:
        names = {name: fault.name for name, fault in self.play.world.machine.faults.items()}
        if not rest:
            raise UnclearError("Fix what? Some words of its name: fix main link.")
        parts = {name: part.name for name, part in self.play.world.machine.parts.items() if _fails(self.play, name)}
        try:
            part = one_of(parts, rest, "part")
        except UnclearError:
            return one_of(names, rest, "fault")
        return self._of_part(part)

    def _of_part(self, part: str) -> str:
        """The fault of a part that is found when it is fixed: the one it has, or else the likeliest."""
        faults = self.play.world.machine.faults
        likeliest = [name for name in self.play.causes.by_fault() if faults[name].part == part]
        every = [*likeliest, *(name for name, fault in faults.items() if fault.part == part)]
        return next((name for name in every if name in self.play.present), every[0])

    def _zero(self, _: str) -> DrillDriver:
        return self._with(
            replace(self.play, zeroed=True), Text("Leads together: 0.5 ohm. From now on it is taken off.")
        )

    # With the owner, and in the head

    def _ask(self, rest: str) -> DrillDriver | Reply:
        world = self.play.world
        asked = {name: world.book.questions[name].ask for name in world.story}
        if not rest:
            return Reply(tuple(Text(words, label=name.replace("_", " ")) for name, words in asked.items()))
        question = world.book.questions[one_of(asked, rest, "question")]
        answer = next(one for one in question.answers if one.id == world.story[question.id])
        after = replace(self.play, minutes=self.play.minutes + question.minutes)
        return self._with(after, Text(answer.meaning, label=question.ask))

    def _hold(self, rest: str) -> DrillDriver:
        parts = {name: part.name for name, part in self.play.world.machine.parts.items()}
        held = frozenset(one_of(parts, words, "part") for words in rest.split(",") if words.strip())
        return self._with(replace(self.play, held=held), Text("Kept. Change it at any time."))

    def _hint(self, _: str) -> DrillDriver:
        cost = HINTS[min(self.hinted, len(HINTS) - 1)]
        after = replace(self.play, minutes=self.play.minutes + cost, hints=self.play.hints + cost)
        return replace(self._with(after, Text(hint(self.play, self.hinted), label="Hint")), hinted=self.hinted + 1)

    def _review(self, _: str) -> DrillDriver:
        cost = HINTS[-1]
        after = replace(self.play, minutes=self.play.minutes + cost, hints=self.play.hints + cost)
        return self._with(after, Suspects(causes_now(self.play)), Text(best_now(self.play), label="Best next"))

    def _give_up(self, _: str) -> DrillDriver:
        return self._with(replace(self.play, over="left"))

    def _map(self, _: str) -> Reply:
        marks = self._marks()
        return Reply((
            Text("Red at one number, black at another: volts 4 to 1."),
            Drawn(partial(text.lanes, self.drawing, marks)),
            Drawn(partial(text.legend, self.drawing, marks)),
        ))  # fmt: skip

    def _marks(self) -> Marks:
        """The probes of the latest reading, and what was read; what is proven the apprentice has to know himself."""
        read = {shot.probe.reads.a: shot.words for shot in self.play.shots if shot.probe.reads.a}
        last = self.play.shots[-1].probe.reads if self.play.shots else None
        return Marks({}, read, last.a if last else "", last.b if last else "")

    def _help(self, _: str) -> Reply:
        return Reply(tuple(Text(line) for line in HELP))


PREPARING = 1.0
"""Minutes to see to the cautions of a step: an estimate, no source."""

UNPREPARED = "This step can hurt, and it was not prepared. On a machine it would be too late now."

FIRST = (
    "One thing is wrong with it, or one thing that brought another. Find it in few minutes, and fix it.",
    "Before a step that can hurt, type prepare and the step: prepare volts 2 to 1. Then the step.",
    "Type map to see where the points are, and help to see what you can do.",
)


def _fails(play: Play, part: str) -> bool:
    return any(fault.part == part for fault in play.world.machine.faults.values())


def _shown(caution: Caution) -> CautionBlock:
    return CautionBlock(caution.word, caution.hazard, caution.harm, caution.avoid)


def opened(title: str, world: World, again: str = "") -> DrillDriver:
    """A drill at its first page, and the command that brings it again: `coldiron drill --seed N` if left out."""
    command = again or f"coldiron drill --seed {world.seed}"
    return DrillDriver(title, begin(world), sketch(world.machine), again=command)
