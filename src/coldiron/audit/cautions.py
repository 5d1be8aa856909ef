"""Cautions that cannot be acknowledged as they must be, or that never come up."""

from __future__ import annotations

from coldiron.mistakes import mistake
from coldiron.model import Book
from coldiron.problem import Problem


def cautions(book: Book) -> tuple[Problem, ...]:
    """Report a DANGER or WARNING without a word to type, and a caution that nothing makes due."""
    warned = {name for check in book.checks.values() for name in check.warns}
    warned |= {name for question in book.questions.values() for answer in question.answers for name in answer.warns}
    warned |= {name for kind in book.kinds.values() for fault in kind.faults for name in fault.cautions}
    warned |= {then.name for rule in book.rules.values() for then in rule.then if then.action == "warn"}
    warned |= {name for function in book.functions.values() for name in function.warns}
    found = []
    for caution in book.cautions.values():
        if caution.word in ("DANGER", "WARNING") and not caution.type:
            found.append(mistake("no-type-word", caution.place, word=caution.word))
        if not caution.due and caution.id not in warned:
            found.append(mistake("never-due", caution.place, word=caution.id))
    return tuple(found)
