"""What the machine is: volts, what tells circuits apart, the circuit by its name or from a list."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.machines import Circuit, Feature
from coldiron.book.variants import circuit_named
from coldiron.job.card import CARD, CHANGED, leave_card
from coldiron.job.question import Question, ask_from_list
from coldiron.job.saying import say
from coldiron.job.state import NOT_SURE, State
from coldiron.job.steps import Answered, AnswerStep, Step
from coldiron.machine.describing import can_be, commonest, fullest, left, not_known
from coldiron.machine.fitting import CIRCUIT, HAS, LIST, OTHER, USUAL, VOLTS, fitting
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.refusal import AnswerError

NOT_KNOWN = (NOT_SURE[0], "nobody knows, or it is none of these")

SHORT = 5
"""Circuits of a list that are told with the machines they are of; a longer one would not fit a screen."""


def ask_volts(state: State) -> Question:
    """12 or 24 V."""
    volts = sorted({circuit.volts for circuit in state.book.circuits.values()})
    return Question(
        id=VOLTS,
        kind="intake",
        text="Is it a 12 V or a 24 V machine? Count the batteries and look at the links between them.",
        choices=tuple(str(v) for v in volts),
        meanings=tuple(f"{v} V" for v in volts),
        minutes=0.5,
        why="Every reading is judged against the machine's own volts.",
    )


def ask_last_time(state: State, before: str) -> Question:
    """Whether the machine is still what it was on an earlier job under the same name."""
    known = circuit_named(state.book, before)
    if known is None:
        raise AnswerError("unknown question", f"This book has no machine like '{before}'.")
    return Question(
        id=CIRCUIT,
        kind="intake",
        text=f"You had a machine by this name before: {known.name}, {known.volts} V. Is it the same one?",
        choices=(before, OTHER),
        meanings=("yes, the same", "no, or nobody knows: ask again"),
        minutes=0.5,
        why="Then you do not have to describe it again.",
    )


def ask_feature(state: State, feature: Feature) -> Question:
    """What tells the circuits that still fit apart; only what one of them answers can be chosen."""
    name = HAS + feature.id
    others = {key: value for key, value in state.said.items() if key != name}
    open_ones = can_be(state.book, feature, fitting(state.book, others).circuits)
    known = [(answer, meaning) for answer, meaning in feature.answers if answer in open_ones]
    choices = [*known, NOT_KNOWN, (LIST, "show me the list of circuits")]
    return ask_from_list(
        name,
        feature.ask,
        choices,
        minutes=feature.minutes,
        how=feature.how,
        why=feature.because,
    )


def ask_circuit(state: State) -> Question:
    """Which of the circuits that fit what was said, the most common first; if nobody knows, what leaves out least."""
    others = {key: value for key, value in state.said.items() if key not in (CIRCUIT, USUAL)}
    fits = commonest(left(state.book, others))
    open_ones = ", ".join(feature.name for feature in not_known(state.book, others) if HAS + feature.id in others)
    short = len(fits) <= SHORT
    choices = [(c.id, f"{c.name} ({c.about})" if c.about and short else c.name) for c in fits]
    if len(fits) > 1:
        full = fullest(state.book, fits).name
        choices.append((NOT_SURE[0], f"nobody knows: take {full}, the fullest of these, so nothing is missed"))
    return ask_from_list(
        CIRCUIT,
        f"{f'Not known: {open_ones}. ' if open_ones else ''}Which of these is most like it?",
        choices,
        minutes=1.0,
        why="The parts between battery and starter decide which checks there are.",
    )


class Volts(KindOfQuestion):
    """12 or 24 V."""

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question for the volts."""
        return name == VOLTS

    def ask(self, state: State, name: str) -> Question:
        """Ask for the volts of the circuits of the book."""
        return ask_volts(state)

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was said of the machine."""
        say(state, step.id, step.value)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the volts."""
        return "Volts of the machine:", value


class WhichCircuit(KindOfQuestion):
    """The circuit named outright, from the list, or as it was last time."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question for the circuit."""
        return name == CIRCUIT

    def ask(self, state: State, name: str) -> Question:
        """Ask which of those that fit it is."""
        return ask_circuit(state)

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was said of the machine."""
        say(state, step.id, step.value)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the circuit by its name."""
        known = circuit_named(state.book, value)
        return "Circuit:", known.name if known else value


class AsOnCard(KindOfQuestion):
    """Whether the machine is still as on its card; said where it is not."""

    listed = False

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question about the card."""
        return name == CARD

    def ask(self, state: State, name: str) -> Question:
        """Ask it of a machine that goes by its card."""
        if not state.card.said or state.card_off:
            raise AnswerError("not now", "This job does not go by a card.")
        return ask_from_list(CARD, "Has the machine changed?", [(CHANGED, "not as on its card")], minutes=0.5, why="")

    def apply(self, state: State, step: Answered) -> None:
        """Go by the card no more."""
        leave_card(state)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell that it has changed."""
        return "As on its card:", "no"


class HasTrait(KindOfQuestion):
    """What tells the circuits apart; who knows the circuit names it instead."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question for a feature; of an older book one that this book does not have."""
        return name.startswith(HAS) or name in book.features

    def ask(self, state: State, name: str) -> Question:
        """Ask what one of the circuits that fit answers."""
        feature = state.book.features.get(name.removeprefix(HAS))
        if feature is None or not name.startswith(HAS):
            raise AnswerError("unknown question", f"This tool has no question called '{name}'.")
        return ask_feature(state, feature)

    def step(self, state: State, asked: Question, text: str, *, sure: bool) -> Step:
        """Write the answer, or the circuit that was named outright instead."""
        circuit = circuit_meant(state, text) if text not in asked.choices else ""
        if circuit:
            return AnswerStep(CIRCUIT, circuit)
        return super().step(state, asked, text, sure=sure)

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was said of the machine."""
        say(state, step.id, step.value)

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell what was asked, and the answer by its meaning."""
        feature = state.book.features.get(name.removeprefix(HAS))
        if feature is None:
            return f"{name.removeprefix(HAS)}:", value
        return feature.ask, {**dict(feature.answers), LIST: "not known: the list was asked for"}.get(value, value)


def circuit_meant(state: State, text: str) -> str:
    """The circuit that a text names outright, by its id or its name, if it fits what was said; else nothing."""
    plain = " ".join(text.split()).lower()
    known = (circuit_named(state.book, choice) for choice in ask_circuit(state).choices)
    return next((circuit.id for circuit in known if circuit and plain in _names(circuit)), "")


def _names(circuit: Circuit) -> tuple[str, ...]:
    """What a circuit may be called where it is named outright."""
    return circuit.id, circuit.id.replace("_", " "), circuit.name.lower()
