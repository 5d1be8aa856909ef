"""A consultation answered from a file of JSON lines, and its events as JSON lines."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator

from coldiron.book.history import CODE, TOLD
from coldiron.consult.session import Consultation
from coldiron.job.question import Question
from coldiron.job.rows import row_of
from coldiron.job.steps import Step
from coldiron.readings.refusal import AnswerError
from coldiron.record import dataclass
from coldiron.screens.script_forms import AnswerEvent, Event, OverEvent, QuestionEvent, StateEvent, read_line


@dataclass(frozen=True, slots=True)
class TypedAnswer:
    """One line of an answers file: `{"id": ..., "value": ...}`, with `"taken": true` for a reading already taken.

    The id `code` is for a trouble code, anywhere: `{"id": "code", "value": "168 1"}`.
    """

    number: int
    id: str
    value: str
    taken: bool = False


class ScriptError(ValueError):
    """A line of an answers file that cannot be used; the sentence names the line."""


def lines(text: str) -> Iterator[TypedAnswer]:
    """The lines of an answers file.

    Raises:
        ScriptError: a line has not the form of `TypedAnswer`.
    """
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            found = read_line(line)
        except ValueError as error:
            raise ScriptError(f"Line {number} {error}") from error
        yield TypedAnswer(number, found.id, str(found.value), found.taken)


def follow(start: Consultation, script: Iterable[TypedAnswer]) -> Iterator[Consultation]:
    """The consultation after every line.

    A step that has a caution before it is refused until the caution has had a line of its own.

    Raises:
        ScriptError: a line cannot be answered.
    """
    current = start
    for line in script:
        asked = current.next
        unasked = line.taken or line.id in (CODE, TOLD)
        if asked is not None and asked.kind == "caution" and line.id != asked.id and not unasked:
            raise ScriptError(
                f"Line {line.number} ('{line.id}'): first the caution '{asked.id}' needs a line of its own, with the "
                f"word '{asked.choices[0]}'."
            )
        try:
            current = current.answer(line.id, line.value, sure=True)
        except AnswerError as error:
            raise ScriptError(f"Line {line.number} ('{line.id}'): {error.sentence}") from error
        yield current


def answer_event(step: Step) -> AnswerEvent:
    """What was entered as an event."""
    kind, name, value = row_of(step)
    return {"event": kind, "id": name, "value": value}


def question_event(asked: Question | None) -> QuestionEvent | OverEvent:
    """A question as an event."""
    if asked is None:
        return {"event": "over"}
    event: QuestionEvent = {
        "event": "question",
        "id": asked.id,
        "kind": asked.kind,
        "text": asked.text,
        "choices": list(asked.choices),
        "unit": asked.unit,
        "minutes": asked.minutes,
        "cautions": [{"id": c.id, "word": c.word, "hazard": c.hazard, "avoid": c.avoid} for c in asked.cautions],
    }
    if asked.waits:
        event["waits"] = asked.waits
    if asked.notes:
        event["notes"] = list(asked.notes)
    return event


def state_event(consultation: Consultation) -> StateEvent:
    """Suspects and verdict as an event."""
    outcome = consultation.verdict
    return {
        "event": "state",
        "minutes": round(consultation.minutes, 1),
        "suspects": [[name, round(share, 6)] for name, share in consultation.suspects[:5]],
        "unknown": round(consultation.unknown, 6),
        "status": outcome.status,
        "faults": [[name, round(share, 6)] for name, share in outcome.faults],
        "repaired": list(outcome.repaired),
        "in_vain": list(outcome.in_vain),
        "shown": list(outcome.shown),
        "open": [list(one) for one in outcome.still_open],
        "failed": [list(one) for one in outcome.failed],
    }


def dump(event: Event) -> str:
    """An event as one line of ASCII: what no terminal should be sent stands there as JSON's own escapes."""
    return json.dumps(event)
