"""The second reckoner raises its alarm on planted pages, and keeps quiet on sound ones."""

from __future__ import annotations

import pytest

from yard.facts import REVERSED
from yard.page import Page, read
from yard.reckoner import Reckoner
from yard.telling import alike

START = """A machine · 3 min

Do now (about 2 min)
Battery volts while START is held, post to post
Where and how: Probes on the lead posts, meter on its lowest-value memory. Hold START three to five
  seconds, fuel shut off.
Good: 9.6 to 11.75 V
Why now: Best next check: narrows what is left a little, 2 minutes.
Volts >"""

FULL = """A machine · 3 min

Stage 3 of 6: checks, 1 done. Before you go on: Battery volts while START is held, post to post

! DANGER: Any battery may stand in gas that explodes.
  Goggles on, and let it air.

! WARNING: A spanner that bridges a post to the other post is a dead short.
  Rings off.

! NOTICE: The starter is cranked too long or too often.

! DANGER: With the key at START the engine, and the whole machine if it is in gear, can move.
  Anyone beside a wheel, a track, a fan or a belt is crushed or caught.
  Lever in neutral, park brake set, bucket on the ground. Everyone stands clear, in view of the seat.

Seen it with your own eyes? Type 'clear', or n if it is not so.
CLEAR? >"""

BRIEF = """A machine · 3 min

Before you go on: Dash lamps while START is held

! DANGER: START once more. Everyone still clear of what moves?

CLEAR? >"""

SECOND = """A machine · 3 min

Do now (about 2 min)
Dash lamps while START is held
Where and how: Hold START for two seconds and watch the warning lamps.

  1  out: they go out
  2  they stay bright
Your answer >"""

OHMS = """A machine · 3 min
{standing}
Do now (about 11 min)
Ohms from the machine side of the main link to the frame
Where and how: Battery lead off, link out, every switch off. Red on the machine side, black on the
  frame.
{first}Good: 6 ohm or more, or open line

! NOTICE: An ohmmeter is put on a circuit that still has power.

! WARNING: The studs and the main links are live with the key off, and nothing fuses them.

! WARNING: A battery lead is lifted while something is switched on.

! DANGER: Any battery may stand in gas that explodes.
Ohms >"""

LEAD = "ground lead on the battery negative post"

LIFT = f"Set first: {LEAD}: off; main link, or both of\n  two: out\n"

OVER = """A machine · 90 min

Handed back
Fixed: the main link: blown
Minutes by the book: 90"""


def page(text: str) -> Page:
    """A page from a text."""
    return read(text.split("\n"))


def alarms(*steps: str | Page) -> list[str]:
    """The kinds of alarm over pages and, as short words, what happens between them."""
    reckoner = Reckoner()
    for step in steps:
        if isinstance(step, Page):
            reckoner.done(step)
        elif step.startswith("A machine"):
            reckoner.see(page(step))
        else:
            reckoner.event(step)
    return [kind for kind, _ in reckoner.alarms]


def test_a_page_is_read_as_a_person_reads_it() -> None:
    """Step, place of the probes, what to set, what stands off and what can be chosen, over wrapped lines."""
    seen = page(OHMS.format(standing=f"To be put back: {LEAD} (off); start relay in its\n  socket (out)\n", first=LIFT))
    assert seen.kind == "do"
    assert seen.step == "Ohms from the machine side of the main link to the frame"
    assert seen.first == [(LEAD, "off"), ("main link, or both of two", "out")]
    assert seen.standing == [(LEAD, "off"), ("start relay in its socket", "out")]
    assert [warning.word for warning in seen.warned] == ["NOTICE", "WARNING", "WARNING", "DANGER"]
    assert seen.prompt == "Ohms"
    assert page(SECOND).choices == [("1", "out: they go out"), ("2", "they stay bright")]
    assert page(FULL).word == "clear"


def test_a_bare_start_page_is_an_alarm() -> None:
    """START is held and nothing says so."""
    assert "START: nothing said" in alarms(START)


def test_a_start_page_after_its_full_warning_is_none() -> None:
    """The screen before the step says it in full, and the step follows at once."""
    assert alarms(FULL, START) == []


def test_the_second_start_of_a_stretch_needs_one_line() -> None:
    """Said in full at the first, in one line at the second; nothing at all is an alarm."""
    assert alarms(FULL, START, page(START), BRIEF, SECOND) == []
    assert alarms(FULL, START, page(START), SECOND) == ["START: nothing said"]


@pytest.mark.parametrize("event", ["repair", "skip", "park", "resume", "person", "back", "change"])
def test_one_line_is_too_little_once_a_stretch_is_broken(event: str) -> None:
    """After anything that breaks the stretch it has to be said in full again."""
    assert "START: one line where all is due" in alarms(FULL, START, page(START), event, BRIEF, SECOND)


def test_another_setting_breaks_a_stretch() -> None:
    """Between two STARTs a relay was pulled: whoever stood clear has had his hands in the machine."""
    pull = page("A machine\n\nDo now\nLook at the socket\nSet first: start relay in its socket: out\nYour answer >")
    kinds = alarms(FULL, START, page(START), pull, BRIEF, SECOND.replace("Where", "Set first: fuel: off\nWhere"))
    assert "START: one line where all is due" in kinds


def test_a_warning_for_a_step_that_was_skipped_warns_of_no_other() -> None:
    """The full warning was for the step before; that was skipped, and the next START comes bare."""
    assert "START: nothing said" in alarms(FULL, "skip", START)


@pytest.mark.parametrize(
    "words",
    [
        "Cold engine, heated as it should be: does it fire while it cranks?",
        "START for a second, and at each start: let go, the key springs back",
        "Three starts from the seat: it cranks at once each time",
        "Volts across the battery posts, engine at fast idle, lamps and fan on",
    ],
)
def test_start_is_known_by_its_words(words: str) -> None:
    """Whatever the page says is to be set, the words tell that the engine turns."""
    assert "START: nothing said" in alarms(f"A machine\n\nDo now (about 2 min)\n{words}\nYour answer >")


def test_looking_at_lamps_at_on_is_no_start() -> None:
    """The step says that START is not to be turned."""
    text = "A machine\n\nDo now\nDash lamps with the key at ON\nWhere and how: Do not go on to START.\nYour answer >"
    assert not [kind for kind in alarms(text) if kind.startswith("START")]


def test_a_list_that_believes_a_skip_is_an_alarm() -> None:
    """The step that lifts the lead was skipped; the next page has the lead among what is to be put back."""
    lift = OHMS.format(standing="", first=LIFT)
    listed = SECOND.replace("Do now", f"To be put back: {LEAD} (off)\n\nDo now")
    assert "list: nobody did it" in alarms(lift, "skip", listed)
    assert "list: nobody did it" not in alarms(lift, page(lift), listed)


def test_a_list_that_drops_what_was_done_is_an_alarm() -> None:
    """The lead was lifted and said to be off; the next page no longer knows."""
    lift = OHMS.format(standing="", first=LIFT)
    assert "list: done, and not on it" in alarms(lift, page(lift), SECOND)


def test_a_key_that_sprang_back_stands_on_no_list() -> None:
    """START ends with the hand that held it."""
    listed = SECOND.replace("Do now", "To be put back: key switch (start)\n\nDo now")
    assert "list: START is held no more" in alarms(listed)


def test_ohms_on_a_live_circuit_are_an_alarm() -> None:
    """The lead is still on, and nothing on the page takes it off."""
    assert "ohms on a live circuit" in alarms(OHMS.format(standing="", first=""))
    assert "ohms on a live circuit" not in alarms(OHMS.format(standing="", first=LIFT))


def test_start_with_the_power_off_is_an_alarm() -> None:
    """The lead was said to be off: nothing can turn."""
    lift = page(OHMS.format(standing="", first=LIFT))
    assert "START: with the power off" in alarms(lift, FULL, START)


def test_a_hand_back_with_a_bridge_left_in_is_an_alarm() -> None:
    """The remote start button still hangs between stud and terminal after it was let go."""
    name = "fused remote start button from starter battery stud to S terminal"
    button = page(f"A machine\n\nDo now\nSTART by the button\nSet first: {name}: pressed\nYour answer >")
    assert "handed back: button fitted" in alarms(button, OVER)
    assert alarms(OVER) == []


def test_a_repair_ends_what_was_heard() -> None:
    """The lead is lifted once more after a repair, and nobody says how."""
    lift = OHMS.format(standing="", first=LIFT)
    silent = lift.partition("! ")[0] + "Ohms >"
    back = page(
        f"A machine\n\nCheck it worked\nLook\nSet first: {LEAD}: on; main link, or both of two: in\nYour answer >"
    )
    kinds = alarms(lift, page(lift), back, "repair", silent)
    assert {"no warning: lead off", "no warning: gas at a lifted lead", "no warning: bare stud"} <= set(kinds)
    assert alarms(lift, page(lift), "note", silent.replace(LIFT, "")) == ["list: done, and not on it"] * 2


LOOK_ROUND = """A machine · 22 min

Tell (about 2 min)
Go round the machine and look. Which of these are so now? Name all.

  1  none of these
  2  the disconnect switch is off and its handle is out
  3  the start relay is out of its socket
  4  fuel: the fuel is shut off
  5  the stop wire is off its terminal and taped

Several: put commas between them.
Your answer >"""


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("battery disconnect switch", "2"),
        ("start relay in its socket", "3"),
        ("fuel to the engine", "4"),
        ("stop wire on its terminal behind the stop knob", "5"),
        ("park brake", ""),
    ],
)
def test_what_is_seen_on_the_way_round_is_found_in_the_list(name: str, number: str) -> None:
    """A thing that a page names is known again in the sentence that tells how it stands."""
    assert alike(name, page(LOOK_ROUND).choices) == number


def test_a_fan_in_the_cab_is_no_fan_of_the_engine() -> None:
    """What is heard humming with the key out turns nobody's sleeve in."""
    cab = "A machine\n\nDo now\nIs anything lit?\nWhere and how: Cab lamp, radio, converter, fan.\nYour answer >"
    assert "no warning: turning parts" not in alarms(cab)
    assert "no warning: turning parts" in alarms(cab.replace("converter, fan", "hands away from the fan"))


def test_minus_volts_at_any_reading_that_spans_the_battery_forbid_start() -> None:
    """At the starter as at the posts; until the volts at rest are above zero, or the figure was put right."""
    reckoner = Reckoner()
    stud = page(START.replace("Battery volts while START is held, post to post", "Starter stud to case at START"))
    reckoner.found(stud, "-12.7")
    assert REVERSED in reckoner.machine.facts
    reckoner.see(page(START))
    assert "asked for: START, with a battery the wrong way round" in {kind for kind, _ in reckoner.alarms}
    reckoner.see(page("A machine\n\nChanged: Starter stud to case at START: -12.7; now 10.8.\n\nDo now\nLook\nVolts >"))
    assert REVERSED not in reckoner.machine.facts
    reckoner.found(stud, "-12.7")
    reckoner.found(page("A machine\n\nDo now\nBattery volts at rest, post to post\nVolts >"), "12.5")
    assert REVERSED not in reckoner.machine.facts


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (OVER, "handed back"),
        ("A machine\n\nOut of service: it must not be used", "out of service"),
        ("A machine\n\nThis tool can go no further", "no way on"),
        ("A machine\n\nHand back\nAll is back.\n\n  1  done: the owner has it\nYour answer >", "hand-overs asked"),
    ],
)
def test_how_a_job_ends_is_counted(text: str, what: str) -> None:
    """Each page once, however often it is seen."""
    reckoner = Reckoner()
    reckoner.see(page(text))
    assert reckoner.counts[what] == 1


@pytest.mark.parametrize(("off", "first", "alarm"), [("lead", "link", 0), ("lead", "lead", 1), ("link", "link", 1)])
def test_power_on_a_short_is_an_alarm_and_so_is_a_link_that_goes_in(off: str, first: str, alarm: int) -> None:
    """With the ground lead off a link feeds nothing; it stays out all the same, for the lead comes back on."""
    reckoner = Reckoner()
    names = {"lead": LEAD, "link": "main link"}
    reckoner.machine.do(names[off], {"lead": "off", "link": "out"}[off])
    if off == "lead" and first == "link":
        reckoner.machine.do(names["link"], "out")
    reckoner.machine.facts.add("a short behind the link")
    value = {"lead": "on", "link": "in"}[first]
    reckoner.see(page(f"A machine\n\nSet\nPut back: {names[first]} to '{value}'.\n\n  1  it is back\nYour answer >"))
    kinds = [kind for kind, _ in reckoner.alarms]
    assert kinds.count("asked for: power behind the link, with a short behind the link") == alarm
    assert kinds.count("asked for: link in, with a short behind the link") == (first == "link")


def test_a_fuse_of_the_pump_is_no_pump() -> None:
    """In the fuse box no plunger snaps."""
    fuse = OHMS.format(standing="", first=LIFT).replace("main link to", "fuse of the pull winding to")
    assert "no warning: pump" not in alarms(fuse)
    assert "no warning: pump" in alarms(fuse.replace("fuse of the pull", "end of the pull"))
