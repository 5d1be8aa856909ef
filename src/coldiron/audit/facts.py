"""Facts that rules wait for in vain, or conclude for nobody."""

from __future__ import annotations

from coldiron.mistakes import mistake
from coldiron.model import Book
from coldiron.problem import Problem


def facts(book: Book) -> tuple[Problem, ...]:
    """Report conditions on a fact that no rule concludes, and facts concluded that no rule asks for."""
    concluded = {
        then.name: then.place for rule in book.rules.values() for then in rule.then if then.action == "conclude"
    }
    asked = {one.name for rule in book.rules.values() for one in rule.when if one.test == "fact"}
    vain = [
        mistake("fact-never-concluded", one.place, word=one.name)
        for rule in book.rules.values()
        for one in rule.when
        if one.test == "fact" and one.name not in concluded
    ]
    idle = [mistake("fact-never-asked", place, word=name) for name, place in concluded.items() if name not in asked]
    return (*vain, *idle)
