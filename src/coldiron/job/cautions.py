"""Which cautions are due before a step, and the cautions of a book by what they are due before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import assert_never

from coldiron.book.book import Book
from coldiron.book.cautions import BeforeArea, BeforeCheck, BeforeRepair, BeforeSetting, BeforeStart, Caution, Due
from coldiron.book.checks import Check
from coldiron.book.faults import FaultRef
from coldiron.record import dataclass, field


def target(book: Book, check: Check, settings: Mapping[str, str]) -> dict[str, str]:
    """The value every setting has when the check is taken: what the check asks for, the rest at normal."""
    asked = asked_of(book, check, guarded(book, settings))
    return {**{name: setting.normal for name, setting in book.settings.items()}, **asked}


def asked_of(book: Book, check: Check, left: Mapping[str, str]) -> Mapping[str, str]:
    """The settings that are not just at normal when the check is taken: what it asks for, and what is left as it is.

    Nothing of `left` is put back only to look at something: no lead goes on for a pair of eyes. What the key has to be
    turned for is no mere look: with the power off it shows nothing. Nor is put back what the check leaves as it stands.
    """
    if not left or (not check.leaves and not is_a_look(book, check)):
        return check.state
    stays = left if is_a_look(book, check) else {name: left[name] for name in check.leaves if name in left}
    return {**stays, **check.state}


def is_a_look(book: Book, check: Check) -> bool:
    """Whether eyes and hands do it, and nothing is turned for it that is held: START is no look, whoever listens."""
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


TYPED = ("DANGER", "WARNING")
"""Signal words that must be acknowledged by typing the state seen."""

SEVERITY = (*TYPED, "CAUTION", "NOTICE")
"""Signal words, the most severe first."""

ONCE = "once"
"""Behind `until`: the acknowledgement is for one step alone."""

MOST_BOOKS = 8
"""So many books are remembered, the latest: a program has one, a test or an audit some more."""

Ranks = list[int]


@dataclass(slots=True)
class Dues:
    """Which cautions are due before what. A caution is named by its rank: the most severe first, then as in the book.

    `ids` are the cautions by rank; `rank` is the way back. Settings are (name, value). `each_step` are those that are
    acknowledged for one step alone: what says `once`, and `starts`: before a value that is only held, like START.
    """

    ids: tuple[str, ...]
    rank: dict[str, int]
    settings: dict[tuple[str, str], Ranks] = field(default_factory=dict)
    checks: dict[str, Ranks] = field(default_factory=dict)
    areas: dict[str, Ranks] = field(default_factory=dict)
    start: Ranks = field(default_factory=list)
    repairs: list[tuple[int, FaultRef]] = field(default_factory=list)
    typed: set[tuple[str, str]] = field(default_factory=set)
    each_step: frozenset[str] = frozenset()
    starts: frozenset[str] = frozenset()

    def named(self, ranks: Iterable[int], extra: Iterable[str] = ()) -> tuple[str, ...]:
        """The ids of some cautions, each once, the most severe first; of `extra` those that the book has."""
        found = {*ranks, *(self.rank[name] for name in extra if name in self.rank)}
        return tuple([self.ids[rank] for rank in sorted(found)])

    def of_check(self, check: Check, wanted: Mapping[str, str], settings: Mapping[str, str]) -> set[int]:
        """Due before a check that is taken at the settings `wanted` of a machine that stands at `settings`.

        A caution tied to a setting is due if the check itself asks for it or the machine has to be changed to it.
        """
        found = {*self.areas.get(check.area, ())}
        for name in (check.id, check.id.partition(".")[0]):
            found.update(self.checks.get(name, ()))
        for pair in wanted.items():
            if pair in self.settings and (pair[0] in check.state or settings.get(pair[0]) != pair[1]):
                found.update(self.settings[pair])
        return found

    def of_repair(self, fault: str, kind: str) -> set[int]:
        """Due before the repair of a fault of a part of that kind."""
        return {rank for rank, faults in self.repairs if _covers(faults, fault, kind)}


def dues_of(book: Book) -> Dues:
    """The cautions of a book by what they are due before; worked out once for each book."""
    known = _known.get(id(book.cautions))
    if known is None:
        if len(_known) >= MOST_BOOKS:
            del _known[next(iter(_known))]
        known = _known[id(book.cautions)] = book.cautions, _sorted_out(book)
    return known[1]


_known: dict[int, tuple[Mapping[str, Caution], Dues]] = {}
"""By identity of the cautions; they are held here, so that no others can take their identity over."""


def _sorted_out(book: Book) -> Dues:
    cautions = book.cautions
    ids = tuple(sorted(cautions, key=lambda name: SEVERITY.index(cautions[name].word)))
    dues = Dues(ids, {name: rank for rank, name in enumerate(ids)})
    for rank, name in enumerate(ids):
        for due in cautions[name].due:
            _sort_in(dues, due, rank, typed=cautions[name].word in TYPED)
    held = {name: setting.held for name, setting in book.settings.items() if setting.held}
    dues.starts = frozenset(name for name in ids if _is_of_a_start(cautions[name], held))
    dues.each_step = dues.starts | {name for name in ids if ONCE in cautions[name].until}
    return dues


def _sort_in(dues: Dues, due: Due, rank: int, *, typed: bool) -> None:
    match due:
        case BeforeSetting(setting, value):
            dues.settings.setdefault((setting, value), []).append(rank)
            if typed:
                dues.typed.add((setting, value))
        case BeforeCheck(check):
            dues.checks.setdefault(check, []).append(rank)
        case BeforeArea(area):
            dues.areas.setdefault(area, []).append(rank)
        case BeforeRepair(faults):
            dues.repairs.append((rank, faults))
        case BeforeStart():
            dues.start.append(rank)
        case _:
            assert_never(due)


def _is_of_a_start(caution: Caution, held: Mapping[str, str]) -> bool:
    """Whether it stands before a value that is only held, and ends with that setting."""
    return any(
        isinstance(due, BeforeSetting) and held.get(due.setting) == due.value and due.setting in caution.until
        for due in caution.due
    )


def _covers(ref: FaultRef, fault: str, kind: str) -> bool:
    part, _, name = fault.partition(".")
    return ref.matches(part, kind, name)
