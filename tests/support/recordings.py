"""The recorded consultations of `transcripts_demo`: four stories from invented yards, and how they are recorded.

A story says what is wrong with the machine and what is typed where; everything else is answered from the solved
circuit, so that a story can be recorded again whenever the book has changed.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from coldiron import Question
from coldiron.book.checks import Check
from coldiron.consult.session import Consultation
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Reply, Text, take
from coldiron.screens.pages import shown_choice
from coldiron.screens.plain import run
from coldiron.screens.replay import keep_nothing
from support.mechanic import Mechanic, shipped

FOLDER = Path(__file__).parents[2] / "transcripts_demo"

ROUND = 100
"""From here on a reading is said without decimals."""

MOST = 200
"""Lines typed after which a story that has not ended never will."""


@dataclass(frozen=True)
class Story:
    """One recorded job.

    `notes` are typed before the question of that id is answered the first time (`start` and `end` name the first
    question and the hand-back). `says` overrides what is typed at a question. `slip` is a wrong answer (check, what is
    typed, what it should have been): it is changed as soon as the answers no longer fit together, or before a repair.
    `asks` are words typed at a question first, such as `why`. `sort` is typed where it is asked what the machine is.
    """

    file: str
    shows: tuple[str, ...]
    title: str
    circuit: str
    faults: tuple[str, ...]
    complaint: str = ""
    notes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    says: Mapping[str, str] = field(default_factory=dict)
    asks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    slip: tuple[str, str] = ("", "")
    kit: str = "all"
    sort: str = "12 V"

    @property
    def path(self) -> Path:
        """Where it is kept."""
        return FOLDER / self.file

    @property
    def header(self) -> str:
        """What stands above the recording."""
        lines = [*self.shows, f"Replay it: coldiron find --replay transcripts_demo/{self.file}"]
        return "".join(f"# {line}\n" for line in lines)


STORIES = (
    Story(
        file="01_flat_battery.txt",
        shows=("A plain flat battery. The yard, its people and its machines are invented.",),
        title="Street sweeper, Juniper Flats",
        circuit="start_relay",
        faults=("battery.flat",),
        notes={
            "start": ("Dolores says it has chattered since Monday. It sat three weeks with a work light on.",),
            "end": ("Charged overnight. Dolores will hang a tag on the work light switch.",),
        },
        says={
            "stood": "weeks",
            "how_stopped": "standing",
            "left_on": "lamp_left",
            "jumped": "never",
            "last_lamp": "none",
        },
        asks={"rest_volts": ("why",)},
    ),
    Story(
        file="02_link_and_harness.txt",
        shows=(
            "A main link blown by a harness that wore through on a bracket: the cause and its victim.",
            "The yard, its people and its machines are invented.",
        ),
        title="Snow groomer, Larch Pass",
        circuit="interlocks",
        faults=("cab_feed.chafed", "main_link.blown"),
        complaint="no_power",
        notes={
            "start": ("Ike was climbing the ridge run when everything went dark.",),
            "show.horn_shown": ("No horn button on the new lever. Ike has ordered one.",),
            "cab_feed.chafed": ("Harness worn through on the bracket behind the cab. Bright copper, black spot.",),
            "end": ("Harness sleeved and clipped 4 inches clear of the bracket.",),
        },
        says={"how_stopped": "working", "tick.left_nothing": "3,4,5,7,8,9", "show.horn_shown": "open"},
    ),
    Story(
        file="03_lever_not_locked.txt",
        shows=(
            "An interlock that only looks like a wiring fault.",
            "The yard, its people and its machines are invented.",
        ),
        title="Drill rig, Coyote Wells",
        circuit="isolator_24",
        sort="drill rig",
        faults=("lever_switch.not_locked",),
        complaint="silent",
        notes={
            "start": ("Marisol is sure it is the wiring: washed on Friday, dead on Saturday. Lights all normal.",),
            "end": ("Nothing wrong with the wiring. The lock lever has to go all the way back.",),
        },
        says={"water": "washed"},
        asks={"start_from_seat": ("why", "what")},
    ),
    Story(
        file="04_wrong_reading.txt",
        shows=(
            "One answer typed wrong, found out by the others and changed; its conclusions no longer hold.",
            "The yard, its people and its machines are invented.",
        ),
        title="Yarder, Cedar Gap landing",
        circuit="isolator_24",
        sort="yarder",
        faults=("starter.brushes",),
        kit="meter,lamp,clamp,helper,remote_start,jump_cable,booster_battery,turning_bar,battery_tester,hydrometer,"
        "spare_key,spare_relay",
        notes={"end": ("Read the meter twice from now on. The small clamp is in the other truck.",)},
        slip=("ground_path_drop", "3.8"),
    ),
)


class _Telling:
    """The lines of a story, one after the other, as they are asked for."""

    def __init__(self, story: Story) -> None:
        self.story = story
        self.mechanic = Mechanic(
            shipped(),
            story.circuit,
            frozenset(story.faults),
            complaint=story.complaint,
            kit=story.kit,
            describes=True,
            sort=story.sort,
        )
        self.lines: list[str] = []
        self._noted: set[str] = set()
        self._slipped = False
        self._mended = False

    def tell(self) -> list[str]:
        """Everything that is typed, in order."""
        driver = JobDriver(self.story.title, Consultation(shipped()))
        while (asked := driver.consultation.next) is not None and len(self.lines) < MOST:
            for line in self._typed(driver, asked):
                self.lines.append(line)
                step = take(driver, line, keep_nothing)
                if isinstance(step, Reply):
                    continue
                driver = step  # type: ignore[assignment]  # a job driver gives job drivers
        if len(self.lines) >= MOST:
            raise RuntimeError(f"{self.story.file}: the story does not end")
        return self.lines

    def _typed(self, driver: JobDriver, asked: Question) -> Iterator[str]:
        if self._slipped and not self._mended and (asked.kind == "repair" or _in_doubt(driver)):
            self._mended = True
            check = shipped().checks[self.story.slip[0]]
            yield f"note That {self.story.slip[1]} cannot be right. The probe sat on paint."
            again = driver.consultation.question(check.id)
            yield "change"
            yield f"change {_number_of(driver, check)} {_rounded(self.mechanic, again, self.mechanic.reads(check))}"
            return
        yield from self._notes(asked)
        yield from self._asks(asked)
        answer = self._answer(asked)
        yield _rounded(self.mechanic, asked, answer) if asked.unit else _picked(asked, answer)
        if answer == "done":
            self.mechanic.do(asked)

    def _notes(self, asked: Question) -> Iterator[str]:
        keys = [asked.id, *(["start"] if not self.lines else []), *(["end"] if asked.id == "hand_back" else [])]
        for key in keys:
            if key in self.story.notes and key not in self._noted:
                self._noted.add(key)
                yield from (f"note {text}" for text in self.story.notes[key])

    def _asks(self, asked: Question) -> Iterator[str]:
        key = f"asked {asked.id}"
        if asked.kind != "caution" and key not in self._noted:
            self._noted.add(key)
            yield from self.story.asks.get(asked.id, ())

    def _answer(self, asked: Question) -> str:
        if asked.id == self.story.slip[0] and not self._slipped:
            self._slipped = True
            return self.story.slip[1]
        said = self.story.says.get(asked.id)
        return said if said and (asked.several or said in asked.choices) else self.mechanic.answer(asked)


def _rounded(mechanic: Mechanic, asked: Question, answer: str) -> str:
    """A reading as it is said aloud, with no more than two decimals, as long as it stays in its band."""
    check = mechanic.book.checks.get(asked.id)
    if check is None:  # a duty that is read
        return answer
    try:
        value = float(answer)
    except ValueError:
        return answer
    said = f"{value:.0f}" if abs(value) >= ROUND else f"{value:.2f}"
    same = mechanic.machine.finding(check, value) == mechanic.machine.finding(check, float(said))
    return said if same else answer


def _picked(asked: Question, answer: str) -> str:
    """A choice as it is typed: its word where the page shows it, else its number; of a caution its name goes first."""
    if asked.kind == "caution":
        return f"{asked.id} {answer}"
    if answer not in asked.choices:
        return answer
    number = asked.choices.index(answer)
    return answer if shown_choice(asked, number).startswith(answer) else str(number + 1)


def _number_of(driver: JobDriver, check: Check) -> int:
    """The number of an answer in the list that `change` shows."""
    listed = driver.enter("change")
    rows = [block.text for block in listed.blocks if isinstance(block, Text)] if isinstance(listed, Reply) else []
    return next(number for number, row in enumerate(rows) if f"{check.ask}:" in row)


def _in_doubt(driver: JobDriver) -> bool:
    return any("do not fit" in line for line in driver.said)


def record(story: Story) -> str:
    """The whole text of a recording: header, an empty line, and what the plain screen writes."""
    typed = _Telling(story).tell()
    out = io.StringIO()
    run(
        JobDriver(story.title, Consultation(shipped())),
        keep_nothing,
        io.StringIO("".join(f"{t}\n" for t in typed)),
        out,
    )
    return f"{story.header}\n{out.getvalue()}"
