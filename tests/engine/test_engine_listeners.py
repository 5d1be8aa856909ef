"""Listeners hear what a run derives and cannot change it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from coldiron.engine import (
    Fact,
    FactRule,
    Firing,
    Has,
    Lacks,
    LoopGuard,
    RuleSet,
    TooManyFiringsError,
    Trace,
    compile_rules,
    run,
)
from support import engine_rules as draws


def chain(length: int) -> RuleSet:
    made = compile_rules(FactRule(f"r{n}", (Has((str(n),)),), ((str(n + 1),),)) for n in range(length))
    assert isinstance(made, RuleSet)
    return made


@settings(deadline=None)
@given(draws.layered_rules(), draws.given, draws.values)
def test_a_trace_holds_every_derived_fact_once_with_its_rule(
    rules: list[FactRule], facts: set[Fact], values: dict[str, float]
) -> None:
    made = compile_rules(rules)
    assert isinstance(made, RuleSet)
    trace = Trace()
    result = run(made, facts, values, [trace])
    assert result.facts == run(made, facts, values).facts
    assert sorted(firing.fact for firing in trace.firings) == sorted(result.facts - facts)
    for firing in trace.firings:
        support = result.support(firing.fact)
        assert support is not None
        assert support.rule == firing.rule
        earlier = {other.fact for other in trace.firings if other.wave < firing.wave}
        assert set(support.has) <= earlier | facts


def test_waves_are_counted_from_one() -> None:
    trace = Trace()
    run(chain(3), [("0",)], listeners=[trace])
    assert trace.firings == [Firing("r0", ("1",), 1), Firing("r1", ("2",), 2), Firing("r2", ("3",), 3)]


def test_waves_are_counted_on_from_stratum_to_stratum() -> None:
    made = compile_rules(
        [
            FactRule("r0", (Has(("p",)),), (("a",),)),
            FactRule("r1", (Has(("a",)), Lacks(("b",))), (("c",),)),
            FactRule("r2", (Has(("n",)),), (("b",),)),
        ]
    )
    assert isinstance(made, RuleSet)
    trace = Trace()
    run(made, [("p",)], listeners=[trace])
    assert trace.firings == [Firing("r0", ("a",), 1), Firing("r1", ("c",), 2)]


def test_a_loop_guard_lets_a_run_reach_its_bound_and_ends_it_beyond() -> None:
    run(chain(5), [("0",)], listeners=[LoopGuard(5)])
    with pytest.raises(
        TooManyFiringsError, match="more than 4 facts were derived; the last came from rule 'r4'"
    ) as end:
        run(chain(5), [("0",)], listeners=[LoopGuard(4)])
    assert end.value.bound == 4
    assert end.value.last == (Firing("r4", ("5",), 5),)


def test_one_guard_counts_over_its_runs() -> None:
    guard = LoopGuard(8)
    run(chain(5), [("0",)], listeners=[guard])
    with pytest.raises(TooManyFiringsError):
        run(chain(5), [("0",)], listeners=[guard])
