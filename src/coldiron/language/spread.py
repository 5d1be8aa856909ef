"""What follows from the entries of a book by itself: the parts of its sections, the faults of each, and the events."""

from __future__ import annotations

from collections.abc import Mapping

from coldiron.book.checks import Check, look_at
from coldiron.book.faults import Fault, Shows
from coldiron.book.machines import Kind, Part, Route, RouteEvent, Section
from coldiron.record import replace


def parts_of(sections: Mapping[str, Section]) -> dict[str, Part]:
    """Return the parts of all sections; a part in several sections is the one of the first."""
    parts: dict[str, Part] = {}
    for section in sections.values():
        for part in section.parts:
            parts.setdefault(part.id, part)
    return parts


def faults_of(parts: Mapping[str, Part], kinds: Mapping[str, Kind], checks: Mapping[str, Check]) -> dict[str, Fault]:
    """Return the faults of every part, by `part.fault`; a `shows` line of a template gets the part's own check."""
    templates = {check.id.partition(".")[0] for check in checks.values() if check.each}
    faults = {}
    for part in parts.values():
        for what in kinds[part.kind].faults if part.kind in kinds else ():
            shows = tuple([_shown(show, part.id, templates) for show in what.shows])
            own = what if shows == what.shows else replace(what, shows=shows)
            name = f"{part.id}.{what.id}"
            faults[name] = Fault(name, part.id, part.kind, f"{part.name}: {what.name}", own)
    return faults


def _shown(show: Shows, part: str, templates: set[str]) -> Shows:
    return replace(show, check=f"{show.check}.{part}") if show.check in templates else show


def events_of(routes: Mapping[str, Route], events: Mapping[str, RouteEvent]) -> dict[str, Fault]:
    """Each event at each route as a fault of that place, by `route.event`: it does nothing itself but show."""
    made = {}
    for where in routes.values():
        for name, odds in where.events.items():
            if name in events:
                one = events[name]
                what = replace(one.what, odds=odds, shows=(Shows(look_at(where.id), name, one.seen),))
                id_ = f"{where.id}.{name}"
                made[id_] = Fault(id_, where.id, "", f"{where.name}: {what.name}", what)
    return made
