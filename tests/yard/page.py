"""A page read as a person reads it: what is asked, what to set first, what stands off, what warns, what to type."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

LABELS = (
    "Where and how|Check it worked|Set first|Good|If it is not that|Fitted|Why now|To be put back|Not known|Because"
    "|Still possible|Possible damage|Remember|A controller says|Shown|Open|Fails|Fixed|Minutes by the book"
    "|Noted on an earlier job|Not known how it stands"
)
LABEL = re.compile(rf"({LABELS}): (.*)")
WARNING = re.compile(r"(?:! )?(DANGER|WARNING|CAUTION|NOTICE): (.*)")
CHOICE = re.compile(r"  +(\w+)  (.*)")
SHARE = re.compile(r"  +<?(\d+) %  (.*)")
HEADING = re.compile(
    r"(?:Stage \d of 6: [^.]*\. )?"
    r"(Answer|Do now|Set|Fix it|Check it worked|Show it works|Hand back|Do this right now)(?:,.*| \(.*\))?$"
)
BEFORE = re.compile(r"(?:Stage \d of 6: [^.]*\. )?(?:Once more, before|Before) you go on: (.*)")
MOVE = re.compile(r"(?:Set first|Put back): (.+?) to '([^']+)'")
ENDS = re.compile(r"(Handed back|Out of service: .*|This tool can go no further)$")
TYPE = re.compile(r"Seen (?:all of )?it with your own eyes\? Type '([^']+)'")
STARTS = re.compile(r"Likely causes:$|Most likely cause$|Saved \(|For several, |You can also type OL|Parked\.")


@dataclass(frozen=True)
class Warned:
    """One warning: its signal word, and all that it says."""

    word: str
    text: str


@dataclass
class Page:
    """What a person takes from a page.

    `kind` is the heading in one word: tell, do, set, repair, prove, now, before, end, nothing. `step` is what is asked;
    `first` is what to set first and `standing` what is still to be put back, as (what, value), `unsaid` that of which
    nobody has said how it stands.
    """

    lines: tuple[str, ...]
    kind: str = "nothing"
    step: str = ""
    said: dict[str, str] = field(default_factory=dict)
    warned: list[Warned] = field(default_factory=list)
    choices: list[tuple[str, str]] = field(default_factory=list)
    suspects: list[str] = field(default_factory=list)
    word: str = ""
    prompt: str = ""

    @property
    def words(self) -> str:
        """What is to be done: the step, and where and how."""
        how = self.said.get("Where and how", "")
        return f"{self.step} {how}".strip()

    @property
    def first(self) -> list[tuple[str, str]]:
        """What is to be set first."""
        if move := MOVE.match(self.step):
            return [(move[1], move[2])]
        found = (part.rpartition(": ") for part in self.said.get("Set first", "").split("; "))
        return [(name, value.strip(".")) for name, _, value in found if name]

    @property
    def standing(self) -> list[tuple[str, str]]:
        """What the page says is still to be put back."""
        found = re.findall(r"([^;]+?) \(([^()]*)\)(?:; |$)", self.said.get("To be put back", ""))
        return [(name.strip(), value) for name, value in found]

    @property
    def unsaid(self) -> list[str]:
        """What the page says nobody has told."""
        return self.said.get("Not known how it stands", "").split("; ")


KINDS = {
    "Answer": "tell",
    "Do now": "do",
    "Set": "set",
    "Fix it": "repair",
    "Check it worked": "prove",
    "Show it works": "prove",
    "Hand back": "prove",
    "Do this right now": "now",
}


def read(lines: Iterable[str]) -> Page:
    """A page from its lines."""
    all_lines = tuple(lines)
    page = Page(all_lines)
    if all_lines and all_lines[-1].endswith(" >"):
        page.prompt = all_lines[-1].removesuffix(" >")
        all_lines = all_lines[:-1]
    in_step = False
    for item in _items(all_lines):
        in_step = _take(page, item, in_step=in_step)
    return page


def _take(page: Page, item: str, *, in_step: bool) -> bool:
    """Write down one item of a page; whether what follows without a label belongs to the step."""
    if (found := HEADING.match(item)) and not page.step:
        page.kind = KINDS[found[1]]
        return True
    if in_step and MOVE.match(item):
        page.step = item
    elif found := BEFORE.match(item):
        page.kind, page.step = "before", found[1]
    elif found := ENDS.match(item):
        page.kind, page.step = "end", found[1]
    elif not _note(page, item) and in_step:
        page.step = f"{page.step} {item}".strip()
        return True
    return False


def _note(page: Page, item: str) -> bool:
    """Write down one item with a mark of its own: a warning, a label, a suspect, a choice, the word to type."""
    if found := WARNING.match(item):
        page.warned.append(Warned(found[1], found[2]))
    elif found := LABEL.match(item):
        page.said[found[1]] = found[2]
    elif found := SHARE.match(item):
        page.suspects.append(found[2])
    elif found := CHOICE.match(item):
        page.choices.append((found[1], found[2]))
    elif found := TYPE.match(item):
        page.word = found[1]
    return found is not None


def _items(lines: tuple[str, ...]) -> list[str]:
    """The paragraphs of a page, each on one line."""
    items: list[str] = []
    fresh = True
    for line in lines[1:]:
        if not line.strip():
            fresh = True
            continue
        if fresh or _opens(line) or (items and HEADING.match(items[-1])):
            items.append(line)
        else:
            items[-1] = f"{items[-1]} {line.strip()}"
        fresh = False
    return items


def _opens(line: str) -> bool:
    starts = (LABEL, WARNING, SHARE, HEADING, BEFORE, ENDS, TYPE, STARTS)
    if any(pattern.match(line) for pattern in starts):
        return True
    return bool(CHOICE.match(line)) and len(line) - len(line.lstrip()) <= 4
