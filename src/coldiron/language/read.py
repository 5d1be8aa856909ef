"""Text of one rule file to its syntax tree and its problems, line by line.

A line that cannot be read is a problem and stays in the tree as broken; reading goes on with the next line. So one run
finds every mistake of form in a file, and a damaged block raises no complaint about lines it seems to lack.
"""

from __future__ import annotations

from functools import lru_cache

from coldiron.book.problem import Problem, nearest
from coldiron.book.source import Place
from coldiron.language import hints, text
from coldiron.language.forms import INNER, OPENERS, lines_of
from coldiron.language.tree import EVERYTHING, Broken, Phrase, Remark, Statement, Token, Tree
from coldiron.mistakes import mistake
from coldiron.record import dataclass, field

MOST_PROBLEMS = 50
"""After so many problems in one file the rest of it is not read: one slip is likely behind them all."""


def read(file: str, data: bytes) -> tuple[Tree, tuple[Problem, ...]]:
    """Return the tree of a file and every problem of form in it."""
    content, problems = text.decode(file, data)
    reader = _FileReader(file, list(problems), lost={EVERYTHING} if problems else set())
    for number, line in enumerate(text.split(content), 1):
        if len(reader.problems) >= MOST_PROBLEMS:
            reader.problems.append(mistake("too-many", Place(file, number, 1, 1)))
            reader.lost.add(EVERYTHING)
            break
        reader.line(number, line)
    return reader.tree(), tuple(reader.problems)


@dataclass(slots=True)
class _FileReader:
    """Walks the lines of one file.

    `context` and `inner` name the blocks that are open; `skipping` after an opener that is not known and like none:
    nothing is said of the lines below it.
    """

    file: str
    problems: list[Problem]
    lines: list[Statement | Remark | Broken] = field(default_factory=list)
    context: str = ""
    inner: str = ""
    skipping: bool = False
    lost: set[str] = field(default_factory=set)

    def tree(self) -> Tree:
        """Return the tree of what was read; blank lines at the end are no part of it."""
        lines = self.lines
        while lines and isinstance(lines[-1], Remark) and not lines[-1].text:
            lines.pop()
        return Tree(self.file, tuple(lines), tuple(sorted(self.lost)))

    def line(self, number: int, line: str) -> None:
        """Read one line into the tree."""
        if problem := text.strange(self.file, number, line):
            self.problems.append(problem)
            if line[:1].strip():
                self.lost.add(EVERYTHING)
            self._broken(number, line)
            return
        code, comment = split_comment(line)
        if not code:
            self.lines.append(Remark(comment, number, 0 if line.startswith("#") else self._depth()))
            return
        indented = code[0] in " \t"
        keyword = code.split(None, 1)[0]
        context = self._home(keyword, indented=indented)
        if context is None:
            self._unknown(number, code, keyword, indented=indented)
        else:
            self._statement(number, code, comment, context, keyword)

    def _depth(self) -> int:
        return 2 if self.inner else 1 if self.context else 0

    def _broken(self, number: int, line: str, keyword: str = "", depth: int | None = None) -> None:
        self.lines.append(Broken(keyword, line, number, max(self._depth(), 1) if depth is None else depth))

    def _home(self, keyword: str, *, indented: bool) -> str | None:
        """Return the block a keyword belongs to here: "" for an opener, nothing if it belongs to none."""
        if not indented:
            return "" if keyword in OPENERS else None
        if keyword in lines_of(self.inner):
            return self.inner
        return self.context if keyword in lines_of(self.context) else None

    def _statement(self, number: int, code: str, comment: str, context: str, keyword: str) -> None:
        """Parse a line whose keyword is known."""
        depth = 0 if not context else 2 if context in INNER else 1
        result = parse_line(context, keyword, code)
        if isinstance(result, hints.Failure):
            self.problems.append(result.at(self.file, number))
            if not context:
                self.lost.add(keyword)
            self._broken(number, code, keyword, depth)
        else:
            self.lines.append(Statement(*result, number, depth, comment))
        if not context:
            self.context, self.inner, self.skipping = keyword, "", False
        elif INNER.get(keyword) == context:
            self.inner = keyword
        elif depth == 1:
            self.inner = ""

    def _unknown(self, number: int, code: str, keyword: str, *, indented: bool) -> None:
        """Report a line whose keyword does not belong here; an opener is then taken for the one it is most like."""
        column = code.index(keyword) + 1
        place = Place(self.file, number, column, column + len(keyword))
        if indented and (self.context or not self.skipping):
            self.problems.append(hints.wrong_keyword(place, keyword, self.context, self.inner))
            self._broken(number, code)
        elif not indented and keyword in (*lines_of(self.inner), *lines_of(self.context)):
            self.problems.append(mistake("not-indented", place, word=keyword, block=self.context))
            self._broken(number, code)
        elif not indented:
            near = nearest(keyword, OPENERS)
            self.problems.append(mistake("unknown-opener", place, word=keyword, allowed=OPENERS, nearest=near))
            self.context, self.inner, self.skipping = near, "", not near
            self.lost.add(near or EVERYTHING)
            self._broken(number, code, near, 0)


def split_comment(line: str) -> tuple[str, str]:
    """Return a line without its comment, and the comment from its `#`; trailing blanks belong to neither."""
    at = line.find("#")
    while at > 0 and line[at - 1] not in " \t":
        at = line.find("#", at + 1)
    if at < 0:
        return line.rstrip(), ""
    return line[:at].rstrip(), line[at:].rstrip()


@lru_cache(maxsize=20_000)
def parse_line(context: str, keyword: str, code: str) -> tuple[Token, tuple[Phrase, ...]] | hints.Failure:
    """Parse one line by its keyword; the same line gives the same words, so each is parsed once."""
    from coldiron.language import grammar  # noqa: PLC0415 - pyparsing takes 40 ms, and files read before need none

    try:
        found = grammar.statement(context, keyword).parse_string(code, parse_all=True)
    except grammar.NotSaid as fault:
        return hints.failure(context, keyword, code, fault.loc, fault.msg)
    words = found.as_list()
    return words[0], tuple(words[1:])
