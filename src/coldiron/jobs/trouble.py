"""What can go wrong with the store, as one exception; told without SQLite, which a first question does without."""

from __future__ import annotations

from typing import Literal

TroubleKind = Literal[
    "full", "read_only", "locked", "damaged", "foreign", "newer", "conflict", "missing", "text", "failed"
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
    """Another process has added to the same log meanwhile. `latest` is the sequence number the log now ends with."""

    def __init__(self, latest: int) -> None:
        super().__init__(
            "conflict",
            "This job has been answered in another window meanwhile.",
            "Nothing of yours was saved twice. Close one of the two and resume the job.",
        )
        self.latest = latest


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
