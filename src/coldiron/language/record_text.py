"""Rules and cases as rule text: what a program drafts is printed in the language, read, judged and kept like any other.

Reading the text gives the record again, places aside, as long as its texts are what a rule file can hold: `as_text`
makes them so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from textwrap import wrap

from coldiron.language.printer import print_lines
from coldiron.language.tree import Phrase, Statement, Token
from coldiron.model import Case, Conclusion, Condition, Expect, FaultRef, Loop, Rule

WIDEST = 100


def as_text(text: str) -> str:
    """Return a text as a rule file can hold it: ordinary blanks, nothing that cannot be seen, no sign of a comment."""
    seen = "".join(letter if letter.isprintable() else " " for letter in text)
    words = [f"no. {word.lstrip('#')}".rstrip() if word.startswith("#") else word for word in seen.split()]
    return " ".join(words)


def rule_text(rule: Rule, units: Mapping[str, str] | None = None) -> str:
    """Return a rule as text; `units` gives the unit of a check, to be written behind figures compared with it."""
    lines = [_line("rule", ("word", rule.id), depth=0)]
    if rule.loop:
        lines.append(_loop(rule.loop))
    for at, condition in enumerate(rule.when):
        lines.append(Statement(_word("and" if at else "when"), tuple(_condition(condition, units or {})), 0, 1))
    lines += [Statement(_word("then"), tuple(_conclusion(conclusion)), 0, 1) for conclusion in rule.then]
    lines += [*_long("because", rule.because), *_long("source", rule.source)]
    return print_lines(lines)


def case_text(case: Case) -> str:
    """Return a case as text."""
    lines = [_line("case", ("word", case.id), depth=0), *_long("name", case.name)]
    lines += [_line("circuit", ("word", case.circuit)), _line("complaint", ("word", case.complaint))]
    for epoch in range(len(case.repaired) + 1):
        given = (one for one in case.given if one.epoch == epoch)
        lines += [_line("given", ("given", one.id, as_text(one.value))) for one in given]
        lines += [_line("repaired", ("word", str(faults))) for faults in case.repaired[epoch : epoch + 1]]
    lines += [_line("expect", _expect(expect)) for expect in case.expects]
    return print_lines([*lines, *_long("source", case.source)])


def _word(text: str) -> Token:
    return Token(text, 1, 1 + len(text))


def _phrase(form: str, *words: str) -> Phrase:
    return Phrase(form, tuple(_word(word) for word in words))


def _line(keyword: str, *phrases: tuple[str, ...], depth: int = 1) -> Statement:
    return Statement(_word(keyword), tuple(_phrase(*phrase) for phrase in phrases), 0, depth)


def _long(keyword: str, text: str) -> Iterator[Statement]:
    """Yield the lines of a long text, the keyword before each."""
    for piece in wrap(as_text(text), WIDEST, break_long_words=False, break_on_hyphens=False):
        yield _line(keyword, ("text", piece))


def _number(value: float) -> str:
    """Return a number as a plain decimal that reads as the same number."""
    whole = f"{Decimal(repr(float(value))):f}"
    return whole.removesuffix(".0")


def _loop(loop: Loop) -> Statement:
    phrases = [("in", loop.name, loop.kind)]
    return _line("for", *phrases, *([(loop.relation, loop.part)] if loop.relation else []))


_TEST_FORMS = {"has": "machine has", "talks": "controller talks"}
"""Tests whose form has another name."""


def _condition(condition: Condition, units: Mapping[str, str]) -> Iterator[Phrase]:
    name, test = condition.name, condition.test
    if condition.negated:
        yield _phrase("not")
    unit = units.get(name.partition(".")[0], "")
    if test in ("above", "below") and condition.other:
        yield _phrase(f"{test} check", name, condition.other)
        if condition.number:
            yield _phrase("by", *filter(None, (_number(condition.number), unit)))
    elif test in ("above", "below"):
        yield _phrase(f"{test} number", *filter(None, (name, _number(condition.number), unit)))
    elif test == "repaired":
        yield _phrase("repaired", str(condition.faults))
    else:
        form = _TEST_FORMS.get(test, test)
        yield _phrase(form, *filter(None, (name, condition.value)))


def _conclusion(conclusion: Conclusion) -> Iterable[Phrase]:
    action, name, faults = conclusion.action, conclusion.name, str(conclusion.faults)
    match action:
        case "shift":
            return [_phrase("shift", faults, _number(conclusion.number))]
        case "prefer":
            return [_phrase("prefer", name, _number(conclusion.number))]
        case "require":
            return [_phrase("require", name, faults)]
        case "leave" | "avoid":
            return [_phrase(action, name, conclusion.value)]
        case "advise":
            return [_phrase("advise", as_text(conclusion.text))]
        case "find":
            about = [str(one) for one in conclusion.about]
            replaced = _phrase("replacing", *conclusion.replaces)
            return [_phrase("find", conclusion.value, name), replaced, _phrase("about", *about)]
    return [_phrase(action, name)]


def _expect(expect: Expect) -> tuple[str, ...]:
    if isinstance(expect.faults, FaultRef):
        return (expect.what, str(expect.faults))
    return (expect.what, as_text(expect.name))
