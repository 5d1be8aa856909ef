"""The log of a job: its only state. What a job has come to is computed from these records and from nothing else."""

from __future__ import annotations

from typing import NamedTuple


class Entry(NamedTuple):
    """What is to be added to a log: what sort of answer, to what, and the raw text as it was typed.

    Which kinds and ids there are is the consultation's affair; the store keeps them as they are.
    """

    kind: str
    id: str
    value: str


class Event(NamedTuple):
    """One entry of a log as committed. `seq` counts from 1 without a gap; `at` is UTC, ISO 8601, to the second."""

    seq: int
    kind: str
    id: str
    value: str
    at: str


class Job(NamedTuple):
    """One dead machine, as a list of jobs shows it.

    `book` is the hash of the book the job was begun with and `version` that of the program. `answers` counts the
    events of the log. `status` and `summary` are remarks for the list, written by `Store.remark`; no job is ever
    computed from them.
    """

    id: int
    name: str
    book: str
    version: str
    created: str
    changed: str
    answers: int
    status: str
    summary: str
