"""A consultation: one dead machine, from the first question to the hand-back, as a pure value.

>>> from coldiron import load_book
>>> c = Consultation(load_book()[0])
>>> later = c.answer(c.next.id, "none")
>>> len(c.steps), len(later.steps)
(0, 1)

Nothing here prints, saves or waits. A consultation is its steps; everything else is computed from them, so replaying
the same steps always gives the same consultation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from coldiron.agenda.opening_questions import intake
from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.history import CODE, TOLD
from coldiron.consult.fold import replay, state_after
from coldiron.job.at_machine import AWAY, TOUCHED
from coldiron.job.question import BookError, Question
from coldiron.job.state import State
from coldiron.job.steps import (
    AgainStep,
    AnswerStep,
    BackStep,
    CardStep,
    ChangeStep,
    NoteStep,
    ParkStep,
    PauseStep,
    ReadingStep,
    Step,
    answered_at,
    find_answer,
    standing,
)
from coldiron.questions.away import ask_away
from coldiron.questions.kind import NOT_DUE, KindOfQuestion
from coldiron.questions.table import kind_asked, kind_of
from coldiron.readings.refusal import UNKNOWN, AnswerError
from coldiron.telling.outcome import Outcome, outcome_before_machine

if TYPE_CHECKING:
    from types import ModuleType

    from coldiron.judging.judgement import Judgement
    from coldiron.judging.setup import Setup


class Consultation:
    """One job on one machine. Immutable: every answer gives a new consultation.

    Args:
        book: the shop's knowledge, from `load_book`.
        steps: a log to go on from.
        before: the circuit of this machine on an earlier job, which is then offered before anything is asked of it.

    Raises:
        BookError: the book has errors in it.
    """

    def __init__(self, book: Book, steps: Iterable[Step] = (), before: str = "") -> None:
        if book.broken:
            raise BookError(book.broken)
        self.book = book
        self.steps: tuple[Step, ...] = tuple(steps)
        self.before = before
        self._earlier: State | None = None  # before the last step, where that only adds to it; let go once it is folded

    def __repr__(self) -> str:
        asked = self.next
        return f"<Consultation: {len(self.steps)} steps, next {asked.id if asked else 'nothing'}>"

    @cached_property
    def state(self) -> State:
        """What the log says: answers, settings of the machine, acknowledgements, epochs."""
        earlier, self._earlier = self._earlier, None
        return state_after(earlier, self.steps[-1]) if earlier is not None else replay(self.book, self.steps)

    @property
    def setup(self) -> Setup | None:
        """The composed machine, once it is known."""
        if not self.state.circuit:
            return None
        found: Setup = _weighing().setup_of(self.book, self.state.circuit)
        return found

    @property
    def checks(self) -> tuple[Check, ...]:
        """The checks of this machine; all of the book while it is not known."""
        names = self.setup.machine.checks if self.setup else self.book.checks
        return tuple(self.book.checks[name] for name in names)

    @cached_property
    def _opening(self) -> Question | None:
        """The opening question that is due; None once all are answered."""
        return intake(self.state, self.before)

    @cached_property
    def judged(self) -> Judgement | None:
        """The evidence judged, once the machine is known and the opening questions are answered."""
        setup = self.setup
        if setup is None or self._opening is not None:
            return None
        found: Judgement = _weighing().Judgement(self.state, setup)
        return found

    @cached_property
    def next(self) -> Question | None:
        """The one thing to do now; None when the job is over or nothing more can be asked."""
        if self.state.handed_back:
            return None
        if self.state.away:
            return ask_away(self.state)
        if self._opening is not None:
            if self.setup is not None:
                self.setup.prepare(self.state.complaint)
            return self._opening
        asked: Question | None = _weighing().after_intake(self.judged) if self.judged else None
        return asked

    @property
    def minutes(self) -> float:
        """Minutes spent so far, by the book: questions, checks, reaching states, covers, repairs."""
        return self.state.minutes

    @cached_property
    def suspects(self) -> tuple[tuple[str, float], ...]:
        """Fault ids with the chance that each is present now, best first. Empty before the machine is known."""
        return self.judged.belief.suspects if self.judged else ()

    @property
    def unknown(self) -> float:
        """The chance that the fault is not in the book."""
        return self.judged.belief.unknown if self.judged else 0.0

    @property
    def findings(self) -> dict[str, str]:
        """The finding of every check answered since the latest repair, by check id."""
        taken = self.state.present.taken
        return {name: item.understood.finding for name, item in taken.items() if item.understood.finding}

    @cached_property
    def verdict(self) -> Outcome:
        """What the evidence now supports, and how the job stands."""
        if self.judged is None:
            return outcome_before_machine(self.state)
        found: Outcome = _weighing().outcome_of(
            self.judged, proven=_weighing().is_proven(self.judged), nothing_left=self.next is None
        )
        return found

    def why(self, name: str = "", *, more: bool = False) -> tuple[str, ...]:
        """The reason for a question, a likely cause, a caution or a conclusion, in sentences.

        Args:
            name: a check, question, caution, fault, part or declared fact; empty for the present question.
            more: with the rules, their sources and the figures.
        """
        lines: tuple[str, ...] = _weighing().why(self, name, more=more)
        return lines

    def predicted_answers(self, name: str = "") -> tuple[str, ...]:
        """The likely causes after each possible answer to a check, in sentences; no name for the present question."""
        lines: tuple[str, ...] = _weighing().predicted_answers(self, name)
        return lines

    def answer(self, name: str, value: object, *, sure: bool = False) -> Consultation:
        """The consultation after one answer.

        Args:
            name: the id of the present question, of any check of this machine (a reading already taken), of any
                question of the book, or of an earlier answer, which is changed and keeps its place; or `code`, for a
                trouble code that a controller shows; or `told`, for what the owner told in his own words.
            value: as typed; numbers are taken in the unit of the check. `skip`, `cannot reach` and `not sure` always
                serve, except for cautions, safety and the machine.
            sure: take a value that looks implausible.

        Raises:
            AnswerError: the answer cannot be taken; its sentence says why, and nothing is changed.
        """
        text = str(value).strip()
        if name == CODE and name not in self.book.checks:
            return self.code(text)
        if name == TOLD and kind_of(self.book, f"{TOLD}.1") is not None:
            return self.told(text)
        asked = self.next
        if asked is not None and asked.id == name:
            return self._with(kind_asked(self.book, asked).step(self.state, asked, text, sure=sure))
        if asked is not None and asked.step == name and text.lower() in UNKNOWN and name in self.book.checks:
            return self._with(ReadingStep(name, text.lower()))  # a step left out at its caution; what was read stays
        if find_answer(standing(self.steps), name) is not None and self._in_present_epoch(name):
            return self.change(name, text, sure=sure)
        return self._answer_unasked(name, text, sure=sure)

    def _in_present_epoch(self, name: str) -> bool:
        kind = kind_of(self.book, name)
        if kind is None or not kind.reading or "@" in name:
            return True
        return name in self.state.present.taken or name in self.state.present.pages

    def _answer_unasked(self, name: str, text: str, *, sure: bool) -> Consultation:
        if name in self.book.faults:
            return self._with(_weighing().repair_unasked(self.judged, name, text))
        kind = kind_of(self.book, name) or self._kind(name)
        if kind.unasked == "never":
            raise AnswerError("not now", NOT_DUE.format(name))
        value = kind.read(self.state, self.asked_before(kind, name), text, sure=sure)
        if self.judged is not None and name in self.book.checks:
            _weighing().refuse_barred(self.judged, name, value)
        return self._with((ReadingStep if kind.reading else AnswerStep)(name, value))

    def _kind(self, name: str) -> KindOfQuestion:
        """The kind of a question that the book, or this machine, has.

        Raises:
            AnswerError: it has none of that name; the nearest are named.
        """
        kind = kind_of(self.book, name)
        if kind is not None and (name not in self.book.checks or self._makes(name)):
            return kind
        said = "is no check of this machine" if self.setup else "cannot be answered before the machine is known"
        raise AnswerError("unknown question", f"'{name}' {said}.", _weighing().nearest(self, name))

    def question(self, name: str) -> Question:
        """Any question by its id, as it would be put now, cautions left out.

        Raises:
            AnswerError: the book, or this machine, has no such question.
        """
        kind = self._kind(name)
        early = kind.unasked == "proven" and name not in self.state.present.pages
        if early and (self.judged is None or not _weighing().is_proven(self.judged)):
            raise AnswerError("not now", "You show that once the fix is proven, before the machine goes back.")
        return kind.ask(self.state, name)

    def change(self, name: str, value: object, *, sure: bool = False) -> Consultation:
        """The consultation with an earlier answer changed in its place; every later answer is kept.

        Args:
            name: the id of the answer, with `@` and the number of repairs before it where there are several.
            value: the new answer.
            sure: take a value that looks implausible.

        Raises:
            AnswerError: there is no such answer, or the new value cannot be taken.
        """
        kept = standing(self.steps)
        index = find_answer(kept, name)
        plain = answered_at(kept, index).id if index is not None else ""
        kind = kind_of(self.book, plain)
        if index is None or kind is None:
            raise AnswerError("unknown question", f"'{name}' has no answer yet, so you cannot change it.")
        before = Consultation(self.book, kept[:index], self.before)
        asked_of = before if plain in self.book.checks and not self._makes(plain) else self
        question = before.next if before.next and before.next.id == plain else asked_of.asked_before(kind, plain)
        return self._with(ChangeStep(name, kind.read(asked_of.state, question, str(value).strip(), sure=sure)))

    def asked_before(self, kind: KindOfQuestion, name: str) -> Question:
        """An earlier question as it would be put now; a reading from before the machine was known is kept as typed."""
        held = name in self.book.checks and self.setup is None
        return kind.ask(self.state, name) if held else self.question(name)

    def _makes(self, check: str) -> bool:
        """Whether a check can be made on this machine, as far as that is known yet."""
        return self.setup is not None and self.setup.can_make(check)

    def back(self) -> Consultation:
        """The consultation without its latest step.

        Raises:
            AnswerError: there is nothing to take back.
        """
        if not any(not isinstance(step, NoteStep | ParkStep | CardStep) for step in standing(self.steps)):
            raise AnswerError("not now", "There is nothing to take back.")
        return self._with(BackStep())

    def again(self, name: str = "") -> Consultation:
        """The consultation in which a reading is to be taken once more: that of a check, or else the latest measured.

        Raises:
            AnswerError: nothing of the sort was measured since the latest repair.
        """
        return self._with(AgainStep(_weighing().repeatable(self.state, self.steps, name)))

    def code(self, text: str) -> Consultation:
        """The consultation with a trouble code that a controller shows, as typed: `168 1`, `SPN 168 FMI 1`.

        Raises:
            AnswerError: it is no such code, or it is taken down already.
        """
        return self._with(self._numbered(CODE, text))

    def told(self, text: str) -> Consultation:
        """The consultation with what the owner told in his own words; what they may mean is asked next.

        Raises:
            AnswerError: no question is about these words.
        """
        return self._with(self._numbered(TOLD, text))

    def _numbered(self, sort: str, text: str) -> ReadingStep:
        """What may be entered any number of times, with the number it has among its sort."""
        given = [step for step in self.steps if isinstance(step, ReadingStep) and step.id.partition(".")[0] == sort]
        name = f"{sort}.{1 + len(given)}"
        kind = self._kind(name)
        return ReadingStep(name, kind.read(self.state, kind.ask(self.state, name), text, sure=False))

    def note(self, text: str) -> Consultation:
        """The consultation with a note in its log."""
        return self._with(NoteStep(text))

    def on_card(self, name: str, text: str) -> Consultation:
        """The consultation with an entry about the machine's card in its log, see `coldiron.job.card`."""
        return self._with(CardStep(name, text))

    def pause(self) -> Consultation:
        """The consultation after so long a pause that a START needs its caution in full again."""
        return self._with(PauseStep())

    def resume(self) -> Consultation:
        """The consultation as it is gone on with: a job that was left without a word counts as parked."""
        parked = self.state.parked or not self.steps
        return self if parked else self.park()

    def course(self) -> Iterator[Consultation]:
        """The consultation as it was before its first step, then after each step of its log."""
        now = Consultation(self.book, (), self.before)
        yield now
        for step in self.steps:
            now = now._with(step)
            yield now

    def others(self) -> Consultation:
        """The consultation after somebody else was at the machine: nothing that was told of how it stands still counts.

        Raises:
            AnswerError: nothing was done at the machine yet.
        """
        if not self.state.complaint:
            raise AnswerError("not now", "Nothing was done at the machine yet. Go on with the questions.")
        return self._with(AnswerStep(AWAY, TOUCHED))

    def park(self) -> Consultation:
        """The consultation parked: every acknowledgement ends."""
        return self._with(ParkStep())

    def _with(self, step: Step) -> Consultation:
        following = Consultation(self.book, (*self.steps, step), self.before)
        if not isinstance(step, BackStep | ChangeStep):  # these change what stands; any other step only adds to it
            following._earlier = self.state
        return following


def _weighing() -> ModuleType:
    """The half that needs the composed machine; what comes before that does not wait for it."""
    from coldiron.consult import weighing  # noqa: PLC0415 - the one place where that half begins

    return weighing
