"""A chart of lines on two logarithmic axes, as SVG: plain text, so that a benchmark needs no plotting package."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from xml.sax.saxutils import escape

WIDTH, HEIGHT = 600, 320
LEFT, RIGHT, TOP, BOTTOM = 70, 160, 34, 44
INKS = ("#1b6ca8", "#c0392b", "#3a7d34", "#7d5ba6", "#8a6d1f")


@dataclass(frozen=True)
class Line:
    """Points of positive numbers, joined; `ink` is a number, the same for what belongs together."""

    name: str
    ink: int
    points: Mapping[float, float]
    dashed: bool = False


@dataclass(frozen=True)
class Panel:
    """One chart: its title, what its axes are, its lines."""

    title: str
    across: str
    up: str
    lines: tuple[Line, ...]


def svg(panels: Sequence[Panel], columns: int = 2) -> str:
    """All panels on one sheet, row by row."""
    rows = ceil(len(panels) / columns)
    size = f'width="{columns * WIDTH}" height="{rows * HEIGHT}"'
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="sans-serif" font-size="11">']
    parts.append('<rect width="100%" height="100%" fill="white"/>')
    for number, panel in enumerate(panels):
        row, column = divmod(number, columns)
        parts += [f'<g transform="translate({column * WIDTH},{row * HEIGHT})">', *_panel(panel), "</g>"]
    return "\n".join([*parts, "</svg>", ""])


class _Scale:
    """Whole decades from the least to the greatest of some numbers, on a stretch of the paper."""

    def __init__(self, values: Sequence[float], start: float, end: float) -> None:
        self.low, self.high = floor(log10(min(values))), ceil(log10(max(values)))
        self.high = max(self.high, self.low + 1)
        self.start, self.end = start, end

    def place(self, value: float) -> float:
        """Where a number stands."""
        share = (log10(value) - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 1)

    @property
    def decades(self) -> list[float]:
        """The powers of ten."""
        return [10.0**power for power in range(self.low, self.high + 1)]


def _panel(panel: Panel) -> Iterator[str]:
    points = [point for line in panel.lines for point in line.points.items()]
    yield f'<text x="{LEFT}" y="18" font-size="13" font-weight="bold">{escape(panel.title)}</text>'
    if not points:
        return
    across = _Scale([x for x, _ in points], LEFT, WIDTH - RIGHT)
    up = _Scale([y for _, y in points], HEIGHT - BOTTOM, TOP)
    for value in across.decades:
        at = across.place(value)
        yield f'<path d="M{at} {TOP}V{HEIGHT - BOTTOM}" stroke="#ddd"/>'
        yield f'<text x="{at}" y="{HEIGHT - BOTTOM + 15}" text-anchor="middle">{_plain(value)}</text>'
    for value in up.decades:
        at = up.place(value)
        yield f'<path d="M{LEFT} {at}H{WIDTH - RIGHT}" stroke="#ddd"/>'
        yield f'<text x="{LEFT - 6}" y="{at + 4}" text-anchor="end">{_plain(value)}</text>'
    middle = (TOP + HEIGHT - BOTTOM) / 2
    yield f'<text x="{(LEFT + WIDTH - RIGHT) / 2}" y="{HEIGHT - 8}" text-anchor="middle">{escape(panel.across)}</text>'
    turned = f'text-anchor="middle" transform="translate(14,{middle}) rotate(-90)"'
    yield f"<text {turned}>{escape(panel.up)}</text>"
    for number, line in enumerate(panel.lines):
        yield from _line(line, across, up, TOP + 14 + 16 * number)


def _plain(value: float) -> str:
    return f"{value:,.10f}".rstrip("0").rstrip(".")


def _line(line: Line, across: _Scale, up: _Scale, key: float) -> Iterator[str]:
    """The line with its points, and its sample in the legend beside the chart."""
    style = f'stroke="{INKS[line.ink % len(INKS)]}" stroke-width="2" fill="none"'
    style += ' stroke-dasharray="5 4"' if line.dashed else ""
    places = [(across.place(x), up.place(y)) for x, y in sorted(line.points.items())]
    yield f'<path d="M{" L".join(f"{x} {y}" for x, y in places)}" {style}/>' if places else ""
    for x, y in places:
        yield f'<circle cx="{x}" cy="{y}" r="3" fill="{INKS[line.ink % len(INKS)]}"/>'
    yield f'<path d="M{WIDTH - RIGHT + 14} {key - 4}h26" {style}/>'
    yield f'<text x="{WIDTH - RIGHT + 46}" y="{key}">{escape(line.name)}</text>'
