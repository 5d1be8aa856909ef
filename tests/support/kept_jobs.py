"""Jobs as they are kept: the recorded ones, and any log, as what papers and pages are made of."""

from __future__ import annotations

import io
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from coldiron import Consultation
from coldiron.jobs.log import Entry, Event, Job
from coldiron.screens.driver import JobDriver
from coldiron.screens.plain import run
from coldiron.screens.replay import recorded
from coldiron.screens.saving import steps_of
from support.mechanic import shipped

ROOT = Path(__file__).parents[2]

AT = "2031-05-04T10:11:12Z"


def kept(entries: Iterable[Entry], name: str = "Roller 4") -> tuple[Job, tuple[Event, ...], tuple[Consultation, ...]]:
    """A job with this log, all of it entered at one moment."""
    events = tuple(Event(seq, *entry, AT) for seq, entry in enumerate(entries, 1))
    job = Job(7, name, shipped().hash, "0", AT, AT, len(events), "", "")
    return job, events, tuple(Consultation(shipped(), steps_of(events)).course())


@cache
def demo(number: str) -> tuple[Entry, ...]:
    """The log of a recorded job, as working it again saves it."""
    path = next((ROOT / "transcripts_demo").glob(f"{number}_*.txt"))
    title, typed = recorded(path.read_text(encoding="utf-8"))
    saved: list[Entry] = []
    source = io.StringIO("".join(f"{line}\n" for line in typed))
    run(JobDriver(title, Consultation(shipped())), saved.extend, source, io.StringIO())
    return tuple(saved)
