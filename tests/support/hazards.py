"""What must be acknowledged before a step, and what has been, worked out from book and log in a way of its own.

Nothing here asks the program which cautions are due or which still hold: the law that no step which can hurt comes
without its caution is held against this.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from coldiron import Consultation, Question
from coldiron.book.book import Book
from coldiron.book.cautions import BeforeArea, BeforeCheck, BeforeRepair, BeforeSetting, BeforeStart, Due
from coldiron.book.checks import Check
from coldiron.book.duties import Duty
from coldiron.book.faults import FaultRef
from coldiron.book.variants import circuit_named
from coldiron.job.steps import Step, is_repaired, standing
from coldiron.machine.describing import named
from coldiron.machine.fitting import GONE, Said, describes
from coldiron.readings.refusal import NOT_FITTED
from support.rows import id_of, value_of

DEADLY = ("DANGER", "WARNING")
SET = "set."
LEFT = ("skip", "cannot reach", "not sure", "not fitted")
SHOW, TICK = "show.", "tick."


def neglected(consultation: Consultation, asked: Question | None = None, whole: Book | None = None) -> tuple[str, ...]:
    """The DANGER and WARNING cautions of the present step that nobody has acknowledged, sorted; none is as it must be.

    Args:
        consultation: a job.
        asked: the step, if it is not the present one.
        whole: the book to go by, if something was taken out of that of the job.
    """
    step = asked or consultation.next
    if step is None or step.kind in ("caution", "intake", "now"):
        return ()
    book = whole or consultation.book
    held = acknowledged(book, consultation.steps) - each_step(book)
    held |= {name for name in each_step(book) if said_for(book, consultation.steps, step, name)}
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
        if any(_meets_duty(book, due, duty, settings) for duty in page for due in caution.due):
            yield caution.id
    if check:
        yield from check.warns
    for duty in page:
        yield from duty.warns
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
    if isinstance(due, BeforeStart):
        return True
    if step.kind == "set":
        return isinstance(due, BeforeSetting) and (due.setting, due.value) == (_setting(step.id), step.choices[0])
    if step.kind == "repair":
        return isinstance(due, BeforeRepair) and _covers(due, step.id, book)
    check = book.checks.get(step.id)
    return check is not None and _meets_check(due, check, settings, wanted)


def _meets_check(due: Due, check: Check, settings: dict[str, str], wanted: dict[str, str]) -> bool:
    if isinstance(due, BeforeCheck):
        return due.check in (check.id, check.each and check.id.partition(".")[0])
    if isinstance(due, BeforeArea):
        return due.area == check.area
    if not isinstance(due, BeforeSetting):
        return False
    value = wanted[due.setting]
    return value == due.value and (due.setting in check.state or settings[due.setting] != value)


def shown_at(book: Book, steps: Iterable[Step], name: str) -> list[Duty]:
    """The duties on one page of the hand-back: the one named, or all that are ticked with it."""
    kind, _, first = name.partition(".")
    if f"{kind}." not in (SHOW, TICK) or first not in book.duties:
        return []
    fitting = _fitting(book, _said(book, steps))
    if book.duties[first] not in fitting:
        return []
    found = [book.duties[first]]
    for duty in fitting[fitting.index(found[0]) + 1 :] if f"{kind}." == TICK else ():
        alone = duty.keeps and len(duty.state) > 1
        if duty.state != found[0].state or duty.quantity or duty.kit or alone:
            break
        found.append(duty)
    return found


def _said(book: Book, steps: Iterable[Step]) -> dict[str, str]:
    """What a log says of the machine, latest last; which circuit that is, is no question of hazards."""
    said: dict[str, str] = {}
    for step in standing(steps):
        name = GONE + id_of(step) if id_of(step) in book.checks and value_of(step) == NOT_FITTED else id_of(step)
        if describes(name) or name.startswith(GONE):
            said.pop(name, None)
            said[name] = value_of(step)
    return said


_fit: dict[tuple[str, tuple[tuple[str, str], ...]], list[Duty]] = {}


def _fitting(book: Book, said: Said) -> list[Duty]:
    """The duties that a machine has the parts for; looked up once for each book."""
    key = book.hash, tuple(said.items())
    if key not in _fit:
        circuit = named(book, said)
        known = circuit_named(book, circuit)
        sections = [book.sections[section] for section in known.sections] if known else []
        kinds = {(part.id, part.kind) for section in sections for part in section.parts}
        fitting = [f for f in book.duties.values() if not f.has or any(_owns(kinds, ref) for ref in f.has)]
        fitting = [f for f in fitting if not any(_owns(kinds, ref) for ref in f.lacks)]
        _fit[key] = fitting if circuit else []
    return _fit[key]


def _owns(kinds: set[tuple[str, str]], ref: FaultRef) -> bool:
    return any(ref.part == part if ref.part else ref.kind == kind for part, kind in kinds)


def _meets_duty(book: Book, due: Due, duty: Duty, settings: dict[str, str]) -> bool:
    if isinstance(due, BeforeArea):
        return due.area == duty.area
    if not isinstance(due, BeforeSetting):
        return False
    wanted = duty.state.get(due.setting, book.settings[due.setting].normal)
    return wanted == due.value and (due.setting in duty.state or settings[due.setting] != wanted)


def _covers(due: BeforeRepair, fault: str, book: Book) -> bool:
    part, _, name = fault.partition(".")
    ref = due.faults
    where = book.faults[fault].kind == ref.kind if ref.kind else part == ref.part
    return where and (not ref.fault or ref.fault == name)


def _setting(name: str) -> str:
    return name.removeprefix(SET).partition("@")[0]


def settings_after(book: Book, steps: Sequence[Step]) -> dict[str, str]:
    """How the machine stands after a log, as told; empty where nobody has told."""
    settings = {name: setting.normal for name, setting in book.settings.items()}
    for step in standing(steps):
        settings.update(_told(book, step, settings, steps))
    return settings


def _told(book: Book, step: Step, settings: dict[str, str], steps: Sequence[Step]) -> dict[str, str]:
    """What is told of the machine by a step that was done: what springs back is back again."""
    told = dict(_moved(book, step, settings, steps))
    for name, value in told.items():
        springs = book.settings[name].springs
        if springs and value == springs[0]:
            told[name] = springs[1]
    return told


def _moved(book: Book, step: Step, settings: dict[str, str], steps: Sequence[Step]) -> dict[str, str]:
    """What a step moves. For eyes alone nothing is put back that is told by itself, or has a grave caution."""
    if step.kind != "answer":
        return {}
    if step.id.startswith(SET):
        return {_setting(step.id): step.value}
    if step.id == "away":
        return dict.fromkeys(settings, "") if step.value == "touched" else {}
    if step.id == "stands":
        return _looked(book, step.value)
    wanted: dict[str, str] = {}
    if step.id in book.checks:
        wanted = _taken(book, book.checks[step.id], settings)
    for duty in shown_at(book, steps, step.id):
        wanted = {name: duty.state.get(name, setting.normal) for name, setting in book.settings.items()}
    if step.value not in LEFT:
        return wanted
    return {n: "" for n, value in wanted.items() if not book.settings[n].confirm and settings[n] != value}


def _looked(book: Book, value: str) -> dict[str, str]:
    """One look round: what is named is not as usual, the rest of what is told by itself is."""
    if value in LEFT:
        return {}
    found = {name: setting.normal for name, setting in book.settings.items() if setting.confirm}
    for name in value.split(","):
        if name in found:
            setting = book.settings[name]
            found[name] = next(v for v in setting.values if v != setting.normal and v not in setting.springs[:1])
    return found


def _taken(book: Book, check: Check, settings: dict[str, str]) -> dict[str, str]:
    wanted = {}
    stays = _stays(book) if check.reads.quantity == "eye" else ()
    for name, setting in book.settings.items():
        wanted[name] = check.state.get(name, settings[name] if name in stays else setting.normal)
    return wanted


_put_back: dict[str, frozenset[str]] = {}


def _stays(book: Book) -> frozenset[str]:
    """The settings that nobody puts back for a look; looked up once for each book."""
    if book.hash not in _put_back:
        grave = [caution for caution in book.cautions.values() if caution.word in DEADLY]
        moves = {(d.setting, d.value) for caution in grave for d in caution.due if isinstance(d, BeforeSetting)}
        _put_back[book.hash] = frozenset(
            name for name, s in book.settings.items() if s.confirm or (name, s.normal) in moves
        )
    return _put_back[book.hash]


def each_step(book: Book) -> set[str]:
    """The cautions of one step alone: those that say `once`, and those before a value only held, until it is let go."""
    found = {name for name, caution in book.cautions.items() if "once" in caution.until}
    for name, setting in book.settings.items():
        for caution in book.cautions.values() if setting.springs else ():
            before = [due for due in caution.due if isinstance(due, BeforeSetting) and due.setting == name]
            if name in caution.until and any(due.value == setting.springs[0] for due in before):
                found.add(caution.id)
    return found


def said_for(book: Book, steps: Sequence[Step], asked: Question, caution: str) -> bool:
    """Whether a caution of one step was acknowledged for this step, the last thing before it but other cautions.

    In full, or by one key where it was read in full on the same stretch: no repair, no step left undone, nothing taken
    back or changed, no park, no pause and no setting since, in the same area.
    """
    step_id = asked.step if asked.kind == "set" else asked.id
    brief = False
    for at in range(len(steps) - 1, -1, -1):
        step = steps[at]
        names, _, before = id_of(step).partition("@")
        if step.kind == "ack" and caution in names.split(",") and (brief or before == step_id):
            if _in_full(book, caution, step):
                return True
            if not brief and _moves_on(book, steps[:at], asked):
                return False
            brief = True
        elif step.kind in ("back", "change", "park", "pause") or id_of(step).startswith(SET) or _repaired(step):
            return False
        elif step.kind != "ack" and _at_machine(book, steps, step):
            if not brief or value_of(step) in LEFT:
                return False
            if step.kind == "answer" and _moves_on(book, steps[:at], step):
                return any(
                    caution in id_of(one).partition("@")[0].split(",") and _in_full(book, caution, one)
                    for one in _acks_before(steps, at)
                )
        elif id_of(step) in ("away", "stands"):
            return False
    return False


def _in_full(book: Book, caution: str, step: Step) -> bool:
    """Whether one was acknowledged as it has to be: a DANGER by a typed word, a WARNING read whole by one key too."""
    return value_of(step) != "so" and (value_of(step) != "read" or book.cautions[caution].word == "WARNING")


def _acks_before(steps: Sequence[Step], at: int) -> Iterator[Step]:
    """The acknowledgements that were given for a step, whatever was told or noted between them."""
    for step in reversed(steps[:at]):
        if step.kind == "ack" and id_of(step).partition("@")[2] == id_of(steps[at]):
            yield step
        elif step.kind in ("back", "change", "park", "pause", "repair") or id_of(step).startswith(SET):
            return


def _at_machine(book: Book, steps: Sequence[Step], step: Step) -> bool:
    if step.kind == "read":
        return (step.id in book.checks or bool(shown_at(book, steps, step.id))) and step.value in LEFT
    return step.kind == "answer" and (step.id in book.checks or bool(shown_at(book, steps, step.id)))


def _moves_on(book: Book, steps: Sequence[Step], asked: Question | Step) -> bool:
    """Whether a step goes to another area than the one before it, or changes what is not only held."""
    area, wanted = _wants(book, steps, asked.id if isinstance(asked, Question) else id_of(asked))
    before = [_wants(book, steps, id_of(step))[0] for step in standing(steps) if _was_taken(book, steps, step)]
    settings = settings_after(book, steps)
    moved = any(value != settings[name] for name, value in wanted.items() if not book.settings[name].springs)
    return moved or _standing(book, area) != _standing(book, before[-1] if before else "")


def _standing(book: Book, area: str) -> str:
    """Where somebody stands who works in an area: one beside another is reached from there."""
    return (area in book.areas and book.areas[area].beside) or area


def _was_taken(book: Book, steps: Sequence[Step], step: Step) -> bool:
    return step.kind == "answer" and step.value not in LEFT and _at_machine(book, steps, step)


def _wants(book: Book, steps: Sequence[Step], name: str) -> tuple[str, dict[str, str]]:
    """The area of a step and every setting it is taken at."""
    if name in book.checks:
        return book.checks[name].area, _taken(book, book.checks[name], settings_after(book, steps))
    for duty in shown_at(book, steps, name):
        return duty.area, {n: duty.state.get(n, setting.normal) for n, setting in book.settings.items()}
    return "", {}


def acknowledged(book: Book, steps: Sequence[Step]) -> set[str]:
    """The cautions that stand acknowledged after a log, those of one step left out of account.

    Parking ends them all, so do a repair and another person. A change of a setting or an answer named by `until` ends
    one, unless it is the very change (or check) that the caution was given for.
    """
    held: set[str] = set()
    settings = {name: setting.normal for name, setting in book.settings.items()}
    undone = [at for at, step in enumerate(steps, 1) if step.kind in ("back", "change")]
    since = len(steps) - undone[-1] if undone else -1
    kept = standing(steps)
    for at, step in enumerate(kept):
        if at == len(kept) - since:  # what was acknowledged before something was taken back holds no more
            held.clear()
        if step.kind == "park" or _repaired(step) or _another(step):
            held.clear()
        elif step.kind == "ack":
            held.update(id_of(step).partition("@")[0].split(","))
        moved = _moved(book, step, settings, steps)
        changed = {name for name, value in moved.items() if settings[name] != value}
        changed |= {id_of(step)} & book.questions.keys()
        page = shown_at(book, steps, id_of(step))
        held = {
            name
            for name in held & book.cautions.keys()
            if not changed & set(book.cautions[name].until)
            or _for(book, name, step, moved)
            or any(_for_duty(book, name, duty, moved, settings) for duty in page)
        }
        settings.update(_told(book, step, settings, steps))
    return set() if since == 0 else held


def _repaired(step: Step) -> bool:
    return is_repaired(step)


def _another(step: Step) -> bool:
    return step.kind == "answer" and step.id == "away" and step.value != "same"


def _for(book: Book, caution: str, step: Step, moved: dict[str, str]) -> bool:
    """Whether a caution was given for this very step."""
    check = book.checks.get(id_of(step))
    for due in book.cautions[caution].due:
        if isinstance(due, BeforeSetting) and moved.get(due.setting) == due.value:
            stated = check is None or due.setting in check.state
            if stated or book.settings[due.setting].normal == due.value:
                return True
        if check is not None and isinstance(due, BeforeCheck) and due.check in (check.id, check.id.partition(".")[0]):
            return True
        if check is not None and isinstance(due, BeforeArea) and due.area == check.area:
            return True
    return check is not None and caution in check.warns


def _for_duty(book: Book, caution: str, duty: Duty, moved: dict[str, str], settings: dict[str, str]) -> bool:
    """Whether a caution was given for this very page."""
    if not moved:
        return False
    dues = book.cautions[caution].due
    return caution in duty.warns or any(_meets_duty(book, due, duty, settings) for due in dues)
