"""The package leaves the process that uses it as it was; the command line alone sets up its own."""

from __future__ import annotations

import gc
import subprocess
import sys

import pytest  # noqa: TC002 - annotations name its fixtures

from coldiron.cli import main
from coldiron.collector import THRESHOLDS

STANDARD = 2_000
"""The interpreter's own first threshold, by its documentation: 700, from CPython 3.12 on 2,000."""

PROGRAM = """
import gc, locale, os, signal, sys, threading, warnings

def stands():
    handlers = [signal.getsignal(number) for number in signal.valid_signals()]
    hooks = (sys.excepthook, sys.unraisablehook, sys.displayhook, threading.excepthook)
    limits = (sys.getrecursionlimit(), sys.getswitchinterval(), gc.get_threshold(), gc.isenabled())
    outlets = (sys.stdin, sys.stdout, sys.stderr, sys.stdout.errors, sys.stderr.errors)
    place = (os.getcwd(), dict(os.environ), locale.setlocale(locale.LC_ALL), list(warnings.filters))
    return handlers, hooks, limits, outlets, place, gc.get_freeze_count(), threading.active_count()

def refused(*_):
    raise AssertionError("the collector is the host's own")

before = stands()
gc.disable = gc.enable = gc.freeze = gc.set_threshold = gc.collect = refused
from coldiron import Consultation, load_book
book, problems = load_book()
job = Consultation(book)
while job.next is not None and job.next.kind != "check":
    job = job.answer(job.next.id, job.next.choices[0] if job.next.choices else "12.6")
assert job.suspects
assert stands() == before
"""


def test_a_consultation_changes_nothing_of_its_host() -> None:
    """From loading a book to the first check: collector, signals, hooks, limits, outlets, place stay as they were."""
    done = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_command_sets_up_its_own_process(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """It works one job and ends: its collector walks seldom."""
    asked: list[tuple[int, ...]] = []
    monkeypatch.setattr(gc, "set_threshold", lambda *given: asked.append(given))
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    main(["--version"])
    assert asked == [THRESHOLDS]
    assert THRESHOLDS[0] > STANDARD
    assert capsys.readouterr().out
