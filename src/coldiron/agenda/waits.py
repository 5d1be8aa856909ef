"""Which cautions a step still waits for."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.job.acknowledged import Waiting, waiting
from coldiron.job.state import State


def waiting_for(state: State, due: Iterable[str], step: str, *, moves: bool = False) -> Waiting:
    """What a step waits for: cautions to be read in full, and those that are only said to be still so."""
    return waiting(state.book, state.acks, due, step, moves=moves)
