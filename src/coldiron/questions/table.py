"""All kinds of questions. A new kind is one file beside this one and one line here."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.job.question import Question
from coldiron.questions.away import Away
from coldiron.questions.caution import Hazard
from coldiron.questions.check import AtMachine
from coldiron.questions.code import ShowsCode
from coldiron.questions.complaint import WhatItDoes
from coldiron.questions.fitted import Fitted
from coldiron.questions.hand_back import HandBack
from coldiron.questions.kind import KindOfQuestion
from coldiron.questions.kit import AtHand
from coldiron.questions.machine import AsOnCard, HasTrait, Volts, WhichCircuit
from coldiron.questions.now import AtOnce
from coldiron.questions.page import ShowsPage
from coldiron.questions.repair import Mend
from coldiron.questions.setting import PutTo
from coldiron.questions.stands import Stands
from coldiron.questions.story import Story
from coldiron.questions.told import OwnWords
from coldiron.questions.usual import WhatItIs

CAUTION, REPAIR = Hazard(), Mend()
"""The two kinds whose entries of the log have a kind of their own."""

KINDS: tuple[KindOfQuestion, ...] = (
    AtMachine(),
    ShowsCode(),
    OwnWords(),
    Story(),
    WhatItDoes(),
    WhatItIs(),
    Volts(),
    HasTrait(),
    WhichCircuit(),
    AsOnCard(),
    Fitted(),
    AtHand(),
    PutTo(),
    ShowsPage(),
    Away(),
    Stands(),
    AtOnce(),
    HandBack(),
    CAUTION,
    REPAIR,
)
"""Each id is of the first kind that owns it."""


def kind_of(book: Book, name: str) -> KindOfQuestion | None:
    """The kind of question that an id is of; none where the book has nothing of that name."""
    return next((kind for kind in KINDS if kind.owns(book, name)), None)


def kind_asked(book: Book, asked: Question) -> KindOfQuestion:
    """The kind of a question that was put."""
    found = kind_of(book, asked.id)
    if found is None:
        raise LookupError(asked.id)
    return found
