"""Hypothesis strategies for records of a book that stands on the ground text: whatever it declares, rules may name."""

from __future__ import annotations

from hypothesis import strategies as st

from coldiron.language.record_text import as_text
from coldiron.model import Brings, Case, Conclusion, Condition, Expect, FaultRef, Given, Loop, Rule, Test

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


def _test(test: Test, **values: st.SearchStrategy[object]) -> st.SearchStrategy[Condition]:
    return st.builds(Condition, st.just(test), **values, negated=st.booleans())


_BOUND = st.sampled_from(["above", "below"])

CONDITIONS: st.SearchStrategy[Condition] = st.one_of(
    _test("complaint", name=st.just("dark")),
    st.sampled_from([("stood", "months"), ("stood", "days"), ("raised", "none")]).flatmap(
        lambda pair: _test("history", name=st.just(pair[0]), value=st.just(pair[1]))
    ),
    SEEN.flatmap(lambda pair: _test("finding", name=st.just(pair[0]), value=st.just(pair[1]))),
    _test("taken", name=CHECKS),
    st.builds(Condition, _BOUND, VOLT_CHECKS, number=FIGURES, negated=st.booleans()),
    st.builds(
        Condition,
        _BOUND,
        st.just("rest_volts"),
        other=st.just("key_feed_volts"),
        number=FACTORS | st.just(0.0),
        negated=st.booleans(),
    ),
    _test("has", name=st.sampled_from(["lamp", "battery"])),
    _test("setting", name=st.just("key"), value=st.sampled_from(["on", "off", "start"])),
    _test("fact", name=st.just("supply_proven")),
    _test("code", name=st.just("volts_low")),
    _test("talks"),
    _test("repaired", faults=FAULTS),
)


def _then(action: Brings, **values: st.SearchStrategy[object]) -> st.SearchStrategy[Conclusion]:
    return st.builds(Conclusion, st.just(action), **values)


CONCLUSIONS: st.SearchStrategy[Conclusion] = st.one_of(
    _then("conclude", name=st.just("supply_proven")),
    _then("shift", faults=FAULTS, number=FACTORS),
    _then("open", name=CHECKS),
    _then("close", name=CHECKS),
    _then("leave", name=st.just("key"), value=st.sampled_from(["on", "off", "start"])),
    _then("avoid", name=st.just("key"), value=st.sampled_from(["on", "off", "start"])),
    _then("prefer", name=CHECKS, number=FACTORS),
    _then("warn", name=st.sampled_from(["spark", "crank_area"])),
    _then("require", name=CHECKS, faults=FAULTS),
    SEEN.flatmap(
        lambda pair: _then(
            "find",
            name=st.just(pair[0]),
            value=st.just(pair[1]),
            replaces=st.lists(CHECKS, min_size=1, max_size=3).map(tuple),
            about=st.lists(FAULTS, min_size=1, max_size=3).map(tuple),
        )
    ),
    _then("advise", text=TEXTS),
)

LOOPS = st.one_of(
    st.none(),
    st.just(Loop("W", "wire")),
    st.builds(Loop, st.just("W"), st.just("wire"), st.sampled_from(["before", "after"]), st.just("lamp")),
)

RULES: st.SearchStrategy[Rule] = st.builds(
    Rule,
    IDS,
    LOOPS,
    st.lists(CONDITIONS, min_size=1, max_size=4).map(tuple),
    st.lists(CONCLUSIONS, min_size=1, max_size=4).map(tuple),
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
    st.builds(Expect, st.sampled_from(["first", "not", "held", "among"]), faults=FAULTS),
    st.builds(Expect, st.just("next"), CHECKS),
    st.builds(Expect, st.just("warned"), st.just("spark")),
    st.builds(Expect, st.just("told"), TEXTS),
)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A case with its answers in the order of their epochs."""
    repaired = tuple(draw(st.lists(FAULTS, max_size=3)))
    epochs = sorted(draw(st.lists(st.integers(0, len(repaired)), max_size=6)))
    given = tuple(Given(*draw(_VALUES), epoch=epoch) for epoch in epochs)
    expects = tuple(draw(st.lists(_EXPECTS, min_size=1, max_size=4)))
    return Case(draw(IDS), draw(TEXTS), "lamp_12", "dark", given, repaired, expects, draw(TEXTS))
