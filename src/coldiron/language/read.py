"""Text of one rule file to its syntax tree and its problems, line by line.

A line that cannot be read is a problem and marks its block as damaged; reading goes on with the next line. So one run
finds every mistake of form in a file, and a damaged block raises no complaint about lines it seems to lack.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from coldiron.language import hints, text
from coldiron.language.forms import INNER, OPENERS, lines_of
from coldiron.language.tree import EVERYTHING, Block, Phrase, Remark, Statement, Tree, Word
from coldiron.mistakes import mistake
from coldiron.problem import Problem, nearest
from coldiron.source import Place

MOST_PROBLEMS = 50
"""After so many problems in one file the rest of it is not read: one slip is likely behind them all."""


@dataclass(frozen=True, slots=True)
class Failure:
    """Where and why a line could not be read: columns, kind of problem, what fills its sentence, what could stand."""

    column: int
    end: int
    kind: str
    filling: tuple[tuple[str, str], ...]
    allowed: tuple[str, ...] = ()
    nearest: str = ""


def read(file: str, data: bytes) -> tuple[Tree, tuple[Problem, ...]]:
    """Return the tree of a file and every problem of form in it."""
    content, problems = text.decode(file, data)
    reader = _Reader(file, list(problems), lost={EVERYTHING} if problems else set())
    for number, line in enumerate(text.split(content), 1):
        if len(reader.problems) >= MOST_PROBLEMS:
            reader.problems.append(mistake("too-many", Place(file, number, 1, 1)))
            reader.lost.add(EVERYTHING)
            break
        reader.line(number, line)
    return reader.tree(), tuple(reader.problems)


@dataclass(slots=True)
class _Reader:
    """Walks the lines of one file; `block` and `inner` are the blocks that are open."""

    file: str
    problems: list[Problem]
    lines: list[Statement | Remark] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    block: Block | None = None
    inner: Block | None = None
    context: str = ""
    inner_context: str = ""
    skipping: bool = False
    lost: set[str] = field(default_factory=set)

    def tree(self) -> Tree:
        while self.lines and isinstance(self.lines[-1], Remark) and not self.lines[-1].text:
            self.lines.pop()
        return Tree(self.file, self.lines, self.blocks, frozenset(self.lost))

    def line(self, number: int, line: str) -> None:
        """Read one line into the tree."""
        problem = text.strange(self.file, number, line)
        if problem:
            self.problems.append(problem)
            self._damage()
            if line[:1].strip():
                self.lost.add(EVERYTHING)
            return
        code, comment = split_comment(line)
        if not code:
            depth = 0 if line.startswith("#") else self._depth()
            self.lines.append(Remark(comment, number, depth))
            return
        indented = code[0] in " \t"
        keyword = code.split(None, 1)[0]
        context = self._context(keyword, indented)
        if context is None:
            self._unknown(number, code, keyword, indented)
            return
        self._statement(number, code, comment, context, keyword)

    def _depth(self) -> int:
        return 2 if self.inner_context else 1 if self.context else 0

    def _damage(self) -> None:
        if self.block:
            self.block.damaged = True
        if self.inner:
            self.inner.damaged = True

    def _context(self, keyword: str, indented: bool) -> str | None:  # noqa: FBT001
        """Return the block a keyword belongs to here: "" for an opener, nothing if it belongs to none."""
        if not indented:
            return "" if keyword in OPENERS else None
        if keyword in lines_of(self.inner_context):
            return self.inner_context
        return self.context if keyword in lines_of(self.context) else None

    def _statement(self, number: int, code: str, comment: str, context: str, keyword: str) -> None:
        """Parse a line whose keyword is known and hang it into its block."""
        result = parse_line(context, keyword, code)
        failed = isinstance(result, Failure)
        if isinstance(result, Failure):
            self._report(number, result)
            column = code.index(keyword) + 1
            word, phrases = Word(keyword, column, column + len(keyword)), ()
        else:
            word, phrases = result
        depth = 0 if not context else 1 if context in OPENERS else 2
        statement = Statement(word, phrases, number, depth, comment)
        if not failed:
            self.lines.append(statement)
        if not context:
            if failed:
                self.lost.add(keyword)
            self.block = Block(statement, damaged=failed)
            self.blocks.append(self.block)
            self.skipping = False
            self.inner, self.context, self.inner_context = None, keyword, ""
        elif keyword in INNER and INNER[keyword] == context and self.block:
            self.inner = Block(statement, damaged=failed)
            self.block.inner.append(self.inner)
            self.block.damaged |= failed
            self.inner_context = keyword
        elif failed:
            self._damage()
        elif self.block:
            target = self.inner if self.inner and context == self.inner_context else self.block
            if target is self.block:
                self.inner, self.inner_context = None, ""
            target.statements.append(statement)

    def _report(self, number: int, failure: Failure) -> None:
        place = Place(self.file, number, failure.column, failure.end)
        filling = dict(failure.filling)
        problem = mistake(failure.kind, place, allowed=failure.allowed, nearest=failure.nearest, **filling)
        self.problems.append(problem)

    def _unknown(self, number: int, code: str, keyword: str, indented: bool) -> None:  # noqa: FBT001
        """Report a line whose keyword does not belong here; go on as if the nearest keyword stood there."""
        column = code.index(keyword) + 1
        place = Place(self.file, number, column, column + len(keyword))
        inside = [*lines_of(self.inner_context), *lines_of(self.context)]
        self._damage()
        if not indented and keyword in inside:
            self.problems.append(mistake("not-indented", place, word=keyword, block=self.context))
            return
        if not indented:
            near = nearest(keyword, OPENERS)
            self.problems.append(mistake("unknown-opener", place, word=keyword, allowed=OPENERS, nearest=near))
            self.inner, self.context, self.inner_context = None, near, ""
            self.block = Block(Statement(Word(near, 1, 1), (), number, 0), damaged=True) if near else None
            self.skipping = not near
            self.lost.add(near or EVERYTHING)
            return
        if not self.context:
            if not self.skipping:
                self.problems.append(mistake("outside-block", place, word=keyword, allowed=OPENERS))
            return
        self.problems.append(hints.wrong_keyword(place, keyword, self.context, self.inner_context))


def split_comment(line: str) -> tuple[str, str]:
    """Return a line without its comment, and the comment from its `#`; trailing blanks belong to neither."""
    at = line.find("#")
    while at > 0 and line[at - 1] not in " \t":
        at = line.find("#", at + 1)
    if at < 0:
        return line.rstrip(), ""
    return line[:at].rstrip(), line[at:].rstrip()


@lru_cache(maxsize=20_000)
def parse_line(context: str, keyword: str, code: str) -> tuple[Word, tuple[Phrase, ...]] | Failure:
    """Parse one line by its keyword; the same line gives the same words, so each is parsed once."""
    import pyparsing as pp  # noqa: PLC0415 - 40 ms, and a book from the cache needs none of it

    from coldiron.language import grammar  # noqa: PLC0415

    try:
        found = grammar.statement(context, keyword).parse_string(code, parse_all=True)
    except pp.ParseBaseException as fault:
        return hints.failure(context, keyword, code, fault.loc, fault.msg)
    words = found.as_list()
    return words[0], tuple(words[1:])

