"""Walks through whole jobs: anything typed in any order, then honest answers to the end, and the laws of safety held.

After every move, whatever was typed before it:
- no step is asked for while a DANGER or WARNING due before it, in the present state of the machine, is not acknowledged
  (`support.hazards` reckons that from book and log alone, in a way of its own);
- nothing is asked twice in one epoch, but a measured reading or a failed proof once more, where much hangs on it or
  others contradict it;
- nothing is handed back while anything is not put back.
From wherever the walk has got to, honest answers bring the job to its end, and the end says what it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from coldiron import Consultation, Question
from coldiron.agenda.preparing import repair_question
from coldiron.book.book import Book
from coldiron.book.checks import UNITS
from coldiron.job.cautions import before_check, before_repair
from coldiron.judging import composing
from coldiron.judging.composing import setup_of
from support.hazards import neglected, settings_after
from support.mechanic import Mechanic, shipped
from support.wander import Wanderer, lesser

MOVES = 20
"""Moves of a walk before it makes for the end."""

HOME = 500
"""Answers after which a job that has not ended never will. Most need a few dozen; where another machine was named they
are no more than drawn, and fit nothing through ten repairs."""

OVER = ("handed back", "out of service")
"""A job that asks nothing more is one of these, or says what it needs."""

DARING = 0.5
"""How often, of all moves, a step that can hurt is made for on purpose."""

BLOCK = 50
"""Walks over the same few faults of a circuit."""

WHOLE = 100
"""One walk in so many is over a whole machine."""


@dataclass
class Tally:
    """What walks have come to: how many, over how many states, how they ended, and what was wrong."""

    walks: int = 0
    states: int = 0
    grave: int = 0
    ends: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def add(self, more: Tally) -> None:
        """Count more walks in."""
        self.walks += more.walks
        self.states += more.states
        self.grave += more.grave
        self.ends += more.ends
        self.wrong += more.wrong

    def __str__(self) -> str:
        ends = ", ".join(f"{number} {end}" for end, number in self.ends.most_common())
        return f"{self.walks} walks, {self.states} states, {self.grave} grave: {ends}; {len(self.wrong)} wrong"


ASIDE = 4
"""Things that are told, each by itself, at a step with what stands before it acknowledged."""


def wanderer(circuit: str, seed: int, *, whole: bool = False) -> Wanderer:
    """Who makes a walk: over a whole machine, or over one with a few of its faults, which is quicker."""
    book = shipped() if whole else lesser(circuit, seed // BLOCK)
    faults = sorted(setup_of(book, circuit).machine.faults)
    story = {"raised": book.questions["raised"].answers[-1 - seed % len(book.questions["raised"].answers)].id}
    hidden = frozenset((faults[seed % len(faults)],))
    return Wanderer(Mechanic(book, circuit, hidden, seed=seed, story=story), seed, daring=DARING)


def walk(circuit: str, seed: int, tally: Tally, *, whole: bool = False) -> None:
    """One walk to its end; what is wrong is written down with what repeats it."""
    walker = wanderer(circuit, seed, whole=whole)
    now, tally.walks = Consultation(walker.book), tally.walks + 1
    for state, move in _states(walker, now):
        now, tally.states = state, tally.states + 1
        if now.next is not None and walker.grave(now, now.next):
            tally.grave += 1
        tally.wrong += [f"{circuit}, walk {seed}, after {move}: {wrong}" for wrong in wrongs(now)]
    end = now.verdict.status if now.next is None else "no end"
    tally.ends[end] += 1
    if now.next is not None or not (end in OVER or now.verdict.needs):
        tally.wrong.append(f"{circuit}, walk {seed}: ends with {end}")


def _states(walker: Wanderer, now: Consultation) -> Iterator[tuple[Consultation, str]]:
    for state, move in walker.walk(MOVES, now):
        now = state
        yield state, move
    yield from walker.home(now, HOME)


def unwarned(circuit: str, seeds: Iterable[int]) -> Iterator[str]:
    """The steps that come without their caution on short walks."""
    for seed in seeds:
        for now, _ in wanderer(circuit, seed).walk(MOVES):
            yield from (f"walk {seed}: {wrong}" for wrong in wrongs(now) if " without " in wrong)


def untold(circuit: str, seeds: Iterable[int]) -> Iterator[str]:
    """The steps that come without their caution once something else was told before a step that had its own."""
    for seed in seeds:
        walker = wanderer(circuit, seed)
        for now, _ in walker.walk(MOVES):
            if now.next is not None and now.next.kind in ("check", "proof") and walker.grave(now, now.next):
                told = (walker.tell(now) for _ in range(ASIDE))
                yield from (wrong for after in told for wrong in wrongs(after) if " without " in wrong)


COMPLAINED = {"interlocks+charge_light": "not_charging"}
"""What a variant is told to do: only then is it asked what makes it one."""


def missed(circuit: str, caution: str) -> Iterator[str]:
    """The steps at which a caution is missed once nobody has to type it, on a walk that makes for its steps."""
    walker = wanderer(circuit, 0, whole=True)
    whole = walker.book
    walker.mechanic.story = _owner_says(whole, caution)
    walker.mechanic.complaint = COMPLAINED.get(circuit, walker.mechanic.complaint)
    walker.book = without(whole, caution)
    for now, asked in _sought(walker, caution):
        if asked is not None and caution in neglected(now, asked, whole):
            yield f"{asked.id} without {caution}"


def _owner_says(book: Book, caution: str) -> dict[str, str]:
    """The answers that make a caution due, if there are any."""
    asks = book.questions.values()
    return {asked.id: answer.id for asked in asks for answer in asked.answers if caution in answer.warns}


def concerns(circuit: str, caution: str) -> bool:
    """Whether some check or repair of a circuit needs a caution."""
    return bool(_repairs(circuit, caution)) or _checked(circuit, caution)


def _repairs(circuit: str, caution: str) -> list[str]:
    return [
        fault for fault in setup_of(shipped(), circuit).machine.faults if caution in before_repair(shipped(), fault)
    ]


def _checked(circuit: str, caution: str) -> bool:
    book = shipped()
    normal = {name: setting.normal for name, setting in book.settings.items()}
    checks = setup_of(book, circuit).machine.checks
    return any(caution in before_check(book, book.checks[check], normal) for check in checks)


def _sought(walker: Wanderer, caution: str) -> Iterator[tuple[Consultation, Question | None]]:
    """The opening; then a repair, and every check that can be come to by skipping; then a job to its end."""
    now = Consultation(walker.book)
    while now.next is not None and now.judged is None:
        now = walker.take(now)
        yield now, now.next
    for name in walker.mechanic.story.keys() - now.state.questions.keys():
        now = now.answer(name, walker.mechanic.story[name])
        yield now, now.next
    opened = now
    for fault in _repairs(walker.mechanic.circuit, caution)[:1]:
        yield from _wanted(walker, opened, fault)
    for _ in range(HOME if _checked(walker.mechanic.circuit, caution) else 0):
        if now.next is None:
            break
        now = walker.leave(now) if now.next.kind in ("check", "proof", "repair") else walker.take(now)
        yield now, now.next
    yield from ((state, state.next) for state, _ in walker.home(opened, HOME))


def _wanted(walker: Wanderer, now: Consultation, fault: str) -> Iterator[tuple[Consultation, Question | None]]:
    """A repair that nobody asked for: it is done at once, or after its cautions."""
    if now.judged is None:
        return
    asked = repair_question(now.judged, fault)
    if asked.kind == "repair":
        yield now, asked
        return
    now = now.answer(fault, "done")
    while now.next is not None and now.next.kind in ("caution", "intake", "now"):
        now = walker.take(now)
    yield now, now.next


def without(book: Book, caution: str) -> Book:
    """The book with a caution that nobody has to type any more."""
    mute = replace(book.cautions[caution], word="NOTICE", type="")
    return replace(book, cautions={**book.cautions, caution: mute})


def walks(circuit: str, seeds: Iterable[int]) -> Tally:
    """Many walks over one circuit; machines that are walked no more are forgotten, so that memory does not grow."""
    tally = Tally()
    for seed in seeds:
        walk(circuit, seed, tally, whole=seed % WHOLE == WHOLE - 1)
        if seed % BLOCK == BLOCK - 1:
            forget()
    return tally


def forget() -> None:
    """Drop every machine but those of the shipped book."""
    lesser.cache_clear()
    for key in [key for key in composing._made if key[0] != shipped().hash]:
        del composing._made[key]


def lifting(book: Book) -> set[str]:
    """What a danger is lifted by: that is looked at again where nothing else is left to do."""
    signs = (sign for danger in book.dangers.values() for lift in danger.lifts for sign in lift.signs)
    return {sign.name.partition(".")[0] for sign in signs}


def wrongs(now: Consultation, whole: Book | None = None) -> Iterator[str]:
    """What must not be, in one state of a job; by a whole book, if something was taken out of that of the job."""
    if now.next is None:
        return
    missing = neglected(now, whole=whole)
    if missing:
        yield f"{now.next.id} without {', '.join(missing)}"
    check = now.book.checks.get(now.next.id)
    measured = check is not None and (check.reads.quantity in UNITS or check.id.partition(".")[0] in lifting(now.book))
    doubted = now.judged.contradicting if now.judged else ""
    failed = now.next.kind == "proof"  # one that failed while all else reads sound
    if now.next.id in now.state.present.taken and not (measured or failed) and now.next.id != doubted:
        yield f"{now.next.id} is asked twice"
    if now.next.id in now.state.present.again:
        yield f"{now.next.id} is asked a third time"
    if now.next.id == "hand_back":
        stands = settings_after(now.book, now.steps)
        left = [name for name, setting in now.book.settings.items() if stands[name] != setting.normal]
        if left:
            yield f"handed back with {', '.join(left)} not put back"
