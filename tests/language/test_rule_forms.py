"""The forms of conditions and conclusions: each tells itself apart, and comes back from the cache as what it was."""

from __future__ import annotations

import json
from typing import Any, get_args

import pytest
from hypothesis import given

from coldiron.book import rules
from coldiron.book.conclusions import Conclusion
from coldiron.book.conditions import Test as Asked
from coldiron.book.rules import Rule
from coldiron.language.codec import decode, encode
from support.rule_strategies import RULES


@pytest.mark.parametrize("several", [Asked, Conclusion], ids=["tests", "conclusions"])
def test_every_form_tells_itself_apart_in_its_last_field(several: Any) -> None:
    """The cache and the validator know one of several by it."""
    forms = [record.__record__[-1] for record in get_args(several)]
    assert {name for name, _, _ in forms} == {"form"}
    assert len({given.default for _, _, given in forms}) == len(forms)
    assert all(kind == f"Literal['{given.default}']" for _, kind, given in forms)


@given(RULES)
def test_a_rule_comes_back_from_the_cache_as_it_was(rule: Rule) -> None:
    """Whatever its conditions and conclusions are."""
    kept = json.loads(json.dumps(encode(rule)))
    assert decode("Rule", kept, vars(rules)) == rule
