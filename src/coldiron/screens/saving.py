"""A job at a screen and its log on the disk: begun at the first answer, continued exactly."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from coldiron import books
from coldiron.book.book import Book
from coldiron.consult.fold import replay
from coldiron.consult.session import Consultation
from coldiron.job.card import CARD, KEEP, NO, NOTED
from coldiron.job.rows import step_of
from coldiron.job.steps import Answered, Step, standing
from coldiron.jobs.editions import packed, unpacked
from coldiron.jobs.log import Entry, Event
from coldiron.jobs.trouble import StoreTrouble
from coldiron.language.files import RuleFile
from coldiron.machine.fitting import describes
from coldiron.record import dataclass
from coldiron.screens.pages import ANY
from coldiron.version import __version__

if TYPE_CHECKING:
    from pathlib import Path
    from types import ModuleType

    from coldiron.jobs.store import Store

UNNAMED = "A dead machine"
"""What a job is called that was given no name: any machine may be meant."""


@dataclass
class SavedJob:
    """Commits a job's entries. The job itself is made with the first of them, so that looking costs nothing.

    `number` is 0 before anything is saved; `seq` is the number of the latest entry committed; `store` is opened when it
    is first needed.
    """

    book: Book
    book_path: Path | None
    title: str
    store: Store | None = None
    number: int = 0
    seq: int = 0

    def save(self, entries: tuple[Entry, ...]) -> None:
        """Commit entries, all or none.

        Raises:
            StoreTrouble: nothing was saved.
        """
        store = self.store = self.store or opened()
        if not self.number:
            store.keep_book(self.book.hash, book_text(self.book_path, self.book.aside))
            self.number = store.create(self.title, self.book.hash, __version__).id
        self._write_card(store, entries)
        store.append_all(self.number, self.seq, entries)
        self.seq += len(entries)
        if any(entry.kind in ("park", "repair") or entry.id == "hand_back" for entry in entries):
            with suppress(StoreTrouble):  # the entries are committed; the list of jobs can do without its remark
                self._remark(store)

    def _write_card(self, store: Store, entries: tuple[Entry, ...]) -> None:
        """What was said to be written on the machine's card; before the entry of it is saved, so that it is true."""
        for entry in entries:
            head, _, about = entry.id.partition(".")
            named = self.title if self.title != UNNAMED else ""
            if entry.kind != CARD or (head, entry.value) == (KEEP, NO):
                continue
            if head == NOTED and named:
                keeping().keep_notes(self.book, named, ((about, entry.value),))
            elif head == KEEP:
                added = tuple(Event(0, *one, "") for one in entries)
                steps = steps_of((*store.events(self.number), *added))
                keeping().keep(self.book, replay(self.book, steps), entry.value)

    def _remark(self, store: Store) -> None:
        """Put what the list of jobs shows beside the job; only a remark, nothing is computed from it."""
        consultation = Consultation(self.book, steps_of(store.events(self.number)))
        outcome = consultation.verdict
        names = [self.book.faults[name].name for name, _ in outcome.faults] or [
            self.book.faults[name].name for name in outcome.repaired
        ]
        asked = consultation.next
        status = outcome.status if outcome.status != "open" or not consultation.state.parked else "parked"
        store.remark(self.number, status, ", ".join(names) or (f"next: {asked.text}" if asked else ""))


def steps_of(events: tuple[Event, ...]) -> tuple[Step, ...]:
    """A log as the consultation has it. An entry of a sort this version does not know is no step."""
    return tuple(filter(None, (step_of(event.kind, event.id, event.value) for event in events)))


def book_text(path: Path | None, aside: tuple[str, ...] = ()) -> str:
    """The rule files of a book, without those set aside, as one text, see `coldiron.jobs.editions`."""
    return packed({file.name: file.data for file in books.files_of(path) if file.shown not in aside})


def edition(store: Store, book_hash: str) -> Book | None:
    """A book from the text that is kept of it; None where there is none, it is damaged, or it has errors."""
    try:
        text = store.book(book_hash)
        files = unpacked(text) if text else {}
    except (StoreTrouble, ValueError, AttributeError):
        return None
    book, _ = books.of_files([RuleFile(name, name, data) for name, data in files.items()])
    return book if book.hash == book_hash and not book.broken else None


def new_job(name: str, book: Book, book_path: Path | None) -> SavedJob:
    """A job that is not on the disk yet."""
    return SavedJob(book, book_path, name.encode("utf-8", "replace").decode() or UNNAMED)


def earlier_notes(name: str) -> tuple[str, ...]:
    """What was noted on earlier jobs of a machine of that name; nothing where no job was ever kept.

    A store that cannot be read is told of when the first answer is to be saved, not when the first page is drawn.
    """
    if not _may_have_been_here(name):
        return ()
    with suppress(StoreTrouble), opened() as store:
        return store.notes(name)
    return ()


def earlier_circuit(name: str, book: Book) -> str:
    """The circuit that a machine of that name had on the latest job that knew it; empty if none did."""
    if not _may_have_been_here(name):
        return ""
    with suppress(StoreTrouble), opened() as store:
        return circuit_before(store, name, book)
    return ""


def keeping() -> ModuleType:
    """What reads and writes cards, for who has a named machine."""
    from coldiron.cards import keeping as found  # noqa: PLC0415 - a job without a name has no card

    return found


def kept_as(name: str) -> str:
    """The name under which the card of a job's machine is kept."""
    return ANY if name.strip() in ("", UNNAMED) else name


def begun(name: str, book: Book) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The entries that a job of a named machine takes over from its card, and what is wrong with that."""
    if kept_as(name) == ANY:
        return (), ()
    steps, told = keeping().taken_over(book, name)
    return steps, told


@dataclass
class KeptCards:
    """The cards of the user's machines, looked for once somebody is asked what the machine is."""

    book: Book

    def any(self) -> bool:
        """Whether any machine has one."""
        return bool(keeping().any_card())

    def of(self, name: str) -> tuple[Step, ...]:
        """The entries that a job takes over from the card of a name; none where there is none to be used."""
        return begun(name, self.book)[0]


def _may_have_been_here(name: str) -> bool:
    if name.strip() in ("", UNNAMED):
        return False
    from coldiron.jobs.home import FILE, home  # noqa: PLC0415 - a job without a name has no earlier ones

    return (home() / FILE).is_file()


def circuit_before(store: Store, name: str, book: Book, besides: int = 0) -> str:
    """A circuit that was only taken for the machine's, because nobody knew it, is not one that is known."""
    for number in store.of_machine(name, besides):
        said = [
            step
            for step in standing(steps_of(store.sound_events(number)))
            if isinstance(step, Answered) and describes(step.id)
        ]
        state = replay(book, said)  # without the rest of the log, and so without most of the book
        if state.circuit and not state.taken:
            return state.circuit
    return ""


def opened() -> Store:
    """The store of this user's jobs."""
    from coldiron.jobs.store import open_store  # noqa: PLC0415 - looking at the first question needs no store

    return open_store()
