"""What a screen shows, as plain data: a page of blocks, and the driver that makes pages and takes entries.

A screen holds no logic. It draws `driver.page()`, hands what was typed to `take`, and draws the page of the driver that
comes back. Every screen draws the same page; how it looks (width, colour, paging) is the screen's own affair. Texts in
blocks are raw: they are cleaned of control characters where they are drawn (`coldiron.screens.drawing`).

The records are named tuples, not dataclasses, because a start pays ten times less for them; tell them by their class.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple, Protocol

from coldiron.jobs.log import Entry


class Heading(NamedTuple):
    """A short line that opens a portion of the page."""

    text: str


class Text(NamedTuple):
    """A paragraph. `label` opens it ("Probes", "Good reading"); `aside` may be left out where room is short."""

    text: str
    label: str = ""
    aside: bool = False


class CautionBlock(NamedTuple):
    """A hazard, what it does to people, and how to avoid it. `word` is the signal word (DANGER ... NOTICE)."""

    word: str
    hazard: str
    harm: str
    avoid: str


class Suspects(NamedTuple):
    """What may be wrong, best first: (name, share between 0 and 1)."""

    rows: tuple[tuple[str, float], ...]


class Choices(NamedTuple):
    """What can be chosen: (key to press, meaning)."""

    rows: tuple[tuple[str, str], ...]


class Drawn(NamedTuple):
    """Rows that keep their blanks, such as a drawing: `rows` makes them for so many columns. `aside` as for a text."""

    rows: Callable[[int], Sequence[str]]
    aside: bool = False


class Saved(NamedTuple):
    """What has just been committed to the job's log; never on a page before the commit."""

    text: str


class BarWord(NamedTuple):
    """A word that may be typed at any prompt."""

    word: str
    meaning: str


WORDS = (
    BarWord("why", "why this, why now"),
    BarWord("what", "what each answer would tell"),
    BarWord("skip", "cannot reach it, or not sure"),
    BarWord("back", "undo the last answer"),
    BarWord("change", "change an earlier answer"),
    BarWord("note", "write something down"),
    BarWord("done", "a fix is done"),
    BarWord("others", "somebody else worked on it"),
    BarWord("park", "stop here, go on later"),
    BarWord("help", "all of this in full"),
)
"""The words of the key bar, in its order."""

ALL_WORDS = tuple(word.word for word in WORDS)


class Prompt(NamedTuple):
    """The place to type. A page without one is the last: the loop ends there.

    `label` says what is wanted ("Volts"), `hint` how to write it. With `one_key`, pressing the key of a choice takes it
    at once, if every key is one figure (so not where several may be chosen). `words` are those that serve here.
    `guards` names the caution that is acknowledged here, if one is.
    """

    label: str
    hint: str = ""
    one_key: bool = False
    words: tuple[str, ...] = ALL_WORDS
    guards: str = ""


Block = Heading | Text | CautionBlock | Suspects | Choices | Drawn | Saved | Prompt


class Page(NamedTuple):
    """What a screen shows. `title` names the job and the machine; `blocks` stand in reading order, the prompt last."""

    title: str
    blocks: tuple[Block, ...]

    @property
    def prompt(self) -> Prompt | None:
        """The place to type, if there is one."""
        return next((block for block in self.blocks if isinstance(block, Prompt)), None)

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """All rows of all choices on the page."""
        return tuple(row for block in self.blocks if isinstance(block, Choices) for row in block.rows)


class Reply(NamedTuple):
    """What is said to an entry that changes nothing: the answer to `why`, or what is wrong with what was typed.

    `refused` is an entry that could not be taken. `place` is the column, from 1, of what is wrong with it: where there
    is one, the entry stays in the line to be mended.
    """

    blocks: tuple[Block, ...]
    refused: bool = False
    place: int = 0


class Driver(Protocol):
    """A consultation as a screen sees it: immutable, every step gives a new one."""

    @property
    def unsaved(self) -> tuple[Entry, ...]:
        """What the last entry adds to the log and is not committed yet."""
        ...

    def page(self) -> Page:
        """What to show now."""
        ...

    def enter(self, text: str) -> Driver | Reply:
        """What follows from one line typed. Pure: the same text gives the same result, and nothing is saved."""
        ...

    def saved(self) -> Driver:
        """The same driver once all of `unsaved` is committed: nothing is unsaved, and its page says what was saved."""
        ...


Save = Callable[[tuple[Entry, ...]], None]
"""Commits entries to the log, all or none, and returns only then. Raises `coldiron.jobs.trouble.StoreTrouble`."""


class End(NamedTuple):
    """How a screen's loop ended, and the driver as it then was.

    `over`: the page has no prompt any more. `parked`: Ctrl-C, Ctrl-D, hang-up or termination. `ended`: the input came
    to its end (a pipe or a file).
    """

    how: Literal["over", "parked", "ended"]
    driver: Driver


def commit(driver: Driver, save: Save) -> Driver:
    """The driver with everything committed. Raises what `save` raises; nothing is shown as saved then."""
    if not driver.unsaved:
        return driver
    save(driver.unsaved)
    return driver.saved()


SETTLE = 0.25
"""Seconds that a page must have been on screen before a line typed at it can acknowledge a caution."""

NOT_READ = "You typed that before you could read the caution. Read it, then type it again."


def take(driver: Driver, text: str, save: Save, unread: str = "") -> Driver | Reply:
    """One line typed: the next driver, its entries committed, or a reply that changes nothing.

    A blank line never reaches the driver, so that Enter alone can accept nothing. Nor is a caution acknowledged where
    `unread` says why it cannot have been read.
    """
    if not text.strip():
        return Reply(())
    step = driver.enter(text)
    if isinstance(step, Reply):
        return step
    if unread and any(entry.kind == "ack" for entry in step.unsaved):
        return Reply((Text(unread),), refused=True)
    return commit(step, save)


def park(driver: Driver, save: Save) -> Driver:
    """The driver after an interruption: parked if it can be, unchanged otherwise."""
    step = take(driver, "park", save)
    return driver if isinstance(step, Reply) else step
