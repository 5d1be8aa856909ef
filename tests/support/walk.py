"""One typed answer on its way through the house: which modules it enters, in which order, where it turns back.

`python tests/support/walk.py` prints it for a reading of the battery at rest, the second question of a job at the
machine, in a process in which all was loaded and solved before. The first line has the figures that a test holds.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType, FrameType

sys.path.insert(0, str(Path(__file__).parents[1]))

import coldiron
from coldiron import Consultation
from support.shop import begin

PACKAGE = Path(coldiron.__file__).parent


@dataclass(slots=True)
class Walk:
    """What was called.

    `modules` are those entered, as `room/file`, in the order of the first call. `turns` are pairs of rooms, the later
    and the earlier: something in a room called back into one that was entered before it. `crossings` counts calls from
    one module into another, `calls` those of each function.
    """

    modules: list[str] = field(default_factory=list)
    turns: set[tuple[str, str]] = field(default_factory=set)
    crossings: int = 0
    calls: Counter[str] = field(default_factory=Counter)

    @property
    def rooms(self) -> list[str]:
        """The rooms entered, in the order of the first call; a file beside the rooms is of none."""
        return list(dict.fromkeys(room(name) for name in self.modules if room(name)))

    def enter(self, name: str, function: str, caller: str) -> None:
        """A function of a module was called, by one of another module or not from the package at all."""
        self.calls[f"{name}.{function}"] += 1
        if name not in self.modules:
            self.modules.append(name)
        self.crossings += caller not in ("", name)
        here, there = room(name), room(caller)
        if here and there and self.rooms.index(here) < self.rooms.index(there):
            self.turns.add((there, here))


SHELVES = ("book",)
"""Rooms of records alone: what is looked up there is no step of the way."""


def room(module: str) -> str:
    """The room of a module; empty for a file beside the rooms, and for one on the shelves."""
    name = module.rpartition("/")[0].partition("/")[0]
    return "" if name in SHELVES else name


@contextmanager
def followed() -> Iterator[Walk]:
    """All calls of the package while it lasts."""
    walk = Walk()
    known: dict[CodeType, str] = {}

    def name_of(code: CodeType) -> str:
        if code not in known:
            path = Path(code.co_filename)
            inside = path.is_relative_to(PACKAGE)
            known[code] = path.relative_to(PACKAGE).with_suffix("").as_posix() if inside else ""
        return known[code]

    def note(frame: FrameType, event: str, _: object) -> None:
        name = name_of(frame.f_code)
        if event == "call" and name:
            walk.enter(name, frame.f_code.co_qualname, name_of(frame.f_back.f_code) if frame.f_back else "")

    sys.setprofile(note)
    try:
        yield walk
    finally:
        sys.setprofile(None)


def at_rest_volts() -> Consultation:
    """A job whose starter chatters, at its second question after the opening: battery volts at rest."""
    job = begin("start_relay", "chatter")
    caution = job.next
    assert caution is not None
    job = job.answer(caution.id, caution.choices[0])
    assert job.next is not None
    assert job.next.id == "rest_volts"
    return job


def one_reading() -> Walk:
    """The walk of `12.6` typed at that question, to the question after it; what is kept was all made before."""
    first = at_rest_volts()
    assert first.answer("rest_volts", "12.60").next is not None  # the same figure, read by another text
    job = at_rest_volts()
    assert job.next is not None
    with followed() as walk:
        after = job.answer("rest_volts", "12.6")
        asked = after.next
    assert asked is not None
    return walk


def report(walk: Walk) -> Iterator[str]:
    """The figures, then the modules in order with the functions called in each."""
    yield f"{len(walk.modules)} modules in {len(walk.rooms)} rooms, {len(walk.turns)} turns back"
    yield f"rooms: {' > '.join(walk.rooms)}"
    yield f"turns: {', '.join(f'{later} to {earlier}' for later, earlier in sorted(walk.turns))}"
    yield f"read {walk.calls['readings/spans.read']} times"
    yield f"{walk.calls.total()} calls, {walk.crossings} of them from one module into another"
    for name in walk.modules:
        inside = {call: often for call, often in walk.calls.items() if call.startswith(f"{name}.")}
        words = ", ".join(f"{call.removeprefix(name)[1:]} {often}" for call, often in inside.items())
        yield f"  {name}: {words}"


def figures(walk: Walk) -> dict[str, int]:
    """How many modules and rooms were entered, how often it turned back, and how often the text was read."""
    read = walk.calls["readings/spans.read"]
    return {"modules": len(walk.modules), "rooms": len(walk.rooms), "turns": len(walk.turns), "read": read}


if __name__ == "__main__":
    found = one_reading()
    sys.stdout.write("\n".join((json.dumps(figures(found)), *report(found), "")))
