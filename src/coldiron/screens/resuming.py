"""A job goes on from the disk: by the book it was begun with, and with what must be told first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coldiron.book.book import Book
from coldiron.book.variants import circuit_named
from coldiron.consult.differences import differences
from coldiron.consult.session import Consultation
from coldiron.job.rows import KINDS
from coldiron.job.steps import Answered, Step, standing
from coldiron.jobs.editions import BOOK, edition_of, unknown_kinds
from coldiron.jobs.log import Entry, Event, Job
from coldiron.jobs.trouble import StoreTrouble
from coldiron.screens.driver import JobDriver
from coldiron.screens.saving import UNNAMED, SavedJob, book_text, circuit_before, edition, kept_as, opened, steps_of

if TYPE_CHECKING:
    from pathlib import Path

    from coldiron.jobs.store import Store

OWN = "This job goes on with the book it was started with."

LISTED = 6
"""Answers that are named one by one; of more, the number is told."""


def old_job(
    number: int | None, book: Book, book_path: Path | None, *, newer: bool = False, sound: bool = False
) -> tuple[SavedJob, JobDriver]:
    """A job from the disk, and the driver that goes on with it.

    Args:
        number: of the job; None for the one last worked on.
        book: the book that is here now. The job goes by its own, unless that is the same.
        book_path: of that book; None for the shipped one.
        newer: go on with today's book.
        sound: go on with the undamaged part of a damaged job.

    Raises:
        StoreTrouble: there is no such job, it is damaged (`Damage`), its book cannot be had, or the store be read.
    """
    store = opened()
    job = store.picked(number)
    aside = store.keep_sound(job.id) if sound else ()
    events = store.events(job.id)
    begun = edition_of(job.book, events)
    own = book if begun == book.hash else edition(store, begun)
    if own is None and not newer:
        raise StoreTrouble(
            "book",
            f"Job {job.id} cannot use the book it was started with. It cannot be read, or this version finds errors.",
            f"To go on with today's book: coldiron resume {job.id} --newer",
        )
    steps = steps_of(events)
    told = [*_gone(aside), *unknown_kinds(events, KINDS)]
    if own is not book:
        told += _about_the_newer(job, own, book, steps, taken=newer)
    seq = len(events)
    if newer and own is not book:
        seq = _gone_over(store, job, book, book_path, seq)
    used = book if newer or own is None else own
    known = job.name != UNNAMED
    before = circuit_before(store, job.name, used, besides=job.id) if known else ""
    earlier = store.notes(job.name, besides=job.id) if known else ()
    saved = SavedJob(used, book_path, job.name, store, job.id, seq)
    consultation = Consultation(used, steps, before).resume()
    return saved, JobDriver(
        saved.title, consultation, committed=len(steps), said=tuple(told), earlier=earlier, keeps=kept_as(job.name)
    )


def _gone_over(store: Store, job: Job, book: Book, book_path: Path | None, seq: int) -> int:
    store.keep_book(book.hash, book_text(book_path, book.aside))
    return store.append_all(job.id, seq, (Entry(BOOK, book.hash, ""),))[-1].seq


def _gone(aside: tuple[Event, ...]) -> tuple[str, ...]:
    """What was set aside of a damaged job, so that it can be given again."""
    if not aside:
        return ()
    named = [" ".join(filter(None, (event.id, event.value))) or event.kind for event in aside[:LISTED]]
    more = f"; and {len(aside) - LISTED} more" if len(aside) > LISTED else ""
    listed = "; ".join(named) + more
    return (f"Set aside, because it was damaged or came after damage: {listed}. Give the right answers again.",)


def _about_the_newer(job: Job, own: Book | None, book: Book, steps: tuple[Step, ...], *, taken: bool) -> list[str]:
    other = "The book has changed since this job was started."
    opening = "This job now uses today's book." if taken else f"{OWN} {other}"
    offer = () if taken else (f"To go on with today's book: coldiron resume {job.id} --newer",)
    if own is None:
        return [opening]
    return [opening, *book_changes(Consultation(own, steps), Consultation(book, steps)), *offer]


def book_changes(own: Consultation, other: Consultation) -> tuple[str, ...]:
    """What another book makes different for a job, in sentences, what it lacks first."""
    lines = _lacking(own, other)
    lines += [line for line in differences(own, other) if line not in lines]
    return tuple(lines) or ("For this job that changes nothing.",)


def _lacking(own: Consultation, other: Consultation) -> list[str]:
    lines = []
    known = circuit_named(own.book, own.state.circuit)
    if known and circuit_named(other.book, known.id) is None:
        lines.append(f"Today's book does not have this machine: {known.name}. You are asked for the machine again.")
    gone = [
        (own.book.checks[step.id].ask, step.value)
        for step in standing(own.steps)
        if isinstance(step, Answered) and step.id in own.book.checks and step.id not in other.book.checks
    ]
    lines += [
        f"Today's book does not have this check, so its answer is not used: {ask} ({value})"
        for ask, value in gone[:LISTED]
    ]
    if len(gone) > LISTED:
        lines.append(f"The same goes for {len(gone) - LISTED} more checks.")
    return lines
