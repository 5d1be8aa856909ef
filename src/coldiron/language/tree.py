"""The syntax tree of a rule file: words with their columns, phrases, statements, blocks.

A phrase is one form of the grammar with the words that fill it, in order; the small words of the form (`to`, `from`,
`in`) are not kept. Nothing in a tree knows its file, and words do not know their line: the same line read twice gives
the same words.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Word:
    """A word, number or text as written; columns count from 1, `end` is just after it."""

    text: str
    column: int
    end: int


@dataclass(frozen=True, slots=True)
class Phrase:
    """One form of the grammar, filled."""

    form: str
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Statement:
    """One line: its keyword, its phrases, and the comment behind it. `depth` is 0 for a block opener."""

    keyword: Word
    phrases: tuple[Phrase, ...]
    line: int
    depth: int
    comment: str = ""

    def find(self, form: str) -> Phrase | None:
        """Return the first phrase of a form."""
        return next((phrase for phrase in self.phrases if phrase.form == form), None)


@dataclass(frozen=True, slots=True)
class Remark:
    """A line that is only a comment, or blank (empty text)."""

    text: str
    line: int
    depth: int


@dataclass(slots=True)
class Block:
    """An opener with the statements below it and the blocks inside it. `damaged`: some line could not be read."""

    opener: Statement
    statements: list[Statement] = field(default_factory=list)
    inner: list[Block] = field(default_factory=list)
    damaged: bool = False

    @property
    def id(self) -> str:
        """The word after the opener; empty if it could not be read."""
        return self.opener.phrases[0].words[0].text if self.opener.phrases else ""


@dataclass(slots=True)
class Tree:
    """One rule file: its lines in order (what the printer prints) and its blocks (what the book is built from).

    `lost` names the openers of blocks whose id could not be read, or holds `everything` if more than that was lost:
    then a word that seems to be declared nowhere may well be declared in what was lost.
    """

    file: str
    lines: list[Statement | Remark]
    blocks: list[Block]
    lost: frozenset[str] = frozenset()


EVERYTHING = "everything"
"""Stands in `Tree.lost` for every opener."""
