"""Words in braces that nothing fills in: only `{part}` is filled in, and only in a check with `each`."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake


def placeholders(book: Book) -> tuple[Problem, ...]:
    """Report braces left in what a mechanic reads."""
    found = {}
    for check in book.checks.values():
        texts = (check.ask, check.how, *(finding.meaning for finding in check.findings))
        if any("{" in text or "}" in text for text in texts):
            found[check.place] = mistake("stray-braces", check.place, word=check.id.partition(".")[0])
    for duty in book.duties.values():
        if any("{" in text or "}" in text for text in (duty.ask, duty.how, duty.otherwise, duty.until)):
            found[duty.place] = mistake("stray-braces", duty.place, word=duty.id)
    return tuple(found.values())
