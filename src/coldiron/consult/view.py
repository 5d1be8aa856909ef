"""What of a page is in view on a terminal, and which of its cautions have been: paging without a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.consult.drawing import Row, fit
from coldiron.consult.lines import Block, Caution


class View:
    """A window over the rows of some blocks. It remembers which blocks have been in view to their last row.

    `first` is the topmost row shown. Rows are drawn anew whenever the size has changed.
    """

    def __init__(self, blocks: Sequence[Block]) -> None:
        self._blocks = tuple(blocks)
        self._size = (0, 0)
        self._rows: list[Row] = []
        self._seen: set[int] = set()
        self.first = 0

    def show(self, width: int, height: int) -> list[Row]:
        """The rows in view at this size; at most `height`, none wider than `width`."""
        height = max(1, height)
        if (width, height) != self._size:
            at = self._rows[self.first].block if self._rows and self.first else -1
            self._rows = fit(self._blocks, width, height)
            self._size = (width, height)
            self.first = next((index for index, row in enumerate(self._rows) if at >= 0 and row.block == at), 0)
        last = {row.block: index for index, row in enumerate(self._rows)}
        end = self.first + height
        # A page is turned without a gap, so a block whose last row comes into view has been seen from its first.
        self._seen.update(block for block, index in last.items() if self.first <= index < end)
        return self._rows[self.first : end]

    @property
    def more(self) -> bool:
        """Whether there are rows below those in view."""
        return self.first + self._size[1] < len(self._rows)

    @property
    def unread(self) -> bool:
        """Whether a caution has not yet been in view to its end."""
        return any(isinstance(block, Caution) and index not in self._seen for index, block in enumerate(self._blocks))

    def turn(self, pages: int) -> None:
        """Go on by pages (back if negative), one row overlapping; stops at either end."""
        step = max(1, self._size[1] - 1)
        self.scroll(pages * step)

    def scroll(self, rows: int) -> None:
        """Go on by rows, no further than the last full view."""
        furthest = max(0, len(self._rows) - self._size[1])
        self.first = min(furthest, max(0, self.first + rows))
