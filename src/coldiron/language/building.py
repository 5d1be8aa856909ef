"""A book built anew from its files: each read, or taken from the cache as it was read before, then all together.

A file of the shop's own layer that has an error is set aside, so that one slip does not stop the work of a day; but
never one that may hold a caution: what it warned of would go unsaid.

This is what needs the parser and the validator.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence

from coldiron.book import problem
from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.language import codec, read
from coldiron.language import tree as trees
from coldiron.language.build.book import build
from coldiron.language.files import OWN, RuleFile, parts_of
from coldiron.language.forms import lines_of
from coldiron.language.tree import EVERYTHING, Block, Tree, blocks
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


def set_aside(files: Sequence[RuleFile], wrong: Sequence[Problem], cache: Cache | None = None) -> tuple[str, ...]:
    """Return the names of the files that can be left out of a book, so that the rest of it can be worked with.

    None, if any error is of a file of the lower book, or of one that may hold a caution.

    Args:
        files: of the book.
        wrong: every error that was found in them.
        cache: where what was read before is taken from.
    """
    known = {file.shown: file for file in files}
    named = tuple(dict.fromkeys(one.place.file for one in wrong))
    for name in named:
        file = known.get(name)
        if (
            file is None
            or not (file.name == name and name.startswith(f"{OWN}/"))
            or _may_warn(read_file(file, cache)[0])
        ):
            return ()
    return named


def _may_warn(tree: Tree) -> bool:
    """Whether a caution may be lost with a file: it holds one, or that cannot be seen because of what is damaged."""
    lost = {EVERYTHING, *_WARNS} & {*tree.lost}
    if lost or any(isinstance(line, trees.Broken) and _astray(line) for line in tree.lines):
        return True
    return any(_WARNS.get(block.opener.keyword.text, _never)(block) for block in blocks(tree.lines))


def _astray(line: trees.Broken) -> bool:
    """Whether a line that could not be read may have begun a block that warns, or have stood in one."""
    return line.depth == 0 or (not line.keyword and not _LINES.isdisjoint(line.text.split()[:1]))


def _never(_: Block) -> bool:
    return False


def _always(_: Block) -> bool:
    return True


def _asks_and_warns(block: Block) -> bool:
    """Whether a question warns at an answer, or has a line that may have said so."""
    lines = [*block.statements, *(line for inner in block.inner for line in inner.statements)]
    return block.damaged or any(line.keyword.text == "warns" for line in lines)


def _does_more_than_weigh(block: Block) -> bool:
    """Whether a rule does anything but move odds and the order of checks, or has a line that may have said so."""
    forms = {phrase.form for line in block.statements if line.keyword.text == "then" for phrase in line.phrases}
    return block.damaged or not forms or not forms <= _WEIGHING


_WARNS: dict[str, Callable[[Block], bool]] = {
    **dict.fromkeys(("caution", "action", "danger", "duty", "setting"), _always),
    "question": _asks_and_warns,
    "rule": _does_more_than_weigh,
}
"""By opener, whether a block warns of more than its own step: a check or repair left out takes its cautions along."""

_LINES = {keyword for opener in (*_WARNS, "answer") for keyword in lines_of(opener)}
"""What the lines of such blocks begin with."""

_WEIGHING = {"likelier", "rarer", "ask", "allow"}

_SWALLOWED = re.compile(
    rb"(?:caution|action|danger|duty)[ \t]+[a-z]|then[ \t]+(?:warn|forbid|leave|avoid|require|advise|count|conclude)"
)
"""Such words anywhere: one slip may have joined a block to the text before it, or made its first line a remark."""


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
