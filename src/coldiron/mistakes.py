"""The catalogue of mistakes: every kind of problem with its wording and an example.

One table serves three readers: the language words its problems from it, the tests check that each example gives
exactly its sentence at its place, and the manual prints it.
"""

from __future__ import annotations

from coldiron.problem import Problem, Weight
from coldiron.source import Place

WORDING: dict[str, str] = {
    "file-too-long": "this file has {size} bytes; a rule file may have {most}: split it",
    "not-utf8": "this is not UTF-8 text: byte {byte} cannot be read",
    "line-too-long": "this line is longer than {most} characters: break the text over several lines",
    "strange-blank": "this blank ({code}) is not an ordinary one: type a space",
    "strange-character": "this character ({code}) cannot be seen or changes how the line reads: delete it",
    "too-many": "many mistakes above: the rest of this file was not read",
    "unknown-opener": "no block opens with '{word}'",
    "not-indented": "'{word}' is a line of a {block}: put a blank before it",
    "outside-block": "'{word}' stands outside any block",
    "indented-opener": "'{word}' is no line of a {block}; if it opens a new block it stands at the start of a line",
    "other-block": "'{word}' is no line of a {block}: it belongs in a {homes}",
    "unknown-line": "a {block} has no line '{word}'",
    "colon": "no colon or equals sign after '{word}'",
    "line-ends": "the line ends where {expected} should stand",
    "expected": "'{found}' stands where {expected} should",
    "too-much": "nothing more is expected after '{before}'",
    "decimal-comma": "decimals are written with a point: {better}",
    "glued-unit": "put a blank between {number} and {unit}",
    "percent": "chances are written like '4 in 100', not with a percent sign",
    "plus-sign": "no plus sign: {better}",
    "bare-point": "a decimal point has a digit on both sides",
    "sign-not-word": "signs such as '{found}' are not part of the language: say it in words",
    "compare-sign": "say '{better}', not '{found}'",
    "quotes": "no quotation marks",
    "wrong-unit": "'{found}' is not a unit here: write {unit}",
    "hyphen": "an id has no hyphen: {better}",
    "capital": "an id is written in small letters: {better}",
    "missing-line": "this {block} has no line '{keyword}'",
    "repeated-line": "'{keyword}' stands twice in this {block}",
    "duplicate": "{what} '{word}' is declared twice",
    "unknown-word": "there is no {what} '{word}'",
    "reserved": "'{word}' is a word of the language and cannot be an id",
    "listed-twice": "'{word}' is listed twice",
    "out-of-range": "{what} must lie between {low} and {high}: {value}",
    "bad-chance": "a chance lies above 0 and is at most 1: {part} in {whole}",
    "other-unit": "{what} is in {unit}, not in {found}",
    "turned-range": "a range goes from the lower to the higher figure: {low} is not below {high}",
    "which-part": "'{word}' is a check for every {kinds}: say of which part, as in {word}.part",
    "no-template": "'{word}' is one check, not one for each part",
    "other-kind": "'{word}' is for every {kinds}; {part} is a {kind}",
    "template-kind": "'{word}' is for every {kinds}, not for a {kind}",
    "value-twice": "the value '{word}' stands twice",
    "other-ends": "the ends of a {acts} are {ends}",
    "two-ends": "a {acts} has two ends: name them, as in 'ends feed, load'",
    "no-effect": "the fault '{word}' changes nothing: say what it becomes, adds, leaks, sets, scales or shows",
    "cannot-fail-so": "this kind cannot fail so: '{verb}'. It can: {can}",
    "part-of-two-kinds": "{part} is a {kind} here and a {other} elsewhere: one part, one kind",
    "more-ends": "a {kind} has other ends than two ({ends}): use 'joining'",
    "end-twice": "the end '{word}' is joined twice",
    "end-missing": "the end '{word}' of this {kind} is joined to nothing",
    "value-missing": "neither this part nor its kind ({kind}) gives: {lacking}",
    "one-of": "{keyword} is {words}",
    "own-victim": "a fault is not its own victim",
    "same-point": "both probes stand on '{word}'",
    "no-such-quantity": "'{word}' has no {quantity}: only a {acts} has",
    "odd-declared": "'odd' is what falls in no band: it is never declared",
    "band-of-eye": "what the eye judges has no bands: give a meaning",
    "no-band": "the finding '{word}' has no bounds: from N to N",
    "no-meaning": "the finding '{word}' is chosen from words: say what it means",
    "and-after-then": "'{word}' stands after 'then': conditions come first; for a second conclusion say 'then' again",
    "and-before-when": "the first condition opens with 'when'",
    "no-number": "'{word}' gives no number to compare",
    "unlike": "'{word}' and '{other}' are read in different units",
}
"""Every kind of problem and its sentence; words in braces are filled in."""


def mistake(
    kind: str,
    place: Place,
    *,
    allowed: tuple[str, ...] = (),
    nearest: str = "",
    related: tuple[tuple[str, Place], ...] = (),
    weight: Weight = "error",
    **filling: object,
) -> Problem:
    """Make a problem of a kind in the catalogue, with its sentence filled in."""
    sentence = WORDING[kind].format(**filling)
    return Problem(kind, place, sentence, allowed, nearest, related, weight)
