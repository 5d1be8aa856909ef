"""What the machine has beside its circuit, asked once the complaint says that the fault may lie there."""

from __future__ import annotations

from collections.abc import Sequence

from coldiron.book.book import Book
from coldiron.book.machines import CircuitOption
from coldiron.job.question import Question, ask_from_list
from coldiron.job.saying import say
from coldiron.job.state import NOT_SURE, State
from coldiron.job.steps import Answered
from coldiron.machine.complaining import complaints_of
from coldiron.machine.describing import named, worth_asking
from coldiron.machine.fitting import FITTED
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.choosing import choose_several
from coldiron.readings.refusal import UNKNOWN

NONE = ("none", "none of these")


def ask_fitted(state: State) -> Question | None:
    """Which options it has, of those that would change what is looked at; None where there are none to ask for."""
    options = _options(state)
    if not options:
        return None
    taken = _taken(state, options)
    not_sure = (NOT_SURE[0], f"nobody knows: take {state.book.options[taken].name}") if taken else NOT_SURE
    choices = [*((option.id, option.name) for option in options), NONE, not_sure]
    return ask_from_list(
        FITTED,
        "Which of these does the machine have? Name them all.",
        choices,
        minutes=1.0,
        why="A machine that does this often has its fault there.",
        several=True,
    )


def _others(state: State) -> dict[str, str]:
    """What was said of the machine before this was asked."""
    return {name: value for name, value in state.said.items() if name != FITTED}


def _options(state: State) -> list[CircuitOption]:
    """The options that are asked for."""
    known = (*state.card.bare, *_on_card(state)) if state.of_card else ()
    names = worth_asking(state.book, _others(state), state.complaint)
    return [state.book.options[name] for name in names if name not in known]


def _on_card(state: State) -> tuple[str, ...]:
    """The options that the machine has by its card, where nobody told of them today."""
    return tuple(state.said[FITTED].split(",")) if FITTED in state.of_card else ()


def _taken(state: State, options: Sequence[CircuitOption]) -> str:
    """The option that is taken where nobody knows: the likeliest that can do what the circuit by itself cannot.

    Empty where the circuit can, or where no option is asked for: then it stays as it was described.
    """
    own = {one.id for one in complaints_of(state.book, named(state.book, _others(state)))}
    if not options or state.complaint in own:
        return ""
    return max(options, key=lambda option: option.common * option.matters[state.complaint]).id


class Fitted(KindOfQuestion):
    """What the machine has beside its circuit."""

    by_name = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is the question for what it has besides."""
        return name == FITTED

    def ask(self, state: State, name: str) -> Question:
        """Ask for the options that the complaint makes worth a look."""
        found = ask_fitted(state)
        return found if found is not None else super().ask(state, name)

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read options by commas, that there is none, or that nobody knows."""
        if text.lower() in UNKNOWN:
            return NOT_SURE[0]
        return ",".join(choose_several(text, asked.pairs))

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was said of the machine, beside what is on its card."""
        options, named = _options(state), step.value.split(",")
        if step.value not in UNKNOWN:
            state.bare = (*state.bare, *(one.id for one in options if one.id not in named))
        told = (step.value in UNKNOWN and _taken(state, options)) or step.value
        say(state, step.id, ",".join(dict.fromkeys((*_on_card(state), *told.split(",")))))

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the options by their names."""
        known = state.book.options
        return "The machine has:", "; ".join(known[one].name if one in known else one for one in value.split(","))
