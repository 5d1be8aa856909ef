"""A consultation answered from a file of JSON lines, and its events as JSON lines."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from coldiron.consult.session import Consultation
from coldiron.job.question import Question
from coldiron.model import CODE
from coldiron.readings.choosing import MOST_DIGITS
from coldiron.readings.refusal import AnswerError
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an answers file: `{"id": ..., "value": ...}`, with `"taken": true` for a reading already taken.

    The id `code` is for a trouble code, anywhere: `{"id": "code", "value": "168 1"}`.
    """

    number: int
    id: str
    value: str
    taken: bool = False


class ScriptError(ValueError):
    """A line of an answers file that cannot be used; the sentence names the line."""


def lines(text: str) -> Iterator[Line]:
    """The lines of an answers file.

    Raises:
        ScriptError: a line is no JSON object with `id` and `value`.
    """
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            found = json.loads(line, parse_int=_whole)
        except RecursionError as error:
            raise ScriptError(f"Line {number} has too many brackets inside each other: {line[:60]}") from error
        except ValueError as error:
            raise ScriptError(f"Line {number} is not JSON: {line[:60]}") from error
        if not isinstance(found, dict) or not {"id", "value"} <= found.keys():
            raise ScriptError(f'Line {number} must have the form {{"id": ..., "value": ...}}.')
        yield Line(number, str(found["id"]), str(found["value"]), bool(found.get("taken", False)))


def _whole(digits: str) -> int | str:
    """A whole number; one longer than any reading stays a text, for Python makes none of thousands of digits."""
    return int(digits) if len(digits) <= MOST_DIGITS else digits


def follow(start: Consultation, script: Iterable[Line]) -> Iterator[Consultation]:
    """The consultation after every line.

    A step that has a caution before it is refused until the caution has had a line of its own.

    Raises:
        ScriptError: a line cannot be answered.
    """
    current = start
    for line in script:
        asked = current.next
        unasked = line.taken or line.id == CODE
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


def question_event(asked: Question | None) -> dict[str, Any]:
    """A question as an event."""
    if asked is None:
        return {"event": "over"}
    return {
        "event": "question",
        "id": asked.id,
        "kind": asked.kind,
        "text": asked.text,
        "choices": list(asked.choices),
        "unit": asked.unit,
        "minutes": asked.minutes,
        **({"waits": asked.waits} if asked.waits else {}),
        "cautions": [{"id": c.id, "word": c.word, "hazard": c.hazard, "avoid": c.avoid} for c in asked.cautions],
    }


def state_event(consultation: Consultation) -> dict[str, Any]:
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
        "shown": list(outcome.shown),
        "open": [list(one) for one in outcome.still_open],
        "failed": [list(one) for one in outcome.failed],
    }


def dump(event: dict[str, Any]) -> str:
    """An event as one line of ASCII: what no terminal should be sent stands there as JSON's own escapes."""
    return json.dumps(event)
