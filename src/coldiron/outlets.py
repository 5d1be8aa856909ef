"""Where a command's words go, and what becomes of the command when nobody takes them any more.

A closed terminal, a reader that has left, a full disk and Ctrl-C end a command; none of them is a mistake in it, so
none ends in a traceback. What was acknowledged is on the disk before it is shown, so nothing is lost with the words.
"""

from __future__ import annotations

import errno
import os
import sys
from contextlib import suppress

from coldiron.plaintext import one_line
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TextIO

DONE, UNWRITTEN, STOPPED = 0, 5, 130
"""Exit codes: as ever where the reader has left; the words could not be written; stopped by Ctrl-C."""

GONE = (errno.EPIPE, errno.EIO, errno.ENXIO, errno.EBADF, errno.ECONNRESET)
"""What the system says of a pipe or a terminal at whose other end is nobody."""


def guarded(run: Callable[[], int]) -> int:
    """Run a command and return its exit code, whatever has become of its outlets."""
    _all_open()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a name may hold what no encoding can write
            stream.reconfigure(errors="replace")
    try:
        code = run()
        if sys.stdout is not None:
            sys.stdout.flush()
    except KeyboardInterrupt:
        code = STOPPED
    except OSError as fault:
        if fault.filename is not None:  # of a file, not of an outlet
            raise
        code = _ended(fault)
    finally:
        for stream in (sys.stdout, sys.stderr):
            _drop_unwritten(stream)
    return code


def _drop_unwritten(stream: TextIO | None) -> None:
    """Send what a stream still holds nowhere if it cannot be written: the interpreter would complain when it ends."""
    try:
        if stream is not None:
            stream.flush()
    except OSError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())  # type: ignore[union-attr]  # it is not None, or nothing would be raised
        os.close(nowhere)


def _ended(fault: OSError) -> int:
    if fault.errno in GONE:
        return DONE
    with suppress(OSError):
        tell(f"What was to be shown could not be written: {one_line(fault.strerror or str(fault))}.", error=True)
    return UNWRITTEN


def _all_open() -> None:
    """Open what the caller has closed of the first three, or the job's own file would take its place."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
