"""A book built anew from its files: each read, or taken from the cache as it was read before, then all together.

This is what needs the parser and the validator.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from coldiron.book import problem
from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.language import codec, read
from coldiron.language import tree as trees
from coldiron.language.build.book import build
from coldiron.language.files import RuleFile, parts_of
from coldiron.language.tree import Tree
from coldiron.language.validate import validate
from coldiron.mistakes import mistake
from coldiron.store import stamp
from coldiron.store.cache import Cache, KeptSort

TREE = KeptSort("tree", (stamp.TOP, "book", "language", "mistakes", "store"))
"""The syntax tree of a file with its problems: kept by name and content; no audit has a say in it."""


def built(files: Sequence[RuleFile], digest: str, cache: Cache | None = None) -> tuple[Book, list[Problem]]:
    """Return the book of some files and what is wrong with their text, in the order of the files.

    Args:
        files: of the book.
        digest: its hash.
        cache: where what was read before is taken from.
    """
    found = [read_file(file, cache) for file in files]
    book, wrong = build((tree for tree, _ in found), digest)
    problems = [one for _, ones in found for one in ones]
    problems += [*wrong, *validate(book)]
    order = {file.shown: at for at, file in enumerate(files)}
    problems.sort(key=lambda one: (order.get(one.place.file, -1), one.place.line, one.place.column))
    if files and not problems and not any(getattr(book, name) for name in Book.__match_args__[1:]):
        problems.append(mistake("no-entries", Place(files[0].shown, 1, 1, 1)))
    return book, problems


def read_file(file: RuleFile, cache: Cache | None = None) -> tuple[Tree, tuple[Problem, ...]]:
    """Return the syntax tree of one file and its problems of form; from a cache if it is there."""
    if cache is None:
        return read.read(file.shown, file.data)
    key = TREE.key(*parts_of([file]))
    data = cache.get(key)
    if data is not None:
        return tree_from(data)
    found = read.read(file.shown, file.data)
    cache.put(key, tree_to(*found))
    return found


def tree_to(tree: Tree, problems: tuple[Problem, ...]) -> bytes:
    """Return a syntax tree and its problems as JSON."""
    return json.dumps(codec.encode((tree, problems)), separators=(",", ":")).encode()


def tree_from(data: bytes) -> tuple[Tree, tuple[Problem, ...]]:
    """Return the syntax tree and the problems that `tree_to` made JSON of."""
    tree, problems = json.loads(data)
    found: Tree = codec.decode("Tree", tree, vars(trees))
    return found, codec.decode("tuple[Problem, ...]", problems, vars(problem))
