"""What an apprentice means by a number of the drawing, a name, or some words of one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from coldiron.book.checks import Check, Quantity
from coldiron.drill.step import Probe, between, of_check
from coldiron.drill.world import World
from coldiron.map.sketch import Sketch

MOST = 6
"""Names that are listed where several fit."""

SMALL = frozenset({"the", "a", "of", "at", "on", "in", "is", "it", "what", "does", "do", "and", "to", "for", "how"})
"""Words that name nothing."""

METERS: Mapping[str, Quantity] = {"volts": "volts", "ohms": "ohms", "light": "lamp", "lamp": "lamp"}
"""What is measured between two points, by the word for it."""

LOOKS = {"look": ("eye", "glow"), "listen": ("click", "turn"), "amps": ("amps",), "check": ()}
"""Which checks of the book a word means, by their quantity; any at all where none is named."""


class UnclearError(ValueError):
    """A name that nothing has, or that several have; the sentence says which."""


def one_of(names: Mapping[str, str], text: str, what: str) -> str:
    """The id whose name holds all words of a text, or the id itself.

    Raises:
        UnclearError: none has, or several have.
    """
    if text.strip().lower().replace(" ", "_") in names:
        return text.strip().lower().replace(" ", "_")
    wanted = _words(text)
    found = [id_ for id_, name in names.items() if wanted and wanted <= _words(f"{name} {id_}")]
    exact = [id_ for id_ in found if _words(names[id_]) == wanted]
    if len(exact or found) == 1:
        return (exact or found)[0]
    listed = "; ".join(names[id_] for id_ in found[:MOST])
    raise UnclearError(f"Several fit: {listed}. Say more of it." if found else f"No {what} here is called '{text}'.")


def _words(text: str) -> frozenset[str]:
    said = re.findall(r"[a-z0-9]+", text.lower().replace("_", " "))
    return frozenset(word.removesuffix("s") if len(word) > 1 else word for word in said if word not in SMALL)


def point_of(sketch: Sketch, text: str) -> str:
    """A point by its number in the drawing, its name, or some words of it.

    Raises:
        UnclearError: there is none such, or several.
    """
    if text.strip().isdecimal():
        spot = sketch.numbered(int(text.strip()[:4]))
        if spot is None:
            raise UnclearError(f"The drawing has no point {text.strip()[:4]}. Type map.")
        return spot.id
    names = {spot.id: spot.name for spot in sketch.spots.values()}
    try:
        return one_of(names, text, "point")
    except UnclearError as error:
        raise UnclearError(f"{error} Or type its number in the drawing: map.") from None


def probe_of(world: World, sketch: Sketch, line: str, state: Mapping[str, str]) -> Probe | None:
    """The step at the machine that a line means: `volts 4 to 27 at start`, `look main link`; None if it is another one.

    Raises:
        UnclearError: a point or a check of that name is not there, or several are.
    """
    word, _, rest = line.partition(" ")
    if word in METERS and rest:
        rest, state = _at(world, rest, state)
        red, to, black = rest.partition(" to ")
        if not to:
            raise UnclearError(f"Name two points: {word} 4 to 1, or {word} starter S terminal to frame at start.")
        pair = point_of(sketch, red), point_of(sketch, black)
        return between(world.machine, METERS[word], *pair, state)
    if word in LOOKS:
        found = {check.id: check.ask for check in _checks(world, LOOKS[word])}
        if not rest:
            raise UnclearError(f"Say at what: {word}, and some words of it.")
        return of_check(world.book.checks[_seen(found, word, rest)])
    return None


def _seen(names: Mapping[str, str], word: str, rest: str) -> str:
    """The check that some words mean; where several fit, the one that has the word before them in its name too."""
    try:
        return one_of(names, f"{word} {rest}", "thing to see or hear")
    except UnclearError:
        return one_of(names, rest, "thing to see or hear")


def _checks(world: World, quantities: Iterable[str]) -> Iterator[Check]:
    for name in world.machine.checks:
        check = world.book.checks[name]
        if not quantities or check.reads.quantity in quantities:
            yield check


def _at(world: World, rest: str, state: Mapping[str, str]) -> tuple[str, Mapping[str, str]]:
    """A line without the key position behind `at`, and the settings it is read in."""
    line, at, key = rest.rpartition(" at ")
    values = world.book.settings["key"].values if "key" in world.book.settings else ()
    if at and key.strip() in values:
        return line, {**state, "key": key.strip()}
    return rest, state
