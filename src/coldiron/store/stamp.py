"""A text that changes with the code of this package: what other code has made is never read for its own.

Files are told by name, size and time of the last change, not by what is in them: a start reads none of the others.
"""

from __future__ import annotations

import os
from functools import cache

from coldiron.version import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

TOP = ""
"""The room of the files that lie in no folder of the package."""

PACKAGE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def code_of(rooms: tuple[str, ...] | None) -> str:
    """Return the stamp of some rooms of the package, or of all of it."""
    return "\n".join((__version__, *filter(None, map(_room, _all() if rooms is None else rooms))))


@cache
def _all() -> tuple[str, ...]:
    """Every room; none where the package lies in no folder that can be read."""
    try:
        with os.scandir(PACKAGE) as entries:
            return (TOP, *sorted(entry.name for entry in entries if entry.name[0] not in "_." and entry.is_dir()))
    except OSError:
        return ()


@cache
def _room(room: str) -> str:
    marks = "\n".join(_marks(os.path.join(PACKAGE, room), deep=room != TOP))
    return marks and f"{room}/\n{marks}"


def _marks(folder: str, *, deep: bool) -> Iterator[str]:
    """Name, size and time of each file of code, in order of name; folders that hold no code are passed over."""
    try:
        with os.scandir(folder) as entries:
            found = {entry.name: entry for entry in entries}
        if "__init__.py" not in found:
            return
        for name in sorted(found):
            if name.endswith(".py"):
                known = found[name].stat()
                yield f"{name} {known.st_size} {known.st_mtime_ns}"
            elif deep and "." not in name and name[0] != "_":
                yield f"{name}/"
                yield from _marks(found[name].path, deep=True)
    except OSError:
        return
