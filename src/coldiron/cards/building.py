"""A card parsed and built: this is what needs the parser."""

from __future__ import annotations

from coldiron.book.book import Book
from coldiron.book.machines import Card
from coldiron.book.problem import Problem, errors
from coldiron.book.source import NOWHERE, Place
from coldiron.cards.folder import MOST_BYTES
from coldiron.language.build import card as builder
from coldiron.language.build.scope import Lines, Scope
from coldiron.language.declared import Declared
from coldiron.language.read import read
from coldiron.language.tree import Tree, blocks
from coldiron.mistakes import mistake

OPENER = "machine"


def built(book: Book, name: str, data: bytes) -> tuple[Card | None, tuple[Problem, ...]]:
    """Return the card in the bytes of a file and every problem of it; no card where there is one."""
    if len(data) > MOST_BYTES:
        return None, (mistake("card-too-big", Place(name, 1, 1, 1), most=MOST_BYTES),)
    tree, problems = read(name, data)
    if errors(problems):
        return None, problems
    scope = Scope(_declared(book))
    card = _card(tree, scope)
    found = (*problems, *scope.problems)
    return (None if errors(found) else card), found


def _card(tree: Tree, scope: Scope) -> Card | None:
    """The one machine of a tree; anything else in it is a problem."""
    found = list(blocks(tree.lines))
    for block in found[1:] or found:
        if block is not found[0] or block.opener.keyword.text != OPENER:
            keyword = block.opener.keyword
            place = Place(tree.file, block.opener.line, keyword.column, keyword.end)
            scope.problems.append(mistake("card-alone", place))
    if not found:
        scope.problems.append(mistake("card-alone", Place(tree.file, 1, 1, 1)))
    if scope.problems:
        return None
    return builder.card(Lines(scope, tree.file, found[0]))


def _declared(book: Book) -> Declared:
    """What a card may speak of: the ids of a book."""
    made = Declared()
    places = (*book.points, *book.parts, *book.checks)
    for space, names in (
        ("usual", book.usual),
        ("circuit", book.circuits),
        ("feature", book.features),
        ("option", book.options),
        ("check", book.checks),
        ("fault", book.faults),
        (builder.PLACES, places),
    ):
        made.ids[space] = dict.fromkeys(names, NOWHERE)
    made.options = {one.id: tuple(answer for answer, _ in one.answers) for one in book.features.values()}
    return made
