"""The sizes of a repair in words, with what comes before them."""

from __future__ import annotations

from coldiron.sizing import choose, gauge

FIRST = (
    "What the maker fitted comes first: the same size, type, rating and length, by the maker's instructions.\n"
    "Local codes and licensed practice come before these figures too. Never a larger fuse, never a wire for a link.\n"
    "Find what blew a fuse or a link before a new one goes in. Battery lead off, negative first, before wire is cut."
)

WHEN_NOT_KNOWN = "Only where that cannot be known, for a load that runs on, copper at 20 C (68 F), there and back:"


def sizes(amps: float, metres: float, volts: int) -> str:
    """What to fit for a load: cautions first, then wire, fuse, link and splice."""
    most = choose.allowed(volts)
    found = choose.wire(amps, metres, most)
    asked = f"{amps:g} A over {metres:g} m on {volts} V, {most:.2f} V to lose at the most"
    lines = [FIRST, "", WHEN_NOT_KNOWN, asked]
    if found is None:
        return "\n".join([*lines, "No single wire up to 4/0 AWG does: ask the maker or a licensed electrician."])
    area = choose.metric(amps, metres, most, found.area)
    lines.append(
        f"Wire    {gauge.name(found.gauge)} ({found.area:.1f} mm2): loses {found.loses:.2f} V, "
        f"carries {found.carries:g} A in a bundle" + (f"; metric {area:g} mm2" if area else "")
    )
    lines.append(f"Fuse    {found.fuse:g} A, at the source end")
    smaller = choose.link(found.gauge)
    if smaller is not None:
        lines.append(f"Link    {gauge.name(smaller)}, only where the maker has one: four numbers smaller than the wire")
    joined = choose.splice([found.gauge])
    lines.append(f"Splice  {f'{joined[0]} butt splice, crimped, never soldered first' if joined else 'lug and bolt'}")
    return "\n".join(lines)
