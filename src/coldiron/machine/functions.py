"""What a machine is shown to do, or to refuse, before it is handed back: which functions, on which pages.

Several that stand at the same settings and give no figure are ticked on one page; every other is asked by itself. Each
page is put as a check is, so that settings, cautions and minutes are reckoned in one way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from coldiron.book.book import Book
from coldiron.book.checks import ODD, Band, Check, Finding, Reads
from coldiron.book.functions import Function
from coldiron.readings.choosing import choose_several
from coldiron.readings.findings import NOTHING, Understood, finding_of
from coldiron.readings.interpret import understand
from coldiron.readings.refusal import UNKNOWN, AnswerError

SHOW = "show."
TICK = "tick."
WORKS, FAILS, OPEN = "works", "fails", "open"
ALL, NONE = "all", "none"

FARTHEST = 1e9
"""No figure of a function is farther from nothing than this, in volts, amps or ohms."""

Page = tuple[Function, ...]


def functions_of(book: Book, circuit: str) -> tuple[Function, ...]:
    """The functions of one sort of machine, in the order of the book; none if the book has no such circuit."""
    known = book.circuits.get(circuit)
    if known is None:
        return ()
    parts = [part for piece in known.pieces for part in book.pieces[piece].parts]
    names = {*(part.id for part in parts), *(f"any {part.kind}" for part in parts)}
    return tuple(f for f in book.functions.values() if not f.has or any(str(one) in names for one in f.has))


def pages_of(functions: Iterable[Function]) -> tuple[Page, ...]:
    """The functions by page: neighbours that are ticked, need no kit and stand at the same settings share one."""
    pages: list[Page] = []
    for function in functions:
        last = pages[-1] if pages else ()
        if last and _ticked(function) and _ticked(last[0]) and last[0].state == function.state:
            pages[-1] = (*last, function)
        else:
            pages.append((function,))
    return tuple(pages)


def _ticked(function: Function) -> bool:
    return not function.quantity and not function.kit


def page_id(page: Page) -> str:
    """The id under which a page is asked."""
    return f"{SHOW if len(page) == 1 else TICK}{page[0].id}"


def is_page(name: str) -> bool:
    """Whether an id of the log is that of a page, or of one function, of some machine."""
    return name.startswith((SHOW, TICK))


def page_named(book: Book, circuit: str, name: str) -> Page:
    """The page of an id on one sort of machine; no functions at all if there is none of that id."""
    if not is_page(name):
        return ()
    functions = functions_of(book, circuit)
    if name.startswith(SHOW):
        return tuple(function for function in functions if SHOW + function.id == name)
    return next((page for page in pages_of(functions) if page_id(page) == name), ())


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
        minutes=sum(function.minutes for function in page),
        area=first.area,
        kit=first.kit,
        warns=tuple(dict.fromkeys(name for function in page for name in function.warns)),
        findings=_answers(first) if alone else _ticks(page),
        good=WORKS if first.quantity else "",
        wrong=0.0,
        spread=0.0,
        step=0.0,
        source=first.source,
    )


def _answers(function: Function) -> tuple[Finding, ...]:
    if function.quantity:
        others = tuple(other for band in function.bands for other in _beside(band))
        return Finding(WORKS, "", function.bands), Finding(FAILS, "", others)
    fitted = ", or there is none" if function.if_fitted else ""
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
            return ",".join(function.id for function in page)
        return ",".join(name for name in named if name != NONE) or NONE
    understood = understand(check, text, volts, batteries, sure=sure)
    return text if page[0].quantity else understood.finding


def shown_by(page: Page, value: str, volts: int, batteries: int) -> dict[str, Understood]:
    """What an answer of the log says of the functions of a page, by their ids; what was not ticked is left out."""
    if value in UNKNOWN:
        return {function.id: NOTHING for function in page}
    if len(page) > 1:
        return {function.id: Understood(WORKS) for function in page if function.id in value.split(",")}
    try:
        return {page[0].id: understand(as_check(page), value, volts, batteries, sure=True)}
    except AnswerError:
        return {page[0].id: NOTHING}  # a newer book reads it another way; the answer stays in the log


def has_failed(understood: Understood) -> bool:
    """Whether an answer says that a function does not do as it must."""
    return understood.finding in (FAILS, ODD)


def seen_by(
    book: Book, function: Function, understood: Understood, volts: int, batteries: int
) -> tuple[tuple[str, str], ...]:
    """The findings, by check, that the failure of a function stands for; none if it did as it must.

    A figure stands for a finding of a check of the same quantity only if that check would find the same by it: 200 A
    from a battery at rest are a short, .2 A are a lamp left on.
    """
    value = understood.value

    def agrees(check: Check, finding: str) -> bool:
        if value is None or check.reads.quantity != function.quantity:
            return True
        return finding_of(check, value, volts, batteries) == finding

    sees = function.sees if has_failed(understood) else ()
    return tuple((name, finding) for name, finding in sees if agrees(book.checks[name], finding))


def stops(functions: Sequence[Function]) -> bool:
    """Whether one of these functions keeps the machine out of service as long as it was not shown."""
    return any(function.keeps for function in functions)
