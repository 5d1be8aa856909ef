"""Rule files on the disk: which belong to a book, what they are called in messages, and their bytes.

Only plain files are read, below the folder of the book, no links to other folders followed; their number, depth and
size are bounded.
"""

from __future__ import annotations

import os
import stat
import time

from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.record import dataclass

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

SUFFIX = ".rules"
OWN = "own"
"""What the folder of a shop's own layer is called in messages, and in what is kept of a book."""
MOST_FILES = 400
MOST_DEEP = 8
MOST_BYTES = 500_000
MOST_MEGABYTES = 16
"""Files of a book, folders inside each other, bytes of one file, megabytes of all: twice the shipped book or more."""
MOST_SHOWN = 300
"""Characters of a name that are shown."""
FRESH = 2_000_000_000
"""Nanoseconds in which two changes of a file may bear one time: two seconds on the coarsest of file systems."""


@dataclass(frozen=True, slots=True)
class RuleFile:
    """One rule file: its name below the book's folder, the name in messages, and its bytes (one too many if longer)."""

    name: str
    shown: str
    data: bytes


def shipped() -> str:
    """Return the folder of the shipped book: inside the package when installed, else the source tree's."""
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    inside = os.path.join(package, "shipped")
    return inside if os.path.isdir(inside) else os.path.join(os.path.dirname(os.path.dirname(package)), "rules")


def rule_files(root: str) -> tuple[list[RuleFile], list[Problem]]:
    """Return the rule files of a folder, or the one file `root` is, in order of name, and what could not be read."""
    folder = os.path.isdir(root)
    if not folder and not os.path.exists(root):
        return [], [_problem("no-such-book", _shown(root))]
    base = root if folder else os.path.dirname(root)
    title = os.path.basename(os.path.abspath(base))
    left = MOST_MEGABYTES * 1_000_000
    found: list[RuleFile] = []
    refused: list[tuple[str, str]] = []
    problems: list[Problem] = []
    for path in _below(base, 0, refused) if folder else iter([root]):
        name = os.path.relpath(path, base).replace(os.sep, "/")
        shown = _written(f"{title}/{name}")
        if len(found) == MOST_FILES:
            problems.append(_problem("too-many-files", shown, most=MOST_FILES))
            break
        data = _content(path) if _written(name) == name else "its name is no UTF-8"
        if not isinstance(data, bytes):
            problems.append(_problem("unreadable", shown, why=data))
            continue
        left -= len(data)
        if left < 0:
            problems.append(_problem("book-too-long", shown, most=MOST_MEGABYTES))
            break
        found.append(RuleFile(name, shown, data))
    problems += [_problem("unreadable", _shown(_below_top(path, base)), why=why) for path, why in refused]
    if not found and not problems:
        problems.append(_problem("empty-book", _shown(title)))
    return found, problems


def book_files(root: str, own: str = "") -> tuple[list[RuleFile], list[Problem]]:
    """Return the rule files of a book and of the layer laid on it, and what could not be read.

    The layer comes last, so that of two entries of one name its own is the second. It may be empty.

    Args:
        root: as for `rule_files`.
        own: the folder of the layer; empty for none. Its files are called `own/...`, whatever it is called itself.
    """
    files, problems = rule_files(root)
    added, wrong = layer_files(own)
    return [*files, *added], [*problems, *wrong]


def layer_files(own: str) -> tuple[list[RuleFile], list[Problem]]:
    """Return the rule files of a layer, by the names they have in a book, and what could not be read."""
    if not own:
        return [], []
    added, wrong = rule_files(own)
    files = [RuleFile(f"{OWN}/{one.name}", f"{OWN}/{one.name}", one.data) for one in added]
    return files, [one for one in wrong if one.kind != "empty-book"]


def book_marks(root: str, own: str = "") -> str:
    """Return what `marks` does, for a book and the layer laid on it."""
    found = [marks(folder) for folder in (root, own) if folder]
    return "\n\n".join(found) if all(found) else ""


def marks(root: str) -> str:
    """Return a text that changes with the files below a folder: name, size, times of each; empty if in doubt.

    In doubt is what is no folder, whatever `rule_files` would have something to say about, and a file changed so
    lately (`FRESH`) that another change could leave the same times.
    """
    refused: list[tuple[str, str]] = []
    found = [os.path.abspath(root)]
    if not os.path.isdir(root):
        return ""
    try:
        for path in _below(root, 0, refused):
            known = os.stat(path)
            latest = max(known.st_mtime_ns, known.st_ctime_ns)
            if not stat.S_ISREG(known.st_mode) or abs(time.time_ns() - latest) < FRESH:
                return ""
            found.append(f"{path} {known.st_ino} {known.st_size} {known.st_mtime_ns} {known.st_ctime_ns}")
    except OSError:
        return ""
    return "" if refused or len(found) > MOST_FILES else "\n".join(found)


def _problem(kind: str, shown: str, **filling: object) -> Problem:
    from coldiron.mistakes import filled  # noqa: PLC0415 - the wording is needed only when something is wrong

    return filled(kind, Place(shown, 1, 1, 1), filling)


def _written(name: str) -> str:
    """A name as it can be written: what of it is no UTF-8 is replaced."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _shown(name: str) -> str:
    """A name in a message; of a very long one its end."""
    plain = _written(name)
    return plain if len(plain) <= MOST_SHOWN else f"...{plain[-MOST_SHOWN:]}"


def _below_top(path: str, base: str) -> str:
    return os.path.relpath(path, os.path.dirname(base))


def _below(folder: str, depth: int, refused: list[tuple[str, str]]) -> Iterator[str]:
    """Yield the rule files below a folder in order of name, as the byte values of the names have it.

    Folders that are not walked go to `refused`, with the reason.
    """
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: os.fsencode(entry.name))
    except OSError as fault:
        refused.append((folder, fault.strerror or str(fault)))
        return
    for entry in found:
        if entry.name.startswith("."):
            continue
        try:
            folder_here, folder_there = entry.is_dir(follow_symlinks=False), entry.is_dir()
        except OSError as fault:  # links in a circle
            refused.append((entry.path, fault.strerror or str(fault)))
            continue
        if folder_here and depth < MOST_DEEP:
            yield from _below(entry.path, depth + 1, refused)
        elif folder_there:
            deep = not entry.is_symlink()
            refused.append((entry.path, "folders lie too deep" if deep else "links to folders are not followed"))
        elif entry.name.endswith(SUFFIX):
            yield entry.path


def _content(path: str) -> bytes | str:
    """Return the bytes of a file (at most one more than allowed), or why it cannot be read."""
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):
            return "it is no plain file"
        with open(path, "rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as fault:
        return fault.strerror or str(fault)


def parts_of(files: Iterable[RuleFile]) -> list[bytes]:
    """The parts of a key that tells files by name and content."""
    return [part for file in files for part in (os.fsencode(file.shown), file.data)]
