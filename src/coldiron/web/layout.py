"""What of a page goes where on a phone: what can hurt first, then the one thing to do, its answers, the rest below."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from coldiron.screens.lines import Block, CautionBlock, Drawn, Heading, Page, Saved, Suspects, Text
from coldiron.telling.so_far import SoFar

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")

UNITS = {"V": ("V", "mV"), "A": ("A", "mA"), "ohm": ("ohm", "kohm")}
"""The units that a reading may be given in, by that of its check."""

LEFT_OUT = ("cannot reach", "not sure", "not fitted")
"""What can be said of a check that is not made."""

ASKS = ("why", "what", "map", "again")
STEPS = ("back", "change", "park")
"""What the rows of small answers say."""

COLUMNS = 60
"""Of a drawing: it is moved sideways where the phone is narrower."""

WITH_TEXT = ("note", "told", "code", "change", "done", "why", "card")
"""Words that take a text of their own."""


class PhonePage(NamedTuple):
    """What a page shows: what its template fills in, its mark, and whether an entry was answered in words only."""

    fields: dict[str, Any]
    at: str
    replied: bool


def shown(page: Page, consultation: SoFar, at: str, reply: tuple[Block, ...], *, parked: bool) -> PhonePage:
    """Return a page as a phone shows it.

    Args:
        page: of the driver.
        consultation: its job.
        at: the mark of the page.
        reply: what was said to the last entry.
        parked: whether the page is a farewell.
    """
    heads = {"title": page.title, "at": at, "parked": parked, "replies": _texts(reply)}
    return PhonePage(heads | _below(page, consultation), at, bool(reply))


def _below(page: Page, consultation: SoFar) -> dict[str, Any]:
    asked = consultation.next
    blocks = page.blocks
    prompt = page.prompt
    check = asked is not None and asked.id in consultation.book.checks
    return {
        "saved": next((block.text for block in blocks if isinstance(block, Saved)), ""),
        "hurts": [_caution(block) for block in blocks if _is_caution(block)],
        "texts": _texts(block for block in blocks if not _is_caution(block)),
        "likely": next((block.rows for block in blocks if isinstance(block, Suspects)), ()),
        "choices": page.choices if prompt is None or not prompt.guards else (),
        "several": asked is not None and asked.several,
        "prompt": prompt,
        "confirm": _confirm(consultation) if prompt is not None and prompt.guards else None,
        "units": UNITS.get(asked.unit, ()) if asked is not None else (),
        "left_out": LEFT_OUT if check else ("not sure",) if asked is not None and prompt is not None else (),
        "asks": ASKS,
        "steps": STEPS,
        "with_text": WITH_TEXT,
    }


def _confirm(consultation: SoFar) -> dict[str, Any]:
    """What is ticked and said where a caution is confirmed: each that is shown in full, then one word for the page."""
    asked = consultation.next
    if asked is None:
        return {}
    full = [caution for caution in asked.cautions if caution.id not in asked.beside]
    return {
        "ticks": [f"{caution.type}: {first_sentence(caution.hazard)}" for caution in full],
        "word": asked.choices[0],
    }


def first_sentence(text: str) -> str:
    """Return a text up to the end of its first sentence: the whole of it stands above on the same page."""
    return f"{text.partition('. ')[0].rstrip('.')}."


def _is_caution(block: Block) -> bool:
    return isinstance(block, CautionBlock) or (isinstance(block, Text) and block.label in SIGNALS)


def _caution(block: Block) -> tuple[str, tuple[str, ...]]:
    """The signal word and the sentences of a caution."""
    if isinstance(block, CautionBlock):
        return block.word, (block.hazard, block.harm, block.avoid)
    return (block.label, (block.text,)) if isinstance(block, Text) else ("", ())


def _texts(blocks: Iterable[Block]) -> list[tuple[str, str, str]]:
    """Headings and paragraphs in their order: what it is, label, text."""
    found = []
    for block in blocks:
        if isinstance(block, Heading):
            found.append(("heading", "", block.text))
        elif isinstance(block, Text):
            found.append(("aside" if block.aside else "text", block.label, block.text))
        elif isinstance(block, Drawn):
            found += [("drawn", "", row) for row in block.rows(COLUMNS)]
        elif isinstance(block, CautionBlock):
            found.append(("text", block.word, f"{block.hazard} {block.harm} {block.avoid}"))
    return found
