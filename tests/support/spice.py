"""Machines as netlists for ngspice, many operating points to one process, and what it prints read back."""

from __future__ import annotations

import math
import subprocess
from collections.abc import Iterable, Sequence
from pathlib import Path

from support.elements import Elements

LEAK_OHMS = 1e10
"""From every point to the reference, as the package has it."""

LEAST_OHMS = 10.0
"""Up to here resistors are written so that ngspice keeps their amps as unknowns."""


def netlist(title: str, found: Elements, points: Iterable[str], reference: str = "battery_negative") -> str:
    """One circuit; the title comes back with its results. Batteries dip and motors stall by ngspice's own formulas."""

    def node(point: str) -> str:
        return "0" if point == reference else f"n_{point}"

    lines = [title, ".options reltol=1e-7 vntol=1e-7 abstol=1e-9 itl1=1000"]
    lines += [f"rleak{k} {node(p)} 0 {LEAK_OHMS}" for k, p in enumerate(points) if p != reference]
    for k, r in enumerate(found.resistors):
        if r.a != r.b:
            lines += _resistor(k, node(r.a), node(r.b), r.ohms)
    for k, b in enumerate(found.batteries):
        amps = f"i(vsense{k})"
        lost = f"0.35*{amps}/(abs({amps})+40)"
        if found.charging:
            lost = f"({amps} < 0 ? 4*{amps}/(abs({amps})+25) : {lost})"
        lines.append(f"bemf{k} e{k} {node(b.b)} v = {b.volts!r} - {lost}")
        lines += _resistor(f"in{k}", f"e{k}", f"s{k}", b.ohms)
        lines.append(f"vsense{k} s{k} {node(b.a)} 0")
    for k, m in enumerate(found.motors):
        stud, case = node(m.a), node(m.b)
        if math.isinf(m.amps):
            lines.append(f"rmotor{k} {stud} {case} {m.ohms!r}")
        else:
            lines.append(f"bmotor{k} {stud} {case} i = min({m.amps!r}, v({stud},{case})/{m.ohms!r})")
    for k, valve in enumerate(found.valves):
        out, back = node(valve.a), node(valve.b)
        put = f"min(({valve.volts!r} - v({out},{back}))/{valve.ohms!r}, {valve.most!r})"
        put = put if math.isinf(valve.least) else f"max({put}, {valve.least!r})"
        lines.append(f"bvalve{k} {back} {out} i = {put}")
    return "\n".join([*lines, ".end", ""])


def _resistor(number: int | str, a: str, b: str, ohms: float) -> list[str]:
    """A resistor; if small, as volts that follow its amps, so that its siemens are never added to those of a leak."""
    if ohms > LEAST_OHMS:
        return [f"r{number} {a} {b} {ohms!r}"]
    return [f"vr{number} {a} m{number} 0", f"hr{number} m{number} {b} vr{number} {ohms!r}"]


def run(circuits: Sequence[str], folder: Path) -> list[dict[str, float]]:
    """Volts by point of each circuit's operating point, in order."""
    script = ["* all", ".control", "set filetype=ascii", "set appendwrite"]
    for number, text in enumerate(circuits):
        (folder / f"c{number}.cir").write_text(text, encoding="ascii")
        script += [f"source c{number}.cir", "op", "write out.raw all", "destroy all", "remcirc"]
    (folder / "all.cir").write_text("\n".join([*script, "quit", ".endc", ".end", ""]), encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", "all.cir"], cwd=folder, capture_output=True, text=True, check=False, timeout=600
    )
    plots = _plots((folder / "out.raw").read_text(encoding="ascii", errors="replace"))
    assert len(plots) == len(circuits), (
        f"{len(plots)} of {len(circuits)} points solved\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
    )
    return plots


def _plots(raw: str) -> list[dict[str, float]]:
    """The points of an ASCII raw file: each names its variables and then gives their values, one a line."""
    plots = []
    for text in raw.split("Title: ")[1:]:
        head, _, values = text.partition("Values:\n")
        rows = [line.split() for line in head.partition("Variables:\n")[2].splitlines() if line.strip()]
        numbers = values.split()[1:]
        volts = {row[1]: float(number) for row, number in zip(rows, numbers, strict=False)}
        plots.append(
            {name[4:-1] if name.startswith("v(") else name[2:]: v for name, v in volts.items() if "n_" in name}
        )
    return plots
