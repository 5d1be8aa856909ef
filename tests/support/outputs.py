"""Every way by which a text from outside reaches a terminal: each command is run with it, in this process."""

from __future__ import annotations

import contextlib
import io
import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from pathlib import Path
from unittest.mock import patch

from coldiron import Consultation, cli
from coldiron.cards.folder import path_of
from coldiron.cli import book, commands, find, machine, resume
from coldiron.job.steps import NoteStep
from coldiron.jobs.home import FILE
from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import CautionBlock, Choices, Heading, Page, Prompt, Saved, Suspects, Text
from coldiron.screens.opening import painted
from coldiron.screens.plain import run, show
from coldiron.screens.replay import keep_nothing
from coldiron.screens.script import answer_event, dump
from support.mechanic import shipped
from support.payloads import LONGEST_LINE, OWN, offences

PARSER = cache(partial(commands.parser_for, (*commands.COMMANDS, *book.COMMANDS)))
"""Made once, for making it takes longer than all that is done with it here."""

START = Consultation(shipped())


def written(arguments: Sequence[str], typed: str = "") -> str:
    """What a command writes to both its outputs."""
    out = io.StringIO()
    with (
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(out),
        contextlib.suppress(SystemExit),
        patch.object(sys, "stdin", io.StringIO(typed)),
        patch.object(find, "book_to_use", lambda _: shipped()),
        patch.object(resume, "book_to_use", lambda _: shipped()),
        patch.object(machine, "book_to_use", lambda _: shipped()),
        patch.object(commands, "parser_for", lambda _: PARSER()),
    ):
        cli.main(arguments)
    return out.getvalue()


def saveable(text: str) -> str:
    """The text as a file can hold it."""
    return text.encode("utf-8", "replace").decode()


def nameable(text: str) -> str:
    """The text as a name of a file can be: no NUL, no slash, not too long, bytes that are no letters let through."""
    name = "".join(letter for letter in text if letter not in "\0/" and not "\ud800" <= letter <= "\udc7f")
    name = "".join(letter for letter in name if not "\udd00" <= letter <= "\udfff")
    while len(os.fsencode(name)) > 200:
        name = name[: len(name) // 2]
    return name or "x"


def each(text: str, folder: Path) -> Iterator[tuple[str, str]]:
    """Outputs with one text in them, by name."""
    yield "a command", written([text])
    yield "an option", written(["find", f"--{text}"])
    yield (
        "a number",
        written(["resume", text]) + written(["size", text, "2m", "12"]) + written(["size", "2", "2m", text]),
    )
    for name, line in (
        ("a line of a script", text),
        ("an id in a script", json.dumps({"id": text, "value": "x"})),
        ("a value in a script", json.dumps({"id": "raised", "value": text})),
    ):
        script = folder / "script"
        script.write_text(saveable(line) + "\n", encoding="utf-8")
        yield name, written(["find", "--answers", str(script)])
    script = folder / "script"
    note = json.dumps({"id": "raised", "value": "none"}) + "\n"
    script.write_text(note, encoding="utf-8")
    named = folder / nameable(text)
    yield "a path", written(["find", "--answers", str(named)]) + written(["find", "--replay", str(named)])
    with patch.dict(os.environ, {"COLDIRON_HOME": str(script / nameable(text))}):
        yield "the environment", written(["jobs"])
    yield "a title", _title(text)
    yield "a page", _page(text)


def _title(text: str) -> str:
    out = io.StringIO()
    show(JobDriver(text, START, earlier=(text,), said=(text,)).page(), out)
    return out.getvalue()


def _typed(texts: Sequence[str]) -> str:
    """What is written where each text is typed, and asked for, explained and noted; a page at the beginning only."""
    words = ("", "why ", "what ", "change raised ", "note ")
    out = io.StringIO()
    typed = "".join(f"{word}{text}\n" for text in map(saveable, texts) for word in words[:-1])
    run(
        JobDriver("roller", START),
        keep_nothing,
        io.StringIO(typed + "".join(f"note {saveable(text)}\n" for text in texts[:3])),
        out,
    )
    return out.getvalue()


def _page(text: str) -> str:
    """Blocks of every sort, as plain lines and as the first page on a terminal."""
    blocks = (
        *(Heading(text), Text(text, label=text), CautionBlock(text, text, text, text), Suspects(((text, 0.5),))),
        *(Choices(((text, text),)), Saved(text), Prompt(text, hint=text, words=(text,))),
    )
    page = Page(text, blocks)
    out = io.StringIO()
    show(page, out)
    return out.getvalue() + OWN.sub("", painted(page, (80, 24)))


def together(texts: Sequence[str], folder: Path) -> Iterator[tuple[str, str]]:
    """Outputs with many texts in them: the list of jobs, jobs resumed, rule files judged, recordings, events."""
    yield "typed lines", "".join(_typed(texts[at : at + 50]) for at in range(0, len(texts), 50))
    home = folder / "home"
    with patch.dict(os.environ, {"COLDIRON_HOME": str(home)}):
        with open_store(home / FILE) as store:
            for text in map(saveable, texts):
                job = store.create(text, shipped().hash, text)
                store.append_all(job.id, 0, [Entry("note", "", text), Entry("answer", text, text)])
                store.remark(job.id, text, text)
        yield "the list of jobs", written(["jobs"])
        yield "a job resumed", "".join(written(["resume", str(number)]) for number in range(1, len(texts), 50))
        yield "a new job", "".join(written(["find", text], "none\npark\n") for text in texts[::50])
        yield "cards", _cards(texts)
    recording = folder / "recording"
    recording.write_text("# x\n\n" + "".join(f"Your answer > {saveable(text)}\n" for text in texts), encoding="utf-8")
    yield "a recording", written(["find", "--replay", str(recording)])
    script = folder / "script"
    notes = "".join(f"{json.dumps({'id': 'raised', 'value': 'none'})}\n" for _ in texts[:1])
    script.write_text(notes, encoding="utf-8")
    yield (
        "events",
        "".join(f"{dump(answer_event(NoteStep(text)))}\n" for text in texts if len(text) < LONGEST_LINE // 12),
    )
    yield "events of a script", written(["find", "--json", "--answers", str(script)])
    yield "rule files", "".join(_judged(texts[at : at + 50], folder) for at in range(0, len(texts), 50))


def _cards(texts: Sequence[str]) -> str:
    """Cards with each text as a name, a note, and whatever a damaged file may hold: listed, shown, taken over."""
    told = ""
    for number, text in enumerate(map(saveable, texts[::CARDS])):
        path_of("card 1").parent.mkdir(exist_ok=True, mode=0o700)
        lines = ("machine card_1", f"  name {text}", f"  note battery {text}", f"{text} {text}" if number % 2 else "")
        path_of("card 1").write_text("\n".join(lines), encoding="utf-8")
        told += (
            written(["machine"]) + written(["machine", "card 1"]) + written(["find", "card 1"], "none\ncard\npark\n")
        )
        told += written(["machine", text]) + written(["machine", "card 1", "--note", "battery", text])
    return told


CARDS = 10
"""Of so many texts one is put on a card: each is looked at by five commands."""


def _judged(texts: Sequence[str], folder: Path) -> str:
    book = folder / f"{nameable(texts[0])}{len(texts)}"
    book.mkdir(exist_ok=True)
    rules = book / f"{nameable(texts[-1])}.rules"
    rules.write_bytes("".join(f"rule x{text}\n  because {text}\n" for text in map(saveable, texts)).encode())
    return written(["book", "check", str(book)]) + written(["book", "prove", str(rules)])


def counted(texts: Sequence[str], told: Callable[[str, str], None] = lambda _name, _text: None) -> dict[str, int]:
    """By output, how many runs let something reach the terminal raw. `told` hears of each."""
    counts: dict[str, int] = {}
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        runs = [run for text in texts for run in each(text, folder)]
        for name, output in [*runs, *together(texts, folder)]:
            found = offences(output)
            counts[name] = counts.get(name, 0) + bool(found)
            if found:
                told(name, f"{found[:6]} in {output[:200]!r}")
    return counts
