"""Which cautions are due before a step, and which acknowledgements still hold."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coldiron.model import Book, Caution, Check, Due, FaultRef

TYPED = ("DANGER", "WARNING")
"""Signal words that must be acknowledged by typing the state seen."""

SEVERITY = (*TYPED, "CAUTION", "NOTICE")
"""Signal words, the most severe first."""


def target(book: Book, check: Check, settings: Mapping[str, str]) -> dict[str, str]:
    """The value every setting has when the check is taken: what the check asks for, the rest at normal."""
    asked = asked_of(check, guarded(book, settings))
    return {**{name: setting.normal for name, setting in book.settings.items()}, **asked}


def asked_of(check: Check, left: Mapping[str, str]) -> Mapping[str, str]:
    """The settings that are not just at normal when the check is taken: what it asks for, and what is left as it is.

    Nothing of `left` is put back only to look at something: no lead goes on for a pair of eyes.
    """
    return {**left, **check.state} if left and check.reads.quantity == "eye" else check.state


def guarded(book: Book, settings: Mapping[str, str]) -> dict[str, str]:
    """The settings not at normal where putting them back can hurt: a caution that has to be typed comes before it."""
    off = {name: value for name, value in settings.items() if value != book.settings[name].normal}
    return {name: value for name, value in off.items() if _guarded(book, name, book.settings[name].normal)}


def _guarded(book: Book, setting: str, value: str) -> bool:
    """Whether a caution that has to be typed is due before a setting takes a value."""
    return any(book.cautions[name].word in TYPED for name in before_setting(book, setting, value))


def before_check(book: Book, check: Check, settings: Mapping[str, str], extra: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the cautions due before a check, most severe first, as the book orders them.

    `settings` is the present state of the machine; a caution tied to a setting is due while the setting has that
    value during the check and whenever it has to be changed to it. `extra` are cautions a rule or an answer made due.
    """
    wanted = target(book, check, settings)
    named = {*check.warns, *extra}
    return _sorted(book, (c.id for c in book.cautions.values() if c.id in named or _due_at(c, check, wanted, settings)))


def _due_at(caution: Caution, check: Check, wanted: Mapping[str, str], settings: Mapping[str, str]) -> bool:
    for due in caution.due:
        if due.what == "check" and due.name in (check.id, check.id.partition(".")[0]):
            return True
        if due.what == "area" and due.name == check.area:
            return True
        if due.what == "setting" and wanted.get(due.name) == due.value and _stated(check, due, settings):
            return True
    return False


def _stated(check: Check, due: Due, settings: Mapping[str, str]) -> bool:
    """Whether the check itself asks for the setting, or the step changes the machine to it."""
    return due.name in check.state or settings.get(due.name) != due.value


def before_setting(book: Book, setting: str, value: str, extra: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the cautions due before one setting is put to a value; `extra` as in `before_check`."""
    wanted = (setting, value)
    named = set(extra)
    return _sorted(
        book,
        (
            c.id
            for c in book.cautions.values()
            if c.id in named or any(due.what == "setting" and (due.name, due.value) == wanted for due in c.due)
        ),
    )


def before_repair(book: Book, fault: str, extra: Iterable[str] = ()) -> tuple[str, ...]:
    """Ids of the cautions due before a repair: those of the fault itself and those declared for it."""
    known = book.faults[fault]
    named = {*known.what.cautions, *extra}
    return _sorted(
        book,
        (
            c.id
            for c in book.cautions.values()
            if c.id in named or any(due.what == "repair" and _covers(due.faults, fault, known.kind) for due in c.due)
        ),
    )


def at_start(book: Book) -> tuple[str, ...]:
    """Ids of the cautions due before the first step of any job."""
    return _sorted(book, (c.id for c in book.cautions.values() if any(due.what == "start" for due in c.due)))


def _covers(ref: FaultRef | None, fault: str, kind: str) -> bool:
    if ref is None:
        return True
    part, _, name = fault.partition(".")
    return (ref.part == part or ref.kind == kind) and ref.fault in ("", name)


def _sorted(book: Book, ids: Iterable[str]) -> tuple[str, ...]:
    """Most severe first, equal ones in the order in which they come: that of the book."""
    return tuple(sorted(dict.fromkeys(ids), key=lambda name: SEVERITY.index(book.cautions[name].word)))


def unacknowledged(book: Book, due: Iterable[str], acknowledged: Iterable[str]) -> tuple[Caution, ...]:
    """The due cautions that still have to be acknowledged by typing."""
    known = set(acknowledged)
    return tuple(book.cautions[name] for name in due if name not in known and book.cautions[name].word in TYPED)


def surviving(
    book: Book, acknowledged: Iterable[str], due: Iterable[str], before: Mapping[str, str], after: Mapping[str, str]
) -> frozenset[str]:
    """The acknowledgements that outlive a change of the machine's state.

    One ends when a setting of its `until` changes, unless it was given for the very step that makes the change.
    """
    changed = {name for name in after if before.get(name) != after[name]}
    step = set(due)
    return frozenset(name for name in acknowledged if name in step or changed.isdisjoint(book.cautions[name].until))
