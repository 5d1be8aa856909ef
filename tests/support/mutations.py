"""Damage to rule files, seeded: what fingers, editors, disks and the ill-willed do to text.

Run as a program (`python -m support.mutations COUNT SEED`) it damages the shipped files in a process with limits of
memory and time, reads and builds each damaged file as one changed file of the book, draws its problems, prints it, and
writes what happened as JSON.
"""

from __future__ import annotations

import json
import random
import resource
import signal
import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from types import FrameType

from coldiron.book.problem import Problem
from coldiron.drawing import draw_all
from coldiron.language.build.book import build, check_file
from coldiron.language.declared import collect
from coldiron.language.files import MOST_BYTES, RuleFile, rule_files, shipped
from coldiron.language.forms import LINES, OPENERS
from coldiron.language.printer import print_tree
from coldiron.language.read import parse_line, read
from coldiron.language.tree import Tree

SECONDS = 2.0
BYTES = 200 * 1024 * 1024
WHOLE = 50
"""Every so many-th damaged file is built with the whole book, not only checked against what the others declare."""
COLD = 20
"""Before every so many-th file the memory of lines already parsed is emptied."""

Damage = Callable[[random.Random, bytes], bytes]

NUMBERS = (
    b"9" * 400,
    b"-" + b"9" * 60,
    b"0." + b"0" * 300 + b"1",
    b"1e999",
    b"nan",
    b"-inf",
    b"0x10",
    b"1_000",
    b"1,5",
    b"+4",
    b".5",
    b"5.",
    b"--1",
    "\N{ARABIC-INDIC DIGIT FIVE}".encode(),
    "\N{SUPERSCRIPT TWO}".encode(),
    "\N{VULGAR FRACTION ONE HALF}".encode(),
)
SIGNS = (
    b"\0",
    b"\x1b[2J",
    b"\x07",
    b"\r",
    b"\x0b",
    b"\x0c",
    b"\x85",
    b"\xff",
    b"\xc0\xaf",
    b"\xed\xa0\x80",
    b"\xf4\x90\x80\x80",
    "\N{RIGHT-TO-LEFT OVERRIDE}".encode(),
    "\N{LINE SEPARATOR}".encode(),
    "\N{NO-BREAK SPACE}".encode(),
    "\N{ZERO WIDTH JOINER}".encode(),
    "\N{ZERO WIDTH NO-BREAK SPACE}".encode(),
    "e\N{COMBINING ACUTE ACCENT}".encode() * 200,
    "\N{PILE OF POO}".encode(),
    b"#",
    b" # ",
    b'"',
    b"'",
    b"{part}",
    b"{0.__class__}",
    b"%s",
    b"\\",
    b"((((((((",
    b",",
    b",,",
    b".",
    b"->",
    b"<",
    b"=",
    b":",
)


def _at(rng: random.Random, data: bytes) -> int:
    return rng.randrange(len(data) + 1)


def _lines(rng: random.Random, data: bytes, change: Callable[[list[bytes], int], object]) -> bytes:
    lines = data.split(b"\n")
    change(lines, rng.randrange(len(lines)))
    return b"\n".join(lines)


def _token(rng: random.Random, data: bytes, new: bytes) -> bytes:
    """Put something in the place of a word."""
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    words = lines[at].split(b" ")
    words[rng.randrange(len(words))] = new
    lines[at] = b" ".join(words)
    return b"\n".join(lines)


def flip(rng: random.Random, data: bytes) -> bytes:
    """One bit."""
    changed = bytearray(data or b" ")
    changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
    return bytes(changed)


def cut(rng: random.Random, data: bytes) -> bytes:
    """A stretch taken out."""
    at = _at(rng, data)
    return data[:at] + data[at + rng.choice((1, 1, 2, 5, 40, 400)) :]


def end(rng: random.Random, data: bytes) -> bytes:
    """The rest of the file gone."""
    return data[: _at(rng, data)]


def noise(rng: random.Random, data: bytes) -> bytes:
    """Random bytes put in."""
    at = _at(rng, data)
    return data[:at] + rng.randbytes(rng.choice((1, 2, 3, 30))) + data[at:]


def sign(rng: random.Random, data: bytes) -> bytes:
    """A sign that has no business there."""
    at = _at(rng, data)
    return data[:at] + rng.choice(SIGNS) + data[at:]


def line_gone(rng: random.Random, data: bytes) -> bytes:
    """A line taken out."""
    return _lines(rng, data, lambda lines, at: lines.pop(at))


def line_twice(rng: random.Random, data: bytes) -> bytes:
    """A line written twice."""
    return _lines(rng, data, lambda lines, at: lines.insert(at, lines[at]))


def line_moved(rng: random.Random, data: bytes) -> bytes:
    """A line somewhere else."""
    return _lines(rng, data, lambda lines, at: lines.insert(rng.randrange(len(lines)), lines.pop(at)))


def line_joined(rng: random.Random, data: bytes) -> bytes:
    """A line end gone."""
    found = [at for at, byte in enumerate(data) if byte == 10]
    at = rng.choice(found) if found else 0
    return data[:at] + data[at + 1 :]


def line_turned_out(rng: random.Random, data: bytes) -> bytes:
    """A line moved to column 1, or away from it."""

    def change(lines: list[bytes], at: int) -> None:
        lines[at] = lines[at].lstrip() if lines[at][:1] == b" " else b"  " + lines[at]

    return _lines(rng, data, change)


def shuffled(rng: random.Random, data: bytes) -> bytes:
    """All lines in any order."""
    lines = data.split(b"\n")
    rng.shuffle(lines)
    return b"\n".join(lines)


def letters_swapped(rng: random.Random, data: bytes) -> bytes:
    """Two letters the wrong way round."""
    at = rng.randrange(max(len(data) - 1, 1))
    return data[:at] + data[at + 1 : at + 2] + data[at : at + 1] + data[at + 2 :]


def word_other(rng: random.Random, data: bytes) -> bytes:
    """A word of the same file in the place of another."""
    return _token(rng, data, rng.choice(data.split() or [b"x"]))


def word_keyword(rng: random.Random, data: bytes) -> bytes:
    """A keyword in the place of a word."""
    return _token(rng, data, rng.choice([*LINES, *(word for lines in LINES.values() for word in lines)]).encode())


def word_number(rng: random.Random, data: bytes) -> bytes:
    """A number no meter shows in the place of a word."""
    return _token(rng, data, rng.choice(NUMBERS))


def word_long(rng: random.Random, data: bytes) -> bytes:
    """A word without end."""
    return _token(rng, data, rng.choice((b"a", b"a_", b"a.", b"a, ", b"any ", b"not ")) * rng.choice((60, 900, 9000)))


def line_long(rng: random.Random, data: bytes) -> bytes:
    """A line without end."""
    return _lines(rng, data, lambda lines, at: lines.__setitem__(at, lines[at] * rng.choice((5, 40, 400))))


def nested(rng: random.Random, data: bytes) -> bytes:
    """Openers in openers in openers."""
    times = rng.choice((3, 30, 1000))
    opener = rng.choice(OPENERS).encode()
    block = b"".join(b" " * depth + opener + b" deep\n" for depth in range(min(times, 300)))
    inner = b"kind deep\n" + b"  fault deep\n" * times + b"question deep\n" + b"  answer deep\n" * times
    at = _at(rng, data)
    return data[:at] + b"\n" + rng.choice((block, inner)) + data[at:]


def many(rng: random.Random, data: bytes) -> bytes:
    """The file over and over."""
    return data * rng.choice((2, 3, 10))


def huge(rng: random.Random, data: bytes) -> bytes:
    """Far more than a rule file has."""
    piece = rng.choice((b"\n", b"#", b"x", b"kit x\n", b"  name x\n", data or b"x"))
    return piece * (rng.choice((20_000, 400_000, 600_000)) // len(piece) + 1)


def ends_changed(rng: random.Random, data: bytes) -> bytes:
    """Other line ends."""
    return data.replace(b"\n", rng.choice((b"\r\n", b"\r", b"\n\r", b"\n\n", b"\x0b", b"\x85")))


def tabs(rng: random.Random, data: bytes) -> bytes:
    """Tabs for blanks."""
    return data.replace(rng.choice((b"  ", b" ")), b"\t")


def recoded(rng: random.Random, data: bytes) -> bytes:
    """Another encoding."""
    code = rng.choice(("utf-16", "utf-16-le", "utf-32", "utf-7", "utf-8-sig", "latin-1", "cp037"))
    return data.decode("utf-8", "replace").encode(code, "replace")


def cased(rng: random.Random, data: bytes) -> bytes:
    """Capitals."""
    return rng.choice((data.upper, data.title, data.swapcase))()


DAMAGES: tuple[Damage, ...] = (
    *(flip, cut, end, noise, sign, line_gone, line_twice, line_moved, line_joined, line_turned_out, shuffled),
    *(letters_swapped, word_other, word_keyword, word_number, word_long, line_long, nested, many, huge, ends_changed),
    *(tabs, recoded, cased),
)
"""Every sort of damage."""


def damaged(seed: int, files: list[RuleFile]) -> tuple[RuleFile, bytes, str]:
    """Return a shipped file (the larger the likelier), its bytes with one to three damages, and which."""
    rng = random.Random(seed)  # noqa: S311 - a seeded choice, no secret
    file = rng.choices(files, [len(one.data) + 1 for one in files])[0]
    data, names = file.data, []
    weights = [0.1 if damage is huge else 1.0 for damage in DAMAGES]
    for damage in rng.choices(DAMAGES, weights, k=rng.choice((1, 1, 1, 2, 3))):
        if len(data) <= 500_000:
            data = damage(rng, data)
            names.append(damage.__name__)
    return file, data[: MOST_BYTES + 1], "+".join(names)


def _check(file: RuleFile, data: bytes, others: object, trees: dict[str, Tree] | None) -> tuple[Problem, ...]:
    """Do all that is done with a changed file: read, build, draw, print."""
    tree, problems = read(file.shown, data)
    if trees is None:
        problems += check_file(tree, others)  # type: ignore[arg-type]
    else:
        problems += build((trees | {file.shown: tree}).values(), "")[1]
    text = data.decode("utf-8-sig", "replace")
    draw_all(problems, {file.shown: text}.get)
    print_tree(tree)
    count = text.count("\n") + 1
    for problem in problems:
        place = problem.place
        assert place.file, problem
        assert (place.file != file.shown) or (1 <= place.line <= count and 1 <= place.column <= place.end), problem
    return problems


def _too_long(_signal: int, _frame: FrameType | None) -> None:
    raise TimeoutError(f"more than {SECONDS} s")


def most_memory() -> int:
    """The most memory this process has held, in kB.

    Where the system tells it of the program alone: `ru_maxrss` is handed on from the process that started this one.
    """
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text(encoding="ascii").splitlines() if line.startswith("VmHWM:"))
        return int(line.split()[1])
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def main(count: int, seed: int) -> dict[str, object]:
    """Damage and check so many files; return how long the worst took, the most memory, and what went wrong."""
    resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
    signal.signal(signal.SIGALRM, _too_long)
    files, _ = rule_files(shipped())
    trees = {file.shown: read(file.shown, file.data)[0] for file in files}
    others = {name: collect(tree for other, tree in trees.items() if other != name) for name in trees}
    worst, with_problems = (0.0, ""), 0
    wrong: list[str] = []
    times: dict[str, int] = {}
    for number in range(seed, seed + count):
        file, data, names = damaged(number, files)
        if number % COLD == 0:
            parse_line.cache_clear()
        signal.setitimer(signal.ITIMER_REAL, 5 * SECONDS)
        begin = time.process_time()
        try:
            whole = trees if number % WHOLE == 0 else None
            with_problems += bool(_check(file, data, others[file.shown], whole))
        except Exception:  # noqa: BLE001 - whatever it is, it is what we look for
            wrong.append(f"seed {number}, {file.shown}, {names}: {traceback.format_exc(limit=-4)}")
        signal.setitimer(signal.ITIMER_REAL, 0)
        worst = max(worst, (time.process_time() - begin, f"seed {number}, {file.shown}, {names}"))
        times[file.shown] = times.get(file.shown, 0) + 1
    return {
        "count": count,
        "files": times,
        "with_problems": with_problems,
        "worst_seconds": worst[0],
        "worst": worst[1],
        "megabytes": most_memory() // 1024,
        "wrong": wrong[:20],
    }


if __name__ == "__main__":
    json.dump(main(int(sys.argv[1]), int(sys.argv[2])), sys.stdout)
