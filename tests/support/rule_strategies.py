"""Hypothesis strategies for records of a book that stands on the ground text: whatever it declares, rules may name."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import strategies as st

from coldiron.book.cases import (
    Case,
    ExpectsAmong,
    ExpectsFirst,
    ExpectsHeld,
    ExpectsNext,
    ExpectsNot,
    ExpectsTold,
    ExpectsWarned,
    Given,
)
from coldiron.book.conclusions import (
    Advises,
    AllowsCheck,
    AsksSooner,
    AvoidsValue,
    ConcludesFact,
    Conclusion,
    CountsInstead,
    ForbidsCheck,
    LeavesSetting,
    RequiresCheck,
    ShiftsOdds,
    WarnsOf,
)
from coldiron.book.conditions import (
    AnswerIs,
    CheckMade,
    CodeGiven,
    ComplaintIs,
    Condition,
    ControllerTalks,
    FactHolds,
    FindingIs,
    PartIsThere,
    ReadingAgainst,
    ReadingsAgainst,
    RepairMade,
    SettingIs,
    Test,
    Way,
)
from coldiron.book.faults import FaultRef
from coldiron.book.rules import Loop, Rule
from coldiron.language.record_text import as_text

IDS = st.from_regex(r"[a-z][a-z0-9_]{2,12}", fullmatch=True).map(lambda name: f"r_{name}")
FIGURES = st.one_of(
    st.integers(-1000, 1000).map(float),
    st.floats(-1e6, 1e6, allow_nan=False, allow_subnormal=False).map(lambda value: round(value, 6) + 0.0),
)
FACTORS = st.floats(0.01, 100, allow_nan=False).map(lambda value: max(round(value, 4), 0.01))
TEXTS = st.text(min_size=1, max_size=300).map(as_text).filter(bool)

VOLT_CHECKS = st.sampled_from(["rest_volts", "key_feed_volts"])
CHECKS = st.sampled_from(["rest_volts", "key_feed_volts", "lamp_glow", "look_at.feed_wire", "look_at.ground_wire"])
FINDINGS = {
    "rest_volts": ("dead", "live", "odd"),
    "key_feed_volts": ("dead", "live", "odd"),
    "lamp_glow": ("dark", "bright", "odd"),
    "look_at.feed_wire": ("bare", "whole", "odd"),
    "look_at.ground_wire": ("bare", "whole", "odd"),
}
FAULTS = st.sampled_from(
    [
        FaultRef(part="battery", fault="flat"),
        FaultRef(part="lamp"),
        FaultRef(part="feed_wire", fault="broken"),
        FaultRef(kind="wire"),
        FaultRef(kind="wire", fault="broken"),
    ]
)
SEEN = CHECKS.flatmap(lambda check: st.tuples(st.just(check), st.sampled_from(FINDINGS[check])))


KEYS = st.sampled_from(["on", "off", "start"])
_WAYS: st.SearchStrategy[Way] = st.sampled_from(["above", "below"])

TESTS: st.SearchStrategy[Test] = st.one_of(
    st.just(ComplaintIs("dark")),
    st.sampled_from([("stood", "months"), ("stood", "days"), ("raised", "none")]).map(lambda pair: AnswerIs(*pair)),
    SEEN.map(lambda pair: FindingIs(*pair)),
    st.builds(CheckMade, CHECKS),
    st.builds(ReadingAgainst, VOLT_CHECKS, _WAYS, FIGURES),
    st.builds(ReadingsAgainst, st.just("rest_volts"), _WAYS, st.just("key_feed_volts"), FACTORS | st.just(0.0)),
    st.builds(PartIsThere, st.sampled_from(["lamp", "battery"])),
    st.builds(SettingIs, st.just("key"), KEYS),
    st.just(FactHolds("supply_proven")),
    st.just(CodeGiven("volts_low")),
    st.just(ControllerTalks()),
    st.builds(RepairMade, FAULTS),
)
CONDITIONS: st.SearchStrategy[Condition] = st.builds(Condition, TESTS, st.booleans())

CONCLUSIONS: st.SearchStrategy[Conclusion] = st.one_of(
    st.just(ConcludesFact("supply_proven")),
    st.builds(ShiftsOdds, FAULTS, FACTORS),
    st.builds(AllowsCheck, CHECKS),
    st.builds(ForbidsCheck, CHECKS),
    st.builds(LeavesSetting, st.just("key"), KEYS),
    st.builds(AvoidsValue, st.just("key"), KEYS),
    st.builds(AsksSooner, CHECKS, FACTORS.filter(lambda factor: factor >= 1 or 1 / (1 / factor) == factor)),
    st.builds(WarnsOf, st.sampled_from(["spark", "crank_area"])),
    st.builds(RequiresCheck, CHECKS, FAULTS),
    SEEN.flatmap(
        lambda pair: st.builds(
            CountsInstead,
            st.just(pair[0]),
            st.just(pair[1]),
            st.lists(CHECKS, min_size=1, max_size=3).map(tuple),
            st.lists(FAULTS, min_size=1, max_size=3).map(tuple),
        )
    ),
    st.builds(Advises, TEXTS),
)

LOOPS = st.one_of(
    st.none(),
    st.just(Loop("W", "wire")),
    st.builds(Loop, st.just("W"), st.just("wire"), st.sampled_from(["before", "after"]), st.just("lamp")),
)


def _apart(conclusions: list[Conclusion]) -> Iterator[Conclusion]:
    """Leave out an advice behind an advice: in a rule file the two are one. Likewise readings compared."""
    last: Conclusion | None = None
    for one in conclusions:
        if not (isinstance(one, Advises | CountsInstead) and type(one) is type(last)):
            yield one
        last = one


RULES: st.SearchStrategy[Rule] = st.builds(
    Rule,
    IDS,
    LOOPS,
    st.lists(CONDITIONS, min_size=1, max_size=4).map(tuple),
    st.lists(CONCLUSIONS, min_size=1, max_size=4).map(lambda drawn: tuple(_apart(drawn))),
    TEXTS,
    TEXTS,
)

_VALUES = st.one_of(
    SEEN.map(lambda pair: (pair[0], pair[1])),
    st.tuples(VOLT_CHECKS, FIGURES.map(lambda value: f"{value:.2f} V")),
    st.just(("stood", "months")),
    st.tuples(st.just("code"), st.sampled_from(["168 17", "0 0", "524287 31"])),
)

_EXPECTS = st.one_of(
    *(st.builds(form, FAULTS) for form in (ExpectsFirst, ExpectsNot, ExpectsHeld, ExpectsAmong)),
    st.builds(ExpectsNext, CHECKS),
    st.builds(ExpectsWarned, st.just("spark")),
    st.builds(ExpectsTold, TEXTS),
)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A case with its answers in the order of their epochs."""
    repaired = tuple(draw(st.lists(FAULTS, max_size=3)))
    epochs = sorted(draw(st.lists(st.integers(0, len(repaired)), max_size=6)))
    given = tuple(Given(*draw(_VALUES), epoch=epoch) for epoch in epochs)
    expects = tuple(draw(st.lists(_EXPECTS, min_size=1, max_size=4)))
    return Case(
        id=draw(IDS),
        name=draw(TEXTS),
        circuit="lamp_12",
        complaint="dark",
        given=given,
        repaired=repaired,
        expects=expects,
        source=draw(TEXTS),
    )
