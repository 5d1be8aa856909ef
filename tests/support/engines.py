"""Forward-chaining engines at work on the same knowledge: this project's, one in C, one in plain Python.

Each reads the knowledge from files of its own form in a folder: as a person writes it, and as the engine itself keeps
it. Answers are given one at a time, each to the fixpoint; what is derived in the end can be compared. The other two
come with the `bench` extra of the project, and are passed over where they are not installed.
"""

from __future__ import annotations

import importlib
import importlib.util
from collections.abc import Iterable, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any, ClassVar, Protocol

from coldiron.collector import quicken_collector
from coldiron.engine import Compare, Condition, FactRule, Has, Lacks, RuleSet, compile_rules, extend, run, withdraw
from coldiron.engine.kept import pack, unpack
from support.knowledge import Answer, Knowledge, as_book, split

TEXT_MOST = 10_000
"""No book of more rules is written: parsing takes a minute for every 50,000."""


class Engine(Protocol):
    """One engine with one set of rules and one job.

    Attributes:
        module: what must be installed.
        how: what its two ways to load are, in words.
        again: it takes every answer by a run from the start.
    """

    module: ClassVar[str]
    how: ClassVar[str]
    again: ClassVar[bool]

    @staticmethod
    def write(known: Knowledge, folder: Path) -> bool:
        """Write the knowledge as a person would for this engine; False if only what it keeps was written."""

    def load(self, folder: Path) -> None:
        """Read what a person wrote."""

    def keep(self, folder: Path) -> None:
        """Write what the engine keeps of what it has loaded."""

    def load_kept(self, folder: Path) -> None:
        """Read what `keep` wrote."""

    def start(self, answers: Sequence[Answer] = ()) -> None:
        """Begin a job that has these answers."""

    def answer(self, answer: Answer) -> None:
        """Take one answer."""

    def withdraw(self, answer: Answer) -> None:
        """Take one answer back."""

    def derived(self) -> set[str]:
        """Names of the facts that rules have concluded."""


class Coldiron:
    """This project's engine: from the text of a book, or from the network it keeps.

    The collector rests while it loads, as it does where the tool makes a machine ready.
    """

    module: ClassVar[str] = "coldiron"
    how: ClassVar[str] = "a book of rule files, parsed; the network that coldiron.engine.kept made bytes of"
    again: ClassVar[bool] = False

    @staticmethod
    def write(known: Knowledge, folder: Path) -> bool:
        if len(known.rules) > TEXT_MOST:
            made = compile_rules(known.rules)
            assert isinstance(made, RuleSet), str(made)
            (folder / "network.json").write_bytes(pack(made))
            return False
        blocks = list(as_book(known))
        (folder / "rules").mkdir()
        for number, start in enumerate(range(0, len(blocks), 1000)):
            text = "\n".join(blocks[start : start + 1000])
            (folder / "rules" / f"{number:03}.rules").write_text(text, encoding="utf-8")
        return True

    def load(self, folder: Path) -> None:
        quicken_collector()  # as the command does
        self.rules = _of_book(folder)

    def keep(self, folder: Path) -> None:
        (folder / "network.json").write_bytes(pack(self.rules))

    def load_kept(self, folder: Path) -> None:
        quicken_collector()
        self.rules = unpack((folder / "network.json").read_bytes())

    def start(self, answers: Sequence[Answer] = ()) -> None:
        self.result = run(self.rules, *split(answers))

    def answer(self, answer: Answer) -> None:
        self.result = extend(self.result, *split([answer]))

    def withdraw(self, answer: Answer) -> None:
        self.result = withdraw(self.result, *split([answer]))

    def derived(self) -> set[str]:
        return {fact[1] for fact in self.result.facts if fact[0] == "fact"}


def _of_book(folder: Path) -> RuleSet:
    """The rules of a book as the engine runs them, on a machine without parts."""
    from coldiron.language.load import load
    from coldiron.ruling.grounding import rules_of

    book, problems = load(folder / "rules")
    assert not problems, problems[:3]
    machine = SimpleNamespace(book=book, checks=tuple(book.checks), parts={}, faults={}, upstream={}, downstream={})
    made = rules_of(machine)
    assert isinstance(made, RuleSet), str(made)
    return made


class Clips:
    """CLIPS, in C, through `clipspy`; conclusions hang on their conditions by its `logical`, so that they go with them.

    Facts are of templates and put in slot by slot: measured, its quickest way of four to take an answer.
    """

    module: ClassVar[str] = "clips"
    how: ClassVar[str] = "text of rules, loaded; its own binary save and load"
    again: ClassVar[bool] = False

    def __init__(self) -> None:
        self.clips: Any = importlib.import_module("clips")
        self.environment = self.clips.Environment()
        self.facts: dict[str, Any] = {}

    @staticmethod
    def write(known: Knowledge, folder: Path) -> bool:
        slots = {"history": "id", "fact": "id", "reading": "id) (slot value"}
        lines = [f"(deftemplate {name} (slot {slot}))" for name, slot in slots.items()]
        layers = known.layers
        lines += [_in_clips(rule, layers[rule.id]) for rule in known.rules]
        (folder / "rules.clp").write_text("\n".join(lines), encoding="utf-8")
        return True

    def keep(self, folder: Path) -> None:
        self.environment.save(str(folder / "rules.bin"), binary=True)

    def load(self, folder: Path) -> None:
        self.environment.load(str(folder / "rules.clp"))

    def load_kept(self, folder: Path) -> None:
        self.environment.load(str(folder / "rules.bin"), binary=True)

    def start(self, answers: Sequence[Answer] = ()) -> None:
        self.environment.reset()
        self.environment.run()
        self.templates = {name: self.environment.find_template(name) for name in ("history", "reading")}
        for answer in answers:
            self.answer(answer)

    def answer(self, answer: Answer) -> None:
        symbol = self.clips.Symbol
        name, second = answer[0], answer[1]
        if isinstance(second, str):
            made = self.templates["history"].assert_fact(id=symbol(_slot(answer)))
        else:
            made = self.templates["reading"].assert_fact(id=symbol(name), value=second)
        self.environment.run()
        self.facts[_slot(answer)] = made

    def withdraw(self, answer: Answer) -> None:
        self.facts.pop(_slot(answer)).retract()
        self.environment.run()

    def derived(self) -> set[str]:
        return {str(fact["id"]) for fact in self.environment.facts() if fact.template.name == "fact"}


def _slot(fact: Iterable[object]) -> str:
    """A fact or an answer as one symbol, without the word of its template."""
    first, *rest = fact
    return ".".join(str(word) for word in rest) if isinstance(rest[0], str) else str(first)


def _in_clips(rule: FactRule, layer: int) -> str:
    """A rule of a lower layer comes first, which saves conclusions that would have to be taken back."""
    when = sorted(rule.when, key=lambda condition: isinstance(condition, Lacks))
    conditions = " ".join(_clips_condition(condition, at) for at, condition in enumerate(when))
    first = f"(declare (salience {-layer})) (logical {conditions})"
    return f"(defrule {rule.id} {first} => (assert (fact (id {_slot(rule.then[0])}))))"


def _clips_condition(condition: Condition, at: int) -> str:
    if not isinstance(condition, Compare):
        pattern = f"({condition.fact[0]} (id {_slot(condition.fact)}))"
        return pattern if isinstance(condition, Has) else f"(not {pattern})"
    left, right, margin = f"?l{at}", f"?r{at}", condition.margin
    if isinstance(condition.right, str):
        test = f"(reading (id {condition.right}) (value {right}&:(> (- {right} {left}) {margin})))"
        return f"(reading (id {condition.left}) (value {left})) {test}"
    return f"(reading (id {condition.left}) (value {left}&:(> {left} {condition.right})))"


class Expert:
    """An engine in plain Python, `expert-ceylon`, whose rules are methods of a class.

    What it has concluded stays when an absence it counted on is filled, or an answer is taken back, so every answer is
    a run from the start. It has no form of its own to keep rules in: kept is what Python keeps of the module.
    """

    module: ClassVar[str] = "expert_ceylon"
    how: ClassVar[str] = "Python module, compiled and imported; the module from Python's own cache"
    again: ClassVar[bool] = True

    def __init__(self) -> None:
        self.expert: Any = importlib.import_module("expert_ceylon")
        self.given: list[Answer] = []

    @staticmethod
    def write(known: Knowledge, folder: Path) -> bool:
        layers = known.layers
        lines = ["from expert_ceylon import *", "class Rules(KnowledgeEngine):"]
        lines += [_in_expert(rule, layers[rule.id]) for rule in known.rules]
        (folder / "rules_module.py").write_text("\n".join(lines), encoding="utf-8")
        return True

    def keep(self, folder: Path) -> None:
        import py_compile

        py_compile.compile(str(folder / "rules_module.py"), cfile=str(folder / "rules_kept.pyc"), doraise=True)

    def load(self, folder: Path) -> None:
        self._take(folder / "rules_module.py")

    def load_kept(self, folder: Path) -> None:
        self._take(folder / "rules_kept.pyc")

    def _take(self, path: Path) -> None:
        spec = importlib.util.spec_from_file_location("rules_of_bench", path)
        assert spec
        assert spec.loader
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        self.engine = module.Rules()

    def start(self, answers: Sequence[Answer] = ()) -> None:
        self.given = list(answers)
        self._again()

    def answer(self, answer: Answer) -> None:
        self.given.append(answer)
        self._again()

    def withdraw(self, answer: Answer) -> None:
        self.given.remove(answer)
        self._again()

    def _again(self) -> None:
        self.engine.reset()
        told, values = split(self.given)
        facts = [self.expert.Fact(*fact) for fact in told]
        facts += [self.expert.Fact(reading=name, value=value) for name, value in values.items()]
        self.engine.declare(*facts)
        self.engine.run()

    def derived(self) -> set[str]:
        return {fact[1] for fact in self.engine.facts.values() if fact.get(0) == "fact"}


def _in_expert(rule: FactRule, layer: int) -> str:
    when = sorted(rule.when, key=lambda condition: isinstance(condition, Lacks))
    conditions = ", ".join(_expert_condition(condition, at) for at, condition in enumerate(when))
    names = [name for at, one in enumerate(when) if isinstance(one, Compare) for name in _bound(one, at)]
    return (
        f"    @Rule({conditions}, salience={-layer})\n"
        f"    def {rule.id}({', '.join(['self', *names])}):\n"
        f"        self.declare(Fact(*{rule.then[0]!r}))"
    )


def _bound(compare: Compare, at: int) -> tuple[str, ...]:
    return (f"l{at}", f"r{at}") if isinstance(compare.right, str) else ()


def _expert_condition(condition: Condition, at: int) -> str:
    if not isinstance(condition, Compare):
        pattern = f"Fact(*{condition.fact!r})"
        return pattern if isinstance(condition, Has) else f"NOT({pattern})"
    if isinstance(condition.right, str):
        left, right = _bound(condition, at)
        test = f"TEST(lambda {left}, {right}: {right} - {left} > {condition.margin})"
        pair = (
            f"{_expert_reading(condition.left, f'MATCH.{left}')}, {_expert_reading(condition.right, f'MATCH.{right}')}"
        )
        return f"{pair}, {test}"
    return _expert_reading(condition.left, f"P(lambda value: value > {condition.right})")


def _expert_reading(name: str, value: str) -> str:
    return f"Fact(reading={name!r}, value={value})"


ENGINES: dict[str, type[Engine]] = {"coldiron": Coldiron, "clips": Clips, "expert": Expert}
