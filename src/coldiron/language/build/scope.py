"""What every builder works with: the declared words, the lines of one block, and where to put problems."""

from __future__ import annotations

from collections.abc import Iterable

from coldiron.book.problem import Problem, nearest
from coldiron.book.source import Place
from coldiron.language.declared import Declared, place_of
from coldiron.language.forms import lines_of
from coldiron.language.tree import Block, Phrase, Statement, Token
from coldiron.mistakes import filled, mistake
from coldiron.phrases import listed
from coldiron.record import dataclass, field

LARGEST = 1e9
"""No figure of the trade in these units is larger; the upper bound of an open circuit's ohms is."""

MOST_DIGITS = 40
"""Characters of a figure that are read: twice what a number of the machine can hold, far from what makes it slow."""


@dataclass(slots=True)
class Scope:
    """The declared words and the problems found so far."""

    declared: Declared
    problems: list[Problem] = field(default_factory=list)

    def unknown(self, what: str, word: str, place: Place, words: Iterable[str]) -> None:
        """Report a word that is not declared, with the nearest that is."""
        allowed = tuple(words)
        self.problems.append(
            mistake("unknown-word", place, what=what, word=word, allowed=allowed, nearest=nearest(word, allowed))
        )


@dataclass(slots=True)
class Lines:
    """The lines of one block by keyword, with what it takes to read them."""

    scope: Scope
    file: str
    block: Block
    found: dict[str, list[Statement]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Sort the lines by keyword; report what is missing or stands twice."""
        for line in self.block.statements:
            self.found.setdefault(line.keyword.text, []).append(line)
        for inner in self.block.inner:
            self.found.setdefault(inner.opener.keyword.text, [])
        opener = self.block.opener
        for keyword, rule in lines_of(opener.keyword.text).items():
            lines = self.found.get(keyword)
            if lines is None and rule.needed and not self.block.damaged:
                word = opener.phrases[0].words[0] if opener.phrases else None
                self.report("missing-line", opener, word, block=opener.keyword.text, keyword=keyword)
            if lines and len(lines) > 1 and rule.once:
                first = (("the first", self.at(lines[0])),)
                self.report("repeated-line", lines[1], block=opener.keyword.text, keyword=keyword, related=first)

    @property
    def declared(self) -> Declared:
        """What the files declare."""
        return self.scope.declared

    def at(self, line: Statement, word: Token | None = None) -> Place:
        """Return the place of a word or of a line's keyword."""
        return place_of(self.file, line, word)

    @property
    def place(self) -> Place:
        """Return the place of the block's id."""
        opener = self.block.opener
        return self.at(opener, opener.phrases[0].words[0] if opener.phrases else None)

    def report(
        self,
        kind: str,
        line: Statement,
        at: Token | None = None,
        /,
        *,
        allowed: tuple[str, ...] = (),
        related: tuple[tuple[str, Place], ...] = (),
        **filling: object,
    ) -> None:
        """Add a problem at a word of a line."""
        near = nearest(at.text, allowed) if at and allowed else ""
        problem = filled(kind, self.at(line, at), filling, allowed=allowed, nearest=near, related=related)
        self.scope.problems.append(problem)

    def lines(self, keyword: str) -> list[Statement]:
        """Return the lines with a keyword, in order."""
        return self.found.get(keyword, [])

    def line(self, keyword: str) -> Statement | None:
        """Return the first line with a keyword."""
        lines = self.lines(keyword)
        return lines[0] if lines else None

    def text(self, keyword: str) -> str:
        """Return the text of the lines with a keyword, joined with blanks."""
        return " ".join(line.phrases[0].words[0].text for line in self.lines(keyword))

    def phrases(self, keyword: str) -> tuple[str, ...]:
        """Return the phrases of all lines with a keyword, which have commas between them."""
        return tuple(phrase for line in self.lines(keyword) for phrase in listed(line.phrases[0].words[0].text))

    def word(self, keyword: str) -> str:
        """Return the one word behind a keyword, or nothing."""
        line = self.line(keyword)
        return line.phrases[0].words[0].text if line else ""

    def known(self, keyword: str, space: str) -> str:
        """Return the one word behind a keyword, which must be a declared id."""
        line = self.line(keyword)
        return self.check_id(space, line, line.phrases[0].words[0]) if line else ""

    def check_id(self, space: str, line: Statement, word: Token) -> str:
        """Return a word that must be a declared id."""
        if not self.declared.has(space, word.text):
            self.scope.unknown(space, word.text, self.at(line, word), self.declared.of(space))
        return word.text

    def listed(self, keyword: str, space: str = "") -> tuple[str, ...]:
        """Return the words of all lines with a keyword; with `space`, each must be a declared id of it."""
        words: dict[str, Token] = {}
        for line in self.lines(keyword):
            for word in line.phrases[0].words:
                if space:
                    self.check_id(space, line, word)
                if word.text in words:
                    self.report("listed-twice", line, word, word=word.text)
                words[word.text] = word
        return tuple(words)

    def number(self, line: Statement, word: Token, low: float, high: float, what: str) -> float:
        """Return a number, which must lie within bounds."""
        number = float(word.text) if len(word.text) <= MOST_DIGITS else LARGEST * 10.0
        if not low <= number <= high:
            value = word.text if len(word.text) <= MOST_DIGITS else f"{word.text[:MOST_DIGITS]}..."
            self.report("out-of-range", line, word, what=what, low=f"{low:g}", high=f"{high:g}", value=value)
            return low
        return number

    def chance(self, line: Statement, phrase: Phrase | None, *, none: bool = False) -> float:
        """Return a chance written `N in M`; above 0 (with `none`, from 0), at most 1."""
        if phrase is None:
            return 0.0
        part = self.number(line, phrase.words[0], 0, LARGEST, "a chance")
        whole = self.number(line, phrase.words[1], 1, LARGEST, "the whole of a chance")
        if not (0 < part <= whole or (none and part == 0)):
            self.report("bad-chance", line, phrase.words[0], part=phrase.words[0].text, whole=phrase.words[1].text)
            return 0.5
        return part / whole

    def minutes(self, keyword: str = "takes") -> float:
        """Return the minutes of a `takes` line; 0 without one."""
        line = self.line(keyword)
        return self.number(line, line.phrases[0].words[0], 0, 10_000, "minutes") if line else 0.0

    def units(self, line: Statement, words: Iterable[Token], unit: str, what: str) -> tuple[Token, ...]:
        """Return the numbers among the words; a unit among them must be `unit` (`ohm` and `ohms` are the same)."""
        numbers = []
        for word in words:
            if word.text[0] in "-0123456789":
                numbers.append(word)
            elif word.text.removesuffix("s") != unit.removesuffix("s"):
                self.report("other-unit", line, word, what=what, found=word.text, unit=unit or "a number alone")
        return tuple(numbers)

    def sizes(self, line: Statement, unit: str, what: str, low: float, high: float) -> tuple[float, float]:
        """Return the mildest and the most severe size of a range phrase; one number is both."""
        phrase = next(phrase for phrase in line.phrases if phrase.form.startswith("range"))
        words = self.units(line, phrase.words, unit, what)
        found = [self.number(line, word, low, high, what) for word in words]
        turned = found and {"adds": found[0] > found[-1], "leaks": found[0] < found[-1]}.get(line.keyword.text)
        if turned:
            self.report("turned-size", line, words[0], what=what, mild=words[1].text, severe=words[0].text)
        return (found[0], found[-1]) if found else (low, low)
