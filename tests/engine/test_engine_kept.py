"""A rule set that was kept is the rule set it was."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from coldiron.engine import Compare, Fact, FactRule, Has, Lacks, RuleSet, compile_rules, extend, run, why, why_not
from coldiron.engine.kept import pack, unpack
from support import engine_rules as draws


@settings(deadline=None)
@given(draws.layered_rules(), draws.given, draws.given, draws.values)
def test_what_is_kept_runs_and_explains_as_what_was_made(
    rules: list[FactRule], first: set[Fact], more: set[Fact], values: dict[str, float]
) -> None:
    made = compile_rules(rules)
    assert isinstance(made, RuleSet)
    kept = unpack(pack(made))
    assert list(kept.rules) == list(made.rules)
    ours, theirs = (extend(run(ready, first, values), more) for ready in (made, kept))
    assert (ours.facts, ours.fired) == (theirs.facts, theirs.fired)
    for letter in draws.LETTERS:
        assert why(ours, (letter,)) == why(theirs, (letter,))
        assert why_not(ours, (letter,)) == why_not(theirs, (letter,))


def test_rules_come_back_as_they_were_written() -> None:
    """Conditions and conclusions written twice, words in other scripts, a reading against a reading."""
    when = (Has(("key", "hält")), Lacks(("b",)), Compare("x", "below", "y", 0.5, negated=True), Has(("key", "hält")))
    made = compile_rules([FactRule("a", when, (("q", "\n"), ("q", "\n"))), FactRule("b", (), (("r",),))])
    assert isinstance(made, RuleSet)
    kept = unpack(pack(made))
    assert list(kept.rules) == list(made.rules)
    assert list(kept.rules[1:]) == list(made.rules)[1:]
    assert repr(kept) == repr(made)


@pytest.mark.parametrize("data", [b"", b"{}", b"7", b"[1,2]", b"\xff", b"[2,[],[],[],[],[],[],[],[]]"])
def test_other_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match=r".*"):
        unpack(data)


def test_bytes_cut_short_are_refused() -> None:
    made = compile_rules([FactRule(f"r{n}", (Has((f"{n}",)),), (("q",),)) for n in range(3)])
    assert isinstance(made, RuleSet)
    with pytest.raises(ValueError, match="no rule set of this form"):
        unpack(pack(made).rpartition(b"\n")[0])
