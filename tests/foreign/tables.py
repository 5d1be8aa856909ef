"""What a machine does, printed for whoever writes it."""

from __future__ import annotations

from collections.abc import Iterator

from foreign.loading import files, load, points
from foreign.record import Machine
from foreign.symptoms import Shown, does, show, speed
from foreign.world import World, broken, healthy


def find(name: str) -> Machine:
    """The machine of that name."""
    for path in files():
        if path.stem == name:
            return load(path)
    raise SystemExit(f"no machine is called {name}")


def machine_table(name: str) -> Iterator[str]:
    """Volts of every point sound at each key position, then what each fault does at three severities."""
    machine = find(name)
    shown = show(healthy(machine))
    yield f"{name}: sound it is {does(shown)}"
    yield f"{'point':26}{'OFF':>8}{'ON':>8}{'START':>8}"
    for point in points(machine):
        three = (held.volts[point] for held in (shown.off, shown.on, shown.start))
        yield f"{point:26}" + "".join(f"{volts:8.2f}" for volts in three)
    for air in machine.air_c:
        yield from _row(f"sound at {air:.0f} C", healthy(machine, air))
    for fault in machine.faults:
        for severity in (0.0, 0.5, 1.0):
            yield from _row(f"{fault.name} {severity}", broken(healthy(machine), [(fault, severity)]))


def _row(title: str, world: World) -> Iterator[str]:
    shown: Shown = show(world)
    start = shown.start.volts
    posts = start["battery_plus"] - start["battery_minus"]
    yield f"{title:36}{does(shown):16} speed {speed(shown.start):.2f}  posts at START {posts:.2f} V"
