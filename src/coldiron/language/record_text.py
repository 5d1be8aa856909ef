"""Rules and cases as rule text: what a program drafts is printed in the language, read, judged and kept like any other.

Reading the text gives the record again, places aside, as long as its texts are what a rule file can hold: `as_text`
makes them so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from textwrap import wrap
from typing import assert_never

from coldiron.book.cases import (
    Case,
    Expect,
    ExpectsAmong,
    ExpectsFirst,
    ExpectsHeld,
    ExpectsNext,
    ExpectsNot,
    ExpectsTold,
    ExpectsWarned,
)
from coldiron.book.conclusions import (
    Advises,
    AllowsCheck,
    AsksSooner,
    AvoidsValue,
    ConcludesFact,
    Conclusion,
    CountsInstead,
    ForbidsCheck,
    LeavesSetting,
    RequiresCheck,
    ShiftsOdds,
    WarnsOf,
)
from coldiron.book.conditions import Condition, ReadingAgainst, ReadingsAgainst, RepairMade, Test
from coldiron.book.rules import Loop, Rule
from coldiron.book.variants import WITH
from coldiron.language.printer import print_lines
from coldiron.language.tree import Phrase, Statement, Token
from coldiron.record import replace

WIDEST = 100
"""Columns of a line of text in a rule file; with its indent it stays within the page of 120."""

FAULTS_A_LINE = 3
"""So many faults stand behind one conclusion before the next line goes on: more do not fit a line."""


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
    lines += [Statement(_word("then"), tuple(words), 0, 1) for one in rule.then for words in _lines_of(one)]
    lines += [*_long("because", rule.because), *_long("source", rule.source)]
    return print_lines(lines)


def case_text(case: Case) -> str:
    """Return a case as text."""
    lines = [_line("case", ("word", case.id), depth=0), *_long("name", case.name)]
    base, *options = case.circuit.split(WITH)
    besides = [("besides", *options)] if options else []
    lines += [_line("circuit", ("sort", base), *besides), _line("complaint", ("word", case.complaint))]
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


def _condition(condition: Condition, units: Mapping[str, str]) -> Iterator[Phrase]:
    if condition.negated:
        yield _phrase("not")
    yield from _test(condition.test, units)


_TEST_FORMS = {"has": "machine has", "talks": "controller talks"}
"""Tests whose form has another name in the language."""


def _test(test: Test, units: Mapping[str, str]) -> Iterable[Phrase]:
    match test:
        case ReadingAgainst(check=check, way=way, figure=figure):
            return [_phrase(f"{way} number", check, *_figure(figure, check, units))]
        case ReadingsAgainst(check=check, way=way, other=other, margin=margin):
            by = [_phrase("by", *_figure(margin, check, units))] if margin else []
            return [_phrase(f"{way} check", check, other), *by]
        case RepairMade():
            return [_phrase("repaired", str(test.faults))]
    words = [str(getattr(test, name)) for name in test.__match_args__ if name != "form"]
    return [_phrase(_TEST_FORMS.get(test.form, test.form), *words)]


def _figure(figure: float, check: str, units: Mapping[str, str]) -> Iterable[str]:
    """Return a figure with the unit of its check, if that is known."""
    return filter(None, (_number(figure), units.get(check.partition(".")[0], "")))


def _lines_of(conclusion: Conclusion) -> Iterator[Iterable[Phrase]]:
    """Yield the lines of a conclusion: a long advice and a long list of faults take several."""
    match conclusion:
        case Advises(text=text):
            for words in wrap(as_text(text), WIDEST, break_long_words=False, break_on_hyphens=False):
                yield [_phrase(conclusion.form, words)]
        case CountsInstead(about=about):
            for at in range(0, len(about), FAULTS_A_LINE):
                yield _conclusion(replace(conclusion, about=about[at : at + FAULTS_A_LINE]))
        case _:
            yield _conclusion(conclusion)


def _conclusion(conclusion: Conclusion) -> Iterable[Phrase]:
    form = conclusion.form
    match conclusion:
        case ConcludesFact():
            return [_phrase(form, conclusion.fact)]
        case ShiftsOdds(factor=factor):
            return [_phrase("rarer" if factor < 1 else "likelier", str(conclusion.faults), _number(factor))]
        case AllowsCheck() | ForbidsCheck():
            return [_phrase(form, conclusion.check)]
        case LeavesSetting() | AvoidsValue():
            return [_phrase(form, conclusion.setting, conclusion.value)]
        case AsksSooner(factor=factor):
            times, way = (factor, "sooner") if factor >= 1 else (1 / factor, "later")
            return [_phrase(form, conclusion.check, _number(times), way)]
        case WarnsOf():
            return [_phrase(form, conclusion.caution)]
        case RequiresCheck():
            return [_phrase(form, conclusion.check, str(conclusion.faults))]
        case CountsInstead():
            about = _phrase("for", *map(str, conclusion.about))
            replaced = _phrase("in place of", *conclusion.replaces)
            return [_phrase(form, conclusion.check, conclusion.finding), replaced, about]
        case Advises():
            return [_phrase(form, as_text(conclusion.text))]
    assert_never(conclusion)


def _expect(expect: Expect) -> tuple[str, ...]:
    match expect:
        case ExpectsFirst(faults) | ExpectsAmong(faults) | ExpectsNot(faults) | ExpectsHeld(faults):
            return (expect.form, str(faults))
        case ExpectsNext(name) | ExpectsWarned(name):
            return (expect.form, as_text(name))
        case ExpectsTold(text):
            return (expect.form, as_text(text))
    assert_never(expect)
