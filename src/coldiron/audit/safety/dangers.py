"""Dangers that nothing lifts, that bar nothing, or that bar what would lift them; questions that are never put."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.audit.sites import Site, base, sites
from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.dangers import BarsAll, BarsCheck, BarsSettings, Danger, Lift, Sign
from coldiron.book.problem import Problem
from coldiron.job.cautions import is_a_look
from coldiron.job.dangers import brings
from coldiron.mistakes import mistake


def dangers(book: Book) -> tuple[Problem, ...]:
    """Report what is wrong with the dangers of a book, and with the questions that stand before a step."""
    where = sites(book)
    return (
        *(problem for danger in book.dangers.values() for problem in _of(book, danger, where)),
        *_never_put(book),
    )


def _of(book: Book, danger: Danger, where: tuple[Site, ...]) -> Iterator[Problem]:
    if not danger.bars:
        yield mistake("danger-bars-nothing", danger.place, word=danger.id)
    if not danger.lifts:
        yield mistake("danger-unlifted", danger.place, word=danger.id)
        return
    for lift in danger.lifts:
        yield from _shut(book, danger, lift)
    for site in where:
        told = any(all(_made(book, sign, site) for sign in signs) for signs in danger.told)
        if told and not any(any(_made(book, sign, site) for sign in lift.signs) for lift in danger.lifts):
            yield mistake("danger-unlifted-on", danger.place, word=danger.id, circuit=site.circuit.id)


def _shut(book: Book, danger: Danger, lift: Lift) -> Iterator[Problem]:
    """A check that would lift a danger, and is barred by it."""
    normal = {name: setting.normal for name, setting in book.settings.items()}
    for sign in lift.signs:
        check = next(iter(_checks(book, sign)), None)
        if check is None:
            continue
        after = {**normal, **check.state}
        looks = is_a_look(book, check)
        for bar in danger.bars:
            named = isinstance(bar, BarsCheck) and bar.check in (check.id, base(check.id))
            brought = isinstance(bar, BarsSettings) and brings(bar.state, normal, after, looks=looks)
            if named or brought or isinstance(bar, BarsAll):
                yield mistake("danger-bars-its-lift", lift.place, word=danger.id, check=sign.name)
                break


def _checks(book: Book, sign: Sign) -> list[Check]:
    """The checks that a sign speaks of; of a template every one that is made of it."""
    if sign.test != "finding":
        return []
    return [check for name, check in book.checks.items() if sign.name in (name, base(name))]


def _made(book: Book, sign: Sign, site: Site) -> bool:
    """Whether a sign can be found on a circuit; words can always be said."""
    return sign.test != "finding" or any(not site.lacks(check) for check in _checks(book, sign))


def _never_put(book: Book) -> Iterator[Problem]:
    """Questions of the stage `before` that stand before nothing and lift nothing."""
    lifting = {sign.name for danger in book.dangers.values() for lift in danger.lifts for sign in lift.signs}
    for asked in book.questions.values():
        if asked.stage == "before" and not asked.before and asked.id not in lifting:
            yield mistake("never-put", asked.place, word=asked.id)
