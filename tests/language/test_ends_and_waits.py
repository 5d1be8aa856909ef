"""What ends the acknowledgement of a caution, and the hours a repair waits: read, refused, printed."""

from __future__ import annotations

import pytest

from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.language.printer import print_tree
from coldiron.language.read import read
from coldiron.questions.repair import ask_repair
from support.mechanic import shipped
from support.rule_text import GROUND, load_texts, on_ground

CAUTION = (
    "caution hot\n  word DANGER\n  hazard h\n  harm h\n  avoid a\n  type cold\n  due before start\n{until}  source s\n"
)


def with_waits(line: str) -> tuple[Book, tuple[Problem, ...]]:
    """The ground, with a line behind the minutes of the first fault."""
    text = GROUND.read_text(encoding="utf-8")
    at = text.index("\n", text.index("    takes"))
    return load_texts(text[:at] + f"\n    {line}" + text[at:])


@pytest.mark.parametrize("end", ["once", "day", "key", "raised", "key, raised"])
def test_an_acknowledgement_ends_at_one_step_a_day_a_setting_or_a_question(end: str) -> None:
    """Each is kept as it is written."""
    book, problems = on_ground(CAUTION.format(until=f"  until {end}\n"))
    assert problems == ()
    assert ", ".join(book.cautions["hot"].until) == end


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "this caution has no line 'until'"),
        ("  until keys\n", "there is no end of a caution 'keys'"),
        ("  until once, key\n", "'once' says it all: nothing else stands behind 'until' with it"),
        ("  until key, day\n", "'day' says it all: nothing else stands behind 'until' with it"),
    ],
)
def test_a_caution_without_a_known_end_is_refused(line: str, said: str) -> None:
    """Else what was acknowledged in the morning would hold for the whole job."""
    assert [problem.sentence for problem in on_ground(CAUTION.format(until=line))[1]] == [said]


@pytest.mark.parametrize("name", shipped().cautions)
def test_every_caution_of_the_book_says_what_ends_it(name: str) -> None:
    """Settings and questions it has, or one of the two words."""
    until = shipped().cautions[name].until
    assert until
    assert set(until) <= {"once", "day", *shipped().settings, *shipped().questions}


@pytest.mark.parametrize(
    ("line", "hours", "text"),
    [
        ("waits 4 to 12 hours on charge", (4.0, 12.0), "on charge"),
        ("waits 24 hours to thaw", (24.0, 24.0), "to thaw"),
        ("waits 1 hour", (1.0, 1.0), ""),
    ],
)
def test_a_repair_waits_so_many_hours(line: str, hours: tuple[float, float], text: str) -> None:
    """From and to, or one figure, and what for."""
    book, problems = with_waits(line)
    fault = next(iter(next(iter(book.kinds.values())).faults))
    assert problems == ()
    assert (fault.waits, fault.waiting) == (hours, text)


@pytest.mark.parametrize("line", ["waits 12 to 4 hours on charge", "waits 4 minutes", "waits long", "waits 0 hours"])
def test_waiting_that_makes_no_sense_is_refused(line: str) -> None:
    """A turned range, another unit, no figure, nothing."""
    assert len(with_waits(line)[1]) == 1


def test_waiting_prints_as_it_was_read() -> None:
    """Printed, read and printed again it is the same."""
    text = print_tree(read("a.rules", b"kind a\n  fault b\n    waits 4 to 12 hours on charge\n")[0])
    assert "waits 4 to 12 hours on charge" in text
    assert print_tree(read("a.rules", text.encode())[0]) == text


def test_a_flat_battery_says_its_work_and_its_wait_apart() -> None:
    """TM 5-3805-262-20 charges at a low rate for hours; the work on it is a matter of minutes."""
    asked = ask_repair(shipped().faults["battery.flat"], 0.5, ())
    assert asked.minutes == 30
    assert asked.waits == "4 to 12 h on charge, then 3 h to stand"
