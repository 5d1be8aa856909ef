"""The sums of a plan written out: one line of Python for each row, without loop or bookkeeping.

The rows of a network and who is joined to whom never change once it is planned; only the figures do. A loop over
tuples of slots spends most of its time on the tuples. So the loops are run once, and write down the sums they would
have done, in the order they would have done them; Python compiles that. Every figure is the same to the last bit, in
half the time and less. The text is made of row and slot numbers alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from typing import Any

Span = tuple[tuple[int, int], ...]
Terms = tuple[tuple[int, tuple[tuple[int, int], ...]], ...]

Figures = list[float]


class Straight:
    """The sums of one plan, each written out when it is first asked for.

    Rows are numbered in order of removal, the reference last. `spans` are those of the plan; `gather` gives for each
    slot among the kept rows (slot, terms) from the rows before them, `last` for each kept row the same from the kept
    rows before it; a term (p, q) adds share[p] * siemens[q]. See `Factor` for what the sums mean.
    """

    def __init__(self, spans: Sequence[Span], gather: Terms, last: Sequence[Terms]) -> None:
        self._spans = spans
        self._gather = gather
        self._last = last
        self._size = len(spans)
        self._top = len(spans) - len(last)

    @cached_property
    def gathered(self) -> Callable[[Figures, Figures, Sequence[float]], Figures]:
        """(siemens, share, base) to the siemens among the kept rows, by slot from the first of theirs."""
        sums = [_sum([f"base[{slot}]", *_products("share[{}]*siemens[{}]", terms)]) for slot, terms in self._gather]
        return _made("siemens, share, base", [f"return [{', '.join(sums)}]"])

    @cached_property
    def kept(self) -> Callable[[Figures, Figures, Sequence[float]], None]:
        """(share, ohms, held): work the kept rows from the siemens among them."""
        first = self._gather[0][0] if self._gather else 0
        lines: list[str] = []
        for row, items in enumerate(self._last, self._top):
            for slot, terms in items:
                lines.append(f"g{slot} = {_sum([f'held[{slot - first}]', *_products('s{}*g{}', terms)])}")
            lines.append(f"ohms[{row}] = r = 1.0 / ({_sum([f'g{slot}' for slot, _ in items])})")
            lines += [f"share[{slot}] = s{slot} = g{slot} * r" for slot, _ in items]
        return _made("share, ohms, held", lines)

    @cached_property
    def volts(self) -> Callable[[Figures, Figures, Figures], Figures]:
        """(share, ohms, amps) to the volts of every row for the amps put into each; `amps` is used up."""
        return _made("share, ohms, amps", self._volts(0))

    @cached_property
    def kept_volts(self) -> Callable[[Figures, Figures, Figures], Figures]:
        """The same of the kept rows alone, which take all the amps; the others are left at 0."""
        return _made("share, ohms, amps", self._volts(self._top))

    @cached_property
    def finish(self) -> Callable[[Figures, Figures, Figures], Figures]:
        """(share, ohms, volts) to the bounds of source ohms by row; the volts below the kept rows are filled in."""
        lines = [f"v{row} = volts[{row}]" for row in range(self._top, self._size)]
        for row in range(self._size - 1, -1, -1):
            above = self._above(row)
            lines += [f"s{slot} = share[{slot}]" for slot, _ in above]
            lines.append(f"b{row} = {_sum([f'ohms[{row}]', *(f's{slot}*b{high}' for slot, high in above)])}")
            if row < self._top:
                lines.append(f"v{row} = {_sum([f's{slot}*v{high}' for slot, high in above])}")
        lines.append(f"volts[:{self._top}] = [{_listed('v', range(self._top))}]")
        lines.append(f"return [{_listed('b', range(self._size))} 0.0]")
        return _made("share, ohms, volts", lines)

    def _volts(self, start: int) -> Iterable[str]:
        for row in range(start, self._size):
            yield f"x = amps[{row}]"
            yield "if x:"
            yield from (f"    amps[{high}] += share[{slot}] * x" for slot, high in self._spans[row])
        for row in range(self._size - 1, start - 1, -1):
            shares = [f"share[{slot}]*v{high}" for slot, high in self._above(row)]
            yield f"v{row} = {_sum([f'amps[{row}] * ohms[{row}]', *shares])}"
        yield f"return [{'0.0, ' * start}{_listed('v', range(start, self._size))} 0.0]"

    def _above(self, row: int) -> list[tuple[int, int]]:
        """What a row is joined to but the reference, which is at 0."""
        return [(slot, high) for slot, high in self._spans[row] if high < self._size]


def _sum(terms: Sequence[str]) -> str:
    return " + ".join(terms) or "0.0"


def _products(form: str, terms: Iterable[tuple[int, int]]) -> list[str]:
    return [form.format(p, q) for p, q in terms]


def _listed(letter: str, rows: Iterable[int]) -> str:
    return "".join([f"{letter}{row}, " for row in rows])


def _made(takes: str, lines: Iterable[str]) -> Callable[..., Any]:
    """A function of the lines."""
    text = "\n".join([f"def worked({takes}):", " pass", *(f" {line}" for line in lines)])
    named: dict[str, Any] = {}
    exec(compile(text, __name__, "exec"), named)  # noqa: S102 - made of numbers alone, none of them from outside
    made: Callable[..., Any] = named["worked"]
    return made
