"""A published network of a car that does not start, written as faults and a table: its posteriors come out.

Network and numbers: see the source in tests/fixtures/car_does_not_start.json. Its causes are independent, so the prior
of the number of faults is that of independent causes, all sizes are judged, and nothing is left to an unknown fault.
A bad alternator charges all the same half the time, whatever else is wrong: that makes two faults of it, one for each
way. That those two, and a slipping and a broken belt, exclude each other is told as a reading.
"""

from __future__ import annotations

from math import exp, prod

import pytest

from coldiron.choice.judge import Judge
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from coldiron.inference.limits import Limits
from support.known_examples import known

CAR = known("car_does_not_start")
YES, NO = 0, 1
SLACK = 1e-6
EXCLUSIVE = (("belt_slipping", "belt_broken"), ("alternator_bad_charging", "alternator_bad_dead"))


class CarTable:
    """What lights, radio and starter do; finding 0 is yes."""

    def chances(self, check: str, faults: frozenset[str]) -> tuple[float, ...]:
        yes = self._yes(check, faults)
        return (yes, 1 - yes)

    def _yes(self, check: str, faults: frozenset[str]) -> float:
        power = "power_good" if power_is_good(faults) else "power_poor"
        turns = 0.0 if faults & {"starter_bad", "second_leak"} else 1.0
        cranks = turns if power == "power_good" else turns * float(CAR["cranks_on_poor_power"])
        sparks = 0.0 if faults & {"fuel_pump_bad", "distributor_bad", "plugs_bad"} else 1.0
        found: dict[str, float] = {
            "exclusive": float(not any(faults.issuperset(pair) for pair in EXCLUSIVE)),
            "lights": CAR["lights_work"][power],
            "radio": CAR["radio_works"][power],
            "cranks": cranks,
            "starts": cranks * sparks,
            "starts_if_cranks": sparks,
        }
        return found[check]


def power_is_good(faults: frozenset[str]) -> bool:
    charged = "alternator_bad_charging" in faults or not faults & {
        "alternator_bad_dead",
        "belt_slipping",
        "belt_broken",
        "leak",
    }
    return charged and "battery_weak" not in faults


def chances() -> dict[str, float]:
    battery, charging = CAR["battery"], CAR["bad_alternator_charges"]
    found = dict(CAR["chances"])
    alternator = found.pop("alternator_bad")
    found["alternator_bad_charging"] = alternator * charging
    found["alternator_bad_dead"] = alternator * (1 - charging)
    found["battery_weak"] = battery["old"] * battery["weak_if_old"] + (1 - battery["old"]) * battery["weak_if_new"]
    return found


def absent() -> dict[str, float]:
    """Probability that a cause is absent in all its states."""
    found = {name: 1 - chance for name, chance in chances().items()}
    for pair in EXCLUSIVE:
        found.update(dict.fromkeys(pair, 1 - sum(chances()[name] for name in pair)))
    return found


def odds() -> dict[str, float]:
    return {name: chance / absent()[name] for name, chance in chances().items()}


def sizes(weights: list[float]) -> tuple[float, ...]:
    """Prior of the number of independent causes, as the sums of products of their odds."""
    sums = [1.0] + [0.0] * len(weights)
    for weight in weights:
        for size in range(len(weights), 0, -1):
            sums[size] += sums[size - 1] * weight
    return tuple(sums[1:])


@pytest.fixture(name="judge", scope="module")
def _judge() -> Judge:
    weights = odds()
    model = FaultModel(
        odds=weights,
        sizes=sizes(list(weights.values())),
        unknown=0.0,
        floor=0.0,
    )
    return Judge(model, CarTable(), Limits(largest=len(weights), exact=10_000))


def after(judge: Judge, **findings: int) -> Belief:
    return judge.belief(Evidence((Reading("exclusive", YES), *(Reading(check, f) for check, f in findings.items()))))


def chance(belief: Belief, cause: str) -> float:
    return sum(p for name, p in belief.suspects if name.startswith(cause))


def probability(belief: Belief) -> float:
    """Probability of what was seen; the judge takes it as given that some cause is there, the network does not."""
    some_cause = prod(1 + weight for weight in odds().values()) - 1
    no_cause = prod(absent()[name] for name in odds() if name not in {pair[0] for pair in EXCLUSIVE})
    return exp(belief.evidence) * some_cause * no_cause


@pytest.mark.parametrize(("check", "value"), [("cranks", "no_crank"), ("starts", "no_start")])
def test_how_often_it_does_not_crank_or_start(judge: Judge, check: str, value: str) -> None:
    """.067108 and .069159; a sound car does both for certain."""
    assert probability(after(judge, **{check: NO})) == pytest.approx(CAR[value], abs=SLACK)


def test_causes_when_it_does_not_crank(judge: Judge) -> None:
    """Battery .8007, starter .1490, and the poor power behind it .8603."""
    belief = after(judge, cranks=NO)
    expected = dict(CAR["given_no_crank"])
    poor = sum(h.chance for h in belief.hypotheses if not power_is_good(frozenset(h.shown)))
    assert poor == pytest.approx(expected.pop("power_poor"), abs=SLACK)
    assert {name: chance(belief, name) for name in expected} == pytest.approx(expected, abs=SLACK)
    assert belief.suspects[0][0] == "battery_weak"


def test_lights_and_radio_turn_it_to_the_starter(judge: Judge) -> None:
    """Both work: starter .9902. Both dead: battery .9290."""
    working = after(judge, cranks=NO, lights=YES, radio=YES)
    expected = CAR["given_no_crank_lights_and_radio_work"]
    assert {name: chance(working, name) for name in expected} == pytest.approx(expected, abs=SLACK)
    dead = after(judge, cranks=NO, lights=NO, radio=NO)
    expected = CAR["given_no_crank_lights_out_radio_dead"]
    assert {name: chance(dead, name) for name in expected} == pytest.approx(expected, abs=SLACK)


def test_cranks_and_does_not_start(judge: Judge) -> None:
    """Pump and distributor .4548 each, plugs .0910."""
    belief = after(judge, cranks=YES, starts_if_cranks=NO)
    expected = CAR["given_cranks_and_no_start"]
    assert {name: chance(belief, name) for name in expected} == pytest.approx(expected, abs=SLACK)
