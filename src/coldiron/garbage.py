"""The collector of reference cycles, kept off what lives as long as the process."""

from __future__ import annotations

import gc


class Resting:
    """Lets the collector rest while many records are made at once: walking young ones costs as much as making them.

    If it was not running before, it does not run after.
    """

    def __enter__(self) -> None:
        """Stop it."""
        self._running = gc.isenabled()
        gc.disable()

    def __exit__(self, *_: object) -> None:
        """Let it go on."""
        if self._running:
            gc.enable()


def keep() -> None:
    """Never walk what is there now: a book and its machines are never let go, and one walk takes up to 100 ms."""
    gc.freeze()
