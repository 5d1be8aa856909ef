"""A lesson as it is written: pages of text with places for figures, and the machine on which they are solved.

A lesson is Markdown. Above its first page stand `machine CIRCUIT` and `drills FAULT, FAULT`; each `##` opens a page;
`with PART N` adds so many thousandths of an ohm to a part on it; a line behind `>` is a reading to take before the next
page. In braces stand `volts POINT to POINT [at KEY]`, `amps PART [at KEY]` or `point POINT`, filled in when shown.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib.resources import files

from coldiron.book.checks import Reads
from coldiron.circuits.machine import Machine
from coldiron.circuits.readings import reader
from coldiron.circuits.trial import Bench
from coldiron.map.sketch import Sketch
from coldiron.record import dataclass, replace

MILLI = 1000.0
"""Thousandths of an ohm in an ohm."""

OHMS = {"wire": "joints"}
"""The value of a part that takes more ohms, by the way it acts; of others `ohms`."""


@dataclass(frozen=True, slots=True)
class LessonPage:
    """One page: its heading, its paragraphs, thousandths of an ohm added by part, and the readings to take."""

    heading: str
    paragraphs: tuple[str, ...]
    added: Mapping[str, float]
    tasks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson: its title, its circuit, the faults of its drills, its pages."""

    title: str
    circuit: str
    drills: tuple[str, ...]
    pages: tuple[LessonPage, ...]


def lesson(number: int) -> Lesson | None:
    """The lesson of a number; None if there is none."""
    file = files("coldiron.lessons").joinpath("texts", f"{number}.md")
    return read(file.read_text(encoding="utf-8")) if file.is_file() else None


def read(text: str) -> Lesson:
    """A lesson from its text."""
    head, *pages = re.split(r"^## ", text, flags=re.MULTILINE)
    told = dict(line.split(" ", 1) for line in head.splitlines() if line)
    drills = tuple(one.strip() for one in told["drills"].split(","))
    return Lesson(told["#"], told["machine"], drills, tuple(map(_page, pages)))


def _page(text: str) -> LessonPage:
    heading, *blocks = [
        block.strip() for block in re.split(r"\n\s*\n|\n(?=> )|(?<=\n)(?=with )", text) if block.strip()
    ]
    added, paragraphs, tasks = {}, [], []
    first, _, rest = heading.partition("\n")
    for block in ([rest] if rest else []) + blocks:
        words = block.split()
        if words[0] == "with":
            added[words[1]] = float(words[2])
        elif words[0] == ">":
            tasks.append(" ".join(words[1:]))
        else:
            paragraphs.append(" ".join(words))
    return LessonPage(first, tuple(paragraphs), added, tuple(tasks))


def changed(machine: Machine, added: Mapping[str, float]) -> Machine:
    """The machine with so many thousandths of an ohm more in some parts."""
    parts = dict(machine.parts)
    for part, more in added.items():
        name = OHMS.get(machine.kind(part).acts, "ohms")
        value = machine.values(part).get(name, 0.0) + more / MILLI
        parts[part] = replace(parts[part], values={**parts[part].values, name: value})
    return replace(machine, parts=parts)


def solved(bench: Bench, reads: Reads, state: Mapping[str, str]) -> float:
    """What a perfect meter reads on a machine without faults."""
    (trial,) = bench.trials(())
    return reader(reads, bench.layout)(trial, trial.solution(bench.layout.state(state)))


def reading(text: str) -> tuple[Reads, dict[str, str]]:
    """What is read and in which settings: `volts A to B at start`, `amps PART`."""
    words, _, key = text.partition(" at ")
    quantity, _, places = words.partition(" ")
    state = {"key": key} if key else {}
    if quantity == "amps":
        return Reads("amps", part=places), state
    red, _, black = places.partition(" to ")
    return Reads("volts", red, black), state


def filled(paragraph: str, bench: Bench, drawing: Sketch) -> str:
    """A paragraph with its figures, solved now, and the numbers of its points."""

    def figure(found: re.Match[str]) -> str:
        text = " ".join(found.group(1).split())
        if text.startswith("point "):
            return f"{drawing.spots[text.removeprefix('point ')].number}"
        reads, state = reading(text)
        value = solved(bench, reads, state)
        return f"{value:.0f} A" if reads.quantity == "amps" else f"{value:.2f} V"

    return re.sub(r"\{([^}]*)\}", figure, paragraph)
