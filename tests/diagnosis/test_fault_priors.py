"""The prior of sets of faults: sizes, products of odds, and what brings what."""

from __future__ import annotations

from itertools import product
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.inference.descent import Link, one_way
from coldiron.inference.faults import FaultModel, Prior
from support.fault_tables import random_model, seeded, subsets


def by_live_links(model: FaultModel) -> dict[frozenset[str], float]:
    """The prior by its plainest meaning: draw the roots, draw which links are live, follow them."""
    names = sorted(model.odds)
    roots = [s for s in subsets(names) if 1 <= len(s) <= len(model.sizes)]
    found = dict.fromkeys(subsets(names), 0.0)
    used = model.sizes[: len(names)]
    for start in roots:
        alike = sum(prod(model.odds[n] for n in s) for s in roots if len(s) == len(start))
        chance = used[len(start) - 1] / sum(used) * prod(model.odds[n] for n in start) / alike
        for live in product((False, True), repeat=len(model.links)):
            drawn = chance * prod(
                link.chance if on else 1 - link.chance for link, on in zip(model.links, live, strict=True)
            )
            struck = set(start)
            while (
                new := {k.victim for k, on in zip(model.links, live, strict=True) if on and k.cause in struck} - struck
            ):
                struck |= new
            found[frozenset(struck)] += drawn
    return found


@given(st.integers(0, 10_000), st.integers(2, 4), st.booleans())
def test_the_prior_is_that_of_drawing_roots_and_following_live_links(seed: int, size: int, circles: bool) -> None:  # noqa: FBT001
    """Also where faults bring each other in a circle, and whatever the odds are scaled by."""
    rng = seeded(seed)
    model = random_model(rng, size)
    if circles:
        back = tuple(Link(k.victim, k.cause, 0.3) for k in model.links if rng.random() < 0.5)
        model = FaultModel(odds=model.odds, links=model.links[:4] + back[:3], sizes=model.sizes)
    prior = Prior(FaultModel(odds={n: 7 * w for n, w in model.odds.items()}, links=model.links, sizes=model.sizes))
    for faults, chance in by_live_links(model).items():
        assert prior.of(tuple(sorted(faults))) == pytest.approx(chance, abs=1e-12)


def test_one_two_and_three_faults_have_their_declared_shares() -> None:
    """With the usual sizes: 85, 12 and 3 in 100, from whatever odds."""
    prior = Prior(FaultModel(odds={"a": 5, "b": 1, "c": 0.3, "d": 2}))
    share = [sum(prior.of(tuple(sorted(s))) for s in subsets("abcd") if len(s) == size) for size in range(5)]
    assert share == pytest.approx([0, 0.85, 0.12, 0.03, 0])


def test_history_moves_odds_by_a_hundred_at_the_most() -> None:
    """However strong the stories, together they stay within a factor of a hundred either way; the rules within less."""
    model = FaultModel(odds={"a": 1, "b": 1}, sizes=(1.0,))
    assert Prior(model, {"a": 500}).of(("a",)) == pytest.approx(100 / 101)
    assert Prior(model, {"a": 0.0}).of(("a",)) == pytest.approx(1 / 101)
    assert Prior(model, {"a": 3}).of(("a",)) == pytest.approx(3 / 4)


def test_history_may_say_that_several_faults_are_likely() -> None:
    """After a flood the sizes of the evidence replace the usual ones."""
    model = FaultModel(odds={"a": 1, "b": 1})
    assert Prior(model, sizes=(0.3, 0.7)).of(("a", "b")) == pytest.approx(0.7)


def test_a_small_book_keeps_only_the_sizes_it_has_faults_for() -> None:
    """One fault is certain if there is but one."""
    assert Prior(FaultModel(odds={"a": 4})).of(("a",)) == pytest.approx(1)


def test_the_weakest_link_of_a_circle_is_not_followed_back() -> None:
    """An empty battery may weld a relay and a welded relay empties a battery: see to the relay first."""
    links = (Link("battery", "relay", 0.03), Link("relay", "battery", 0.9), Link("cable", "battery", 0.5))
    assert one_way(links) == (links[1], links[2])
    model = FaultModel(odds=dict.fromkeys(["battery", "cable", "relay"], 1.0), links=links)
    assert model.causes_first == ("cable", "relay", "battery")
    assert model.unbrought(("battery", "relay")) == ["relay"]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"odds": {}}, "at least one fault"),
        ({"odds": {"a": 1.0}, "links": (Link("a", "b", 0.5),)}, "no odds for b"),
        ({"odds": {"a": 1.0}, "neighbours": {"a": ("c",)}}, "no odds for c"),
    ],
)
def test_a_model_that_names_faults_without_odds_is_refused(changes: dict[str, object], sentence: str) -> None:
    """The sentence names them."""
    with pytest.raises(ValueError, match=sentence):
        FaultModel(**changes)  # type: ignore[arg-type]
