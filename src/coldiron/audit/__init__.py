"""The audit: what is wrong with a book as a whole, though every entry by itself reads well.

Each file here looks for one kind of problem and has one signature, book to problems. `AUDITS` is their order. The audit
wants a book that was built without errors.
"""

from __future__ import annotations

from collections.abc import Callable

from coldiron.audit.bands import bands
from coldiron.audit.beginnings import beginnings
from coldiron.audit.cases import cases
from coldiron.audit.chains import chains, routes
from coldiron.audit.chances import chances
from coldiron.audit.codes import codes
from coldiron.audit.facts import facts
from coldiron.audit.features import features
from coldiron.audit.joins import joins
from coldiron.audit.leaks import leaks
from coldiron.audit.names import names
from coldiron.audit.placeholders import placeholders
from coldiron.audit.reach import reach
from coldiron.audit.safety.actions import actions
from coldiron.audit.safety.cautions import cautions
from coldiron.audit.safety.dangers import dangers
from coldiron.audit.safety.hazards import hazards
from coldiron.audit.sizes import sizes
from coldiron.audit.strata import strata
from coldiron.audit.unused import unused
from coldiron.audit.voltages import voltages
from coldiron.audit.weightless import weightless
from coldiron.book.book import Book
from coldiron.book.problem import Problem

Audit = Callable[[Book], tuple[Problem, ...]]

AUDITS: tuple[Audit, ...] = (
    hazards,
    actions,
    dangers,
    cautions,
    beginnings,
    sizes,
    joins,
    leaks,
    reach,
    bands,
    voltages,
    chances,
    chains,
    routes,
    codes,
    strata,
    facts,
    cases,
    features,
    weightless,
    placeholders,
    names,
    unused,
)
"""Every audit, those that keep people whole first."""


def audit(book: Book) -> tuple[Problem, ...]:
    """Return every problem of a book as a whole."""
    return tuple(problem for one in AUDITS for problem in one(book))
