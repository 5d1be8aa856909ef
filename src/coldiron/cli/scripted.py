"""A job answered from a file of JSON lines: `coldiron find --answers FILE`, its events told with `--json`."""

from __future__ import annotations

from coldiron import terminal
from coldiron.bounded import UnreadableError, text_of
from coldiron.cli.exits import ANSWERS, DONE, USAGE
from coldiron.consult.session import Consultation
from coldiron.plaintext import one_line
from coldiron.screens.driver import JobDriver
from coldiron.screens.plain import show
from coldiron.screens.saving import begun
from coldiron.screens.script import ScriptError, answer_event, dump, follow, lines, question_event, state_event

TYPE_CHECKING = False
if TYPE_CHECKING:
    from pathlib import Path

    from coldiron.book.book import Book


def run_script(book: Book, path: Path, name: str = "", *, as_json: bool) -> int:
    """Answer a job from a file and show where that leads; return the exit code.

    Of a machine that was named its card is used.
    """
    steps, told = begun(name, book)
    consultation = Consultation(book, steps)
    for sentence in told:
        terminal.tell(sentence, error=True)
    try:
        for after in follow(consultation, lines(text_of(path))):
            consultation = after
            if as_json:
                step = consultation.steps[-1]
                terminal.record(dump(answer_event(step)))
                terminal.record(dump(question_event(consultation.next)))
    except (ScriptError, UnreadableError) as error:
        terminal.tell(one_line(str(error), 600), error=True)
        return ANSWERS if isinstance(error, ScriptError) else USAGE
    if as_json:
        terminal.record(dump(state_event(consultation)))
    else:
        show(JobDriver(path.stem, consultation).page())
    return ANSWERS if consultation.verdict.status == "open" else DONE
