"""The editions of the book that jobs were begun with: each kept in the job file once, as one text under its hash."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence

from coldiron.jobs.log import Event

BOOK = "book"
"""The kind of an entry by which a job goes over to another edition; its id is the hash of that edition."""


def packed(files: Mapping[str, bytes]) -> str:
    """Rule files, by name, as one text of ASCII: whatever bytes they hold come back as they were."""
    return json.dumps({name: data.decode("utf-8", "surrogateescape") for name, data in files.items()})


def unpacked(text: str) -> dict[str, bytes]:
    """The rule files that `packed` has made a text of."""
    return {str(name): str(content).encode("utf-8", "surrogateescape") for name, content in json.loads(text).items()}


def edition_of(begun: str, events: Iterable[Event]) -> str:
    """The hash of the edition that a job goes by: the one it was begun with, or the one it last went over to."""
    return [begun, *(event.id for event in events if event.kind == BOOK)][-1]


def unknown_kinds(events: Iterable[Event], known: Sequence[str]) -> tuple[str, ...]:
    """Sentences on entries of kinds that this version does not know."""
    return tuple(
        f"Entry {event.seq} of this job is of a kind that this version does not know ('{event.kind}'). It is kept, and "
        "nothing is concluded from it: a later version of coldiron may."
        for event in events
        if event.kind not in (BOOK, *known)
    )
