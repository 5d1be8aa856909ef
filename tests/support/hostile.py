"""Inputs that nobody sends in good faith, or that a bad disk does: files, words for the program, outlets that are shut.

`CASES` makes each one in a folder of its own; `tried` runs it and says how it went. A way to be started is a line for
the shell, in which `$RUN` stands for the program: it closes what a terminal leaves open, and sends what a person types.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from support.rule_text import GROUND

SECONDS = 20.0
"""A program that has said nothing for so long hangs."""

DIGITS = "9" * 5000
"""More than Python turns into an integer (4,300 digits, its documentation of `sys.set_int_max_str_digits`)."""

NAME_NOT_UTF8 = os.fsdecode(b"caf\xe9")
MEGABYTES_17 = 17 << 20

SOUND = GROUND.read_text(encoding="utf-8")


@dataclass(frozen=True)
class Tried:
    """How one case went: its exit code, what it said, seconds, and `wrong`: traceback, hang, or nothing said."""

    name: str
    code: int
    out: str
    err: str
    seconds: float
    wrong: str


@dataclass(frozen=True)
class Case:
    """A hostile input: what to write into a folder, and a line for the shell run there."""

    name: str
    line: str
    write: Callable[[Path], object] = lambda _: None


def _book(name: str, write: Callable[[Path], object], line: str = "$RUN book check book") -> Case:
    """A case of a folder `book` that holds the small sound book and something else."""

    def all_of_it(folder: Path) -> None:
        (folder / "book").mkdir()
        (folder / "book" / "ground.rules").write_text(SOUND, encoding="utf-8")
        write(folder / "book")

    return Case(f"book: {name}", line, all_of_it)


def _edited(name: str, old: str, new: str, line: str = "$RUN book check book") -> Case:
    assert old in SOUND, old
    return _book(
        name,
        lambda book: (book / "ground.rules").write_text(SOUND.replace(old, new, 1), encoding="utf-8"),
        line,
    )


def _file(name: str, data: bytes | str, line: str) -> Case:
    """A case of one file `given`."""
    content = data.encode("utf-8", "surrogateescape") if isinstance(data, str) else data
    return Case(name, line, lambda folder: (folder / "given").write_bytes(content))


def _links(book: Path) -> None:
    (book / "a.rules").symlink_to("b.rules")
    (book / "b.rules").symlink_to("a.rules")


def _deep(book: Path) -> None:
    """Folders below each other until no path reaches the lowest."""
    here = os.getcwd()  # noqa: PTH109 - the path is longer than any that can be given
    os.chdir(book)
    try:
        for _ in range(30):
            os.mkdir("d" * 200)  # noqa: PTH102 - likewise
            os.chdir("d" * 200)
        Path("x.rules").write_text("kit x\n")
    finally:
        os.chdir(here)


def _big(book: Path) -> None:
    for number in range(40):
        (book / f"{number}.rules").write_bytes(b"# filling\n" * 49_000)


def _nested(depth: int) -> str:
    return '{"id": ' + "[" * depth + "]" * depth + ', "value": 1}\n'


BOOKS = (
    _book("links in a circle", _links),
    _book("a link to itself", lambda book: (book / "a.rules").symlink_to("a.rules")),
    _book("a folder that is a link to itself", lambda book: (book / "a").symlink_to("a")),
    _book("a folder that links to the one above", lambda book: (book / "a").symlink_to("..")),
    _book("links in a circle, a job", _links, "$RUN find --plain --book book </dev/null"),
    Case("book: itself a link to itself", "$RUN book check book", lambda at: (at / "book").symlink_to("book")),
    _book("a pipe", lambda book: os.mkfifo(book / "a.rules")),
    _book("a folder named as a file", lambda book: (book / "a.rules").mkdir()),
    _book("a name that is not UTF-8", lambda book: (book / f"{NAME_NOT_UTF8}.rules").write_text("kit x\n")),
    _book(
        "a name that is not UTF-8, a job",
        lambda book: (book / f"{NAME_NOT_UTF8}.rules").write_text("# nothing\n"),
        "printf 'none\\n' | $RUN find --plain --book book",
    ),
    _book("a folder whose name is not UTF-8", lambda book: (book / NAME_NOT_UTF8).mkdir()),
    _book("a name with line ends", lambda book: (book / "a\nb\x1b[2J.rules").write_text("kit x\n")),
    _book("folders without end", _deep),
    _book("20 MB of remarks", _big),
    _book("one file of 1 TB", lambda book: os.truncate(_touched(book / "a.rules"), 1 << 40)),
    _book("nothing in it", lambda book: (book / "ground.rules").unlink()),
    _book("noughts", lambda book: (book / "a.rules").write_bytes(bytes(1000))),
    _book("UTF-16", lambda book: (book / "a.rules").write_bytes("kit x\n  name x\n".encode("utf-16"))),
    _edited("area 0", "area 4 mm2", "area 0 mm2"),
    _edited("area of the least", "area 4 mm2", "area 0.000000001 mm2"),
    _edited("area 0, a job", "area 4 mm2", "area 0 mm2", "yes 1 | head -20 | $RUN find --plain --book book"),
    _edited("volts of 5,000 digits", "volts     12", f"volts     {DIGITS}"),
    _edited("batteries of 5,000 digits", "batteries 1", f"batteries {DIGITS}"),
    _edited("an SPN of 5,000 digits", "spn     168", f"spn     {DIGITS}"),
    Case("book: not there", "$RUN book check nowhere"),
    Case("book: no name", "$RUN find --plain --book '' </dev/null"),
    Case("book: a path of 5,000 characters", f"$RUN find --plain --book {'x/' * 2500} </dev/null"),
    Case("book: a name of 5,000 characters", f"$RUN book check {'x' * 5000}"),
    Case("book: a path that is not UTF-8", f"$RUN book check {NAME_NOT_UTF8}"),
    Case("book: /dev/zero", "$RUN book check /dev/zero"),
    Case("book: a pipe for a book", "mkfifo p && $RUN book check p"),
)

JSON = {
    "nested": _nested(100_000),
    "nested objects": '{"a":' * 50_000 + "1" + "}" * 50_000 + "\n",
    "an integer of 5,000 digits": f'{{"id": "raised", "value": {DIGITS}}}\n',
    "a text of 5,000 digits": f'{{"id": "raised", "value": "{DIGITS}"}}\n',
    "an id of 5,000 digits": f'{{"id": {DIGITS}, "value": 1}}\n',
    "half a character": '{"id": "raised", "value": "\\ud800"}\n',
    "half a character for an id": '{"id": "\\udc80", "value": "none"}\n',
    "a list for a value": '{"id": "raised", "value": ["none"]}\n',
    "a list for an id": '{"id": ["raised"], "value": "none"}\n',
    "infinity": '{"id": "raised", "value": Infinity}\n',
    "noughts": "\0" * 100,
    "a code of 5,000 digits": f'{{"id": "code", "value": "{DIGITS} 1"}}\n',
    "no JSON": "none\n" * 3,
    "an escape": '{"id": "raised\\u001b[2J", "value": "x\\u001b[2J"}\n',
}
ODD_FILES = {
    "not UTF-8": b"\xff\xfe{\x00",
    "17 MB": b"# filling\n" * (MEGABYTES_17 // 10),
    "17 MB on one line": b"x" * MEGABYTES_17,
    "empty": b"",
}
ODD_PATHS = {"not there": "nowhere", "a folder": ".", "/dev/zero": "/dev/zero", "a long path": "x" * 5000}

SCRIPTS = (
    *(_file(f"answers: {name}", text, "$RUN find --answers given") for name, text in JSON.items()),
    *(_file(f"answers as events: {name}", text, "$RUN find --json --answers given") for name, text in JSON.items()),
    *(
        _file(f"{way}: {name}", data, f"$RUN find --{way} given")
        for way in ("answers", "replay")
        for name, data in ODD_FILES.items()
    ),
    *(
        Case(f"{way}: {name}", f"$RUN find --{way} {path}")
        for way in ("answers", "replay")
        for name, path in ODD_PATHS.items()
    ),
    _file("replay: digits", f"a job\n\nWhat? > {DIGITS}\n", "$RUN find --replay given"),
    _file("replay: noughts", "\0\n" * 9, "$RUN find --replay given"),
)

WORDS = (
    *(
        Case(f"words: {words[:40]}", f"$RUN {words}")
        for words in (
            f"resume {DIGITS}",
            "resume 99999999999999999999999999",
            "resume 0",
            "resume -- -5",
            f"size {DIGITS} 3 12",
            f"size 3 3 {DIGITS}",
            "size nan inf 12",
            "size 0.0000000000001 9999 24",
            f"find {'x' * 5000} --plain </dev/null",
            f"printf 'none\\n' | $RUN find {NAME_NOT_UTF8} --plain"[len("") :],
            f"{NAME_NOT_UTF8}",
            "find --bogus",
        )
        if not words.startswith("printf")
    ),
    Case("words: a job whose name is not UTF-8", f"printf 'none\\n' | $RUN find {NAME_NOT_UTF8} --plain"),
    Case("words: a job whose name is not UTF-8, again", f"echo none | $RUN find {NAME_NOT_UTF8} --plain; $RUN jobs"),
    *(Case(f"COLUMNS={wide[:9]}", f"COLUMNS={wide} $RUN --help") for wide in ("0", "-7", "3", "9" * 30, DIGITS, "x")),
    *(Case(f"in {code}", f"PYTHONUTF8=0 PYTHONIOENCODING={code} $RUN find --demo") for code in ("ascii", "latin-1")),
    Case("a cache that is a file", "COLDIRON_CACHE=/dev/null $RUN find --plain </dev/null"),
    Case("a cache whose name is not UTF-8", f"COLDIRON_CACHE={NAME_NOT_UTF8} $RUN find --plain </dev/null"),
    Case("no HOME", "env -u HOME -u COLDIRON_CACHE HOME= $RUN --version"),
)

TYPED = (
    *(
        Case(f"typed: {name}", f"{line} | $RUN find --plain")
        for name, line in {
            "5,000 digits": f"printf '%s\\n' {DIGITS} {DIGITS} none {DIGITS}",
            "change 5,000 digits": f"printf '%s\\n' none 'change {DIGITS} none' 'why {DIGITS}' 'code {DIGITS} 1'",
            "5,000 characters": "head -c 5000 /dev/zero | tr '\\0' x",
            "17 MB without an end": "head -c 17000000 /dev/zero",
            "noise": "head -c 300000 /dev/urandom",
            "not UTF-8": "printf 'none\\n\\377\\376\\n\\355\\240\\200\\nnote \\377\\n'",
        }.items()
    ),
)

_QUICK = {
    "help": "--help",
    "version": "--version",
    "jobs": "jobs",
    "size": "size 5 3m 12",
    "check": "book check",
    "find": "find --plain",
    "demo": "find --demo",
    "answers": "find --json --answers given",
    "wrong words": "fnd",
}
_ENDS = {
    "input closed": "<&-",
    "output closed": "</dev/null >&-",
    "errors closed": "</dev/null 2>&-",
    "all closed": "<&- >&- 2>&-",
    "output full": "</dev/null >/dev/full",
    "both full": "</dev/null >/dev/full 2>/dev/full",
    "reader gone": "</dev/null | true",
    "reader leaves": "</dev/null | head -c 20 >/dev/null",
}
CLOSED = tuple(
    _file(f"{end}: {command}", '{"id": "raised", "value": "none"}\n' * 3, f"$RUN {words} {how}")
    for command, words in _QUICK.items()
    for end, how in _ENDS.items()
)

CASES = (*BOOKS, *SCRIPTS, *WORDS, *TYPED, *CLOSED)


ONCE = (
    "book: links in a circle",
    "book: a link to itself",
    "book: a folder that is a link to itself",
    "book: area 0, a job",
    "book: a name that is not UTF-8, a job",
    "book: 20 MB of remarks",
    "book: a path of 5,000 characters",
    "book: a name of 5,000 characters",
    "answers: nested",
    "answers as events: nested objects",
    "answers: a text of 5,000 digits",
    "answers: /dev/zero",
    "replay: /dev/zero",
    "words: resume 99999999999999999999999999",
    "output full: version",
    "both full: jobs",
    "both full: wrong words",
    "reader gone: version",
    "output full: size",
    "output full: check",
    "both full: answers",
    "all closed: find",
)
"""Cases that once ended in a traceback, hung or did what nobody asked for, by name."""


def _touched(path: Path) -> Path:
    path.touch()
    return path


def tried(case: Case, folder: Path, env: Mapping[str, str] | None = None) -> Tried:
    """Write a case into a new folder and run it there."""
    folder.mkdir(parents=True)
    case.write(folder)
    known = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    known |= {"COLDIRON_HOME": str(folder / "home"), "RUN": f"{sys.executable} -m coldiron", **(env or {})}
    begin = time.monotonic()
    with subprocess.Popen(
        ["/bin/bash", "-c", case.line],
        cwd=folder,
        env=known,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    ) as process:
        try:
            out, err = process.communicate(timeout=SECONDS)
            hung = ""
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, 9)
            out, err = process.communicate()
            hung = "hangs"
    said = err.decode(errors="replace")
    raised = (
        "traceback" if "Traceback (most recent" in said or "Exception ignored" in said or "Fatal Python" in said else ""
    )
    died = f"ends with {process.returncode}" if process.returncode not in (0, 2, 3, 4, 5) else ""
    wrong = hung or raised or died
    return Tried(case.name, process.returncode, out.decode(errors="replace"), said, time.monotonic() - begin, wrong)
