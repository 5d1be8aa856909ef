"""Syntax trees to rule text. Printing, reading and printing again gives the same text, comments kept.

Words line up behind the longest keyword of their block; an inner block is indented once more; of several blank lines
one stays; a line that could not be read stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldiron.language.forms import INNER
from coldiron.language.tree import Broken, Phrase, Remark, Statement, Tree

_LABELS = {
    "acts": "acts as",
    "comes": "comes and goes",
    "renews": "renews the part",
    "if": "if fitted",
    "keeps": "keeps out of service",
    "told": "told by",
    "lifted": "lifted by",
}

_BARE = frozenset(
    ("text", "word", "number", "value", "state", "odds", "finding", "given", "step", "reads"),
)
"""Forms that are only their words."""

_HEADED = {"has": "{0} {1}", "needs": "{0} from {1}"}
"""Forms of one word and a list."""

_LISTED = {"list": "", "replacing": "replacing ", "about": "about "}

_PATTERNS = {
    "minutes": "{0} minutes",
    "chance": "{0} in {1}",
    "in": "{0} in {1}",
    "is": "{0} is {1}",
    "from": "from {0} to {1}",
    "joining": "{0} to {1}",
    "leaks": "{0} to {1}",
    "times": "{0} times {1}",
    "springs": "{0} to {1}",
    "shift": "shift {0} times {1}",
    "prefer": "prefer {0} times {1}",
    "require": "require {0} before {1}",
    "find": "find {0} on {1}",
    "taken": "{0} taken",
    "history not known": "history {0} not known",
    "above check": "{0} above {1}",
    "below check": "{0} below {1}",
    "reading": "reads {0}",
    "reads at": "{0} at {1} to {2}",
    "reads through": "{0} through {1}",
    "reads of": "{0} of {1}",
    "on": "on {0} V",
}
"""Forms with small words between; every other form is its own name and its words."""


def phrase_text(phrase: Phrase) -> str:
    """Return one phrase as it is written."""
    form, words = phrase.form, [word.text for word in phrase.words]
    if form in _PATTERNS:
        return _PATTERNS[form].format(*(" ".join(word.split()) for word in words))
    if form in _LISTED:
        return _LISTED[form] + ", ".join(" ".join(word.split()) for word in words)
    if form in _BARE:
        return " ".join(words)
    if form.startswith("range"):
        return " ".join([*form.split()[1:], _figures(words)])
    if form in _HEADED:
        return _HEADED[form].format(words[0], ", ".join(words[1:]))
    if form == "hours":
        return f"{_figures(words)} hours"
    if form == "band":
        return f"from {_figures(words)}"
    if form == "closed when":
        return f"closed when {words[0]} {' or '.join(words[1:])}"
    if form in ("above number", "below number"):
        return " ".join([words[0], form.split()[0], *words[1:]])
    return " ".join([form, *words])


def _figures(words: Sequence[str]) -> str:
    """Numbers with their units, `to` before the second number."""
    shown: list[str] = []
    for word in words:
        if shown and word[0] in "-0123456789":
            shown.append("to")
        shown.append(word)
    return " ".join(shown)


def rest_text(statement: Statement) -> str:
    """Return what stands behind the keyword of a statement."""
    texts = [phrase_text(phrase) for phrase in statement.phrases]
    keyword = statement.keyword.text
    if keyword in ("state", "bars", "before") or _marks(statement):
        return ", ".join(texts)
    if keyword == "stands":
        return " or ".join(texts)
    if keyword != "part":
        return " ".join(texts)
    head, first, *rest = texts
    lead = "joining " if statement.phrases[1].form == "joining" else ""
    return ", ".join([f"{head} {lead}{first}", *rest])


def _marks(statement: Statement) -> bool:
    """Whether a statement is a list of marks of an action."""
    marks = ("setting", "reading", "area", "kit", "point", "renews", "repair", "check", "function", "answer")
    return statement.keyword.text == "when" and len(statement.phrases) > 1 and statement.phrases[0].form in marks


def print_tree(tree: Tree) -> str:
    """Return a syntax tree as rule text."""
    return print_lines(tree.lines)


def print_lines(lines: Iterable[Statement | Remark | Broken]) -> str:
    """Return lines of a syntax tree as rule text; each block lines up its words."""
    shown: list[str] = []
    group: list[Statement | Remark | Broken] = []
    for line in lines:
        if _opens(line) and group:
            shown += _group(group)
            group = []
        group.append(line)
    shown += _group(group)
    kept = [text for at, text in enumerate(shown) if text or (at and shown[at - 1])]
    return "\n".join(kept) + "\n" if kept else ""


def _opens(line: Statement | Remark | Broken) -> bool:
    """Whether a line opens a block, inner or not."""
    return isinstance(line, Statement) and (line.depth == 0 or (line.keyword.text in INNER and line.depth == 1))


def _label(line: Statement) -> str:
    return _LABELS.get(line.keyword.text, line.keyword.text)


def _group(lines: Sequence[Statement | Remark | Broken]) -> list[str]:
    """Return the lines of one block as text."""
    widths: dict[int, int] = {}
    for line in lines:
        if isinstance(line, Statement) and not _opens(line):
            widths[line.depth] = max(widths.get(line.depth, 0), len(_label(line)))
    return [_line(line, widths) for line in lines]


def _line(line: Statement | Remark | Broken, widths: dict[int, int]) -> str:
    indent = "  " * line.depth
    if isinstance(line, Broken):
        return line.text
    if isinstance(line, Remark):
        return indent + line.text if line.text else ""
    width = 0 if _opens(line) else widths[line.depth]
    text = f"{indent}{_label(line):<{width}} {rest_text(line)}".rstrip()
    return f"{text}  {line.comment}" if line.comment else text
