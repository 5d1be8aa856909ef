"""The recorded consultations replay byte for byte, and tell the stories they say they tell.

After the book, the wording or the diagnosis has changed, record them anew and read them:

    pytest tests/test_transcripts.py --update-recordings
"""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from coldiron.screens.driver import JobDriver
from coldiron.screens.plain import show
from coldiron.screens.replay import play, recorded
from coldiron.screens.transcript import split
from support.mechanic import shipped
from support.recordings import STORIES, Story, record
from support.shop import begin, onward

README = Path(__file__).parents[1] / "README.md"
BY_NAME = {story.file: story for story in STORIES}


@pytest.fixture(params=BY_NAME)
def story(request: pytest.FixtureRequest) -> Story:
    """Each story, recorded anew first if that was asked for."""
    told = BY_NAME[request.param]
    if request.config.getoption("--update-recordings"):
        told.path.write_text(record(told), encoding="utf-8")
    return told


def test_a_recording_replays_byte_for_byte(story: Story) -> None:
    """What was typed gives exactly what was written."""
    text = story.path.read_text(encoding="utf-8")
    out = io.StringIO()
    play(shipped(), text, out)
    if out.getvalue() != split(text)[1]:  # comparing long texts line by line takes minutes
        pairs = enumerate(zip(out.getvalue().splitlines(), split(text)[1].splitlines(), strict=False), 1)
        place, lines = next(((n, pair) for n, pair in pairs if pair[0] != pair[1]), (0, ("", "")))
        pytest.fail(f"{story.file} differs from line {place} of its output on: {lines[0]!r}, recorded {lines[1]!r}")


def test_the_header_says_what_it_shows_and_how_to_replay_it(story: Story) -> None:
    """The first lines are the story's own."""
    header, _ = split(story.path.read_text(encoding="utf-8"))
    assert f"{header}\n" == story.header
    assert f"coldiron find --replay transcripts_demo/{story.file}" in header


def test_a_recording_ends_with_the_machine_handed_back(story: Story) -> None:
    """The true faults are repaired, every cause before its victims, and named at the end."""
    _, output = split(story.path.read_text(encoding="utf-8"))
    end = output[output.rindex("Handed back") :]
    repaired = next(line for line in end.replace("\n  ", " ").splitlines() if line.startswith("Fixed:"))
    names = [shipped().faults[fault].name for fault in story.faults]
    places = [repaired.index(name) for name in names]
    assert places == sorted(places)


def test_a_recording_has_no_line_wider_than_a_terminal(story: Story) -> None:
    """80 columns, what was typed apart."""
    title, typed = recorded(story.path.read_text(encoding="utf-8"))
    _, output = split(story.path.read_text(encoding="utf-8"))
    wide = [line for line in output.splitlines() if len(line) > 80 and not line.endswith(typed)]
    assert title == story.title
    assert wide == []


def test_the_wrong_answer_is_found_out_and_withdrawn() -> None:
    """The fourth story: the others contradict it, it is changed, and what followed from it is withdrawn."""
    _, output = split(BY_NAME["04_wrong_reading.txt"].path.read_text(encoding="utf-8"))
    flat = " ".join(output.split())
    assert "do not fit together" in flat
    assert flat.index("do not fit together") < flat.index(f"Changed: {shipped().checks['ground_path_drop'].ask}")
    assert "The readings fit together again." in flat
    assert "The next step has changed." in flat[flat.index("Changed:") :]


def first_check() -> str:
    """The page of the first check on the machine of the first story, as plain lines; a reading is typed below it."""
    story = STORIES[0]
    job = onward(begin(story.circuit, "chatter"))
    assert job.next is not None
    assert job.next.kind == "check"
    out = io.StringIO()
    show(JobDriver(story.title, job).page(), out)
    return f"{out.getvalue().rstrip()}\n"


def test_the_page_in_the_readme_is_a_real_one(request: pytest.FixtureRequest) -> None:
    """Byte for byte; it is written anew with the recordings."""
    before, opening, rest = README.read_text(encoding="utf-8").partition("```text\n")
    page, closing, after = rest.partition("```")
    if request.config.getoption("--update-recordings"):
        page = first_check()
        README.write_text(before + opening + page + closing + after, encoding="utf-8")
    assert page == first_check()
