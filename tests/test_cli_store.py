"""Trouble with the disk at the command line: a sentence, exit code 5, and nothing of the old data lost."""

from __future__ import annotations

import io
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from coldiron.cli import DONE, STORE, main
from coldiron.jobs.home import FILE
from coldiron.jobs.trouble import StoreTrouble
from coldiron.screens.driver import JobDriver
from coldiron.screens.resuming import old_job
from support.mechanic import shipped


def type_in(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def begun(monkeypatch: pytest.MonkeyPatch, folder: Path) -> Path:
    """A folder with one parked job in it."""
    monkeypatch.setenv("COLDIRON_HOME", str(folder))
    type_in(monkeypatch, "none", "park")
    assert main(["find", "Roller"]) == DONE
    return folder / FILE


def test_a_home_that_is_a_file_is_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is shown as saved, and the exit code says where the trouble is."""
    (tmp_path / "home").write_text("not a folder", encoding="utf-8")
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path / "home"))
    type_in(monkeypatch, "none")
    assert main(["find"]) == STORE
    said = capsys.readouterr()
    assert "COLDIRON_HOME" in said.err
    assert "Saved" not in said.out
    assert main(["jobs"]) == STORE
    assert main(["resume"]) == STORE


PLAIN_USER = ("setpriv", "--bounding-set=-dac_override,-dac_read_search") if os.geteuid() == 0 else ()
"""What begins a command that may write only where it is allowed to: root may everywhere."""


@pytest.mark.skipif(bool(PLAIN_USER) and shutil.which("setpriv") is None, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written_is_a_sentence(tmp_path: Path) -> None:
    """The command itself, in a home that it may read only."""
    (tmp_path / "shut").mkdir(mode=0o500)
    done = subprocess.run(
        [*PLAIN_USER, sys.executable, "-m", "coldiron", "find", "--plain"],
        input="none\n",
        env={**os.environ, "COLDIRON_HOME": str(tmp_path / "shut" / "home")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == STORE, done.stderr
    assert "cannot be written" in done.stderr
    assert "Saved" not in done.stdout
    assert not any((tmp_path / "shut").iterdir())


def test_a_locked_file_is_a_sentence_and_keeps_what_was_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """While another program holds it nothing is saved; afterwards everything is there."""
    file = begun(monkeypatch, tmp_path)
    holder = sqlite3.connect(file, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    type_in(monkeypatch, "12 V")
    assert main(["resume"]) == STORE
    assert "held by another program" in capsys.readouterr().err
    holder.execute("ROLLBACK")
    holder.close()
    type_in(monkeypatch, "park")
    assert main(["resume"]) == DONE
    assert "What is it? Choose" in capsys.readouterr().out


def test_a_damaged_file_is_a_sentence_and_left_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = begun(monkeypatch, tmp_path)
    with sqlite3.connect(file) as settled:
        settled.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    settled.close()
    spoilt = b"\x00" * 600 + file.read_bytes()[600:]
    file.write_bytes(spoilt)
    for arguments in (["resume"], ["jobs"]):
        type_in(monkeypatch)
        assert main(arguments) == STORE
        assert "damaged" in capsys.readouterr().err
    assert file.read_bytes() == spoilt


def test_a_job_answered_in_two_windows_is_never_doubled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The window that comes second is told, and its answer is not saved."""
    begun(monkeypatch, tmp_path)
    first, one = old_job(None, shipped(), None)
    second, other = old_job(None, shipped(), None)
    entered, also = one.enter("12 V"), other.enter("24 V")
    assert isinstance(entered, JobDriver)
    assert isinstance(also, JobDriver)
    first.save(entered.unsaved)
    with pytest.raises(StoreTrouble, match="another window"):
        second.save(also.unsaved)
    type_in(monkeypatch, "park")
    assert main(["resume"]) == DONE
    assert "What lies between the key switch and the starter?" in capsys.readouterr().out
