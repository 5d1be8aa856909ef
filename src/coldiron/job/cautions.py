"""Which cautions are due before a step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.job.dues import dues_of


def target(book: Book, check: Check, settings: Mapping[str, str]) -> dict[str, str]:
    """The value every setting has when the check is taken: what the check asks for, the rest at normal."""
    asked = asked_of(book, check, guarded(book, settings))
    return {**{name: setting.normal for name, setting in book.settings.items()}, **asked}


def asked_of(book: Book, check: Check, left: Mapping[str, str]) -> Mapping[str, str]:
    """The settings that are not just at normal when the check is taken: what it asks for, and what is left as it is.

    Nothing of `left` is put back only to look at something: no lead goes on for a pair of eyes. What the key has to be
    turned for is no mere look: with the power off it shows nothing.
    """
    return {**left, **check.state} if left and _is_a_look(book, check) else check.state


def _is_a_look(book: Book, check: Check) -> bool:
    turned = (name for name, value in check.state.items() if value != book.settings[name].normal)
    return check.reads.quantity == "eye" and not any(book.settings[name].springs for name in turned)


def guarded(book: Book, settings: Mapping[str, str]) -> dict[str, str]:
    """The settings not at normal that are not put back for a look: those that can hurt, and those said by themselves.

    A setting can hurt where a caution that has to be typed stands before its normal value.
    """
    off = {name: value for name, value in settings.items() if value != book.settings[name].normal}
    typed = dues_of(book).typed
    return {
        name: value
        for name, value in off.items()
        if book.settings[name].confirm or (name, book.settings[name].normal) in typed
    }


def before_check(book: Book, check: Check, settings: Mapping[str, str], extra: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the cautions due before a check, most severe first, as the book orders them.

    `settings` is the present state of the machine; a caution tied to a setting is due while the setting has that
    value during the check and whenever it has to be changed to it. `extra` are cautions a rule or an answer made due.
    """
    dues = dues_of(book)
    due = dues.of_check(check, target(book, check, settings), settings)
    return dues.named(due, extra=(*check.warns, *extra))


def before_setting(book: Book, setting: str, value: str, extra: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the cautions due before one setting is put to a value; `extra` as in `before_check`."""
    dues = dues_of(book)
    return dues.named(dues.settings.get((setting, value), ()), extra=extra)


def before_repair(book: Book, fault: str, extra: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the cautions due before a repair: those of the fault itself and those declared for it."""
    dues = dues_of(book)
    known = book.faults[fault]
    return dues.named(dues.of_repair(fault, known.kind), extra=(*known.what.cautions, *extra))


def at_start(book: Book) -> tuple[str, ...]:
    """Ids of the cautions due before the first step of any job."""
    dues = dues_of(book)
    return dues.named(dues.start)
