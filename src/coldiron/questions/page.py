"""One page of what the machine is shown to do, or to refuse, before it is handed back."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.book import Book
from coldiron.job.at_machine import is_left, step_taken, step_untold
from coldiron.job.question import Question
from coldiron.job.state import State, Taken
from coldiron.job.steps import Answered, AnswerStep
from coldiron.machine.duties import SHOW, TICK, Page, as_check, is_page, page_named, said, seen_by, shown_by
from coldiron.questions.check import ask_check
from coldiron.questions.kind import KindOfQuestion
from coldiron.readings.findings import Understood
from coldiron.readings.refusal import AnswerError
from coldiron.record import replace


def ask_page(state: State, page: Page, extra: Iterable[str] = ()) -> Question:
    """One page of what is shown before the hand-back."""
    why = page[0].because if len(page) == 1 else "Something else may have been dead for a while."
    return replace(ask_check(state, as_check(page), "proof", why, extra), several=len(page) > 1)


class ShowsPage(KindOfQuestion):
    """A page of duties; nothing can be said of it before the repair is proven."""

    unasked = "proven"
    by_name = True
    reading = True

    def owns(self, book: Book, name: str) -> bool:
        """Whether it is a page, or one duty, of some machine."""
        return is_page(name)

    def ask(self, state: State, name: str) -> Question:
        """Ask for the page as it is on this machine."""
        page = page_named(state.book, state.circuit, name)
        if not page:
            raise AnswerError("unknown question", f"'{name}' is not on the list for this machine.")
        return ask_page(state, page)

    def read(self, state: State, asked: Question, text: str, *, sure: bool) -> str:
        """Read a figure as it was typed, an answer, or the ids of what was ticked."""
        page = page_named(state.book, state.circuit, asked.id)
        return said(page, text, state.volts, state.batteries, sure=sure)

    def apply(self, state: State, step: Answered) -> None:
        """Keep what was shown. What fails is also a finding of the checks it names, in the place of an older one."""
        page = page_named(state.book, state.circuit, step.id)
        done = page or _on_another(state.book, step.id)
        if not done:  # a newer book may have no duty of that name
            return
        state.present.pages.add(step.id)
        if isinstance(step, AnswerStep) or is_left(step.value):
            step_taken(state, as_check(done), step)
        if page:
            _keep(state, page, step)

    def take_back(self, state: State, name: str) -> None:
        """Nobody knows whether what was moved to show it was put back."""
        if page := page_named(state.book, state.circuit, name) or _on_another(state.book, name):
            step_untold(state, as_check(page))

    def words(self, state: State, name: str, value: str) -> tuple[str, str]:
        """Tell the duty, or those that were seen."""
        page = page_named(state.book, state.circuit, name)
        if len(page) < 2:
            return f"{page[0].name if page else name}:", value
        names = {duty.id: duty.name for duty in page}
        return "Seen to work right:", ", ".join(names.get(word, word) for word in value.split(","))


def _on_another(book: Book, name: str) -> Page:
    """The duty behind the id of a page that this sort of machine has not; none if the book has no such duty.

    It was done before the machine was told to be another: levers and brake stand as it left them.
    """
    duty = book.duties.get(name.removeprefix(SHOW).removeprefix(TICK))
    return (duty,) if duty else ()


def _keep(state: State, page: Page, step: Answered) -> None:
    found = shown_by(page, step.value, state.volts, state.batteries)
    for duty in page:
        if duty.id in found:
            understood = found[duty.id]
            state.present.shown[duty.id] = Taken(step.value, understood, isinstance(step, AnswerStep))
            for check_id, finding in seen_by(state.book, duty, understood, state.volts, state.batteries):
                state.present.taken[check_id] = Taken(finding, Understood(finding), asked=False)
