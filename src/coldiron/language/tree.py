"""The syntax tree of a rule file: words with their columns, phrases, statements, blocks.

A phrase is one form of the grammar with the words that fill it, in order; the small words of the form (`to`, `from`,
`in`) are not kept. Words do not know their line: the same line read twice gives the same words.
"""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.language.forms import INNER
from coldiron.record import dataclass, field


@dataclass(frozen=True, slots=True)
class Token:
    """A word, number or text as written; columns count from 1, `end` is just after it."""

    text: str
    column: int
    end: int


@dataclass(frozen=True, slots=True)
class Phrase:
    """One form of the grammar, filled."""

    form: str
    words: tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Statement:
    """One line: its keyword, its phrases, and the comment behind it. `depth` is 0 for a block opener."""

    keyword: Token
    phrases: tuple[Phrase, ...]
    line: int
    depth: int
    comment: str = ""

    def find(self, form: str) -> Phrase | None:
        """Return the first phrase of a form."""
        for phrase in self.phrases:
            if phrase.form == form:
                return phrase
        return None


@dataclass(frozen=True, slots=True)
class Remark:
    """A line that is only a comment, or blank (empty text)."""

    text: str
    line: int
    depth: int


@dataclass(frozen=True, slots=True)
class Broken:
    """A line that could not be read: its text, and the keyword it was taken for (empty if for none)."""

    keyword: str
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


EVERYTHING = "everything"
"""Stands in `Tree.lost` for every opener."""


@dataclass(frozen=True, slots=True)
class Tree:
    """One rule file, line by line.

    `lost` names the openers of blocks whose id could not be read, or holds `EVERYTHING` if more than that was lost:
    then a word that seems to be declared nowhere may well be declared in what was lost.
    """

    file: str
    lines: tuple[Statement | Remark | Broken, ...]
    lost: tuple[str, ...] = ()


def blocks(lines: Iterable[Statement | Remark | Broken]) -> list[Block]:
    """Group lines into blocks; a broken line damages the blocks it stands in."""
    found: list[Block] = []
    for line in lines:
        if isinstance(line, Remark):
            continue
        keyword = line.keyword.text if isinstance(line, Statement) else line.keyword
        statement = line if isinstance(line, Statement) else None
        if line.depth == 0:
            opener = statement or Statement(Token(keyword, 1, 1 + len(keyword)), (), line.line, 0)
            found.append(Block(opener, damaged=statement is None))
        elif found:
            _add(found[-1], line, keyword, statement)
    return [block for block in found if block.opener.keyword.text]


def _add(block: Block, line: Statement | Broken, keyword: str, statement: Statement | None) -> None:
    """Hang one line below an opener."""
    block.damaged |= statement is None
    if INNER.get(keyword) == block.opener.keyword.text and line.depth == 1:
        opener = statement or Statement(Token(keyword, 1, 1 + len(keyword)), (), line.line, 1)
        block.inner.append(Block(opener, damaged=statement is None))
    elif statement is None:
        if line.depth == 2 and block.inner:
            block.inner[-1].damaged = True
    elif line.depth == 2 and block.inner:
        block.inner[-1].statements.append(statement)
    else:
        block.statements.append(statement)
