"""Mistakes of the book as a whole: every entry is sound, but together something is missing or in the way."""

from __future__ import annotations

from coldiron.mistakes.entry import Mistake

WHOLE: tuple[Mistake, ...] = ()
