"""The reference tables and the grammar in the manual, made from the table of forms.

`python -m coldiron.language.manual PAGE` writes them into a page, each between its marks: `<!-- forms: setting kit -->`
and `<!-- end -->`. What stands between such marks is never edited by hand.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from textwrap import wrap

from coldiron.book.acts import ACTS
from coldiron.language import forms, notation
from coldiron.language.forms import BLOCKS, FORMS, BlockForm
from coldiron.language.notation import Choice, Kept, Leaf, Many, Maybe, Named, Node, OneOf, Row, Slot, Small
from coldiron.language.sorts import SORTS
from coldiron.mistakes.manual import table as mistakes

MARKED = re.compile(r"<!-- forms: ([A-Za-z ]+) -->\n(.*?)<!-- end -->\n", re.DOTALL)
"""A place for tables: their names, and what stands there."""

WIDTH = 118
"""Columns of a line of the grammar; the page has 120."""


def written(page: str) -> str:
    """Return a page with every table made afresh."""
    return MARKED.sub(lambda place: f"<!-- forms: {place[1]} -->\n{_tables(place[1].split())}<!-- end -->\n", page)


def _tables(names: Iterable[str]) -> str:
    return "\n".join(f"{_table(name)}\n" for name in names)


def _table(name: str) -> str:
    """Return one table by its name: a block, a form, or one of the few that are neither."""
    if name in FORMS:
        return _form_table(name)
    others = {"sorts": _sorts, "acts": _acts, "grammar": _grammar, "mistakes": mistakes}
    return others[name]() if name in others else _block_table(next(block for block in BLOCKS if block.opener == name))


def _rows(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    cells = [[cell.replace("|", "\\|") for cell in row] for row in (head, *rows)]
    lines = [f"| {' | '.join(row)} |" for row in cells]
    return "\n".join([lines[0], "|---" * len(cells[0]) + "|", *lines[1:]])


def _block_table(block: BlockForm) -> str:
    """Return the lines of a block, each with what it means and how many there are of it."""
    home = f" of a `{block.inside}`" if block.inside else ""
    rows = (
        (_code(line.keyword, line.pattern), line.means, line.count, f"`{line.example}`" if line.example else "")
        for line in block.lines
    )
    article = "An" if block.opener[0] in "ao" else "A"
    title = f"{article} `{block.opener}`{home} is {block.means}."
    return f"{title}\n\n{_rows(('line', 'meaning', 'how many', 'such as'), rows)}"


def _form_table(name: str) -> str:
    rows = ((_code("", option.pattern), option.means) for option in FORMS[name].options)
    return _rows((f"`{name}`", "meaning"), rows)


def _sorts() -> str:
    """Return what the words in capitals stand for: sorts of words, and forms that are one thing only."""
    rows = [(f"`{name}`", sort.means) for name, sort in SORTS.items()]
    rows += [
        (f"`{name}`", _code("", form.options[0].pattern)) for name, form in FORMS.items() if len(form.options) == 1
    ]
    return _rows(("in the tables", "stands for"), rows)


def _acts() -> str:
    """Return the ways in which a part acts: its ends and its values."""
    rows = []
    for name, act in ACTS.items():
        values = [f"{value} {unit}".strip() for value, unit in act.values.items()]
        values += [f"if wanted {value} {unit}".strip() for value, unit in act.optional.items()]
        rows.append(
            (f"`{name}`", ", ".join(act.ends) or "two, named by the kind", ", ".join(values), ", ".join(act.portions))
        )
    return _rows(("acts as", "ends", "values", "portions"), rows)


def _code(keyword: str, pattern: str) -> str:
    """Return a notation as a person reads it."""
    text = " ".join((keyword, *_words(notation.read(pattern, FORMS), plain=True))).strip()
    for sign in (" ,", " ]", " }"):
        text = text.replace(sign, sign[1])
    return f"`{text.replace('[ ', '[').replace('{ ', '{')}`"


def _words(node: Node, *, plain: bool) -> Iterator[str]:
    """Yield the words of a node: plain as in the tables, otherwise as BNF."""
    match node:
        case Small() | Slot() | OneOf() as leaf:
            yield _leaf(leaf, plain=plain)
        case Kept(part=part):
            yield from _words(part, plain=plain)
        case Named(name=name):
            yield name if plain else name.lower()
        case Maybe(part=part):
            yield from ("[", *_words(part, plain=plain), "]")
        case Many(part=part):
            yield from ("{", *_words(part, plain=plain), "}")
        case Choice(options=options):
            yield " | ".join(" ".join(_words(option, plain=plain)) for option in options)
        case Row(parts=parts):
            for part in parts:
                yield from _words(part, plain=plain)


def _leaf(leaf: Leaf, *, plain: bool) -> str:
    match leaf:
        case Small(text=text):
            return text if plain else " ".join(f'"{word}"' for word in text.split())
        case OneOf(words=words) if plain:
            return "/".join(words)
        case OneOf(words=words):
            shown = " | ".join(f'"{word}"' for word in words)
            return f"( {shown} )" if len(words) > 1 else shown
        case Slot(sort=sort, role=role) if plain:
            return role if sort == "UNIT" and role else (role or sort).upper()
    return leaf.sort.lower()


def _grammar() -> str:
    """Return the whole language as BNF."""
    rules = {
        "book": "{ [ statement ] [ comment ] newline }",
        "statement": "opener | line          ; an opener stands at column 1, a line is indented",
        "comment": '"#" { any }             ; at the start of a line or after a blank',
        "opener": " | ".join(_line("", opener) for opener in forms.OPENERS),
        "line": " | ".join(f"{block.opener}_line" for block in BLOCKS),
    }
    for block in BLOCKS:
        rules[f"{block.opener}_line"] = " | ".join(_line(block.opener, line.keyword) for line in block.lines)
    for name, form in FORMS.items():
        node = notation.node_of(form, FORMS)
        options = node.options if isinstance(node, Choice) else (node,)
        rules[name.lower()] = " | ".join(" ".join(_words(option, plain=False)) for option in options)
    rules |= {name.lower(): sort.bnf for name, sort in SORTS.items()}
    width = max(map(len, rules))
    lines = [line for name, right in rules.items() for line in _rule(name, right, width)]
    return "\n".join(["```text", *lines, "```"])


def _line(context: str, keyword: str) -> str:
    return " ".join((f'"{keyword}"', *_words(forms.node(context, keyword), plain=False)))


def _rule(name: str, right: str, width: int) -> list[str]:
    indent = " " * (width + 3)
    return wrap(right, WIDTH, initial_indent=f"{name:<{width}} = ", subsequent_indent=indent, break_long_words=False)


def main(page: str) -> None:
    """Write the tables into a page."""
    path = Path(page)
    path.write_text(written(path.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
