"""All trees to one book: every block built, faults and checks spread over parts, faulty entries left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from coldiron.book.book import Book
from coldiron.book.checks import Check
from coldiron.book.machines import Part
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.language.build import (
    acting,
    asking,
    card,
    coding,
    endangering,
    handing,
    machines,
    routes,
    ruling,
    usual,
    words,
)
from coldiron.language.build.scope import Lines, Scope
from coldiron.language.declared import Declared, collect, place_of
from coldiron.language.forms import OPENERS, RESERVED
from coldiron.language.spread import events_of, faults_of, parts_of
from coldiron.language.tree import Tree, blocks
from coldiron.mistakes import mistake
from coldiron.record import replace

BUILDERS: dict[str, Callable[[Lines], Any]] = {
    "setting": words.setting,
    "kit": words.kit,
    "area": words.area,
    "point": words.point,
    "topic": words.word,
    "fact": words.word,
    "kind": machines.kind,
    "section": machines.section,
    "circuit": machines.circuit,
    "feature": asking.feature,
    "option": machines.option,
    "usual": usual.usual,
    "chain": machines.chain,
    "route": routes.route,
    "event": routes.event,
    "complaint": words.complaint,
    "question": asking.question,
    "check": asking.check,
    "code": coding.code,
    "caution": ruling.caution,
    "action": acting.action,
    "danger": endangering.danger,
    "duty": handing.duty,
    "rule": ruling.rule,
    "case": ruling.case,
    "machine": card.in_book,
}

MOST_PROBLEMS = 200
"""After so many problems of meaning in one file the rest of it is not built."""

Entries = dict[str, dict[str, Any]]


def build(trees: Iterable[Tree], book_hash: str) -> tuple[Book, tuple[Problem, ...]]:
    """Build a book of all trees and return it with every problem of meaning; entries with an error are left out."""
    trees = list(trees)
    declared = collect(trees)
    problems = list(_repeats(declared))
    entries: Entries = {opener: {} for opener in OPENERS}
    for tree in trees:
        problems += build_tree(tree, declared, entries)
    return _put_together(entries, book_hash), tuple(problems)


def _repeats(declared: Declared) -> Iterable[Problem]:
    for opener, name, place in declared.repeats[:MOST_PROBLEMS]:
        first = (("the first", declared.ids[opener][name]),)
        yield mistake("duplicate", place, what=opener, word=name, related=first)


def check_file(tree: Tree, others: Declared) -> tuple[Problem, ...]:
    """Return the problems of meaning of one file in a book whose other files declare `others`."""
    declared = others.copy()
    declared.add(tree)
    entries: Entries = {opener: {} for opener in OPENERS}
    repeats = [problem for problem in _repeats(declared) if problem.place.file == tree.file]
    return (*repeats, *build_tree(tree, declared, entries))


def build_tree(tree: Tree, declared: Declared, entries: Entries) -> list[Problem]:
    """Build the blocks of one file into `entries` and return their problems."""
    scope = Scope(declared)
    for block in blocks(tree.lines):
        if len(scope.problems) > MOST_PROBLEMS:
            scope.problems.append(mistake("too-many", Place(tree.file, block.opener.line, 1, 1)))
            break
        opener = block.opener.keyword.text
        if block.id and declared.of(opener)[block.id] != place_of(
            tree.file, block.opener, block.opener.phrases[0].words[0]
        ):
            continue  # a second declaration: that is said already, and nothing of its inside is known
        before = len(scope.problems)
        lines = Lines(scope, tree.file, block)
        if block.id in RESERVED:
            lines.report("reserved", block.opener, block.opener.phrases[0].words[0], word=block.id)
        record = BUILDERS[opener](lines)
        if len(scope.problems) == before and not block.damaged:
            entries[opener].setdefault(block.id, record)
    return scope.problems


def _checks(entries: Entries, parts: dict[str, Part]) -> dict[str, Check]:
    """All checks: those written for each part of a kind once for each, and the look at each route."""
    area_of = {point.id: point.area for point in entries["point"].values()}
    checks: dict[str, Check] = {}
    for check in entries["check"].values():
        if check.each:
            checks.update((one.id, one) for one in asking.spread_over(check, parts, area_of))
        else:
            area = check.area or area_of.get(check.reads.a, "")
            checks[check.id] = check if check.area else replace(check, area=area)
    for route, look in entries["route"].values():
        checks.setdefault(look.id, routes.with_findings(look, route, entries["event"]))
    return checks


def _put_together(entries: Entries, book_hash: str) -> Book:
    """Make the book of its entries: parts of all sections, their faults, and the checks made for each of them."""
    parts = parts_of(entries["section"])
    checks = _checks(entries, parts)
    laid, events = {name: one for name, (one, _) in entries["route"].items()}, entries["event"]
    return Book(
        hash=book_hash,
        settings=entries["setting"],
        kits=entries["kit"],
        areas=entries["area"],
        points=entries["point"],
        topics=entries["topic"],
        facts=entries["fact"],
        kinds=entries["kind"],
        sections=entries["section"],
        circuits=entries["circuit"],
        chains=entries["chain"],
        complaints=entries["complaint"],
        questions=routes.told_of(entries["question"], laid, events),
        checks=checks,
        codes=entries["code"],
        cautions=entries["caution"],
        duties=entries["duty"],
        rules=entries["rule"],
        cases=entries["case"],
        parts=parts,
        faults=faults_of(parts, entries["kind"], checks) | events_of(laid, events),
        features=entries["feature"],
        actions=entries["action"],
        dangers=entries["danger"],
        options=entries["option"],
        usual=entries["usual"],
        routes=laid,
        events=events,
    )
