"""The cache: bytes that cost time to make, kept in the user's cache folder under a key of what they were made from.

A key holds a hash of everything the bytes depend on: what the maker names, and the code that makes them (`stamp.py`).
The first line of a kept file is a hash of its key and of the rest: one that is cut short, lies under another's name, or
of which a single bit has changed, is never believed, whatever it would still say. It is made again. A folder that
cannot be written costs time, nothing else.

Paths are plain texts here and wherever a book is loaded: `pathlib` costs 5 ms of a start of 50.
"""

from __future__ import annotations

import hashlib
import os
import stat
import time
from contextlib import suppress

from coldiron.folders import cache_folder
from coldiron.store import stamp

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_BYTES = 256_000_000
"""Of all kept files together. A book with its machines takes some 10 MB; what was used longest ago goes first."""

MOST_FILES = 2_000
"""Files that are kept: those of a book are some 200."""

MOST_SECONDS = 120 * 24 * 3600
"""Time after which what nobody has used goes: a season without such a machine."""

USED_AGAIN = 3600
"""Seconds after which a use is noted once more; a start writes nothing for it most of the time."""

LONGEST = 1 << 30
"""Bytes of one kept file; a longer one was not written by this program."""

ENDING = ".kept"
DIGITS = 40
"""Hexadecimal digits of a key: 160 bits of a hash."""


class KeptSort:
    """One sort of what is kept.

    Args:
        name: what the names of its files begin with, in letters.
        rooms: the folders of this package whose code makes it, `stamp.TOP` for the files outside of them; if left out,
            all of the package. A test holds them to what is imported.
    """

    __slots__ = ("name", "rooms")

    def __init__(self, name: str, rooms: tuple[str, ...] | None = None) -> None:
        self.name = name
        self.rooms = rooms

    def key(self, *parts: str | bytes) -> str:
        """Return the key of what is made from these parts by the code that is here now."""
        digest = hashlib.sha256(stamp.code_of(self.rooms).encode())
        for part in parts:
            data = part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
            digest.update(b"\0%d\0" % len(data))
            digest.update(data)
        return f"{self.name}-{digest.hexdigest()[:DIGITS]}"


class Cache:
    """What is kept in one folder.

    Args:
        folder: it need not exist, and nothing in it need be trusted; the user's cache folder if left out.
    """

    __slots__ = ("folder",)

    def __init__(self, folder: str | os.PathLike[str] | None = None) -> None:
        self.folder = os.fspath(folder) if folder is not None else user_folder()

    def get(self, key: str) -> bytes | None:
        """Return what is kept under a key; nothing if there is none, or it is not as it was written."""
        path = self._path(key)
        plain_file = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)  # a pipe is not waited for
        try:
            with open(os.open(path, plain_file), "rb") as file:
                known = os.fstat(file.fileno())
                if not stat.S_ISREG(known.st_mode) or known.st_size > LONGEST:
                    return None
                seal, _, payload = file.read().partition(b"\n")
        except (OSError, ValueError):
            return None
        if seal != _seal(key, payload):
            return None
        if time.time() - known.st_mtime > USED_AGAIN:
            with suppress(OSError):
                os.utime(path)
        return payload

    def put(self, key: str, payload: bytes) -> bool:
        """Keep bytes under a key, written beside its place first, then moved there in one step; then prune.

        Returns:
            False if they cannot be kept.
        """
        path = self._path(key)
        beside = f"{path}.{os.getpid()}"
        try:
            os.makedirs(self.folder, exist_ok=True)
            with open(beside, "wb") as file:
                file.write(_seal(key, payload) + b"\n" + payload)
            os.replace(beside, path)
        except (OSError, ValueError):
            with suppress(OSError, ValueError):
                os.unlink(beside)
            return False
        self.prune()
        return True

    def prune(self) -> None:
        """Drop what is too old or too much, what was used longest ago first, and what a stopped run left half written.

        Files that were not written by `put` stay, whatever folder the user has chosen.
        """
        with suppress(OSError, ValueError):
            now, files, size = time.time(), 0, 0
            for used, length, path in sorted(self._kept(), reverse=True):
                half_written = not path.endswith(ENDING)
                files, size = files + 1, size + length
                too_much = files > MOST_FILES or size > MOST_BYTES
                if too_much or now - used > (USED_AGAIN if half_written else MOST_SECONDS):
                    with suppress(OSError):
                        os.unlink(path)

    def _kept(self) -> Iterator[tuple[float, int, str]]:
        """When each file of this cache was last used, its bytes and its path."""
        with os.scandir(self.folder) as entries:
            for entry in entries:
                if _is_ours(entry.name) and entry.is_file(follow_symlinks=False):
                    with suppress(OSError):
                        known = entry.stat()
                        yield known.st_mtime, known.st_size, entry.path

    def _path(self, key: str) -> str:
        return os.path.join(self.folder, key + ENDING)


def _seal(key: str, payload: bytes) -> bytes:
    digest = hashlib.sha256(key.encode())
    digest.update(b"\n")
    digest.update(payload)
    return digest.hexdigest().encode()


def _is_ours(name: str) -> bool:
    """Whether `put` gives a file such a name: letters, a dash, the digits, the ending; half written, a number more."""
    key, ending, rest = name.partition(ENDING)
    sort, dash, digits = key.partition("-")
    number = rest[1:].isdecimal() if rest[:1] == "." else not rest
    return bool(ending and dash and sort.isalpha() and len(digits) == DIGITS and number)


def user_folder() -> str:
    """Return the user's cache folder; COLDIRON_CACHE overrides."""
    return os.environ.get("COLDIRON_CACHE") or cache_folder()
