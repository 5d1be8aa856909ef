"""Which dangers stand, worked out from the whole log: what was found holds until something found later says otherwise.

Nothing else ends one: no skip, no repair of something else, no answer taken back and left open. An answer that told of
a danger and was taken back or changed to 'not sure' goes on telling of it, until the same question has a plain answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from coldiron.book.book import Book
from coldiron.book.dangers import Danger, Sign
from coldiron.book.faults import FaultRef
from coldiron.book.history import COMPLAINT
from coldiron.job.danger_lines import DangerLines, speaks_of
from coldiron.job.danger_records import NOT_KNOWN, THE_PART, Fold, Said, Standing, Told
from coldiron.job.steps import (
    KEPT,
    SET,
    Answered,
    BackStep,
    ChangeStep,
    ParkStep,
    RepairStep,
    Step,
    answered_at,
    find_answer,
)
from coldiron.readings.interpret import understand
from coldiron.readings.refusal import NOT_FITTED, UNKNOWN, AnswerError
from coldiron.record import dataclass, field, replace


@dataclass(slots=True)
class Log:
    """The entries that count, in order, and those taken back that told something, each with its place."""

    kept: list[Step] = field(default_factory=list)
    gone: list[tuple[int, Step]] = field(default_factory=list)


def folded(told: Told, lines: DangerLines) -> Fold:
    """A whole log, folded."""
    folding = _Folding(Fold(told.volts, told.batteries, lines))
    folding.whole(told)
    return folding.done(len(told.log))


def after(fold: Fold, told: Told) -> Fold:
    """The fold of a log that goes on from that of another."""
    folding = _Folding(fold)
    for step in told.log[fold.steps :]:
        folding.add(told, step)
    return folding.done(len(told.log))


class _Folding:
    """A fold on the way from one to the next: only in here anything changes."""

    def __init__(self, fold: Fold) -> None:
        self._fold = fold
        self.lines = fold.lines
        self.book = fold.lines.book
        self.told = list(fold.told)
        self.latest = dict(fold.latest)
        self.tried = dict(fold.tried)
        self.repaired = list(fold.repaired)
        self.parked, self.length, self.haunted = fold.parked, fold.length, fold.haunted

    def whole(self, told: Told) -> None:
        """Take up a log from its beginning, with what was taken back in it."""
        log = log_of(told.log)
        gone = sorted(log.gone, key=lambda entry: entry[0])
        said = [self._said(told, at, step) for at, step in enumerate(log.kept)]
        self.length = len(said)
        for one in said:
            while gone and gone[0][0] <= one.at:
                self._haunt(told, *gone.pop(0), said)
            self._take(one)
        for at, step in gone:
            self._haunt(told, at, step, said)
        self.parked = max((at for at, step in enumerate(log.kept) if isinstance(step, ParkStep)), default=-1)

    def add(self, told: Told, step: Step) -> None:
        """Take up one entry more."""
        self._take(self._said(told, self.length, step))
        if isinstance(step, ParkStep):
            self.parked = self.length
        self.length += 1

    def done(self, steps: int) -> Fold:
        """What all this comes to, after so many entries of the log."""
        last = self._last_repair()
        anew = max(last, self.parked)
        return replace(
            self._fold,
            told=tuple(self.told),
            latest=self.latest,
            tried=self.tried,
            repaired=tuple(self.repaired),
            parked=self.parked,
            steps=steps,
            length=self.length,
            haunted=self.haunted,
            standing=tuple(replace(one, ways=self._ways(one, anew), repaired=last > one.at) for one in self.told),
        )

    def _last_repair(self) -> int:
        return self.repaired[-1].at if self.repaired else -1

    def _ways(self, stands: Standing, anew: int) -> tuple[tuple[str, ...], ...]:
        """What is still to be answered on every way out that is open."""
        found = []
        for lift in stands.danger.lifts:
            since = self._begins(stands, lift.after)
            if since is None:
                continue
            wanted = [(name, s.value) for s in lift.signs for name in self._names_of(s, stands)]
            missing = [name for name, value in wanted if not self._since(name, value, since)]
            shut = any(self.tried.get(name, -1) >= max(since, anew) for name in missing)
            if missing and not shut:
                found.append(tuple(missing))
        return tuple(found)

    def _begins(self, stands: Standing, after: FaultRef | None) -> int | None:
        """From where in the log on what is said can lift a danger; None before the repair that comes first."""
        if after is None:
            return stands.at
        before = (one for one in self.repaired if one.at > stands.at)
        done = (one.at for one in before if refers(self.book, after, one.done, stands.part))
        return next(done, None)

    def _said(self, told: Told, at: int, step: Step) -> Said:
        """What an entry says, of what dangers speak of; a repair is one that was done."""
        if isinstance(step, RepairStep):
            return Said(at, done=step.fault if step.word == "done" else "")
        if not isinstance(step, Answered):
            return Said(at)
        name, _, wanted = step.id.partition("@")
        if name.startswith(SET):  # left without a word, and with it the step that it was wanted for
            name = wanted if step.value in UNKNOWN else ""
        if name.partition(".")[0] not in self.lines.speaking:
            return Said(at)
        return Said(at, name, values_said(told, name, step.value))

    def _haunt(self, told: Told, at: int, step: Step, said: Sequence[Said]) -> None:
        """An entry that was taken back still tells, unless the same was answered plainly before the next repair."""
        old = self._said(told, at, step)
        if not old.values or old.values == {NOT_KNOWN}:
            return
        self.haunted = True
        for later in said[at:]:
            if later.done:
                break
            if later.name == old.name and later.values and NOT_KNOWN not in later.values:
                return
        self._tell(replace(old, at=at))

    def _take(self, one: Said) -> None:
        if one.done:
            self.repaired.append(one)
        if one.name:
            self.tried[one.name] = one.at
        if not one.name or not one.values:
            return
        self.latest[one.name] = one
        self.told = [stands for stands in self.told if not self._lifted(stands, one)]
        self._tell(one)

    def _tell(self, one: Said) -> None:
        asked = one.name in self.book.questions
        for danger, lines in self.lines.telling(one.name):
            if asked and settled(danger, self._found(), self.lines.made):
                continue  # what was measured since the last repair says already that it is not so
            if not any(self._all(signs, one) for signs in lines):
                continue
            part = one.name.partition(".")[2]
            known = [s for s in self.told if (s.danger.id, s.source) == (danger.id, one.name)]
            at = known[0].at if known else one.at
            self.told = [s for s in self.told if s not in known]
            guessed = one.values == {NOT_KNOWN}
            self.told.append(Standing(danger, one.name, part, max(at, one.at), guessed=guessed))

    def _found(self) -> dict[str, frozenset[str]]:
        """What was said since the latest repair, by check or question."""
        last = self._last_repair()
        return {name: said.values for name, said in self.latest.items() if said.at > last}

    def _all(self, signs: Iterable[Sign], one: Said) -> bool:
        """Whether all signs of a line are there: one of them said just now, the others before."""
        return all(self._shows(sign, one) for sign in signs)

    def _shows(self, sign: Sign, one: Said) -> bool:
        said = one if speaks_of(sign.name, one.name) else self.latest.get(sign.name)
        return said is not None and sign.value in said.values

    def _lifted(self, stands: Standing, one: Said) -> bool:
        """Whether what was said just now ends a danger. Words alone end what stood only because nobody knew."""
        if stands.guessed and one.name == stands.source:
            return NOT_KNOWN not in one.values and not self._still(stands.danger, one)
        return any(self._ends(stands, lift.signs, lift.after) for lift in stands.danger.lifts)

    def _still(self, danger: Danger, one: Said) -> bool:
        return any(self._all(signs, one) for signs in danger.told if any(s.name == one.name for s in signs))

    def _ends(self, stands: Standing, signs: Iterable[Sign], after: FaultRef | None) -> bool:
        since = self._begins(stands, after)
        if since is None:
            return False
        wanted = [(name, sign.value) for sign in signs for name in self._names_of(sign, stands)]
        return bool(wanted) and all(self._since(name, value, since) for name, value in wanted)

    def _since(self, name: str, value: str, since: int) -> bool:
        said = self.latest.get(name)
        return said is not None and said.at > since and said.values == {value}

    def _names_of(self, sign: Sign, stands: Standing) -> tuple[str, ...]:
        return names_of(sign, stands, self.lines.made)


def settled(danger: Danger, found: Mapping[str, frozenset[str]], made: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether what was found already says that there is no such danger, before anybody told of it.

    Args:
        danger: the danger.
        found: what was said, by check or question.
        made: the checks of the machine, as `made_of` has them.
    """
    stands = Standing(danger, "", "", -1)
    for lift in danger.lifts:
        wanted = [(name, sign.value) for sign in lift.signs for name in names_of(sign, stands, made)]
        if lift.after is None and wanted and all(found.get(name) == frozenset((value,)) for name, value in wanted):
            return True
    return False


def names_of(sign: Sign, stands: Standing, made: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The checks of a machine, or the question, that a sign speaks of; of a template that told, the same part's."""
    if sign.test != "finding":
        return (sign.name,)
    mine = f"{sign.name}.{stands.part}"
    if stands.part and stands.source == mine:
        return (mine,)
    return made.get(sign.name, ())


def refers(book: Book, faults: FaultRef, fault: str, part: str) -> bool:
    """Whether a fault is among those a line speaks of; in it, `part` is the part that told."""
    known = book.faults.get(fault)
    meant = replace(faults, part=part) if faults.part == THE_PART else faults
    return known is not None and meant.matches(known.part, known.kind, known.what.id)


def values_said(told: Told, name: str, text: str) -> frozenset[str]:
    """What an answer of the log says of a check or a question: findings, answers, or that it is not known."""
    book = told.book
    plain = text.strip().lower()
    if name == COMPLAINT:
        return frozenset((plain,)) if plain in book.complaints else frozenset()
    if name in book.questions:
        if plain in UNKNOWN:
            return frozenset((NOT_KNOWN,))
        known = {answer.id for answer in book.questions[name].answers}
        return frozenset(word for word in (one.strip() for one in text.split(",")) if word in known) or frozenset(("",))
    check = book.checks.get(name)
    if check is None or plain in (*UNKNOWN, NOT_FITTED):
        return frozenset()
    try:
        understood = understand(check, text, told.volts, told.batteries, sure=True)
    except AnswerError:
        return frozenset()
    open_ones = (name for name, _ in understood.cover)  # a limit may hide the worst that it covers, and ends nothing
    return frozenset((understood.finding,) if understood.finding else open_ones)


def log_of(steps: Iterable[Step]) -> Log:
    """Fold a log as `standing` does, and keep what `back` and `change` took out of it."""
    log = Log()
    past: list[list[Step]] = []
    for step in steps:
        if isinstance(step, BackStep):
            before = past.pop() if past else list(log.kept)
            for at, old in enumerate(log.kept):
                if at >= len(before) and not isinstance(old, KEPT):
                    log.gone.append((len(before), old))
                elif at < len(before) and before[at] != old:
                    log.gone.append((at, old))
            log.kept = [*before, *(later for later in log.kept[len(before) :] if isinstance(later, KEPT))]
            continue
        after = list(log.kept)
        if isinstance(step, ChangeStep):
            index = find_answer(log.kept, step.id)
            if index is None:
                continue
            log.gone.append((index, log.kept[index]))
            after[index] = replace(answered_at(log.kept, index), value=step.value)
        else:
            after.append(step)
        if not isinstance(step, KEPT) and after != log.kept:
            past.append(log.kept)
        log.kept = after
    return log
