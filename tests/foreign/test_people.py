"""The people of the foreign machines: what they draw, measure and tell is so; what the adaptor names is in the book."""

from __future__ import annotations

from typing import get_args

import pytest

from coldiron import load_book
from foreign.loading import FOLDER, load
from foreign.measuring import Bench, Setup
from foreign.people import adaptor, adaptor_parts, adaptor_points
from foreign.people.drawing import aside, draw
from foreign.people.judge import play
from foreign.people.stories import COMPLAINTS, story
from foreign.record import Does
from foreign.world import broken, healthy

TRACTOR = load(FOLDER / "patterns" / "orchard_tractor.toml")


def fault(name: str, severity: float = 1.0) -> Bench:
    found = next(each for each in TRACTOR.faults if each.name == name)
    return Bench(broken(healthy(TRACTOR), [(found, severity)]))


def test_what_the_adaptor_names_is_in_the_book() -> None:
    """A name that the book no longer has would be answered 'not fitted' without a word."""
    book, _ = load_book()
    checked = {point for check in book.checks.values() for point in (check.reads.a, check.reads.b)}
    known = checked | {end for part in book.parts.values() for end in part.joins.values()}
    assert set(adaptor_points.POINTS) <= known
    assert set(adaptor_parts.PARTS) <= set(book.parts) | {"stop_knob"}
    assert set(adaptor_points.SETTINGS) <= set(book.settings)
    assert set(adaptor.COMPLAINTS.values()) <= {*book.complaints, "not sure"}
    for question, answers in adaptor.SPEAKS_OF.items():
        assert set(answers) <= {answer.id for answer in book.questions[question].answers}
    assert set(adaptor.features(TRACTOR)) == set(book.features)


def test_every_repair_of_the_book_does_something() -> None:
    book, _ = load_book()
    dumb = [
        each.id
        for each in book.faults.values()
        if not adaptor_parts.acts(each.what.name, each.what.repair, renews=each.what.renews)
    ]
    assert dumb == []


def test_a_meter_reads_what_is_there() -> None:
    """Worked by hand: rested volts of a full battery, an open coil, a short of .05 ohm behind the link."""
    off, on = Setup(), Setup("on")
    sound = Bench(healthy(TRACTOR))
    assert sound.volts("battery_plus", "battery_minus", off) == pytest.approx(12.64, abs=0.03)
    assert sound.lamp("key_ig", "frame", on) == pytest.approx(12.5 / 12, abs=0.05)
    assert sound.ohms("relay_86", "relay_85", off) == pytest.approx(30, rel=0.02)
    assert fault("cab_feed_chafed").ohms("main_link_out", "frame", off) == pytest.approx(0.05, abs=0.02)


def test_what_is_drawn_is_the_same_again_and_does_something() -> None:
    first, again = draw(4, [TRACTOR]), draw(4, [TRACTOR])
    assert first == again
    assert first is not None
    assert first.does != "normal"


def test_about_a_third_of_all_names_is_kept_aside() -> None:
    names = [TRACTOR.model_copy(update={"name": f"machine_{k}"}) for k in range(600)]
    assert 0.28 <= sum(aside(each) for each in names) / 600 <= 0.39


@pytest.mark.slow
def test_a_job_is_played_without_a_fault_of_the_program() -> None:
    job = draw(5, [TRACTOR])
    assert job is not None
    played = play(job)
    assert played.error == ""
    assert played.log


def test_a_story_has_a_sentence_for_all_that_a_machine_does() -> None:
    assert set(COMPLAINTS) == set(get_args(Does))
    job = draw(4, [TRACTOR])
    assert job is not None
    assert story(job).startswith("The tractor ")
