"""All that stands on the papers of one job, as one record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from coldiron.consult.mapped import mapped
from coldiron.jobs.log import Event, Job
from coldiron.map.svg import svg
from coldiron.paper.account import Account, account
from coldiron.paper.course import LogLine, log_lines
from coldiron.paper.odds import Picture, picture
from coldiron.record import dataclass
from coldiron.telling.so_far import SoFar
from coldiron.version import __version__

Reader = Literal["owner", "shop", "apprentice"]
"""Who reads a sheet: the owner gets what it comes to, the shop the record too, an apprentice the reasons besides."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The papers of one job.

    `name` is what the machine is called, empty if it has no name; `edition` begins the hash of the book that the job
    goes by. `lines` is the whole log in words, `drawing` the machine as SVG, empty while it is not
    known.
    """

    head: tuple[str, ...]
    number: int
    name: str
    begun: str
    changed: str
    edition: str
    version: str
    reader: Reader
    account: Account
    lines: tuple[LogLine, ...]
    picture: Picture | None
    drawing: str

    def of(self, *sorts: str) -> tuple[LogLine, ...]:
        """The lines of some sorts, in the order of the log."""
        return tuple(line for line in self.lines if line.sort in sorts)


def sheet_of(
    job: Job, events: Sequence[Event], course: Sequence[SoFar], reader: Reader = "shop", head: tuple[str, ...] = ()
) -> Sheet:
    """Return the sheet of a job.

    Args:
        job: the job, its name empty if it was given none.
        events: its log as committed.
        course: what the log folds to, before its first entry and after each.
        reader: who reads it.
        head: the lines of the shop's head.
    """
    lines = log_lines(course, events, reasons=reader == "apprentice")
    return Sheet(
        head=head,
        number=job.id,
        name=job.name,
        begun=_minute(job.created),
        changed=_minute(job.changed),
        edition=course[-1].book.hash[:12],
        version=__version__,
        reader=reader,
        account=account(course, lines),
        lines=lines,
        picture=None if reader == "owner" else picture(course, lines),
        drawing="" if reader == "owner" else _drawing(course[-1]),
    )


def _drawing(consultation: SoFar) -> str:
    found = mapped(consultation)
    return svg(*found) if found else ""


def _minute(at: str) -> str:
    """Day and minute of a moment as logs have it."""
    return at[:16].replace("T", " ")
