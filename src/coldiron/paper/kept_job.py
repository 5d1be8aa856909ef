"""A job as it is kept, read for paper: its log, by the book it goes by. Nothing is written."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.consult.session import Consultation
from coldiron.jobs.editions import edition_of
from coldiron.jobs.log import Event, Job
from coldiron.jobs.trouble import StoreTrouble
from coldiron.screens.saving import UNNAMED, edition, opened, steps_of


def kept_job(number: int | None, book: Book) -> tuple[Job, tuple[Event, ...], tuple[Consultation, ...]]:
    """Read a job from the user's store: the job, its log as committed, and what that folds to, entry by entry.

    Args:
        number: of the job; None for the one last worked on.
        book: the book that is here now; a job that goes by another one is read with its own.

    Raises:
        StoreTrouble: there is no such job, it is damaged, or its book cannot be had.
    """
    with opened() as store:
        job = store.picked(number)
        events = store.events(job.id)
        begun = edition_of(job.book, events)
        own = book if begun == book.hash else edition(store, begun)
    if own is None:
        raise StoreTrouble(
            "book",
            f"Job {job.id} cannot use the book it was started with. It cannot be read, or this version finds errors.",
            f"To go on with today's book first: coldiron resume {job.id} --newer",
        )
    named = job if job.name != UNNAMED else job._replace(name="")
    return named, events, tuple(Consultation(own, steps_of(events)).course())
