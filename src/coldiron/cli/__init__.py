"""The command line: arguments in, exit codes out.

Exit codes: 0 done or parked, 2 wrong arguments, 3 problems in the book, 4 more answers are needed (the input ended, or
a script gave no line for a caution), 5 the job could not be saved or read, or its output not be written, 130 stopped by
Ctrl-C.

Nothing is imported here that takes time, so that Ctrl-C ends a command as quietly while it is imported as later.
"""

from __future__ import annotations

from coldiron.cli.exits import ANSWERS, BOOK, DONE, STOPPED, STORE, USAGE

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["ANSWERS", "BOOK", "DONE", "STOPPED", "STORE", "USAGE", "main"]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    try:
        from coldiron.cli.commands import run

        return run(argv)
    except KeyboardInterrupt:
        return STOPPED
