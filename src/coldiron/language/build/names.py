"""Names with an inside: points of parts, checks of parts, findings, faults, values of settings."""

from __future__ import annotations

from coldiron.book.faults import FaultRef
from coldiron.book.rules import Loop
from coldiron.book.variants import WITH, WITHOUT
from coldiron.language.build.scope import Lines
from coldiron.language.tree import Statement, Token


def value_of(lines: Lines, line: Statement, setting: Token, *values: Token) -> tuple[str, tuple[str, ...]]:
    """Return a setting with values it can have."""
    name = lines.check_id("setting", line, setting)
    allowed = lines.declared.values.get(name)
    for value in values:
        if allowed and value.text not in allowed:
            lines.scope.unknown(f"value of {name}", value.text, lines.at(line, value), allowed)
    return name, tuple(value.text for value in values)


def circuit_of(lines: Lines, line: Statement) -> str:
    """Return the id of a circuit with the options of a line brought in or left out, in the order of the book.

    Whether they can be is seen when it is put together.
    """
    changes: dict[str, str] = {}
    for form, sign in (("besides", WITH), ("less", WITHOUT)):
        phrase = line.find(form)
        for word in phrase.words if phrase else ():
            changes[lines.check_id("option", line, word)] = sign
    base = lines.check_id("circuit", line, line.phrases[0].words[0])
    return base + "".join(changes[option] + option for option in lines.declared.of("option") if option in changes)


def values_of(lines: Lines, *statements: Statement) -> dict[str, str]:
    """Return the settings that some lines name, each once, with the value each has there."""
    found: dict[str, str] = {}
    for line in statements:
        for phrase in line.phrases:
            setting, (value,) = value_of(lines, line, *phrase.words)
            if setting in found:
                lines.report("listed-twice", line, phrase.words[0], word=setting)
            found[setting] = value
    return found


def kind_of_part(lines: Lines, line: Statement, word: Token, name: str, loop: Loop | None) -> str:
    """Return the kind of a part or of a loop's part; nothing, and a problem, if there is no such part."""
    if loop and name == loop.name:
        return loop.kind
    kind = lines.declared.parts.get(name)
    if kind is None and not lines.declared.has("part", name):
        _unknown_inside(
            lines, line, word, "part", name, allowed=(*lines.declared.parts, *((loop.name,) if loop else ()))
        )
    return kind or ""


def _unknown_inside(
    lines: Lines, line: Statement, word: Token, /, what: str, name: str, *, allowed: tuple[str, ...]
) -> None:
    """Report one half of a dotted word, at that half."""
    start = word.column + max(word.text.rfind(name), 0)
    lines.scope.unknown(what, name, lines.at(line, Token(name, start, start + len(name))), allowed)


def part_of(lines: Lines, line: Statement, word: Token, loop: Loop | None = None) -> str:
    """Return a part, or the loop's letter."""
    kind_of_part(lines, line, word, word.text, loop)
    return word.text


def point_of(lines: Lines, line: Statement, word: Token, template: tuple[str, ...] = ()) -> str:
    """Return a point: a declared one, or `part.end`. In a template for kinds, `part` is any part of them."""
    name, dot, end = word.text.partition(".")
    if not dot:
        return lines.check_id("point", line, word)
    kinds = template if template and name == "part" else (kind_of_part(lines, line, word, name, None),)
    for kind in kinds:
        ends = lines.declared.ends.get(kind)
        if ends and end not in ends:
            _unknown_inside(lines, line, word, f"end of a {kind}", end, allowed=ends)
            break
    return word.text


def check_of(lines: Lines, line: Statement, word: Token, loop: Loop | None = None) -> str:
    """Return a check: a declared one, or `template.part` of a check that has one for each part of a kind."""
    name, dot, part = word.text.partition(".")
    declared = lines.declared
    if not declared.has("check", name):
        _unknown_inside(lines, line, word, "check", name, allowed=tuple(declared.of("check")))
    elif not declared.sound("check", name):
        return word.text
    elif not dot and name in declared.each:
        lines.report("which-part", line, word, word=name, kinds=_or(declared.each[name]))
    elif dot and name not in declared.each:
        lines.report("no-template", line, word, word=name)
    elif dot:
        kind = kind_of_part(lines, line, word, part, loop)
        if kind and kind not in declared.each[name]:
            lines.report("other-kind", line, word, word=name, part=part, kind=kind, kinds=_or(declared.each[name]))
    return word.text


def _or(words: tuple[str, ...]) -> str:
    return " or ".join(words)


def finding_of(
    lines: Lines, line: Statement, check: Token, finding: Token, loop: Loop | None = None
) -> tuple[str, str]:
    """Return a check and one of its findings; `odd` is a finding of every check."""
    name = check_of(lines, line, check, loop)
    allowed = lines.declared.findings.get(name.partition(".")[0])
    if allowed and finding.text not in (*allowed, "odd"):
        lines.scope.unknown(f"finding of {name}", finding.text, lines.at(line, finding), (*allowed, "odd"))
    return name, finding.text


def faults_of(lines: Lines, line: Statement, word: Token, loop: Loop | None = None) -> FaultRef:
    """Return the faults a word speaks of: `part.fault`, a part, `any kind.fault` or `any kind`."""
    text = word.text
    place = lines.at(line, word)
    if text.startswith(("any ", "any\t")):
        name, _, fault = text.split(None, 1)[1].partition(".")
        kind = name if name in lines.declared.of("kind") else ""
        if not lines.declared.has("kind", name):
            _unknown_inside(lines, line, word, "kind", name, allowed=tuple(lines.declared.of("kind")))
        reference = FaultRef(kind=name, fault=fault, place=place)
    else:
        name, _, fault = text.partition(".")
        kind = kind_of_part(lines, line, word, name, loop)
        reference = FaultRef(part=name, fault=fault, place=place)
    allowed = lines.declared.faults.get(kind)
    if fault and allowed and fault not in allowed:
        _unknown_inside(lines, line, word, f"fault of a {kind}", fault, allowed=allowed)
    return reference
