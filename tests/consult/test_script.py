"""A consultation from JSON lines, and events as JSON lines."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron import Consultation
from coldiron.screens.script import Line, ScriptError, dump, follow, lines, question_event, state_event
from support.mechanic import shipped, worked

BOOK = shipped()
JOB = worked("start_relay", "relay_ground.off")
SCRIPT = "\n".join(json.dumps({"id": asked.id, "value": answer}) for asked, answer in JOB.said)


def test_a_whole_job_is_answered_from_a_script() -> None:
    """The same answers give the same steps and the same end."""
    after = list(follow(Consultation(BOOK), lines(SCRIPT)))
    assert after[-1].steps == JOB.end.steps
    assert after[-1].verdict == JOB.end.verdict


def test_a_caution_needs_a_line_of_its_own() -> None:
    """Without it the script stops at the very line, and names the caution and its word."""
    place = next(n for n, (asked, _) in enumerate(JOB.said) if asked.kind == "caution")
    asked, word = JOB.said[place]
    without = [line for n, line in enumerate(SCRIPT.splitlines()) if n != place]
    with pytest.raises(ScriptError) as refused:
        list(follow(Consultation(BOOK), lines("\n".join(without))))
    assert f"'{asked.id}'" in str(refused.value)
    assert f"'{word}'" in str(refused.value)
    assert f"Line {place + 1}" in str(refused.value)


def test_a_reading_already_taken_passes_a_caution() -> None:
    """With `taken` it is one that nobody is asked to take."""
    place = next(n for n, (asked, _) in enumerate(JOB.said) if asked.kind == "caution")
    taken = json.dumps({"id": "rest_volts", "value": "12.6", "taken": True})
    script = "\n".join([*SCRIPT.splitlines()[:place], taken])
    after = list(follow(Consultation(BOOK), lines(script)))[-1]
    assert after.steps[-1].kind == "read"
    assert "rest_volts" in after.findings


@pytest.mark.parametrize(
    "text",
    ["nonsense", "[1, 2]", '{"id": "raised"}', '{"value": 1}', "3", '"raised"', "{", '{"id": "raised", "value"}'],
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
    assert all(isinstance(line, Line) for line in found)


def test_comments_and_empty_lines_are_passed_over() -> None:
    """A script may be annotated; the numbers count every line."""
    found = list(lines('# a job\n\n  # more\n{"id": "raised", "value": 1}\n'))
    assert found == [Line(4, "raised", "1")]


def test_events_are_plain_json() -> None:
    """Every question and state of a job can be written on one line and read back."""
    for now in JOB.after:
        for event in (question_event(now.next), state_event(now)):
            text = dump(event)
            assert "\n" not in text
            assert json.loads(text) == event
    assert question_event(JOB.end.next) == {"event": "over"}
    first = question_event(JOB.after[0].next)
    assert first["id"] == "raised"
    assert first["choices"]
    assert state_event(JOB.end)["status"] == "handed back"
