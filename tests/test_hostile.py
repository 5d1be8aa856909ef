"""No input, file, name or closed outlet ends a command in a traceback, or keeps it waiting."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from coldiron import load_book
from support.hostile import CASES, ONCE, tried

ALL = os.environ.get("COLDIRON_THOROUGH") == "1"


def test_no_hostile_input_ends_in_a_traceback(tmp_path: Path) -> None:
    """Those that once did; on the thorough run every case."""
    load_book()  # built once, and then kept for all of them
    chosen = [case for case in CASES if ALL or case.name in ONCE]
    assert {case.name for case in chosen} >= set(ONCE)
    with ThreadPoolExecutor(2) as pool:
        done = list(pool.map(tried, chosen, (tmp_path / str(number) for number in range(len(chosen)))))
    assert [(one.name, one.wrong, one.err[-400:]) for one in done if one.wrong] == []
    told = {one.name: one for one in done}
    assert told["answers: /dev/zero"].err == "/dev/zero is longer than 16 MB; nothing of it is used.\n"
    assert "area must lie between 0.01 and 1e+09: 0" in told["book: area 0, a job"].err
    assert "its name is no UTF-8" in told["book: a name that is not UTF-8, a job"].err
    assert "may have 16 MB together" in told["book: 20 MB of remarks"].out
    assert told["output full: size"].err == "What was to be shown could not be written: No space left on device.\n"
