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
        lines.block.id,
        lines.text("name"),
        lines.text("ask"),
        lines.text("how"),
        tuple(faults_of(lines, line, line.phrases[0].words[0]) for line in lines.lines("has")),
        lines.line("if") is not None,
        quantity,  # type: ignore[arg-type]
        _bands(lines, UNITS.get(quantity, "")),
        state_of(lines),
        lines.minutes(),
        lines.known("area", "area"),
        lines.listed("kit", "kit"),
        lines.listed("warns", "caution"),
        findings_of(lines, "fails"),
        lines.text("otherwise"),
        lines.text("until"),
        lines.line("keeps") is not None,
        lines.text("because"),
        lines.text("source"),
        lines.place,
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
