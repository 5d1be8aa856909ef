"""Steps of a log by what the job file says of them, whatever record they are."""

from __future__ import annotations

from coldiron.job.rows import row_of
from coldiron.job.steps import Step


def id_of(step: Step) -> str:
    """The id of its row."""
    return row_of(step)[1]


def value_of(step: Step) -> str:
    """The value of its row: what was typed."""
    return row_of(step)[2]
