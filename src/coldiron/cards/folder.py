"""The folder of the cards, one text file a machine, and the name of the file of each."""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from pathlib import Path

from coldiron.jobs.home import home
from coldiron.jobs.trouble import StoreTrouble, trouble

FOLDER, SUFFIX, DAMAGED = "machines", ".rules", ".damaged"

MOST_BYTES = 100_000
"""Of a card; one more is read, so that a longer one is seen to be longer."""

LONGEST = 60
"""Characters of the id of a card that come from the machine's name."""

DIGITS = 8
"""Of the hash that stands for what an id cannot hold of a name."""


def id_of(name: str) -> str:
    """The id of the machine of a name, which is the name of its file too; empty for no name.

    Capitals, blanks and signs make no other machine. Letters that an id cannot hold are told apart by a hash.
    """
    plain = " ".join(name.casefold().split())
    letters = "".join(letter if letter.isascii() and letter.isalnum() else " " for letter in plain)
    made = "_".join(letters.split())
    if not made and not plain:
        return ""
    whole = all(letter.isascii() or not letter.isalnum() for letter in plain)
    if not whole or not made or len(made) > LONGEST:
        digest = hashlib.sha256(plain.encode("utf-8", "replace")).hexdigest()[:DIGITS]
        made = "_".join(filter(None, (made[:LONGEST], digest)))
    return made if made[0].isalpha() and "_" in made else f"m_{made}"


def path_of(name: str) -> Path:
    """The file of the card of a machine; one that is never there for no name."""
    return home() / FOLDER / (id_of(name) + SUFFIX)


def data_of(path: Path) -> bytes | None:
    """What stands in the file of a card, of one too long a byte more than it may have; None where there is none."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError):
        return None


def files() -> tuple[Path, ...]:
    """The files of all cards, by name."""
    try:
        return tuple(sorted(path for path in (home() / FOLDER).iterdir() if path.suffix == SUFFIX))
    except OSError:
        return ()


def write(path: Path, text: str) -> None:
    """Write a card beside its place first, then move it there in one step: folder 0700, file 0600.

    Raises:
        StoreTrouble: it cannot be written; what stood there before still does.
    """
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        with suppress(OSError):
            beside.unlink()
        raise _trouble(path) from error


def set_aside(path: Path) -> None:
    """Keep a card that cannot be read beside its place, under a name of its own.

    Raises:
        StoreTrouble: it cannot be moved.
    """
    number = 1
    while (aside := path.with_name(f"{path.name}{DAMAGED}{number}")).exists():
        number += 1
    try:
        path.rename(aside)
    except OSError as error:
        raise _trouble(path) from error


def _trouble(path: Path) -> StoreTrouble:
    return trouble("read_only", str(path))
