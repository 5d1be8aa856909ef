"""The catalogue of mistakes as the manual prints it; `coldiron.language.manual` writes it there."""

from __future__ import annotations

from coldiron.mistakes import DISK, FORM, MEANING, WHOLE, Mistake

LONGEST = 70
"""Characters of a line that are shown in the manual, around its mistake: the column of a table."""

_PARTS = (
    ("Of the folder", DISK),
    ("Of form", FORM),
    ("Of meaning", MEANING),
    ("Of the book as a whole", WHOLE),
)


def table() -> str:
    """Return the catalogue in Markdown: for every mistake the line it stands in, marked, and what is said of it."""
    lines: list[str] = []
    for title, entries in _PARTS:
        lines += [f"### {title}", "", "| what is said | of a line such as |", "|---|---|"]
        lines += [f"| {_cell(_said(entry))} | {_shown(entry)} |" for entry in entries]
        lines.append("")
    return "\n".join(lines).rstrip()


def _said(entry: Mistake) -> str:
    meant = f" (did you mean '{entry.meant}'?)" if entry.meant else ""
    return f"{entry.says}{meant}{' (warning)' if entry.warning else ''}"


def _shown(entry: Mistake) -> str:
    """Return the marked line of an example, as code."""
    texts = (entry.example, *(new for _, new in entry.edits))
    line = next((line.strip() for text in texts for line in text.split("\n") if "«" in line), "")
    if len(line) > LONGEST:
        at = max(0, line.index("«") - LONGEST // 2)
        line = f"... {line[at : at + LONGEST]} ..."
    line = "".join(letter if letter.isprintable() else f"<{ord(letter):04X}>" for letter in line)
    return f"`{_cell(line)}`" if line else ""


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("«»", "«  »")
