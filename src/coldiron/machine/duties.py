"""What a machine is shown to do, or to refuse, before it is handed back: which duties, on which pages.

Several that stand at the same settings and give no figure are ticked on one page; every other is asked by itself, and
so is every interlock. Each page is put as a check is, so that settings, cautions and minutes are reckoned in one way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from coldiron.book.book import Book
from coldiron.book.checks import ODD, Band, Check, Finding, Reads
from coldiron.book.duties import Duty
from coldiron.book.variants import circuit_named
from coldiron.readings.choosing import choose_several
from coldiron.readings.findings import NOTHING, Understood, finding_of
from coldiron.readings.interpret import understand
from coldiron.readings.refusal import UNKNOWN, AnswerError

SHOW = "show."
TICK = "tick."
WORKS, FAILS, OPEN = "works", "fails", "open"
ALL, NONE = "all", "none"

FARTHEST = 1e9
"""No figure of a duty is farther from nothing than this, in volts, amps or ohms."""

Page = tuple[Duty, ...]


def duties_of(book: Book, circuit: str) -> tuple[Duty, ...]:
    """The duties of one sort of machine, in the order of the book; none if the book has no such circuit."""
    known = circuit_named(book, circuit)
    if known is None:
        return ()
    parts = [part for section in known.sections for part in book.sections[section].parts]
    names = {*(part.id for part in parts), *(f"any {part.kind}" for part in parts)}
    return tuple(
        f
        for f in book.duties.values()
        if (not f.has or any(str(one) in names for one in f.has)) and not any(str(one) in names for one in f.lacks)
    )


def pages_of(duties: Iterable[Duty]) -> tuple[Page, ...]:
    """The duties by page: neighbours that are ticked, need no kit and stand at the same settings share one."""
    pages: list[Page] = []
    for duty in duties:
        last = pages[-1] if pages else ()
        if last and _ticked(duty) and _ticked(last[0]) and last[0].state == duty.state:
            pages[-1] = (*last, duty)
        else:
            pages.append((duty,))
    return tuple(pages)


def _ticked(duty: Duty) -> bool:
    return not duty.quantity and not duty.kit and not _interlock(duty)


def _interlock(duty: Duty) -> bool:
    """Whether the machine must refuse, or never be used, at settings besides the key: how it is done must be read."""
    return duty.keeps and len(duty.state) > 1


def page_id(page: Page) -> str:
    """The id under which a page is asked."""
    return f"{SHOW if len(page) == 1 else TICK}{page[0].id}"


def is_page(name: str) -> bool:
    """Whether an id of the log is that of a page, or of one duty, of some machine."""
    return name.startswith((SHOW, TICK))


def page_named(book: Book, circuit: str, name: str) -> Page:
    """The page of an id on one sort of machine; no duties at all if there is none of that id."""
    if not is_page(name):
        return ()
    duties = duties_of(book, circuit)
    if name.startswith(SHOW):
        return tuple(duty for duty in duties if SHOW + duty.id == name)
    return next((page for page in pages_of(duties) if page_id(page) == name), ())


def as_check(page: Page) -> Check:
    """A page as a check: what is asked, at which settings, with which cautions, and what can be answered."""
    first = page[0]
    alone = len(page) == 1
    return Check(
        id=page_id(page),
        ask=first.ask if alone else "Try each of these. Name those that you saw work right.",
        how=first.how if alone else "",
        reads=Reads(first.quantity or "glow"),
        state=first.state,
        minutes=sum(duty.minutes for duty in page),
        area=first.area,
        kit=first.kit,
        warns=tuple(dict.fromkeys(name for duty in page for name in duty.warns)),
        findings=_answers(first) if alone else _ticks(page),
        good=WORKS if first.quantity else "",
        wrong=0.0,
        spread=0.0,
        step=0.0,
        source=first.source,
    )


def _answers(duty: Duty) -> tuple[Finding, ...]:
    if duty.quantity:
        others = tuple(other for band in duty.bands for other in _beside(band))
        return Finding(WORKS, "", duty.bands), Finding(FAILS, "", others)
    fitted = ", or there is none" if duty.if_fitted else ""
    return (
        Finding(WORKS, f"works right{fitted}", ()),
        Finding(FAILS, "fails", ()),
        Finding(OPEN, "not shown now", ()),
    )


def _beside(band: Band) -> Iterator[Band]:
    """What lies below and above a band."""
    yield Band(-FARTHEST, band.low, band.volts, band.per_battery)
    yield Band(band.high, FARTHEST, band.volts, band.per_battery)


def _ticks(page: Page) -> tuple[Finding, ...]:
    rows = (Finding(f.id, f"{f.ask}{' (if there is any)' if f.if_fitted else ''}", ()) for f in page)
    return Finding(ALL, "all of these", ()), Finding(NONE, "none of these", ()), *rows


def said(page: Page, text: str, volts: int, batteries: int, *, sure: bool) -> str:
    """What is written in the log for an answer to a page: a reading as typed, an answer, or the ids of what was ticked.

    Raises:
        AnswerError: the answer is no choice, cannot be read, or is implausible (accepted with `sure`).
    """
    check = as_check(page)
    if text.lower() in UNKNOWN:
        return text.lower()
    if len(page) > 1:
        pairs = [(finding.id, finding.meaning) for finding in check.findings]
        named = choose_several(text, pairs)
        if ALL in named:
            return ",".join(duty.id for duty in page)
        return ",".join(name for name in named if name != NONE) or NONE
    understood = understand(check, text, volts, batteries, sure=sure)
    return text if page[0].quantity else understood.finding


def shown_by(page: Page, value: str, volts: int, batteries: int) -> dict[str, Understood]:
    """What an answer of the log says of the duties of a page, by their ids; what was not ticked is left out."""
    if value in UNKNOWN:
        return {duty.id: NOTHING for duty in page}
    if len(page) > 1:
        return {duty.id: Understood(WORKS) for duty in page if duty.id in value.split(",")}
    try:
        return {page[0].id: understand(as_check(page), value, volts, batteries, sure=True)}
    except AnswerError:
        return {page[0].id: NOTHING}  # a newer book reads it another way; the answer stays in the log


def has_failed(understood: Understood) -> bool:
    """Whether an answer says that a duty does not do as it must."""
    return understood.finding in (FAILS, ODD)


def seen_by(book: Book, duty: Duty, understood: Understood, volts: int, batteries: int) -> tuple[tuple[str, str], ...]:
    """The findings, by check, that the failure of a duty stands for; none if it did as it must.

    A figure stands for a finding of a check of the same quantity only if that check would find the same by it: 200 A
    from a battery at rest are a short, .2 A are a lamp left on.
    """
    value = understood.value

    def agrees(check: Check, finding: str) -> bool:
        if value is None or check.reads.quantity != duty.quantity:
            return True
        return finding_of(check, value, volts, batteries) == finding

    fails_as = duty.fails_as if has_failed(understood) else ()
    return tuple((name, finding) for name, finding in fails_as if agrees(book.checks[name], finding))


def stops(duties: Sequence[Duty]) -> bool:
    """Whether one of these duties keeps the machine out of service as long as it was not shown."""
    return any(duty.keeps for duty in duties)
