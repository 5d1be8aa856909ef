"""What of a page is in view on a terminal, and which of its cautions have been: paging without a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.screens.drawing import PageRow, fit
from coldiron.screens.lines import Block, CautionBlock


class View:
    """A window over the rows of some blocks; it remembers how far down, without a gap, rows have been in view.

    `show` is called for every drawing; `scroll` and `turn` only take effect on rows that have been drawn, so that keys
    struck faster than the terminal draws skip nothing.
    """

    def __init__(self, blocks: Sequence[Block]) -> None:
        self._blocks = tuple(blocks)
        self._size = (0, 0)
        self._rows: list[PageRow] = []
        self._first = 0
        self._drawn = False
        self._read = 0

    def show(self, width: int, height: int) -> list[PageRow]:
        """The rows in view at this size; at most `height`, none wider than `width`."""
        height = max(1, height)
        if (width, height) != self._size:
            self._draw_anew(width, height)
        end = self._first + height
        if self._first <= self._read:
            self._read = max(self._read, min(end, len(self._rows)))
        self._drawn = True
        return self._rows[self._first : end]

    def _draw_anew(self, width: int, height: int) -> None:
        """Keep to the block that stood on top, and count as read only what was read of whole blocks."""
        top = self._rows[self._first].block if self._first else None
        unread = {row.block for row in self._rows[self._read :]} if self._rows else set(range(len(self._blocks)))
        self._rows = fit(self._blocks, width, height)
        self._size = (width, height)
        self._first = next((index for index, row in enumerate(self._rows) if row.block == top), 0)
        self._read = next((index for index, row in enumerate(self._rows) if row.block in unread), len(self._rows))

    @property
    def more(self) -> bool:
        """Whether there are rows below those in view."""
        return self._first + self._size[1] < len(self._rows)

    @property
    def at_top(self) -> bool:
        """Whether the first row is in view."""
        return self._first == 0

    @property
    def unread(self) -> bool:
        """Whether a caution has not yet been in view to its end."""
        below = {row.block for row in self._rows[self._read :]} if self._rows else set(range(len(self._blocks)))
        return any(isinstance(self._blocks[index], CautionBlock) for index in below if index >= 0)

    def turn(self, pages: int) -> None:
        """Go on by pages (back if negative), one row overlapping; stops at either end."""
        self.scroll(pages * max(1, self._size[1] - 1))

    def scroll(self, rows: int) -> None:
        """Go on by rows, no further than the last full view."""
        if self._drawn:
            furthest = max(0, len(self._rows) - self._size[1])
            self._first = min(furthest, max(0, self._first + rows))
            self._drawn = False

    def to_top(self) -> None:
        """Go back to the first row."""
        self._first = 0
