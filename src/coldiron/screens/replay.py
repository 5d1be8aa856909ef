"""Replaying recorded consultations: byte for byte, or at a reader's pace as a demonstration."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TextIO

from coldiron.book.book import Book
from coldiron.bounded import UnreadableError, text_of
from coldiron.consult.session import Consultation
from coldiron.plaintext import one_line
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import Save
from coldiron.screens.plain import run
from coldiron.screens.transcript import split, typed
from coldiron.terminal import ask, is_one, tell

DEMO = "02"
"""The recorded job that `find --demo` shows begins with this number."""


def keep_nothing(_: object) -> None:
    """Commits to nowhere: a replay leaves no trace."""


def replay(book: Book, path: Path) -> int:
    """Play a recorded consultation again; the output is the recording without its header."""
    try:
        text = text_of(path)
    except UnreadableError as error:
        tell(one_line(str(error), 600), error=True)
        return 2
    play(book, text)
    return 0


def play(book: Book, text: str, out: TextIO | None = None) -> None:
    """Play the recording in `text` and write what the plain screen writes."""
    title, answers = recorded(text)
    source = io.StringIO("".join(f"{line}\n" for line in answers))
    save: Save = keep_nothing
    run(JobDriver(title, Consultation(book)), save, source, out)


def recorded(text: str) -> tuple[str, tuple[str, ...]]:
    """The title of a recorded job and the lines that were typed."""
    _, output = split(text)
    title = next((line for line in output.splitlines() if line), "").partition(" · ")[0]
    return title, typed(output)


def folder() -> Path:
    """The folder of the shipped recordings: inside the package when installed, else the source tree's."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "demo"
    return inside if inside.is_dir() else package.parents[1] / "transcripts_demo"


class _Paced(io.StringIO):
    """Typed lines that wait for the reader to press Enter before each."""

    def readline(self, size: int | None = -1, /) -> str:  # type: ignore[override]  # its stub asks for bytes
        if not ask("[Enter for the next step] "):
            return ""
        return super().readline(-1 if size is None else size)


def demo(book: Book) -> int:
    """Show the recorded demonstration, a step at each Enter on a terminal, all at once elsewhere."""
    path = next(iter(sorted(folder().glob(f"{DEMO}_*.txt"))), None)
    if path is None:
        tell("No recorded jobs are installed.", error=True)
        return 2
    text = path.read_text(encoding="utf-8")
    if not is_one():
        play(book, text)
        return 0
    title, answers = recorded(text)
    save: Save = keep_nothing
    run(JobDriver(title, Consultation(book)), save, _Paced("".join(f"{line}\n" for line in answers)))
    return 0
