"""The records a consultation hands out: the question, and what is wrong with an answer to it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from coldiron.book.cautions import Caution
from coldiron.book.problem import Problem
from coldiron.record import dataclass

QuestionKind = Literal["intake", "now", "check", "caution", "set", "repair", "proof"]


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked of the mechanic.

    `choices` are the values `Consultation.answer` accepts, `meanings` say in words what each stands for (same length);
    a typed reading has no choices and a `unit` (V, A, ohm). `how` says where the probes go, `changes` what to set on
    the machine first, `good` what a sound machine would show, `why` why this is asked now. `cautions` are in force for
    this step; one of kind `now` says what to do this second. A question of kind `caution` shows those due together, and
    `step` is the id of the step it stands before. Those of `acks` are acknowledged by its answer; those of `beside`
    were read before and stand in a line; with `brief` there are no others, and one key says that they are still so. A
    question of kind `set` asks whether a setting was put to its first choice, for the step `step`. A repair takes
    `minutes` of work, and `waits` says how long nobody works, and for what. `notes` are the shop's own, from its card.
    """

    id: str
    kind: QuestionKind
    text: str
    choices: tuple[str, ...] = ()
    meanings: tuple[str, ...] = ()
    unit: str = ""
    minutes: float = 0.0
    cautions: tuple[Caution, ...] = ()
    how: str = ""
    changes: tuple[str, ...] = ()
    good: str = ""
    why: str = ""
    several: bool = False
    step: str = ""
    acks: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    brief: bool = False
    waits: str = ""
    notes: tuple[str, ...] = ()

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """The choices, each with what it stands for."""
        return tuple(zip(self.choices, self.meanings, strict=True))


def ask_from_list(
    id_: str,
    text: str,
    pairs: Iterable[tuple[str, str]],
    *,
    minutes: float,
    why: str,
    how: str = "",
    several: bool = False,
) -> Question:
    """A question asked of the person, with a list to choose from: each choice, and what it stands for."""
    choices, meanings = zip(*pairs, strict=True)
    return Question(
        id=id_,
        kind="intake",
        text=text,
        choices=choices,
        meanings=meanings,
        minutes=minutes,
        how=how,
        why=why,
        several=several,
    )


def may_be_left(asked: Question) -> bool:
    """Whether a step can be left undone for another: not putting back, handing over, what was said of the machine."""
    return asked.kind != "caution" or (bool(asked.step) and not asked.step.startswith(("set.", "hand_back")))


class BookError(ValueError):
    """A book with errors in it, which no job is worked with; `problems` are the errors, each with its place."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        said = "an error" if len(problems) == 1 else f"{len(problems)} errors, the first"
        super().__init__(f"The book is not used; it has {said}: {problems[0]}")
        self.problems = problems
