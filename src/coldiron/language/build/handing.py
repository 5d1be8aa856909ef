"""The builder of duties: what a machine is shown to do, or to refuse, before it is handed back."""

from __future__ import annotations

from coldiron.book.checks import UNITS, Band
from coldiron.book.duties import Duty
from coldiron.language.build.asking import band_of, state_of
from coldiron.language.build.names import faults_of
from coldiron.language.build.scope import Lines
from coldiron.language.build.words import findings_of


def duty(lines: Lines) -> Duty:
    """Build a duty."""
    quantity = lines.word("reads")
    return Duty(
        id=lines.block.id,
        name=lines.text("name"),
        ask=lines.text("ask"),
        how=lines.text("how"),
        has=tuple(faults_of(lines, line, line.phrases[0].words[0]) for line in lines.lines("has")),
        lacks=tuple(faults_of(lines, line, line.phrases[0].words[0]) for line in lines.lines("lacks")),
        if_fitted=lines.line("if") is not None,
        quantity=quantity,  # type: ignore[arg-type]
        bands=_bands(lines, UNITS.get(quantity, "")),
        state=state_of(lines),
        minutes=lines.minutes(),
        area=lines.known("area", "area"),
        kit=lines.listed("kit", "kit"),
        warns=lines.listed("warns", "caution"),
        fails_as=findings_of(lines, "fails"),
        otherwise=lines.text("otherwise"),
        until=lines.text("until"),
        keeps=lines.line("keeps") is not None,
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def _bands(lines: Lines, unit: str) -> tuple[Band, ...]:
    """Build the bands of a good reading: with a `reads` line there is at least one, without it there is none."""
    good, reads = lines.lines("good"), lines.line("reads")
    if good and reads is None and not lines.block.damaged:
        lines.report("good-unread", good[0])
    if reads and not good and not lines.block.damaged:
        opener = lines.block.opener
        named = opener.phrases[0].words[0]
        lines.report("missing-line", opener, named, block="duty that reads a figure", keyword="good")
    return tuple(band_of(lines, line, band, unit) for line in good if unit and (band := line.find("band")))
