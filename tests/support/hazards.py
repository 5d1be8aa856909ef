"""What must be acknowledged before a step, and what has been, worked out from book and log in a way of its own.

Nothing here asks the program which cautions are due or which still hold: the law that no step which can hurt comes
without its caution is held against this.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from coldiron import Consultation, Question
from coldiron.consult.describing import GONE, Said, describes, named
from coldiron.consult.steps import NOT_FITTED, Step, standing
from coldiron.model import Book, Check, Due, FaultRef, Function

DEADLY = ("DANGER", "WARNING")
UNDO = "undo."
SHOW, TICK = "show.", "tick."


def neglected(consultation: Consultation, asked: Question | None = None, whole: Book | None = None) -> tuple[str, ...]:
    """The DANGER and WARNING cautions of the present step that nobody has acknowledged, sorted; none is as it must be.

    Args:
        consultation: a job.
        asked: the step, if it is not the present one.
        whole: the book to go by, if something was taken out of that of the job.
    """
    step = asked or consultation.next
    if step is None or step.kind in ("caution", "intake"):
        return ()
    book = whole or consultation.book
    held = acknowledged(book, consultation.steps)
    due = set(due_before(consultation, step, book))
    return tuple(sorted(name for name in due - held if book.cautions[name].word in DEADLY))


def due_before(consultation: Consultation, step: Question, whole: Book | None = None) -> Iterator[str]:
    """Cautions due before a step of a known machine, by the lines of the book of the job, or of a whole one."""
    book = whole or consultation.book
    if consultation.judged is None:
        return
    yield from _always(consultation)
    settings = settings_after(book, consultation.steps)
    check = book.checks.get(step.id)
    wanted = _taken(book, check, settings) if check else {}
    page = shown_at(book, consultation.steps, step.id)
    for caution in book.cautions.values():
        if any(_meets(book, due, step, settings, wanted) for due in caution.due):
            yield caution.id
        if any(_meets_function(book, due, function, settings) for function in page for due in caution.due):
            yield caution.id
    if check:
        yield from check.warns
    for function in page:
        yield from function.warns
    if step.kind == "repair":
        yield from book.faults[step.id].what.cautions


def _always(consultation: Consultation) -> Iterator[str]:
    """What the answers of the owner and the rules of the shop made due before every step."""
    book, state = consultation.book, consultation.state
    for name, chosen in state.questions.items():
        for answer in book.questions[name].answers:
            if answer.id in chosen:
                yield from answer.warns
    if consultation.judged is not None:
        yield from consultation.judged.directives.warned


def _meets(book: Book, due: Due, step: Question, settings: dict[str, str], wanted: dict[str, str]) -> bool:
    if due.what == "start":
        return True
    if step.id.startswith(UNDO):
        return due.what == "setting" and (due.name, due.value) == (step.id.removeprefix(UNDO), step.choices[0])
    if step.kind == "repair":
        return due.what == "repair" and _covers(due, step.id, book)
    check = book.checks.get(step.id)
    return check is not None and _meets_check(due, check, settings, wanted)


def _meets_check(due: Due, check: Check, settings: dict[str, str], wanted: dict[str, str]) -> bool:
    if due.what == "check":
        return due.name in (check.id, check.each and check.id.partition(".")[0])
    if due.what == "area":
        return due.name == check.area
    if due.what != "setting":
        return False
    value = wanted[due.name]
    return value == due.value and (due.name in check.state or settings[due.name] != value)


def shown_at(book: Book, steps: Iterable[Step], name: str) -> list[Function]:
    """The functions on one page of the hand-back: the one named, or all that are ticked with it."""
    kind, _, first = name.partition(".")
    if f"{kind}." not in (SHOW, TICK) or first not in book.functions:
        return []
    fitting = _fitting(book, _said(book, steps))
    if book.functions[first] not in fitting:
        return []
    found = [book.functions[first]]
    for function in fitting[fitting.index(found[0]) + 1 :] if f"{kind}." == TICK else ():
        if function.state != found[0].state or function.quantity or function.kit:
            break
        found.append(function)
    return found


def _said(book: Book, steps: Iterable[Step]) -> dict[str, str]:
    """What a log says of the machine, latest last; which circuit that is, is no question of hazards."""
    said: dict[str, str] = {}
    for step in standing(steps):
        name = GONE + step.id if step.id in book.checks and step.value == NOT_FITTED else step.id
        if describes(name) or name.startswith(GONE):
            said.pop(name, None)
            said[name] = step.value
    return said


_fit: dict[tuple[str, tuple[tuple[str, str], ...]], list[Function]] = {}


def _fitting(book: Book, said: Said) -> list[Function]:
    """The functions that a machine has the parts for; looked up once for each book."""
    key = book.hash, tuple(said.items())
    if key not in _fit:
        circuit = named(book, said)
        pieces = [book.pieces[piece] for piece in book.circuits[circuit].pieces] if circuit else []
        kinds = {(part.id, part.kind) for piece in pieces for part in piece.parts}
        fitting = [f for f in book.functions.values() if not f.has or any(_owns(kinds, ref) for ref in f.has)]
        _fit[key] = fitting if circuit else []
    return _fit[key]


def _owns(kinds: set[tuple[str, str]], ref: FaultRef) -> bool:
    return any(ref.part == part if ref.part else ref.kind == kind for part, kind in kinds)


def _meets_function(book: Book, due: Due, function: Function, settings: dict[str, str]) -> bool:
    if due.what == "area":
        return due.name == function.area
    if due.what != "setting":
        return False
    wanted = function.state.get(due.name, book.settings[due.name].normal)
    return wanted == due.value and (due.name in function.state or settings[due.name] != wanted)


def _covers(due: Due, fault: str, book: Book) -> bool:
    part, _, name = fault.partition(".")
    ref = due.faults
    if ref is None:
        return True
    where = book.faults[fault].kind == ref.kind if ref.kind else part == ref.part
    return where and (not ref.fault or ref.fault == name)


def settings_after(book: Book, steps: Sequence[Step]) -> dict[str, str]:
    """How the machine stands after a log."""
    settings = {name: setting.normal for name, setting in book.settings.items()}
    for step in standing(steps):
        settings.update(_moved(book, step, settings, steps))
    return settings


def _moved(book: Book, step: Step, settings: dict[str, str], steps: Sequence[Step]) -> dict[str, str]:
    """What a step changes. For eyes alone nothing is put back that has a grave caution of its own."""
    if step.kind != "answer":
        return {}
    if step.id in book.checks:
        return _taken(book, book.checks[step.id], settings)
    if step.id.startswith(UNDO):
        return {step.id.removeprefix(UNDO): step.value}
    for function in shown_at(book, steps, step.id):
        return {name: function.state.get(name, setting.normal) for name, setting in book.settings.items()}
    return {}


def _taken(book: Book, check: Check, settings: dict[str, str]) -> dict[str, str]:
    wanted = {}
    hurts = _hurts_to_put_back(book) if check.reads.quantity == "eye" else ()
    for name, setting in book.settings.items():
        wanted[name] = check.state.get(name, settings[name] if name in hurts else setting.normal)
    return wanted


_put_back: dict[str, frozenset[str]] = {}


def _hurts_to_put_back(book: Book) -> frozenset[str]:
    """The settings whose normal value a grave caution stands before; looked up once for each book."""
    if book.hash not in _put_back:
        grave = [caution for caution in book.cautions.values() if caution.word in DEADLY]
        moves = {(due.name, due.value) for caution in grave for due in caution.due if due.what == "setting"}
        _put_back[book.hash] = frozenset(name for name, s in book.settings.items() if (name, s.normal) in moves)
    return _put_back[book.hash]


def acknowledged(book: Book, steps: Sequence[Step]) -> set[str]:
    """The cautions that stand acknowledged after a log.

    Parking ends them all. A change of a setting named by `until` ends one, unless it is the very change (or check)
    that the caution was given for.
    """
    held: set[str] = set()
    settings = {name: setting.normal for name, setting in book.settings.items()}
    for step in standing(steps):
        if step.kind == "park":
            held.clear()
        elif step.kind == "ack":
            held.add(step.id)
        moved = _moved(book, step, settings, steps)
        changed = {name for name, value in moved.items() if settings[name] != value}
        page = shown_at(book, steps, step.id)
        held = {
            name
            for name in held
            if not changed & set(book.cautions[name].until)
            or _for(book, name, step, moved)
            or any(_for_function(book, name, function, moved, settings) for function in page)
        }
        settings.update(moved)
    return held


def _for(book: Book, caution: str, step: Step, moved: dict[str, str]) -> bool:
    """Whether a caution was given for this very step."""
    check = book.checks.get(step.id)
    for due in book.cautions[caution].due:
        if due.what == "setting" and moved.get(due.name) == due.value:
            stated = check is None or due.name in check.state
            if stated or book.settings[due.name].normal == due.value:
                return True
        if check is not None and due.what == "check" and due.name in (check.id, check.id.partition(".")[0]):
            return True
        if check is not None and due.what == "area" and due.name == check.area:
            return True
    return check is not None and caution in check.warns


def _for_function(
    book: Book, caution: str, function: Function, moved: dict[str, str], settings: dict[str, str]
) -> bool:
    """Whether a caution was given for this very page."""
    if not moved:
        return False
    dues = book.cautions[caution].due
    return caution in function.warns or any(_meets_function(book, due, function, settings) for due in dues)
