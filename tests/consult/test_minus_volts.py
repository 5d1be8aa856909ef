"""Minus volts where plus belongs: a battery or the probes are the wrong way round; no START before it is cleared."""

from __future__ import annotations

import re

import pytest

from coldiron import Consultation
from coldiron.book.checks import Check
from coldiron.book.dangers import Bar, BarsCheck, BarsProof, BarsSettings
from coldiron.readings.refusal import UNKNOWN
from coldiron.screens.driver import JobDriver
from support.mechanic import shipped
from support.sizes import few

BOOK = shipped()

WITH_START = re.compile(r"(then |^|\. )START (for|being)|(back|released) from START|\bEngine running")
"""Words of a step in whose course START is held or the engine runs, whatever its settings say."""

STARTS = (("key", "start"), ("remote_button", "pressed"), ("remote_start", "closed"))


def plus() -> list[Check]:
    """Every check that reads volts and is well above zero on a sound machine."""
    volts = [check for check in BOOK.checks.values() if check.reads.quantity == "volts"]
    good = {check.id: next(one for one in check.findings if one.id == check.good) for check in volts}
    return [check for check in volts if min(band.low for band in good[check.id].bands) > 1]


def starting(bar: Bar) -> bool:
    """Whether a line stands before START."""
    return isinstance(bar, BarsSettings) and ("key", "start") in bar.state.items()


def starts(state: dict[str, str]) -> bool:
    """Whether START is held at such settings."""
    return any(pair in state.items() for pair in STARTS)


def job(circuit: str) -> Consultation:
    """A job up to its first step."""
    known = BOOK.circuits[circuit]
    said = {"raised": "none", "volts": str(known.volts), "complaint": "unclear", "kit": "all", "frost": "mild"}
    said |= {"usual": "other", "engine_inside": "sound"}
    now = Consultation(BOOK)
    for _ in range(20):
        asked = now.next
        assert asked is not None
        if asked.id.startswith("has.") or asked.id == "circuit":
            now = now.answer(asked.id, circuit)
        elif asked.id in said:
            now = now.answer(asked.id, "not sure" if asked.id == "complaint" else said[asked.id])
        else:
            break
    return now


def typed(driver: JobDriver, line: str) -> JobDriver:
    """The job after a line that is taken."""
    after = driver.enter(line)
    assert isinstance(after, JobDriver), line
    return after


def dangers(driver: JobDriver) -> set[str]:
    """What stands."""
    judged = driver.consultation.judged
    assert judged is not None
    return {one.danger.id for one in judged.dangers}


def test_every_reading_that_spans_the_battery_tells_of_minus_volts() -> None:
    """Common practice, no source: it reads `reversed` there, and a danger that stands before START is told by it."""
    assert len(plus()) > 50
    telling = {sign.name for danger in BOOK.dangers.values() for signs in danger.told for sign in signs}
    for check in plus():
        assert "reversed" in {finding.id for finding in check.findings}, check.id
        assert not telling.isdisjoint((check.id, check.id.partition(".")[0])), check.id


def test_a_step_in_whose_course_start_is_held_is_barred_like_start() -> None:
    """Heated first and then cranked, let back, run on: the settings stand at ON, and a locked engine is cranked."""
    hidden = [
        check.id
        for check in BOOK.checks.values()
        if WITH_START.search(f"{check.ask} {check.how}") and not starts(dict(check.state))
    ]
    assert {"fires_with_heat", "runs_on", "stops_when_told", "starter_let_back"} <= set(hidden)
    wholes = [danger.bars for danger in BOOK.dangers.values()]
    wholes += [asked.before for asked in BOOK.questions.values()]
    for bars in wholes:
        if any(map(starting, bars)) and not any(
            isinstance(bar, BarsSettings | BarsProof) and bar.state.get("key") == "on" for bar in bars
        ):
            assert set(hidden) <= {bar.check for bar in bars if isinstance(bar, BarsCheck)}


@pytest.mark.parametrize("left", ["", "skip", "not sure", "park", "back"])
@pytest.mark.parametrize("circuit", few(["start_relay", "isolator_24", "series_start", "jump_posts"], 2))
def test_minus_volts_at_start_hold_start_off(circuit: str, left: str) -> None:
    """Typed once at whatever reading, it counts; passed over, parked or taken back it still does."""
    begun = JobDriver("a machine", job(circuit))
    made = begun.consultation.setup
    assert made is not None
    cranked = [one for one in plus() if one.id in made.machine.checks and starts(dict(one.state))]
    assert cranked
    for check in cranked[:: max(1, len(cranked) // 3)]:
        now = typed(begun, f"{check.id} {-12.7 * BOOK.circuits[circuit].batteries}")
        assert "below zero" in " ".join(now.said)
        if left in UNKNOWN:  # what to do this second is not passed over; what comes after it is
            now = typed(now, "1")
        now = typed(now, left) if left else now
        for _ in range(12):
            asked = now.consultation.next
            if asked is None or asked.id == "rest_volts":
                break
            known = BOOK.checks.get(asked.step or asked.id)
            assert known is None or not starts(dict(known.state)), f"{check.id}: {asked.id}"
            pick = {"away": "same"}.get(asked.id) or (asked.choices[0] if asked.kind in ("now", "caution") else "skip")
            now = typed(now, pick)


def test_a_plus_reading_at_rest_clears_it_and_so_does_the_figure_put_right() -> None:
    """The probes were changed over: measured at the battery, or the answer changed."""
    now = typed(JobDriver("a machine", job("start_relay")), "starter_crank_volts -12.7")
    assert dangers(now) == {"minus_volts"}
    assert dangers(typed(now, "rest_volts 12.5")) == set()
    assert dangers(typed(now, "change starter_crank_volts 10.9")) == set()
    assert dangers(typed(now, "change starter_crank_volts not sure")) == {"minus_volts"}
