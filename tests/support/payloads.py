"""Texts that try to reach a terminal as commands, and what of them did reach it."""

from __future__ import annotations

import random
import re
import unicodedata

LONGEST_LINE = 4_000
"""Characters of one line of any output: nobody reads more, and a screen that scrolls for minutes hides what matters."""

STACKED = 3
"""Combining marks on one letter: no written language needs more, and a pile of them paints over the lines around."""

OWN = re.compile(r"\x1b\[(?:[0-9;]*[mHJK]|\?1049[hl]|\?25[hl])")
"""What a drawn page itself sends to a terminal: looks, places, clearing, the second page, the cursor."""

SHAPES = (
    "\x1b[2J{}\x1b[H",
    "\x1b]0;{}\x07",
    "\x1b]52;c;{}\x1b\\",
    "\x1b]8;;http://x/{}\x07x\x1b]8;;\x07",
    "\x1bP{}\x1b\\",
    "\x1bc{}",
    "\x1b[201~{}\x1b[200~",
    "\x9b31m{}\x9b0m",
    "\x9d0;{}\x9c",
    "\x90{}\x9c",
    "\u202e{}\u202c",
    "\u2066{}\u2069",
    "\u200f{}\u061c",
    "\u200b{}\u200d\u2060\ufeff\u00ad",
    "\U000e0041{}\U000e007f",
    "\ud800{}\udfff",
    "\udc9b{}",
    "Saved (9).\r{}",
    "{}\x08\x08\x08\x7f",
    "{}\nDANGER: all clear",
    "{}\r\n\r\n",
    "{}\x0b\x0c\x85\u2028\u2029",
    "\x00{}\x00",
    "\x0e{}\x0f\x05\x07",
    "a\u0301\u0302\u0303\u0304\u0305\u0306\u0307\u0308\u0309\u030a{}",
    "\u0489\u0489\u0489\u0489\u0489{}",
    "\u3164\u115f\u1160\uffa0{}",
    "\uffff\U0010ffff\ue000\ufff9{}\ufffb",
)


def payloads(count: int, seed: int = 11) -> list[str]:
    """So many texts: each shape around some letters, then shapes within shapes, drawn letters; a few very long."""
    chance = random.Random(seed)  # noqa: S311 - no secret
    found = [shape.format("m") for shape in SHAPES]
    found += [shape.format(text) for shape in SHAPES[::9] for text in ("long" * 30_000, "very long " * 3_000)]
    while len(found) < count:
        if chance.random() < 0.5:
            inner = "".join(chance.choice(SHAPES).format(chance.choice(("12", "x", ""))) for _ in range(3))
            found.append(chance.choice(SHAPES).format(inner))
        else:
            found.append("".join(chr(_drawn(chance)) for _ in range(chance.randint(1, 40))))
    return found[:count]


RANGES = (
    *((0, 31), (127, 159), (0x300, 0x36F), (0x200B, 0x200F), (0x2028, 0x202E), (0x2060, 0x206F), (0xD800, 0xDFFF)),
    *((0xFFF0, 0xFFFF), (0xE0000, 0xE007F), (33, 126), (0, 0x10FFFF)),
)
"""First and last code point: controls of both sorts, what is invisible, marks, halves of pairs, letters, and any."""


def _drawn(chance: random.Random) -> int:
    return chance.randint(*chance.choice(RANGES))


def offences(output: str) -> list[str]:
    """What of an output a terminal could take for a command, or that hides or paints over other text."""
    found = {repr(letter) for letter in output if letter != "\n" and not letter.isprintable()}
    found |= {repr(letter) for letter in output if letter in "\u3164\u115f\u1160\uffa0"}
    if any(len(line) > LONGEST_LINE for line in output.split("\n")):
        found.add("a line without end")
    if _piled(output):
        found.add("a pile of marks")
    return sorted(found)


def _piled(text: str) -> bool:
    """Whether a mark stands on nothing, or more of them on one letter than `STACKED`."""
    pile = STACKED
    for letter in "" if text.isascii() else text:
        if unicodedata.category(letter) not in ("Mn", "Me"):
            pile = STACKED if letter in "\n " else 0
            continue
        pile += 1
        if pile > STACKED:
            return True
    return False
