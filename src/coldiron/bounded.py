"""Files that a person names, read as far as a file of text may be long.

What is read is bounded before it is held: a device without an end, or a film given by mistake, must not fill the memory
of the machine in the yard.
"""

from __future__ import annotations

from os import PathLike
from pathlib import Path

MOST_MEGABYTES = 16
MOST_BYTES = MOST_MEGABYTES * 1_000_000
"""Of one file: a whole book is half a megabyte."""

MOST_SHOWN = 200
"""Characters of a path that are shown where it cannot be read: its end."""


class UnreadableError(ValueError):
    """A file that cannot be read as text; the sentence names it and says why."""


def text_of(path: str | PathLike[str]) -> str:
    """Return the text of a file (or of a pipe, up to its end); a byte order mark at its start is passed over.

    Raises:
        UnreadableError: there is no such file, it is longer than `MOST_BYTES`, or it is no UTF-8.
    """
    name = str(path)
    shown = name if len(name) <= MOST_SHOWN else f"...{name[-MOST_SHOWN:]}"
    try:
        with Path(path).open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            raise UnreadableError(f"{shown} is longer than {MOST_MEGABYTES} MB; nothing of it is used.")
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise UnreadableError(f"{shown} is no text in UTF-8: see line {line}.") from fault
    except (OSError, ValueError) as fault:
        if isinstance(fault, UnreadableError):
            raise
        why = getattr(fault, "strerror", None) or str(fault)
        raise UnreadableError(f"{shown} cannot be read: {why}.") from fault
