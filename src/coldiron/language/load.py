"""Rule files to a book and its problems: found, read, parsed, built; kept in the cache between runs.

Nothing here imports the parser or the validator: a book that is in the cache needs neither. Each file is kept on its
own too, so after a change only the changed file is parsed again.
"""

from __future__ import annotations

import hashlib
import os

from coldiron.book.book import Book
from coldiron.book.problem import errors
from coldiron.language import kept
from coldiron.language.files import RuleFile, book_files, book_marks, parts_of, shipped
from coldiron.record import replace
from coldiron.store.cache import Cache, KeptSort

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from os import PathLike

    from coldiron.book.problem import Problem

    Loaded = tuple[Book, tuple[Problem, ...]]
    Judge = Callable[[Book], tuple[Problem, ...]]

BOOK = KeptSort("book")
"""A book with its problems: kept by names and contents of its files."""

SEEN = KeptSort("seen")
"""The key of a book: kept by names, sizes and times of its files."""


def load(
    path: str | PathLike[str] | None = None,
    building: Callable[[], None] | None = None,
    judge: Judge | None = None,
    own: str = "",
) -> Loaded:
    """Return the book of a folder (or of one file) and its problems; without a path, the shipped book.

    Entries with an error are left out of the book, and whole files of the layer, see `Book.aside`. A folder or file
    that cannot be read is a problem too.

    Args:
        path: of the folder or file.
        building: called before files are parsed, which takes seconds; not for a book that is in the cache.
        judge: what looks at the book as a whole; its problems are kept as well.
        own: folder of the layer that is laid on it; empty for none.
    """
    root, cache = os.fspath(path or shipped()), Cache()
    marked = book_marks(root, own)
    seen = SEEN.key(_judged(judge), marked) if marked else ""
    data = _seen(cache, seen) if seen else None
    return kept.book_from(data) if data is not None else _read((root, own), cache, seen, building, judge)


def _judged(judge: Judge | None) -> str:
    """A part of a key: whether what is kept was looked at as a whole."""
    return "judged" if judge else ""


def _seen(cache: Cache, seen: str) -> bytes | None:
    """What is kept of the book of files with these marks: 121 files not opened are 8 ms of a start of 60."""
    key = cache.get(seen)
    return None if key is None else cache.get(key.decode())


def _read(
    folders: tuple[str, str], cache: Cache, seen: str, building: Callable[[], None] | None, judge: Judge | None
) -> Loaded:
    """The book by the content of its files, from the cache or built; where it is kept is noted by their marks."""
    files, problems = book_files(*folders)
    if problems:
        book, found = build_files(files)
        return _marked(book, (*problems, *found))
    key = BOOK.key(_judged(judge), *parts_of(files))
    loaded = _kept(cache, key, files, judge, building, trees=True)
    if seen:
        cache.put(seen, key.encode())
    return loaded


def of_files(files: Iterable[RuleFile], judge: Judge) -> Loaded:
    """Return the book of files that are at hand and its problems, from the cache if they were read before."""
    files = list(files)
    return _kept(Cache(), BOOK.key(_judged(judge), *parts_of(files)), files, judge)


def _kept(
    cache: Cache,
    key: str,
    files: Iterable[RuleFile],
    judge: Judge | None,
    building: Callable[[], None] | None = None,
    *,
    trees: bool = False,
) -> Loaded:
    """The book that is kept under a key; built, and kept, where there is none."""
    data = cache.get(key)
    if data is not None:
        return kept.book_from(data)
    if building is not None:
        building()
    loaded = build_files(files, judge, cache if trees else None)
    cache.put(key, kept.book_to(*loaded))
    return loaded


def build_files(files: Iterable[RuleFile], judge: Judge | None = None, cache: Cache | None = None) -> Loaded:
    """Build the book of some files, and judge it as a whole where every entry of it is sound.

    Files of a layer that have an error are set aside if no caution is lost with them (`building.set_aside`).

    Args:
        files: of the book.
        judge: as for `load`.
        cache: where what was read before is taken from.
    """
    from coldiron.language import building  # noqa: PLC0415 - parser and validator are needed only without a cache

    used = list(files)
    aside: tuple[str, ...] = ()
    told: list[Problem] = []
    while True:
        book, problems = building.built(used, book_hash(used), cache)
        if judge is not None and not errors(problems):
            problems += judge(book)
        leave = building.set_aside(used, errors(problems), cache)
        if not leave:
            return _marked(replace(book, aside=aside), (*told, *problems))
        aside += leave
        told += [one for one in problems if one.place.file in leave]
        used = [file for file in used if file.shown not in leave]


def _marked(book: Book, problems: tuple[Problem, ...]) -> Loaded:
    """A book that says of itself what is wrong with it, with all its problems."""
    broken = kept.broken_by(problems, book.aside)
    return (replace(book, broken=broken) if broken else book), problems


def book_hash(files: Iterable[RuleFile]) -> str:
    """Return the hash of a book: of the names and the bytes of its files."""
    digest = hashlib.sha256()
    for file in files:
        name = os.fsencode(file.name)
        digest.update(b"%d %d\0%s%s" % (len(name), len(file.data), name, file.data))
    return digest.hexdigest()
