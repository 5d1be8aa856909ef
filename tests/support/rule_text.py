"""Rule text in tests: a small sound book to stand on, examples with their mistake marked, books loaded from text."""

from __future__ import annotations

from pathlib import Path

from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.book.source import Place
from coldiron.language.build.book import build
from coldiron.language.read import read
from coldiron.language.tree import Tree

GROUND = Path(__file__).with_name("ground.rules")


def load_texts(*texts: str | bytes) -> tuple[Book, tuple[Problem, ...]]:
    """Return the book of some texts, named `text_1.rules` and so on, and its problems."""
    trees: list[Tree] = []
    problems: list[Problem] = []
    for number, text in enumerate(texts, 1):
        data = text.encode("utf-8", "surrogateescape") if isinstance(text, str) else text
        tree, found = read(f"text_{number}.rules", data)
        trees.append(tree)
        problems += found
    book, found = build(trees, "")
    return book, (*problems, *found)


def on_ground(text: str | bytes) -> tuple[Book, tuple[Problem, ...]]:
    """Return the book of the ground text and, as `text_2.rules`, another."""
    return load_texts(GROUND.read_bytes(), text)


def unmark(example: str, file: str) -> tuple[str, Place]:
    """Return an example without its guillemets, and the place between them."""
    before, _, rest = example.partition("«")
    marked, _, after = rest.partition("»")
    line = before.count("\n") + 1
    column = len(before.rpartition("\n")[2]) + 1
    return before + marked + after, Place(file, line, column, column + len(marked))
