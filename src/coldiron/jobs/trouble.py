"""What can go wrong with the store, as one exception; told without SQLite, which a first question does without."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

TYPE_CHECKING = False
if TYPE_CHECKING:
    from coldiron.jobs.sums import Health

TroubleKind = Literal[
    "full", "read_only", "locked", "damaged", "foreign", "newer", "conflict", "missing", "text", "book", "failed"
]


class StoreTrouble(Exception):  # noqa: N818 - it is no mistake of the program's
    """The store could not do what was asked; what it held before is still there.

    `sentence` says what is wrong in plain words, `suggestion` what to do about it. The commands end with exit code 5.
    """

    def __init__(self, kind: TroubleKind, sentence: str, suggestion: str) -> None:
        super().__init__(f"{sentence} {suggestion}".strip())
        self.kind = kind
        self.sentence = sentence
        self.suggestion = suggestion


class Conflict(StoreTrouble):
    """Another process has added to the same log meanwhile.

    `latest` is the sequence number the log now ends with, `unsaved` what was not added: (kind, id, value) of each.
    """

    def __init__(self, latest: int, unsaved: Sequence[tuple[str, str, str]] = ()) -> None:
        told = "; ".join(_as_typed(*entry) for entry in unsaved)
        super().__init__(
            "conflict",
            "This job has been answered in another window meanwhile."
            + (f" Not saved, keep it and give it again: {told}" if told else ""),
            "All that was saved before is kept. Close one of the two windows and resume the job.",
        )
        self.latest = latest
        self.unsaved = tuple(unsaved)


def _as_typed(kind: str, name: str, value: str) -> str:
    """An entry as it can be typed again."""
    if kind == "repair":
        return f"done {name}" if value == "done" else f"{name} {value}"
    words = (name, value) if kind in ("answer", "read") else (value,) if kind == "ack" else (kind, name, value)
    return " ".join(word for word in words if word)


class JobDamage(StoreTrouble):
    """Something of one job is not as it was written. It is told where, and what is still sound."""

    def __init__(self, job: int, path: str, health: Health) -> None:
        super().__init__(
            "damaged",
            f"{_where(job, health)} in {path}. {_sound(health)}",
            f"Nothing has been thrown away. To go on with the sound part: coldiron resume {job} --sound",
        )
        self.job = job
        self.health = health


def _where(job: int, health: Health) -> str:
    """What is damaged, in words."""
    if not health.head:
        return f"The heading of job {job} (its name, its book, its date) is damaged"
    if health.sound == health.written:
        return f"A checksum of job {job} is damaged"
    if not health.later and health.sound == health.read:
        return f"{_missing(health)} of job {job}"
    return f"Entry {health.sound + 1} of job {job} is damaged"


def _sound(health: Health) -> str:
    if health.sound == health.written:
        return f"All its {health.written} entries are sound."
    before = (
        f"Sound before it: {_entries(range(1, health.sound + 1))}." if health.sound else "Nothing before it is sound."
    )
    after = f" Sound in themselves after it: {_entries(health.later)}." if health.later else ""
    return before + after


def _entries(numbers: Sequence[int]) -> str:
    """Numbers of entries in words, in stretches."""
    if len(numbers) == 1:
        return f"entry {numbers[0]}"
    stretches: list[list[int]] = []
    for number in numbers:
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    return "entries " + ", ".join(f"{one[0]} to {one[-1]}" if len(one) > 1 else str(one[0]) for one in stretches)


def _missing(health: Health) -> str:
    lacking = health.written - health.sound
    return "The last entry is missing" if lacking == 1 else f"The last {lacking} entries are missing"


_SENTENCES: dict[TroubleKind, tuple[str, str]] = {
    "full": (
        "There is no room left to save to {path}.",
        "Free some space and resume the job; all earlier answers are kept.",
    ),
    "read_only": (
        "{path} cannot be written.",
        "Check who owns the file and its folder, or set COLDIRON_HOME to a folder that can be written.",
    ),
    "locked": (
        "{path} is held by another program.",
        "Close the other window, or wait for it to finish, and try again.",
    ),
    "damaged": (
        "{path} is damaged.",
        "It has been left as it is. Copy it away before anything else, then set COLDIRON_HOME to a new folder.",
    ),
    "failed": (
        "{path} could not be read or written.",
        "Check the disk. All answers shown as saved before are kept.",
    ),
}


def trouble(kind: TroubleKind, path: str) -> StoreTrouble:
    """The trouble of this kind with the file at `path`."""
    sentence, suggestion = _SENTENCES[kind]
    return StoreTrouble(kind, sentence.format(path=path), suggestion)
