"""How the engine scales: load, one answer to the fixpoint, and a withdrawal, against a naive fixpoint.

    python tests/bench/bench_engine.py [SEED]

Prints milliseconds and ratios; nothing here passes or fails. The rules are random: 2 to 4 conditions each over 300 told
facts, 20 readings and what other rules give; one condition in ten is a comparison, and in the second table one in ten
an absence, of told or derived facts.
- load: `compile_rules` on ready records.
- answers: 300 facts and readings told one after another with `extend`, the mean of one; and what a fresh `run` of all
  of them takes instead.
- withdraw: one of them taken back, by a fresh run as everywhere.
- naive: tries all rules until a round adds nothing, on the same facts at once (not beyond 10,000 rules).
"""

from __future__ import annotations

import gc
import random
import sys
from collections.abc import Callable
from time import perf_counter

from coldiron.engine import Compare, Condition, Fact, Has, Lacks, Rule, RuleSet, compile_rules, extend, run

SIZES = (500, 1_000, 5_000, 10_000, 100_000)
TOLD = [("told", str(number)) for number in range(300)]
READINGS = [f"reading_{number}" for number in range(20)]


def random_rules(size: int, absences: float, chance: random.Random) -> list[Rule]:
    """Rules in layers, so that an absence looks back only; each layer builds on told facts and the layer before."""
    layers = 5
    rules = []
    for number in range(size):
        layer = number * layers // size
        when = [_condition(layer, size // layers, absences, chance) for _ in range(chance.randint(2, 4))]
        rules.append(Rule(f"rule_{number:06}", tuple(when), (("derived", str(layer), str(chance.randrange(size))),)))
    chance.shuffle(rules)
    return rules


def _condition(layer: int, width: int, absences: float, chance: random.Random) -> Condition:
    if chance.random() < 0.1:
        return Compare(chance.choice(READINGS), chance.choice(["above", "below"]), round(chance.uniform(10, 13), 1))
    derived = layer > 0 and chance.random() < 0.3
    fact: Fact = ("derived", str(layer - 1), str(chance.randrange(5 * width))) if derived else chance.choice(TOLD)
    return Lacks(fact) if chance.random() < absences else Has(fact)


def naive(rules: list[Rule], facts: set[Fact], values: dict[str, float]) -> set[Fact]:
    """Try every rule until a round adds nothing. Layers come in the order of ids, as the rules were made."""
    held = set(facts)
    for layer in range(5):
        due = [rule for rule in rules if rule.then[0][1] == str(layer)]
        before = -1
        while before < len(held):
            before = len(held)
            for rule in due:
                if all(_holds(condition, held, values) for condition in rule.when):
                    held.update(rule.then)
    return held


def _holds(condition: Condition, held: set[Fact], values: dict[str, float]) -> bool:
    if isinstance(condition, Has):
        return condition.fact in held
    if isinstance(condition, Lacks):
        return condition.fact not in held
    return condition.holds(values) is True


def milliseconds(work: Callable[[], object], repeats: int) -> float:
    """The best of a few goes, in milliseconds, with the collector off as between the answers of a consultation."""
    best = float("inf")
    for _ in range(repeats):
        gc.collect()
        gc.disable()
        start = perf_counter()
        work()
        best = min(best, perf_counter() - start)
        gc.enable()
    return best * 1000


def measure(size: int, absences: float, seed: int) -> tuple[float, float, float, float, float]:
    """Load, one answer, all answers afresh, withdraw one, naive (0 where it is left out): milliseconds."""
    chance = random.Random(seed)  # noqa: S311 - a seeded benchmark
    rules = random_rules(size, absences, chance)
    ready = compile_rules(rules)
    assert isinstance(ready, RuleSet), str(ready)
    told = chance.sample(TOLD, 280)
    values = {name: round(chance.uniform(10, 13), 1) for name in READINGS}

    def one_by_one() -> object:
        result = run(ready)
        for fact in told:
            result = extend(result, [fact])
        for name, value in values.items():
            result = extend(result, values={name: value})
        return result

    repeats = 3 if size < 100_000 else 1
    load = milliseconds(lambda: compile_rules(rules), repeats)
    answer = milliseconds(one_by_one, repeats) / (len(told) + len(values))
    afresh = milliseconds(lambda: run(ready, told, values), repeats + 2)
    withdraw = milliseconds(lambda: run(ready, told[1:], values), repeats + 2)
    plain = milliseconds(lambda: naive(rules, set(told), values), 1) if size <= 10_000 else 0.0
    assert not plain or naive(rules, set(told), values) == run(ready, told, values).facts
    return load, answer, afresh, withdraw, plain


def main() -> None:
    """Print both tables."""
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    for absences in (0.0, 0.1):
        print(f"\n{absences:.0%} absences, seed {seed}; milliseconds (per rule against {SIZES[0]} rules)")  # noqa: T201
        print(f"{'rules':>8}{'load':>18}{'one answer':>18}{'run afresh':>18}{'withdraw':>18}{'naive / afresh':>16}")  # noqa: T201
        first: tuple[float, ...] = ()
        for size in SIZES:
            figures = measure(size, absences, seed)
            first = first or figures
            growth = [figure / start / (size / SIZES[0]) for figure, start in zip(figures, first, strict=True)][:4]
            cells = "".join(f"{figure:>10.3f} ({g:4.2f})" for figure, g in zip(figures, growth, strict=False))
            against = f"{figures[4] / figures[2]:>15.1f}x" if figures[4] else f"{'-':>16}"
            print(f"{size:>8}{cells}{against}")  # noqa: T201


if __name__ == "__main__":
    main()
