"""The sizes of a repair in words, with the cautions before them."""

from __future__ import annotations

from coldiron.sizing import choose, gauge

FIRST = (
    "The maker's own parts come first: the same size, type, rating and length, by the maker's instructions.\n"
    "Local codes and licensed practice come before these figures too. Never a larger fuse, never a wire for a link.\n"
    "Find what blew a fuse or a link before a new one goes in. Battery lead off, negative first, before you cut wire."
)

IF_UNKNOWN = "Only if you cannot find that out, for a load that stays on, copper at 68 F (20 C), there and back:"


def sizes(amps: float, meters: float, volts: int) -> str:
    """Sizes for a load in words: cautions first, then wire, fuse, link and splice.

    Args:
        amps: of the load.
        meters: of wire, there and back.
        volts: of the machine, 12 or 24.
    """
    most = choose.allowed(volts)
    found = choose.wire(amps, meters, most)
    feet = meters / gauge.METERS_A_FOOT
    asked = f"{amps:g} A over {feet:.3g} ft ({meters:.3g} m) on {volts} V, {most:.2f} V to lose at the most"
    lines = [FIRST, "", IF_UNKNOWN, asked]
    if found is None:
        return "\n".join([*lines, "No single wire up to 4/0 AWG does: ask the maker or a licensed electrician."])
    area = choose.metric(amps, meters, most, found.area)
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
