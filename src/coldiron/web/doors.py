"""Who may come in: links that serve once, the cookies they are changed for, and tries that are counted."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from time import monotonic

LINK_LIVES = 600.0
"""Seconds in which a link serves."""

MOST_TRIES, TRIES_WITHIN = 10, 60.0
"""So many wrong links in so many seconds; then nobody is let in for as long."""

MOST_INSIDE = 20
"""People who are in at the same time."""


class Doors:
    """Links and cookies of one run. `clock` gives seconds."""

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._links: dict[str, float] = {}
        self._inside: list[str] = []
        self._wrong: list[float] = []

    def link(self) -> str:
        """Return a new word of 128 bits that lets one person in, once."""
        self._links = {word: until for word, until in self._links.items() if until > self._clock()}
        word = secrets.token_urlsafe(16)
        self._links[word] = self._clock() + LINK_LIVES
        return word

    def closed(self) -> bool:
        """Whether so many wrong links were tried that nobody is let in for now."""
        self._wrong = [at for at in self._wrong if self._clock() - at < TRIES_WITHIN]
        return len(self._wrong) >= MOST_TRIES

    def let_in(self, word: str) -> str:
        """Return a cookie for the word of a link, which serves no more then; empty if it does not serve."""
        known = next((one for one in self._links if _same(one, word)), "")
        if self.closed() or not known or self._links.pop(known) <= self._clock():
            self._wrong.append(self._clock())
            return ""
        cookie = secrets.token_urlsafe(32)
        self._inside = [*self._inside[-MOST_INSIDE + 1 :], cookie]
        return cookie

    def knows(self, cookie: str) -> bool:
        """Whether a cookie was given out on this run."""
        return max((_same(one, cookie) for one in self._inside), default=False)


def _same(one: str, other: str) -> bool:
    """Compare two words in a time that tells nothing of them."""
    return secrets.compare_digest(one.encode(), other.encode("utf-8", "replace"))
