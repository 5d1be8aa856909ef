"""The same machine for ngspice: contacts as they stand, batteries, filaments and motors by its own formulas."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

from foreign.elements import Battery, Diode, Lamp, Starter
from foreign.loading import points_of
from foreign.network import LEAK, Straight
from foreign.paths import motor, paths_of
from foreign.physics import DIP, DIP_AMPS, MOVING, STILL, source_of
from foreign.running import Held, still


def netlist(held: Held) -> str:
    """What stands at a key position, as one operating point; the numbers of points are those of `numbers`."""
    number = numbers(held)
    lines = ["foreign", ".options reltol=1e-8 vntol=1e-8 abstol=1e-10 itl1=2000 gmin=1e-12"]
    lines += [f"rleak{k} {k} 0 {1 / LEAK}" for k in number.values() if k]
    for k, element in enumerate(held.world.elements):
        if not held.world.has(element):
            continue
        for m, path in enumerate(paths_of(held.world, element, still(held.state))):
            a, b = number[path.a], number[path.b]
            if isinstance(path, Straight):
                lines += _resistor(f"{k}x{m}", a, b, 1 / path.siemens, path.emf)
            else:
                lines += _bent(held, element, f"{k}x{m}", a, b)
    return "\n".join([*lines, ".end", ""])


def numbers(held: Held) -> dict[str, int]:
    """The number of each point; 0 is the reference."""
    reference = held.world.machine.reference
    names = dict.fromkeys([reference, *(p for each in held.world.elements for p in points_of(each))])
    return {name: k for k, name in enumerate(names)}


def _resistor(name: str, a: int, b: int, ohms: float, emf: float) -> list[str]:
    """A resistor as volts that follow its amps, so that its siemens are never added to those of a leak."""
    return [f"v{name} {a} m{name} {emf!r}", f"h{name} m{name} {b} v{name} {ohms!r}"]


def _bent(held: Held, element: object, name: str, a: int, b: int) -> list[str]:
    volts = f"v({a},{b})" if b else f"v({a})"
    if not a:
        volts = f"(0-v({b}))"
    match element:
        case Battery():
            emf, ohm = source_of(element, held.world.air_c)
            return [
                f"b{name} {a} e{name} v = {emf!r} + {DIP}*i(b{name})/(abs(i(b{name}))+{DIP_AMPS})",
                *_resistor(name, b_to(name), b, ohm, 0.0),
            ]
        case Lamp():
            cold = element.watts / element.volts**2 * 0.0051**-0.45
            share = f"abs({volts})/{element.volts}"
            full = f"{element.watts / element.volts!r}*sgn({volts})*(({share}+1e-12)**0.55)"
            return [f"b{name} {a} {b} i = ({share} < 0.0051) ? ({cold!r}*{volts}) : ({full})"]
        case Diode():
            siemens = 1000 / element.mohm
            over = f"({element.drop * 1e-6!r} + ({volts}-{element.drop})*{siemens!r})"
            return [f"b{name} {a} {b} i = ({volts} <= {element.drop}) ? (1e-6*{volts}) : {over}"]
        case Starter():
            turning = motor(held.world, element.id)
            still_, grows = (turning.asks, 0.0) if turning.slips else (STILL * turning.asks, MOVING * turning.asks)
            speed = f"max(0,({volts}/{turning.ohm!r}-{still_!r})/{turning.emf / turning.ohm + grows!r})"
            return [f"b{name} {a} {b} i = ({volts}-{turning.emf!r}*{speed})/{turning.ohm!r}"]
    raise AssertionError(f"no formula for {element}")


def b_to(name: str) -> int:
    """A node of a battery's own, between its volts and its ohms."""
    return 10_000 + int(name.partition("x")[0])


def volts(helds: Sequence[Held], folder: Path) -> list[dict[str, float]]:
    """Volts by point of each, in order, all worked out by one ngspice."""
    script = ["* all", ".control", "set filetype=ascii", "set appendwrite"]
    for k, held in enumerate(helds):
        text = netlist(held)
        for element in range(len(held.world.elements)):
            text = text.replace(f" e{element}x0 ", f" {10_000 + element} ")
        (folder / f"c{k}.cir").write_text(text, encoding="ascii")
        script += [f"source c{k}.cir", "op", "write out.raw all", "destroy all", "remcirc"]
    (folder / "all.cir").write_text("\n".join([*script, "quit", ".endc", ".end", ""]), encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", "all.cir"], cwd=folder, capture_output=True, text=True, check=False, timeout=300
    )
    raw = (folder / "out.raw").read_text(encoding="ascii", errors="replace")
    plots = raw.split("Title: ")[1:]
    assert len(plots) == len(helds), f"{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
    return [_points(plot, numbers(held)) for plot, held in zip(plots, helds, strict=True)]


def _points(plot: str, number: dict[str, int]) -> dict[str, float]:
    head, _, values = plot.partition("Values:\n")
    rows = [line.split()[1] for line in head.partition("Variables:\n")[2].splitlines() if line.strip()]
    found = dict(zip(rows, (float(each) for each in values.split()[1:]), strict=False))
    return {name: 0.0 if k == 0 else found.get(f"v({k})", found.get(str(k), 0.0)) for name, k in number.items()}
