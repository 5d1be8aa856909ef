"""The forms of a script: a line that answers, read strictly, and the events that tell what came of it.

Their JSON schema is published beside this file (`script_schema.json`, `coldiron schema`); a test holds the two equal.
Only this file and what is asked of a script load pydantic.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any, Literal, NotRequired

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError, with_config
from typing_extensions import TypedDict

from coldiron.book.cautions import SignalWord
from coldiron.job.question import QuestionKind
from coldiron.job.steps import StepKind
from coldiron.telling.outcome import Status

STRICT = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)
"""No field more than there are, nothing turned from one type to another."""

Share = Annotated[float, Field(ge=0, le=1)]
Text = Annotated[str, Field(min_length=1)]


class AnswerLine(BaseModel):
    """One line of an answers file. Empty lines and lines that begin with # are passed over."""

    model_config = STRICT

    id: Text = Field(description="What is answered: the id of a question, of a check, or `code` for a trouble code.")
    value: str | int | float = Field(
        description='The answer as it would be typed, or a number: a reading in the unit that is asked for, "168 1".'
    )
    taken: bool = Field(default=False, description="True for a reading that was taken already, which nobody asks for.")


@with_config(STRICT)
class AnswerEvent(TypedDict):
    """What was entered, as the job's log has it."""

    event: StepKind
    id: str
    value: str


@with_config(STRICT)
class CautionTold(TypedDict):
    """A caution in force for a step."""

    id: str
    word: SignalWord
    hazard: str
    avoid: str


@with_config(STRICT)
class QuestionEvent(TypedDict):
    """What is asked next."""

    event: Literal["question"]
    id: str
    kind: QuestionKind
    text: str
    choices: Annotated[list[str], Field(description="The words that are taken; none for a reading.")]
    unit: Annotated[str, Field(description="V, A or ohm of a reading.")]
    minutes: Annotated[float, Field(ge=0, description="Minutes of work.")]
    waits: NotRequired[Annotated[str, Field(description="How long nobody works, and for what.")]]
    notes: NotRequired[Annotated[list[str], Field(description="What stands on the machine's card about it.")]]
    cautions: list[CautionTold]


@with_config(STRICT)
class OverEvent(TypedDict):
    """Nothing more is asked."""

    event: Literal["over"]


@with_config(STRICT)
class StateEvent(TypedDict):
    """Where the script leads: the last event."""

    event: Literal["state"]
    minutes: Annotated[float, Field(ge=0)]
    suspects: Annotated[list[list[str | Share]], Field(description="The likeliest faults, each with its probability.")]
    unknown: Share
    status: Status
    faults: Annotated[list[list[str | Share]], Field(description="The faults to repair, a cause before its victims.")]
    repaired: list[str]
    in_vain: Annotated[list[str], Field(description="Of what was repaired: what did not help.")]
    shown: list[str]
    open: Annotated[list[list[str]], Field(description="What was not shown, each with what the owner must not do.")]
    failed: Annotated[list[list[str]], Field(description="What failed when it was shown, each with what is done next.")]


Event = AnswerEvent | QuestionEvent | OverEvent | StateEvent

WORDS = {
    "missing": "is missing",
    "extra_forbidden": "is no field of a line",
    "bool_type": "must be true or false",
    "string_type": "must be a text or a number",
    "string_too_short": "is empty",
}
"""What is wrong with a field, by the word of pydantic's for it."""

FORM = '{"id": ..., "value": ...}'


def read_line(text: str) -> AnswerLine:
    """Read one line of an answers file.

    Raises:
        ValueError: it is none; the sentence, which begins with a small letter, says what is wrong.
    """
    try:
        return AnswerLine.model_validate_json(text)
    except ValidationError as fault:
        raise ValueError(_sentence(fault.errors(include_url=False)[0], text)) from fault
    except UnicodeEncodeError as fault:
        raise ValueError(f"is not JSON: {text[:60]}") from fault


def _sentence(error: Any, text: str) -> str:
    if error["type"] == "json_invalid":
        return f"is not JSON: {text[:60]}"
    if not error["loc"]:
        return f"must have the form {FORM}."
    field = str(error["loc"][0])
    said = "must be a text" if field == "id" and error["type"] == "string_type" else WORDS.get(error["type"], "")
    return f"must have the form {FORM}: '{field[:60]}' {said or 'must be a text or a number'}."


@cache
def events() -> TypeAdapter[Event]:
    """What holds an event to its form."""
    return TypeAdapter(Event)


def schema() -> dict[str, Any]:
    """Return the JSON schema (draft 2020-12) of the lines and the events."""
    line, event = AnswerLine.model_json_schema(), events().json_schema()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Scripts of coldiron",
        "description": "`AnswerLine` is a line of `coldiron find --answers FILE`; `Event` a line that --json writes.",
        "$defs": {"AnswerLine": line, **event.pop("$defs"), "Event": event},
    }
