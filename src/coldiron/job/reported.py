"""How the machine stands, as far as somebody has said so.

A setting has the value that was last told, or `NOT_TOLD`. It changes by what was said: a reading that was taken, "the
lead is off". A step that was only offered, or left undone, moves nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.book import Book

NOT_TOLD = ""
"""The value of a setting of which nobody knows how it stands now."""

NOT_DONE = "not done"
"""The answer that a setting was left as it stands."""

Settings = dict[str, str]


def at_rest(book: Book, settings: Mapping[str, str]) -> Settings:
    """The settings once a step is over: what was only held has sprung back."""
    return {name: rest_of(book, name, value) for name, value in settings.items()}


def rest_of(book: Book, name: str, value: str) -> str:
    """What a setting stands at when nobody holds it any more."""
    setting = book.settings[name]
    return setting.springs[1] if setting.springs and value == setting.held else value


def to_confirm(book: Book, told: Mapping[str, str], wanted: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """What has to be said by itself before a step: (setting, value), in the order in which it is to be done.

    What stands nearer to the battery in the book goes off first and on last: the lead before the link comes out, the
    link before the lead goes back on.
    """
    ranks = {name: rank for rank, name in enumerate(book.settings)}
    moved = [
        (name, rest_of(book, name, value))
        for name, value in wanted.items()
        if book.settings[name].confirm and rest_of(book, name, value) != told.get(name, NOT_TOLD)
    ]
    back = sorted((pair for pair in moved if pair[1] == book.settings[pair[0]].normal), key=lambda p: -ranks[p[0]])
    away = sorted((pair for pair in moved if pair not in back), key=lambda p: ranks[p[0]])
    nearest = min((ranks[name] for name, _ in back), default=len(ranks))
    first = [pair for pair in away if ranks[pair[0]] < nearest]
    return (*first, *back, *(pair for pair in away if pair not in first))


def left_alone(book: Book, told: Mapping[str, str], wanted: Mapping[str, str]) -> Settings:
    """The settings after a step that was offered and not taken.

    What is said by itself stays as it was said. Of the rest nobody knows how far it was set, so it is not told.
    """
    return {
        name: value if book.settings[name].confirm or wanted.get(name, value) == value else NOT_TOLD
        for name, value in told.items()
    }


def nothing_told(told: Mapping[str, str]) -> Settings:
    """The settings after somebody else was at the machine: nothing is told any more."""
    return dict.fromkeys(told, NOT_TOLD)


def all_normal(book: Book) -> Settings:
    """Every setting as the machine is handed back."""
    return {name: setting.normal for name, setting in book.settings.items()}
