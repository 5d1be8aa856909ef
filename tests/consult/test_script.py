"""A consultation from JSON lines, and events as JSON lines."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from coldiron import Consultation, screens
from coldiron.cli import main
from coldiron.screens.script import (
    ScriptError,
    TypedAnswer,
    answer_event,
    dump,
    follow,
    lines,
    question_event,
    state_event,
)
from coldiron.screens.script_forms import events, schema
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("start_relay", "relay_ground.off")


@cache
def script() -> str:
    """Its answers, one a line."""
    return "\n".join(json.dumps({"id": asked.id, "value": answer}) for asked, answer in JOB.said)


def test_a_whole_job_is_answered_from_a_script() -> None:
    """The same answers give the same steps and the same end."""
    after = list(follow(Consultation(BOOK), lines(script())))
    assert after[-1].steps == JOB.end.steps
    assert after[-1].verdict == JOB.end.verdict


def test_a_caution_needs_a_line_of_its_own() -> None:
    """Without it the script stops at the very line, and names the caution and its word."""
    place = next(n for n, (asked, _) in enumerate(JOB.said) if asked.kind == "caution")
    asked, word = JOB.said[place]
    without = [line for n, line in enumerate(script().splitlines()) if n != place]
    with pytest.raises(ScriptError) as refused:
        list(follow(Consultation(BOOK), lines("\n".join(without))))
    assert f"'{asked.id}'" in str(refused.value)
    assert f"'{word}'" in str(refused.value)
    assert f"Line {place + 1}" in str(refused.value)


def test_a_reading_already_taken_passes_a_caution() -> None:
    """With `taken` it is one that nobody is asked to take."""
    place = next(n for n, (asked, _) in enumerate(JOB.said) if asked.kind == "caution")
    taken = json.dumps({"id": "rest_volts", "value": "12.6", "taken": True})
    text = "\n".join([*script().splitlines()[:place], taken])
    after = list(follow(Consultation(BOOK), lines(text)))[-1]
    assert after.steps[-1].kind == "read"
    assert "rest_volts" in after.findings


@pytest.mark.parametrize(
    "text",
    [
        *("nonsense", "[1, 2]", '{"id": "raised"}', '{"value": 1}', "3", '"raised"', "{", '{"id": "raised", "value"}'),
        *(
            '{"id": 3, "value": 1}',
            '{"id": "", "value": 1}',
            '{"id": "raised", "value": true}',
            '{"id": "x", "value": []}',
        ),
        *('{"id": "x", "value": null}', '{"id": "x", "value": NaN}', '{"id": "x", "value": 1, "taken": "yes"}'),
        *('{"id": "x", "value": 1, "tekan": true}', '{"id": "x", "value": 1, "taken": 1}'),
    ],
)
def test_a_line_that_is_none_is_named(text: str) -> None:
    """By its number, with the form it should have."""
    with pytest.raises(ScriptError, match="Line 2"):
        list(lines(f'{{"id": "raised", "value": "none"}}\n{text}'))


def test_a_wrong_answer_is_named_by_its_line() -> None:
    """With the sentence of the refusal."""
    with pytest.raises(ScriptError, match=r"Line 1 \('raised'\): .*hovering"):
        list(follow(Consultation(BOOK), lines('{"id": "raised", "value": "hovering"}')))


@given(st.text(max_size=200))
def test_any_text_is_lines_or_refused(text: str) -> None:
    """Never another error."""
    try:
        found = list(lines(text))
    except ScriptError:
        return
    assert all(isinstance(line, TypedAnswer) for line in found)


def test_comments_and_empty_lines_are_passed_over() -> None:
    """A script may be annotated; the numbers count every line."""
    found = list(lines('# a job\n\n  # more\n{"id": "raised", "value": 1}\n'))
    assert found == [TypedAnswer(4, "raised", "1")]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('{"value": 1}', "'id' is missing"),
        ('{"id": 4, "value": 1}', "'id' must be a text"),
        ('{"id": "x", "value": [1]}', "'value' must be a text or a number"),
        ('{"id": "x", "value": 1, "taken": 1}', "'taken' must be true or false"),
        ('{"id": "x", "value": 1, "tekan": true}', "'tekan' is no field of a line"),
        ('{"id": "x", "value": 1', "is not JSON"),
    ],
)
def test_what_is_wrong_with_a_line_is_said(line: str, said: str) -> None:
    """By the name of the field."""
    with pytest.raises(ScriptError, match=said):
        list(lines(line))


numbers = st.integers(-(10**9), 10**9) | st.floats(allow_nan=False, allow_infinity=False)
anything = st.recursive(st.none() | st.booleans() | numbers | st.text(max_size=9), st.lists, max_leaves=3)
objects = st.dictionaries(st.sampled_from(("id", "value", "taken", "more")), anything, max_size=4)
right = st.fixed_dictionaries(
    {"id": st.text(min_size=1), "value": st.text() | numbers}, optional={"taken": st.booleans()}
)


@given(right | objects | anything)
def test_a_line_is_read_exactly_if_the_published_schema_says_it_is_one(found: Any) -> None:
    """Another reader of JSON schema judges the same; what is read is what was written."""
    whole = published()
    is_one = Draft202012Validator({"$ref": "#/$defs/AnswerLine", "$defs": whole["$defs"]}).is_valid(found)
    try:
        (line,) = lines(json.dumps(found))
    except ScriptError:
        assert not is_one
    else:
        assert is_one
        assert line == TypedAnswer(1, found["id"], str(found["value"]), found.get("taken", False))


def published() -> dict[str, Any]:
    """The schema that lies beside the code."""
    whole: dict[str, Any] = json.loads(Path(screens.__path__[0], "script_schema.json").read_text(encoding="utf-8"))
    return whole


def test_the_published_schema_is_that_of_the_forms(capsys: pytest.CaptureFixture[str]) -> None:
    """The file, what the command prints, and the forms that read and write are the same."""
    assert published() == schema()
    main(["schema"])
    assert json.loads(capsys.readouterr().out) == published()
    Draft202012Validator.check_schema(published())


def test_events_are_of_the_published_form() -> None:
    """Every step, question and state of a job stands on one line; a strict reader takes it, and another one."""
    reader = Draft202012Validator({"$ref": "#/$defs/Event", "$defs": published()["$defs"]})
    for now in JOB.after:
        steps = [answer_event(step) for step in now.steps[-1:]]
        for event in (*steps, question_event(now.next), state_event(now)):
            text = dump(event)
            assert "\n" not in text
            assert json.loads(text) == event == events().validate_json(text)
            reader.validate(json.loads(text))
    assert question_event(JOB.end.next) == {"event": "over"}
    first = question_event(JOB.after[0].next)
    assert first["event"] == "question"
    assert first["id"] == "raised"
    assert first["choices"]


@pytest.mark.parametrize("event", [{}, {"event": "over", "id": ""}, {"event": "noted", "id": "", "value": ""}])
def test_other_events_are_not_of_the_form(event: dict[str, str]) -> None:
    """A field too few, one too many, a word that there is not."""
    with pytest.raises(ValidationError):
        events().validate_python(event)


def test_a_state_is_one_at_the_end() -> None:
    """Handed back."""
    assert state_event(JOB.end)["status"] == "handed back"
