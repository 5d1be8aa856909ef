"""Cautions that cannot be acknowledged as they must be, or that never come up."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coldiron.audit.safety.before import TYPED
from coldiron.book.book import Book
from coldiron.book.conclusions import WarnsOf
from coldiron.book.problem import Problem
from coldiron.mistakes import mistake

MOST_WORDS = 12
"""So many words to type has a book at most: nobody keeps more conditions apart, and one word is one condition."""

PLAIN = re.compile(r"[a-z]{3,12}")

TAKEN = frozenset(
    (
        *(
            "why",
            "what",
            "skip",
            "back",
            "change",
            "note",
            "done",
            "park",
            "help",
            "quit",
            "exit",
            "bye",
            "undo",
            "stop",
        ),
        *("again", "repeat", "yes", "no", "none", "all", "not", "sure", "cannot", "reach", "dunno", "fitted", "code"),
        *("page", "more", "next", "open", "line", "over", "under", "less", "than", "about", "fill"),
    )
)
"""Words that the program takes for a command, an answer or part of a reading."""


def cautions(book: Book) -> tuple[Problem, ...]:
    """Report a DANGER or WARNING without a word to type, or with one that cannot be typed, and what never comes up."""
    return (*_words(book), *_idle(book))


def _words(book: Book) -> Iterator[Problem]:
    known: list[str] = []
    for caution in book.cautions.values():
        word = caution.type
        if caution.word in TYPED and not word:
            yield mistake("no-type-word", caution.place, word=caution.word)
        elif word and (not PLAIN.fullmatch(word) or word in TAKEN):
            yield mistake("untypable", caution.place, word=word)
        elif word and word not in known:
            known.append(word)
            if len(known) > MOST_WORDS:
                yield mistake("many-type-words", caution.place, word=word, most=MOST_WORDS, words=", ".join(known))


def _idle(book: Book) -> Iterator[Problem]:
    warned = {name for check in book.checks.values() for name in check.warns}
    warned |= {name for question in book.questions.values() for answer in question.answers for name in answer.warns}
    warned |= {name for kind in book.kinds.values() for fault in kind.faults for name in fault.cautions}
    warned |= {then.caution for rule in book.rules.values() for then in rule.then if isinstance(then, WarnsOf)}
    warned |= {name for duty in book.duties.values() for name in duty.warns}
    for caution in book.cautions.values():
        if not caution.due and caution.id not in warned:
            yield mistake("never-due", caution.place, word=caution.id)
