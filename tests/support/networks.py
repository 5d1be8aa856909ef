"""Books for the tests of circuits, made from netlists: text files with one part a line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from coldiron.book.acts import ACTS
from coldiron.book.book import Book
from coldiron.book.checks import Band, Check, Finding, Quantity, Reads
from coldiron.book.faults import (
    AddsOhms,
    Effect,
    Fault,
    FaultKind,
    Leaks,
    Locks,
    Opens,
    ScalesValue,
    SetsValue,
    Slips,
    StaysClosed,
)
from coldiron.book.machines import Circuit, Closed, Kind, Part, Section
from coldiron.book.words import Point, Setting
from coldiron.circuits import Machine, compose
from coldiron.circuits.still import Still
from coldiron.circuits.trial import Bench, MachineTrial
from coldiron.language.load import load

NETLISTS = Path(__file__).parent / "netlists"
NAMES = (
    "direct_key",
    "key_and_relay",
    "interlocks",
    "isolator_24",
    "coded_key",
    "starter_cut",
    "fed_to_run",
    "controller_start",
    "glow_plugs",
)
MORE = ("tap_12v", "jump_posts", "series_start")
"""Netlists for their healthy figures only: the delivered book has circuits like them for everything else."""

PAIRS = ("isolator_24", "tap_12v")
"""Netlists of two batteries in series, 24 V."""

KEY = ("off", "on", "start")

SETTINGS = {
    id_: Setting(id_, id_, values, values[0])
    for id_, values in {
        "key": KEY,
        "isolator": ("on", "off"),
        "battery_lead": ("on", "off"),
        "neutral": ("in", "out"),
        "seat": ("occupied", "empty"),
        "park_brake": ("set", "released"),
        "lock_lever": ("locked", "free"),
        "tap_loads": ("off", "on"),
        "engine": ("stopped", "idle", "fast"),
    }.items()
}


def fault(id_: str, *effects: Effect, odds: float = 10.0) -> FaultKind:
    return FaultKind(id=id_, name=id_, odds=odds, effects=effects, shows=(), repair="", minutes=10.0, proof="")


FAULTS: Mapping[str, tuple[FaultKind, ...]] = {
    "battery": (
        fault("flat", SetsValue("volts", 11.9, 9.0), ScalesValue("ohms", 1.0, 3.0), odds=120),
        fault("worn", ScalesValue("ohms", 2.0, 8.0)),
        fault("broken_inside", Opens()),
        fault("bad_weld", AddsOhms(0.02, 2.0)),
        fault("post_on_frame", Leaks("positive", "frame", 0.1, 0.01)),
    ),
    "wire": (
        fault("broken", Opens()),
        fault("corroded", AddsOhms(0.01, 10.0)),
        fault("chafed", Leaks("feed", "frame", 1.0, 0.01)),
    ),
    "joint": (fault("dirty", AddsOhms(0.002, 0.2)), fault("off", Opens())),
    "fuse": (fault("blown", Opens()), fault("loose", AddsOhms(0.1, 5.0))),
    "switch": (
        fault("worn_out", Opens()),
        fault("stuck", StaysClosed()),
        fault("burnt", AddsOhms(0.5, 50.0)),
        fault("wet", Leaks("load", "frame", 1e5, 1e3)),
    ),
    "load": (fault("burnt_out", Opens()), fault("shorted", SetsValue("ohms", 1.0, 0.1))),
    "relay": (
        fault("coil_open", Opens("coil")),
        fault("no_contact", Opens("contact")),
        fault("welded", StaysClosed("contact")),
        fault("burnt", AddsOhms(0.02, 2.0, "contact")),
        fault("coil_joint", AddsOhms(5.0, 200.0, "coil")),
        fault("dead", Opens()),
        fault("stiff", ScalesValue("pull_in", 1.2, 1.8)),
    ),
    "rest_relay": (fault("coil_open", Opens("coil")), fault("no_contact", Opens("contact"))),
    "starter": (
        fault("pull_in_open", Opens("pull_in")),
        fault("hold_in_open", Opens("hold_in")),
        fault("contact_open", Opens("contact")),
        fault("welded", StaysClosed("contact")),
        fault("contact_burnt", AddsOhms(0.005, 0.1, "contact")),
        fault("brushes_gone", Opens("motor")),
        fault("brushes_worn", AddsOhms(0.01, 0.3, "motor")),
        fault("seized", Locks()),
        fault("drive_slips", Slips()),
        fault("heavy_oil", ScalesValue("crank_amps", 1.3, 2.0)),
    ),
    "alternator": (
        fault("field_open", Opens("field")),
        fault("field_poor", AddsOhms(5.0, 100.0, "field")),
        fault("trio_open", Opens("trio")),
        fault("does_not_turn", Locks()),
        fault("half", ScalesValue("amps", 0.6, 0.2)),
        fault("diode_shorted", Leaks("output", "exciter", 1.0, 0.1)),
        fault("high", ScalesValue("volts", 1.05, 1.2)),
    ),
}


def kinds() -> dict[str, Kind]:
    return {acts: Kind(acts, acts, acts, act.ends or ("feed", "load"), {}, FAULTS[acts]) for acts, act in ACTS.items()}


@dataclass(frozen=True)
class Netlist:
    """Parts in the order of the file, and the healthy figures: {point or 'amps': (off, on, start)}."""

    parts: tuple[Part, ...]
    healthy: Mapping[str, tuple[float, float, float]]


def parse(text: str) -> Netlist:
    parts: list[Part] = []
    healthy = {}
    for line in text.splitlines():
        words = line.partition("#")[0].split()
        if words and words[0] == "healthy":
            off, on, start = (float(word) for word in words[2:])
            healthy[words[1]] = off, on, start
        elif words:
            parts.append(part(words))
    return Netlist(tuple(parts), healthy)


def part(words: list[str]) -> Part:
    """`ID ACTS POINT... NAME=VALUE... SETTING:VALUE|VALUE...`."""
    id_, acts, *rest = words
    ends = ACTS[acts].ends or ("feed", "load")
    joins = dict(zip(ends, rest, strict=False))
    values = {name: float(value) for name, _, value in (word.partition("=") for word in rest) if value}
    closed = tuple(
        Closed(setting, tuple(stands.split("|")))
        for setting, _, stands in (word.partition(":") for word in rest)
        if stands
    )
    return Part(id_, id_, acts, joins, values, closed)


def read(name: str) -> Netlist:
    return parse((NETLISTS / f"{name}.txt").read_text(encoding="utf-8"))


def band(low: float, high: float, *, volts: int = 0, per_battery: bool = False) -> Band:
    return Band(low, high, volts, per_battery)


def check(
    id_: str,
    quantity: Quantity,
    a: str = "",
    b: str = "",
    *,
    part: str = "",
    state: Mapping[str, str] | None = None,
    findings: tuple[Finding, ...] = (),
    spread: float = 0.0,
    step: float = 0.0,
) -> Check:
    reads = Reads(quantity, a, b, part)
    return Check(
        id=id_,
        ask="",
        how="",
        reads=reads,
        state=state or {},
        minutes=1.0,
        area="",
        kit=(),
        warns=(),
        findings=findings,
        good="",
        wrong=0.0,
        spread=spread,
        step=step,
        source="",
    )


def book(
    parts: Iterable[Part],
    *,
    volts: int = 12,
    batteries: int = 1,
    checks: Iterable[Check] = (),
    odds: Mapping[str, float] | None = None,
    hash_: str = "none",
) -> Book:
    """A book with one circuit, `it`, of these parts in one section."""
    parts = tuple(parts)
    sorts = kinds()
    points = sorted({point for one in parts for point in one.joins.values()})
    faults = {
        f"{one.id}.{what.id}": Fault(f"{one.id}.{what.id}", one.id, one.kind, what.name, what)
        for one in parts
        for what in sorts[one.kind].faults
    }
    return Book(
        hash=hash_,
        settings=SETTINGS,
        kits={},
        areas={},
        points={point: Point(point, point, "") for point in points},
        topics={},
        facts={},
        kinds=sorts,
        sections={"all": Section("all", "all", tuple(points), parts)},
        circuits={
            "it": Circuit(id="it", name="it", volts=volts, batteries=batteries, sections=("all",), odds=odds or {})
        },
        chains={},
        complaints={},
        questions={},
        checks={one.id: one for one in checks},
        codes={},
        duties={},
        cautions={},
        rules={},
        cases={},
        parts={one.id: one for one in parts},
        faults=faults,
    )


def everything(parts: Iterable[Part]) -> list[Check]:
    """Checks of every sort on every place, in each key position."""
    parts = tuple(parts)
    points = sorted({point for one in parts for point in one.joins.values()} - {"battery_negative"})
    made = []
    for key in KEY:
        state = {"key": key}
        made += [check(f"{point}_{key}", "volts", point, "battery_negative", state=state) for point in points]
        made += [check(f"{one.id}_amps_{key}", "amps", part=one.id, state=state) for one in parts]
        for one in parts:
            if one.kind in {"relay", "rest_relay", "starter"}:
                made.append(check(f"{one.id}_click_{key}", "click", part=one.id, state=state))
            if one.kind == "starter":
                made.append(check(f"{one.id}_turn_{key}", "turn", part=one.id, state=state))
            if one.kind == "load":
                made.append(check(f"{one.id}_glow_{key}", "glow", part=one.id, state=state))
    return made


def starting(bench: Bench, stills: Sequence[Still], number: int) -> tuple[str, ...]:
    """The starters that came in just before a picture of a chattering machine: their motors do not turn yet."""
    before, now = stills[number - 1].positions, stills[number].positions
    motored = {port.part for port in bench.layout.motors}
    moved = zip(bench.layout.magnets, before, now, strict=True)
    return tuple(one.part for one, was, is_ in moved if is_ and not was and one.part in motored)


def trial(bench: Bench, *faults: str, level: int = 0) -> MachineTrial:
    """The machine with these faults; the only level where no size matters."""
    trials = bench.trials(faults)
    return trials[min(level, len(trials) - 1)]


def shipped() -> Book:
    """The book as it is delivered."""
    book, problems = load(None)
    assert not problems
    return book


CHARGED = ("interlocks+charge_light", "isolator_24+charge_light")
"""Variants with what no circuit of the delivered book has by itself: an alternator."""

MACHINES = (*NAMES, *(f"shipped {circuit}" for circuit in (*shipped().circuits, *CHARGED)))
"""The netlists, and circuits of the delivered book, for tests that hold for any machine."""


def machine(name: str) -> Machine:
    """One of `MACHINES`, composed."""
    circuit = name.removeprefix("shipped ")
    return compose(netlist_book(name), "it") if circuit == name else compose(shipped(), circuit)


def netlist_book(name: str, checks: Iterable[Check] | None = None) -> Book:
    parts = read(name).parts
    pair = name in PAIRS
    made = everything(parts) if checks is None else checks
    return book(parts, volts=24 if pair else 12, batteries=2 if pair else 1, checks=made, hash_=name)


def without(found: Book, **changes: object) -> Book:
    """A copy with some mappings replaced."""
    return replace(found, **changes)  # type: ignore[arg-type]
