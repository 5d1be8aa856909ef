"""Listeners: what watches the loop from outside. The loop itself knows only the protocol."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from coldiron.engine.facts import Fact


@dataclass(frozen=True, slots=True)
class Firing:
    """A rule gave a fact that did not hold before, in the wave counted from 1."""

    rule: str
    fact: Fact
    wave: int


class Listener(Protocol):
    """Anything that wants to hear what a run derives."""

    def on_wave(self, firings: Sequence[Firing]) -> None:
        """Hear the facts of one wave. What it raises ends the run and reaches the caller."""


@dataclass(slots=True)
class Trace:
    """Keeps every firing in the order it happened."""

    firings: list[Firing] = field(default_factory=list)

    def on_wave(self, firings: Sequence[Firing]) -> None:
        """Keep the firings of a wave."""
        self.firings.extend(firings)


class TooManyFiringsError(RuntimeError):
    """A run passed the bound set by a loop guard. `last` are the firings that passed it."""

    def __init__(self, bound: int, last: Sequence[Firing]) -> None:
        super().__init__(f"more than {bound} facts were derived; the last came from rule {last[-1].rule!r}")
        self.bound = bound
        self.last = tuple(last)


@dataclass(slots=True)
class LoopGuard:
    """Ends a run that derives more facts than `bound`.

    Ground rules always come to an end; the guard bounds the time that an unexpectedly large rule set may take. One
    guard counts over all the runs it listens to.
    """

    bound: int
    count: int = 0

    def on_wave(self, firings: Sequence[Firing]) -> None:
        """Count the firings.

        Raises:
            TooManyFiringsError: there were more than the bound.
        """
        self.count += len(firings)
        if self.count > self.bound:
            raise TooManyFiringsError(self.bound, firings)
