"""The sorts of words that fill a form: what each looks like, what a mistake calls it, and what it means."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.record import dataclass

SMALL_WORDS: tuple[str, ...] = (
    *("any", "at", "by", "from", "is", "not", "of", "or", "and", "to", "through", "times", "with", "when", "then"),
)
"""Words of the language that stand between others, so that no id can be read in their place."""

RESERVED: tuple[str, ...] = (
    *SMALL_WORDS,
    *("odd", "taken", "above", "below", "part", "before", "after", "once", "day", "next"),
)
"""Words of the language that no entry may have as its id."""

UNITS = ("V", "A", "ohms", "minutes", "mm2", "m")

_ID = r"[a-z][a-z0-9_]*"
_VARIABLE = r"[A-Z][A-Z0-9_]*"
_ANY = rf"(?:{_ID}|{_VARIABLE})"
_END = r"(?![A-Za-z0-9_.-])"
_NOT_SMALL = rf"(?!(?:{'|'.join(SMALL_WORDS)})(?![a-z0-9_]))"


@dataclass(frozen=True, slots=True)
class Sort:
    """A sort of words: the name a mistake calls it by, its pattern, the same as BNF, and what it is, for the manual.

    A word of it that stands alone is a phrase named `form`.
    """

    says: str
    pattern: str
    bnf: str
    means: str
    form: str = "word"


_ID_BNF = 'letter { letter | digit | "_" }'

SORTS: Mapping[str, Sort] = {
    "ID": Sort("an id", _NOT_SMALL + _ID + _END, _ID_BNF, "small letters, digits and `_`, a letter first"),
    "FINDING": Sort("a finding", _NOT_SMALL + _ID + _END, "id", "the id of a finding of that check, or `odd`"),
    "ANSWER": Sort("an answer", _NOT_SMALL + _ID + _END, "id", "the id of an answer to that question"),
    "VALUE": Sort(
        "a value",
        r"[a-z0-9][a-z0-9_]*(?![A-Za-z0-9_])",
        '( letter | digit ) { letter | digit | "_" }',
        "small letters, digits and `_`",
    ),
    "VARIABLE": Sort(
        "a letter for the part, such as W",
        _VARIABLE + r"(?![A-Za-z0-9_])",
        'capital { capital | digit | "_" }',
        "capital letters, such as `W`",
    ),
    "PART": Sort("a part", _ANY + _END, "id | variable", "the id of a part, or the letter of a `for` line"),
    "POINT": Sort("a point", rf"{_ANY}(?:\.{_ID})?{_END}", 'part [ "." id ]', "the id of a point, or `part.end`"),
    "CHECK": Sort(
        "a check",
        rf"{_NOT_SMALL}{_ID}(?:\.{_ANY})?{_END}",
        'id [ "." part ]',
        "the id of a check, or `check.part` of one with `each`",
    ),
    "FAULTS": Sort(
        "a fault: part.fault, a part, or any kind.fault",
        rf"any[ \t]+{_ID}(?:\.{_ID})?{_END}|(?!any(?![a-z0-9_])){_ANY}(?:\.{_ID})?{_END}",
        '"any" id [ "." id ] | part [ "." id ]',
        "`part.fault`, `part` for all its faults, `any kind.fault`, or `any kind`",
    ),
    "FAULT": Sort("a fault: part.fault", rf"{_ID}\.{_ID}{_END}", 'id "." id', "`part.fault`"),
    "OWNER": Sort(
        "a part, or any kind of part",
        rf"any[ \t]+{_ID}{_END}|(?!any(?![a-z0-9_])){_ID}{_END}",
        '[ "any" ] id',
        "the id of a part, or `any` and a kind",
    ),
    "NUMBER": Sort(
        "a number",
        r"-?[0-9]+(?:\.[0-9]+)?(?![A-Za-z0-9_.%]|,[0-9])",
        '[ "-" ] digit { digit } [ "." digit { digit } ]',
        "a plain decimal with a point",
        "number",
    ),
    "WHOLE": Sort("a whole number", r"[0-9]+(?![A-Za-z0-9_.%-])", "digit { digit }", "digits alone", "number"),
    "UNIT": Sort(
        "a unit: V, A, ohms, minutes, mm2 or m",
        r"(?:V|A|ohms?|minutes?|mm2|m)(?![A-Za-z0-9_])",
        '"V" | "A" | "ohms" | "minutes" | "mm2" | "m"',
        "`V`, `A`, `ohms`, `minutes`, `mm2` or `m`",
    ),
    "TEXT": Sort("a text", r"\S.*\S|\S", "any { any }", "all that is left of the line", "text"),
}
"""Every sort by its name in the table of forms."""
