"""A consultation: one dead machine, from the first question to the hand-back, as a pure value.

    c = Consultation(book)
    c = c.answer(c.next.id, "none")

Nothing here prints, saves or waits. A consultation is its steps; everything else is computed from them, so replaying
the same steps always gives the same consultation.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from coldiron.consult.agenda import after_intake, intake
from coldiron.consult.asking import (
    ask_away,
    ask_check,
    ask_circuit,
    ask_complaint,
    ask_kit,
    ask_page,
    ask_story,
    ask_trait,
    ask_volts,
)
from coldiron.consult.outcome import Outcome, outcome_before_machine
from coldiron.job.at_machine import AWAY, STANDS, TOUCHED
from coldiron.job.describing import CIRCUIT, HAS, VOLTS, may_be_gone
from coldiron.job.functions import Page, is_page, page_id, page_named, said
from coldiron.job.question import AnswerError, BookError, Question
from coldiron.job.seeing import seen
from coldiron.job.state import NOT_SURE, State, answers_of, is_code, kit_of, replay, state_after
from coldiron.job.steps import NOT_FITTED, SET, UNKNOWN, Step, StepKind, find_answer, standing
from coldiron.model import CODE, COMPLAINT, Book, Check, Circuit
from coldiron.readings.interpret import choose, understand

if TYPE_CHECKING:
    from coldiron.consult.judgement import Judgement
    from coldiron.consult.setup import Setup


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
        from coldiron.consult.setup import setup_of  # noqa: PLC0415 - the first questions need no machine

        return setup_of(self.book, self.state.circuit)

    @cached_property
    def judged(self) -> Judgement | None:
        """The evidence judged, once the machine is known and the opening questions are answered."""
        setup = self.setup
        if setup is None or intake(self.state) is not None:
            return None
        from coldiron.consult.judgement import Judgement  # noqa: PLC0415 - likewise

        return Judgement(self.state, setup)

    @cached_property
    def next(self) -> Question | None:
        """The one thing to do now; None when the job is over or nothing more can be asked."""
        if self.state.handed_back:
            return None
        if self.state.away:
            return ask_away(self.state)
        opening = intake(self.state, self.before)
        if opening is not None:
            if self.setup is not None:
                self.setup.prepare(self.state.complaint)
            return opening
        judged = self.judged
        return after_intake(judged) if judged else None

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
        from coldiron.consult.verdicts import outcome_of  # noqa: PLC0415 - likewise

        return outcome_of(self.judged, nothing_left=self.next is None)

    def why(self, name: str = "") -> tuple[str, ...]:
        """Why this is asked, suspected, due or concluded, in sentences.

        Args:
            name: a check, question, caution, fault, part or declared fact; empty for the present question.
        """
        from coldiron.consult.reasons import why  # noqa: PLC0415 - likewise

        return why(self, name)

    def told(self, name: str = "") -> tuple[str, ...]:
        """What each answer to a check would do to the suspects, in sentences; empty name for the present question."""
        from coldiron.consult.reasons import told  # noqa: PLC0415 - likewise

        return told(self, name)

    def answer(self, name: str, value: object, *, sure: bool = False) -> Consultation:
        """The consultation after one answer.

        Args:
            name: the id of the present question, of any check of this machine (a reading already taken), of any
                question of the book, or of an earlier answer, which is changed and keeps its place; or `code`, for a
                trouble code that a controller shows.
            value: as typed; numbers are taken in the unit of the check. `skip`, `cannot reach` and `not sure` always
                serve, except for cautions, safety and the machine.
            sure: take a value that looks implausible.

        Raises:
            AnswerError: the answer cannot be taken; its sentence says why, and nothing is changed.
        """
        text = str(value).strip()
        if name == CODE and name not in self.book.checks:
            return self.code(text)
        asked = self.next
        if asked is not None and asked.id == name:
            return self._answer_asked(asked, text, sure=sure)
        if asked is not None and asked.step == name and text.lower() in UNKNOWN and name in self.book.checks:
            return self._with("read", name, text.lower())  # a step left out at its caution; what was read stays
        if find_answer(standing(self.steps), name) is not None and self._in_present_epoch(name):
            return self.change(name, text, sure=sure)
        return self._answer_unasked(name, text, sure=sure)

    def _in_present_epoch(self, name: str) -> bool:
        present = self.state.present
        if is_page(name):
            return name in present.pages
        return "@" in name or name not in self.book.checks or name in present.taken

    def _answer_asked(self, asked: Question, text: str, *, sure: bool) -> Consultation:
        if asked.kind == "caution":
            said = seen(asked, text)
            return self._with("ack", f"{','.join(asked.acks)}@{asked.step}", said)
        if asked.kind == "set":
            return self._answer_set(asked, text)
        if asked.kind == "repair":
            return self._with("repair", asked.id, choose(text, zip(asked.choices, asked.meanings, strict=True)))
        named = self._circuit_named(text) if asked.id.startswith(HAS) and text not in asked.choices else ""
        if named:  # who knows the circuit need not describe the machine
            return self._with("answer", CIRCUIT, named)
        return self._with("answer", asked.id, self.canonical(asked, text, sure=sure))

    def _answer_set(self, asked: Question, text: str) -> Consultation:
        """A setting is so now; or it was not done, or left without a word: then the check is left undone too."""
        skipped = text.lower() in UNKNOWN
        said = text.lower() if skipped else choose(text, zip(asked.choices, asked.meanings, strict=True))
        if said == asked.choices[0]:
            return self._with("answer", asked.id, said)
        if asked.step == asked.id:
            raise AnswerError(
                "not now", "It must be back before the machine is handed over. Type: park, if it has to wait."
            )
        if skipped:
            return self._with("answer", asked.id, said)
        return self._answer_unasked(asked.step, UNKNOWN[0], sure=True)

    def _circuit_named(self, text: str) -> str:
        """The circuit that a text names outright, by its id or its name, if it fits what was said; else nothing."""
        plain = " ".join(text.split()).lower()
        asked = ask_circuit(self.state)
        known = (circuit for circuit in self.book.circuits.values() if circuit.id in asked.choices)
        return next((circuit.id for circuit in known if plain in _names(circuit)), "")

    def canonical(self, asked: Question, text: str, *, sure: bool) -> str:
        """What is written in the log for an answer: the raw text of a reading, else the ids of what was chosen.

        Raises:
            AnswerError: as `answer`.
        """
        check = self.book.checks.get(asked.id)
        if check is not None and text.lower() == NOT_FITTED:
            return self._not_fitted(check)
        if check is not None:
            understood = understand(check, text, self.state.volts, self.state.batteries, sure=sure)
            return text if asked.unit or not understood.finding else understood.finding
        page = page_named(self.book, self.state.circuit, asked.id)
        if page:
            return said(page, text, self.state.volts, self.state.batteries, sure=sure)
        if asked.id == "kit":
            names = kit_of(self.book, text)
            return ",".join(names) or "none"
        known = self.book.questions.get(asked.id)
        if known is not None and known.stage == "safety":
            return ",".join(_told(answers_of(known, text), text))
        if asked.id in (AWAY, STANDS) and text.lower() in UNKNOWN:
            return TOUCHED if asked.id == AWAY else UNKNOWN[2]
        if asked.id == STANDS:
            return _several(asked, text)
        if text.lower() in UNKNOWN and (known is not None or asked.id == COMPLAINT or NOT_SURE[0] in asked.choices):
            return text.lower()
        if known is not None:
            return ",".join(answers_of(known, text)) or UNKNOWN[2]
        return choose(text, zip(asked.choices, asked.meanings, strict=True))

    def _not_fitted(self, check: Check) -> str:
        if not may_be_gone(self.book, self.state.said, check.id):
            said = (
                "By what was said of this machine it has that. Say 'cannot reach', or change what was said: change "
                "alone lists it."
            )
            raise AnswerError("not now", said)
        return NOT_FITTED

    def _answer_unasked(self, name: str, text: str, *, sure: bool) -> Consultation:
        if name in self.book.faults:
            return self._repair_unasked(name, text)
        if name in self.book.cautions or name in (AWAY, STANDS) or name.startswith(SET):
            raise AnswerError("not now", f"'{name}' is not due now.")
        if self.setup is None and name in self.book.checks:
            return self._with("read", name, self._kept(name, text))
        question = self.question(name)
        read = name in self.book.checks or is_page(name)
        kind: StepKind = "read" if read else "answer"
        value = self.canonical(question, text, sure=sure)
        if name in self.book.checks:
            self._refuse_barred(name, value)
        return self._with(kind, name, value)

    def _refuse_barred(self, name: str, value: str) -> None:
        """A reading that a standing danger bars is not taken, unless it tells of a danger itself or tells nothing."""
        from coldiron.job.barring import barred_check, refusal  # noqa: PLC0415 - only where something is given unasked
        from coldiron.job.dangers import tells, values_said  # noqa: PLC0415 - likewise

        if self.judged is None:
            return
        said = values_said(self.state, name, value)
        stands = barred_check(self.state, self.book.checks[name], self.judged.dangers)
        if stands and said and not tells(self.book, name, said):
            raise AnswerError("not now", refusal(stands))

    def _kept(self, name: str, text: str) -> str:
        """A reading taken before the machine is known."""
        from coldiron.consult.holding import kept  # noqa: PLC0415 - only where one is given

        return kept(self.book, name, text)

    def _repair_unasked(self, fault: str, text: str) -> Consultation:
        if self.judged is None or fault not in self.judged.setup.machine.faults:
            raise AnswerError("not now", f"'{fault}' is no fault of this machine.")
        from coldiron.consult.agenda import repair_question  # noqa: PLC0415 - only here
        from coldiron.job.barring import barred_repair, refusal  # noqa: PLC0415 - likewise

        stands = barred_repair(self.state, fault, self.judged.dangers)
        if stands and text.lower() != "no":
            raise AnswerError("not now", refusal(stands))
        due = repair_question(self.judged, fault)
        said = choose(text, (("done", "done"), ("no", "no")))
        if due.kind != "repair" and said == "done":  # it is taken as done once its cautions are acknowledged
            said = "next"
        return self._with("repair", fault, said)

    def question(self, name: str) -> Question:
        """Any question by its id, as it would be put now, cautions left out.

        Raises:
            AnswerError: the book, or this machine, has no such question.
        """
        if name == COMPLAINT:
            return ask_complaint(self.state)
        if name == "kit":
            return ask_kit(self.state)
        if name == CIRCUIT:
            return ask_circuit(self.state)
        if name.startswith(HAS) and name.removeprefix(HAS) in self.book.traits:
            return ask_trait(self.state, self.book.traits[name.removeprefix(HAS)])
        if name in self.book.questions:
            return ask_story(self.book.questions[name])
        page = page_named(self.book, self.state.circuit, name)
        if page:
            return self._page(page)
        return ask_check(self.state, self._check(name))

    def _page(self, page: Page) -> Question:
        """A page of the hand-back: nothing can be said of it before the repair is proven."""
        if page_id(page) not in self.state.present.pages:
            from coldiron.consult.agenda import is_proven  # noqa: PLC0415 - only here

            if self.judged is None or not is_proven(self.judged):
                raise AnswerError("not now", "That is shown when the repair is proven, before the machine goes back.")
        return ask_page(self.state, page)

    def _makes(self, check: str) -> bool:
        """Whether a check can be made on this machine, as far as that is known yet."""
        return self.setup is not None and check in self.setup.machine.checks

    def _check(self, name: str) -> Check:
        setup = self.setup
        if name in self.book.checks and self._makes(name):
            return self.book.checks[name]
        from coldiron.consult.reasons import nearest  # noqa: PLC0415 - only for a mistake

        said = "is no check of this machine" if setup is not None else "cannot be answered before the machine is known"
        raise AnswerError("unknown question", f"'{name}' {said}.", nearest(self, name))

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
        if index is None:
            raise AnswerError("unknown question", f"'{name}' has not been answered, so it cannot be changed.")
        plain = kept[index].id
        if is_code(plain) and plain not in self.book.checks:
            return self._with("change", name, self._read_code(str(value)))
        before = Consultation(self.book, kept[:index], self.before)
        asked_of = before if plain in self.book.checks and not self._makes(plain) else self
        if plain in self.book.checks and asked_of.setup is None:
            return self._with("change", name, self._kept(plain, str(value).strip()))
        question = before.next if before.next and before.next.id == plain else asked_of.question_asked(plain)
        text = asked_of.canonical(question, str(value).strip(), sure=sure)
        return self._with("change", name, text)

    def question_asked(self, name: str) -> Question:
        """An earlier question, opening questions included."""
        return ask_volts(self.state) if name == VOLTS else self.question(name)

    def back(self) -> Consultation:
        """The consultation without its latest step.

        Raises:
            AnswerError: there is nothing to take back.
        """
        if not any(step.kind not in ("note", "park") for step in standing(self.steps)):
            raise AnswerError("not now", "There is nothing to take back.")
        return self._with("back", "", "")

    def again(self, name: str = "") -> Consultation:
        """The consultation in which a reading is to be taken once more: that of a check, or else the latest measured.

        Raises:
            AnswerError: nothing of the sort was measured since the latest repair.
        """
        from coldiron.consult.again import repeatable  # noqa: PLC0415 - only where it is asked for

        return self._with("again", repeatable(self, name), "")

    def code(self, text: str) -> Consultation:
        """The consultation with a trouble code that a controller shows, as typed: `168 1`, `SPN 168 FMI 1`.

        Raises:
            AnswerError: it is no such code, or it is taken down already.
        """
        number = 1 + sum(is_code(step.id) for step in self.steps if step.kind == "read")
        return self._with("read", f"{CODE}.{number}", self._read_code(text))

    def _read_code(self, text: str) -> str:
        from coldiron.job.codes import in_words, read_code  # noqa: PLC0415 - only where a code is given

        code = read_code(text)
        if code in self.state.codes:
            raise AnswerError("not now", f"It is taken down already: {in_words(self.book, code)}.")
        return str(code)

    def note(self, text: str) -> Consultation:
        """The consultation with a note in its log."""
        return self._with("note", "", text)

    def pause(self) -> Consultation:
        """The consultation after so long a pause that a START needs its caution in full again."""
        return self._with("pause", "", "")

    def resume(self) -> Consultation:
        """The consultation as it is gone on with: a job that was left without a word counts as parked."""
        parked = self.state.parked or not self.steps
        return self if parked else self.park()

    def others(self) -> Consultation:
        """The consultation after somebody else was at the machine: nothing that was told of how it stands still counts.

        Raises:
            AnswerError: nothing was done at the machine yet.
        """
        if not self.state.complaint:
            raise AnswerError("not now", "Nothing was done at the machine yet. Go on with the questions.")
        return self._with("answer", AWAY, TOUCHED)

    def park(self) -> Consultation:
        """The consultation parked: every acknowledgement ends."""
        return self._with("park", "", "")

    def _with(self, kind: StepKind, name: str, value: str) -> Consultation:
        following = Consultation(self.book, (*self.steps, Step(kind, name, value)), self.before)
        if kind not in ("back", "change"):  # these change what stands; any other step only adds to it
            following._earlier = self.state
        return following


def _names(circuit: Circuit) -> tuple[str, ...]:
    """What a circuit may be called where it is named outright."""
    return circuit.id, circuit.id.replace("_", " "), circuit.name.lower()


def _several(asked: Question, text: str) -> str:
    """The choices that a text names, by commas; the first of them says that it is none."""
    pairs = tuple(zip(asked.choices, asked.meanings, strict=True))
    named = dict.fromkeys(choose(word, pairs) for word in text.split(","))
    if asked.choices[0] in named and len(named) > 1:
        raise AnswerError("not a choice", f"'{text}' says none of these and names some: which is it?")
    return ",".join(named)


def _told(chosen: tuple[str, ...], text: str) -> tuple[str, ...]:
    """Safety is never left open: an answer that names nothing is refused."""
    if not chosen:
        raise AnswerError("not a choice", f"'{text}' does not say how the machine stands. Go and look first.")
    return chosen
