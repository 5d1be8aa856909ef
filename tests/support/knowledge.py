"""Made-up knowledge in the shape of a book, for measuring engines: seeded rules, and the answers of a job.

Rules speak of what was answered (`history`), of numbers read, of what other rules conclude, and of the absence of
both; what is concluded builds on what was concluded a layer before, several layers deep. All of it is drawn: it says
nothing of machines.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from coldiron.engine import Compare, Condition, Fact, FactRule, Has, Lacks

LAYERS = 5


@dataclass(frozen=True)
class Shape:
    """How knowledge is drawn: systems of so many rules, each with words of its own.

    Attributes:
        name: of the shape.
        system: rules of one system; 0 for a single system, however many rules there are.
        answers: what can be answered, in each system.
        readings: numbers that can be read, in each system.
        conditions: weights of one, two, three and four conditions in a rule.
        absences: the share of conditions, but for the first of a rule, that look for an absence.
        compares: the share that compare readings.
        derived: the share, above the lowest layer, that look at what rules conclude.
        asked: systems that a job asks about.
    """

    name: str
    system: int
    answers: int
    readings: int
    conditions: tuple[int, int, int, int]
    absences: float
    compares: float
    derived: float
    asked: int


BOOK = Shape("book", 80, 80, 5, (67, 22, 7, 4), 0.6, 0.05, 0.6, 4)
"""As the shipped book is on one of its machines (67 of 100 rules have one condition, a fifth of the conditions are
absences, a fact is looked at by 1.4 rules, by 7 at most), and as many such machines as make up the number of rules."""

CROWD = Shape("crowd", 0, 300, 20, (0, 34, 33, 33), 0.15, 0.1, 0.5, 1)
"""All rules hang on the same 300 answers and 20 readings, so that an answer has more to do the more rules there are."""

SHAPES = {shape.name: shape for shape in (BOOK, CROWD)}

Answer = Fact | tuple[str, float]
"""A fact that is told, or the name of a reading and its value."""


def split(answers: Iterable[Answer]) -> tuple[list[Fact], dict[str, float]]:
    """What is told, and what is read."""
    told: list[Fact] = []
    read: dict[str, float] = {}
    for answer in answers:
        name, second = answer[0], answer[1]
        if isinstance(second, str):
            told.append((name, second, *(str(word) for word in answer[2:])))
        else:
            read[name] = second
    return told, read


@dataclass(frozen=True)
class Knowledge:
    """Rules, and the answers of a job in the order they are given."""

    rules: tuple[FactRule, ...]
    answers: tuple[Answer, ...]

    @property
    def layers(self) -> dict[str, int]:
        """The layer of every rule by id."""
        return {rule.id: int(rule.then[0][1].split("_")[2]) for rule in self.rules}


def knowledge(shape: Shape, size: int, seed: int) -> Knowledge:
    """Draw so many rules and the answers of one job."""
    draw = _Draw(shape, size, random.Random(f"{shape.name} {size} {seed}"))  # noqa: S311 - a seeded benchmark
    rules = [draw.rule(number) for number in range(size)]
    draw.chance.shuffle(rules)
    return Knowledge(tuple(rules), tuple(draw.answers()))


class _Draw:
    """Draws rules and answers."""

    def __init__(self, shape: Shape, size: int, chance: random.Random) -> None:
        self.shape = shape
        self.size = size
        self.chance = chance
        self.systems = max(1, size // shape.system) if shape.system else 1
        self.names = max(1, size // self.systems // LAYERS)
        """Conclusions of one layer of one system."""

    def rule(self, number: int) -> FactRule:
        """The rules of a system follow each other, layer by layer."""
        system, place = divmod(number * self.systems, self.size)
        layer = place * LAYERS // self.size
        count = self.chance.choices((1, 2, 3, 4), self.shape.conditions)[0]
        when = dict.fromkeys([self.has(system, layer), *(self.condition(system, layer) for _ in range(count - 1))])
        return FactRule(f"rule_{number:06}", tuple(when), (_derived(system, layer, self.chance.randrange(self.names)),))

    def has(self, system: int, layer: int) -> Condition:
        """A comparison, or something answered or concluded."""
        if self.chance.random() < self.shape.compares:
            return self.compare(system)
        if layer and self.chance.random() < self.shape.derived:
            return Has(_derived(system, layer - 1, self.chance.randrange(self.names)))
        return Has(_told(system, self.chance.randrange(self.shape.answers)))

    def condition(self, system: int, layer: int) -> Condition:
        """Any condition."""
        found = self.has(system, layer)
        lacks = isinstance(found, Has) and self.chance.random() < self.shape.absences
        return Lacks(found.fact) if lacks and isinstance(found, Has) else found

    def compare(self, system: int) -> Compare:
        """Figures of three decimals where readings have two, so that nothing hangs on the last binary digit."""
        left, right = (_reading(system, one) for one in self.chance.sample(range(self.shape.readings), 2))
        if self.chance.random() < 0.5:
            return Compare(left, "above", round(round(self.chance.uniform(10, 13), 2) + 0.005, 3))
        return Compare(left, "below", right, 0.505)

    def answers(self) -> list[Answer]:
        """Seven answers of ten and all readings, in the systems asked about."""
        answers: list[Answer] = []
        for system in self.chance.sample(range(self.systems), min(self.systems, self.shape.asked)):
            told = self.chance.sample(range(self.shape.answers), self.shape.answers * 7 // 10)
            answers += [_told(system, one) for one in told]
            values = [round(self.chance.uniform(10, 13), 2) for _ in range(self.shape.readings)]
            answers += [(_reading(system, one), value) for one, value in enumerate(values)]
        self.chance.shuffle(answers)
        return answers


def _told(system: int, one: int) -> Fact:
    return ("history", f"asked_{system}_{one // 4}", f"answer_{one % 4}")


def _derived(system: int, layer: int, one: int) -> Fact:
    return ("fact", f"fact_{system}_{layer}_{one}")


def _reading(system: int, one: int) -> str:
    return f"volts_{system}_{one}"


def plain_fixpoint(rules: Sequence[FactRule], layers: dict[str, int], answers: Sequence[Answer]) -> set[Fact]:
    """What is derived, by trying every rule, layer by layer, with no code of the engine but single comparisons."""
    told, values = split(answers)
    held = set(told)
    derived: set[Fact] = set()
    for layer in range(LAYERS):
        fired = [rule for rule in rules if layers[rule.id] == layer and all(_holds(c, held, values) for c in rule.when)]
        derived.update(rule.then[0] for rule in fired)
        held |= derived
    return derived


def _holds(condition: Condition, held: set[Fact], values: dict[str, float]) -> bool:
    if isinstance(condition, Compare):
        return condition.holds(values) is True
    return (condition.fact in held) is isinstance(condition, Has)


def as_book(known: Knowledge) -> Iterator[str]:
    """The knowledge in the language of the book, block by block: every word declared, then the rules."""
    yield "area bay\n  name bay\n  takes 1 minutes\n\nkit meter\n  name meter\n\ntopic story\n  name story\n"
    yield "point here\n  name here\n  area bay\n\npoint there\n  name there\n  area bay\n"
    conditions = [condition for rule in known.rules for condition in rule.when]
    derived = {rule.then[0] for rule in known.rules}
    plain = [condition.fact for condition in conditions if not isinstance(condition, Compare)]
    for fact in sorted(derived.union(fact for fact in plain if fact[0] == "fact")):
        yield f"fact {fact[1]}\n  name {fact[1].replace('_', ' ')}\n"
    for asked in sorted({fact[1] for fact in plain if fact[0] == "history"}):
        answers = "".join(f"  answer answer_{n} meaning answer {n} of {asked}\n" for n in range(4))
        yield _QUESTION.format(asked=asked, answers=answers)
    for name in sorted({name for one in conditions if isinstance(one, Compare) for name in one.names()}):
        yield _CHECK.format(name=name)
    for rule in known.rules:
        when = "".join(f"  {'and ' if at else 'when'} {_in_words(one)}\n" for at, one in enumerate(rule.when))
        yield f"rule {rule.id}\n{when}  then conclude {rule.then[0][1]}\n  because It is.\n  source common practice\n"


_QUESTION = """question {asked}
  ask What of {asked}?
  stage history
  topic story
  takes 1 minutes
  several
{answers}  because It matters.
  source common practice
"""

_CHECK = """check {name}
  ask Volts of {name}
  how Red probe here, black there.
  reads volts at here to there
  takes 2 minutes
  kit meter
  finding low from 0 V to 11 V
  finding live from 11 V to 14 V
  good live
  wrong 2 in 100
  spread 0.02 V
  source common practice
"""


def _in_words(condition: Condition) -> str:
    if isinstance(condition, Compare):
        if isinstance(condition.right, str):
            return f"{condition.left} {condition.relation} {condition.right} by {condition.margin:g} V"
        return f"{condition.left} {condition.relation} {condition.right:.3f} V"
    words = " ".join(condition.fact)
    return f"not {words}" if isinstance(condition, Lacks) else words
