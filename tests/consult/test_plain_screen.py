"""The plain screen: lines in, lines out, never an escape byte, and nothing shown as saved before it is."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.jobs.trouble import StoreTrouble, trouble
from coldiron.screens.lines import CautionBlock, End, Heading, Text
from coldiron.screens.plain import LONGEST, run
from support.terminal import Terminal
from support.toy_driver import Toy

TOY = [sys.executable, str(Path(__file__).parents[1] / "support" / "toy_driver.py"), "plain"]


def show(typed: str, driver: Toy | None = None) -> tuple[End, str, list[Entry]]:
    """Run on the typed lines: how it ended, what was written, what was saved."""
    saved: list[Entry] = []
    out = io.StringIO()
    end = run(driver or Toy(), saved.extend, io.StringIO(typed), out)
    return end, out.getvalue(), saved


def test_a_whole_consultation() -> None:
    """The page, the answer, and the next page with what was saved follow each other to the verdict."""
    end, out, saved = show("crank chocked\n1\n12.6\n0,3 V\n")
    assert end.how == "over"
    assert [entry.value for entry in saved] == ["chocked", "1", "12.6", "0,3 V"]
    parts = (
        "! DANGER: With",
        "> crank chocked\n",
        "Saved: chocked",
        "  1  lamps normal",
        "Saved: 12.6 V",
        "Saved: 0.3 V",
    )
    places = [out.index(part) for part in (*parts, "The main link is blown.")]
    assert places == sorted(places)


def test_input_that_ends_prints_the_question_and_how_to_answer() -> None:
    """With nothing to read the first question stands there with the words that may be typed, and it is parked."""
    end, out, saved = show("")
    assert (end.how, [entry.kind for entry in saved]) == ("ended", ["park"])
    assert "What you see > " in out
    assert "why  what  skip" in out
    assert "coldiron resume 7" in out


@given(st.lists(st.text(" \t\u00a0", max_size=5), max_size=8))
def test_blank_lines_accept_nothing(lines: list[str]) -> None:
    """However often Enter is pressed, no caution is acknowledged and no reading taken."""
    for log in ((), (Entry("ack", "crank", "chocked"),), (Entry("ack", "crank", "chocked"), Entry("answer", "c", "1"))):
        _, _, saved = show("".join(f"{line}\n" for line in lines), Toy(log))
        assert [entry.kind for entry in saved] == ["park"]


@given(st.text(max_size=80), st.text(st.characters(codec="utf-8"), max_size=80))
def test_no_escape_byte_whatever_the_book_and_the_user_say(said: str, typed: str) -> None:
    """No text of a page and nothing typed brings a control character to the output, but for the ends of lines."""
    _, out, _ = show(
        f"{typed}\ncrank chocked\n", Toy(extra=(Heading(said), Text(said, said), CautionBlock(said, said, "", said)))
    )
    assert all(character.isprintable() for character in out.replace("\n", ""))


def test_a_refusal_points_at_the_place() -> None:
    """The mark stands under the character that is wrong, and the question is asked again."""
    _, out, saved = show("crank chocked\n1\n12..6\n")
    line = next(index for index, text in enumerate(out.splitlines()) if text.endswith("12..6"))
    asked, mark = out.splitlines()[line : line + 2]
    assert asked[: mark.index("^") + 1] == "Volts > 12.."
    assert [entry.value for entry in saved][:2] == ["chocked", "1"]


def test_nothing_is_shown_as_saved_that_was_not() -> None:
    """When the commit fails its trouble goes to the caller, and the output does not say saved."""
    out = io.StringIO()

    def full(_: tuple[Entry, ...]) -> None:
        raise trouble("full", "jobs")

    with pytest.raises(StoreTrouble) as caught:
        run(Toy(), full, io.StringIO("crank chocked\n"), out)
    assert caught.value.kind == "full"
    assert "Saved" not in out.getvalue()


def test_a_line_too_long_is_one_answer() -> None:
    """What comes after the longest line that is looked at is not taken for an answer of its own."""
    _, _, saved = show("x" * LONGEST + "crank chocked\ncrank chocked\n")
    assert [entry.value for entry in saved] == ["chocked", ""]


def test_works_in_any_thread() -> None:
    """Outside the main thread signals are left alone and the rest works."""
    ends: list[End] = []
    thread = threading.Thread(target=lambda: ends.append(show("crank chocked\n")[0]))
    thread.start()
    thread.join()
    assert ends[0].how == "ended"


def test_output_that_cannot_hold_a_character_gets_another() -> None:
    """On a terminal without the letters of the page, others stand for them, and nothing breaks."""
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="ascii", newline="\n")
    run(Toy(extra=(Text("\u00e9 \u96fb \u03a9"),)), lambda _: None, io.StringIO(""), out)
    assert b"? ? ?" in raw.getvalue()


def saved_in(job: Path) -> list[str]:
    with open_store(job) as store:
        return [event.kind for event in store.events(store.jobs()[0].id)]


@pytest.mark.parametrize("name", ["SIGINT", "SIGHUP", "SIGTERM"])
def test_interruptions_park(tmp_path: Path, name: str) -> None:
    """Ctrl-C, hang-up and termination park the job; it is saved and says how to go on."""
    process = subprocess.Popen([*TOY, str(tmp_path / "jobs")], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert process.stdin
    assert process.stdout
    process.stdin.write(b"crank chocked\n")
    process.stdin.flush()
    out = b""
    while b"Choice > " not in out:
        out += os.read(process.stdout.fileno(), 4096)
    process.send_signal(getattr(signal, name))
    out += process.communicate(timeout=20)[0]
    assert process.returncode == 0
    assert saved_in(tmp_path / "jobs") == ["ack", "park"]
    assert out.endswith(b"Parked. Go on with: coldiron resume 7\nparked\n")


def test_an_interruption_while_saving_waits_until_it_is_saved() -> None:
    """A signal between the commit and the next page neither loses the answer nor saves it twice."""
    saved: list[Entry] = []

    def save(entries: tuple[Entry, ...]) -> None:
        saved.extend(entries)
        if entries[0].kind == "ack":
            signal.raise_signal(signal.SIGINT)

    before = signal.getsignal(signal.SIGINT)
    out = io.StringIO()
    end = run(Toy(), save, io.StringIO("crank chocked\n1\n"), out)
    assert end.how == "parked"
    assert [entry.kind for entry in saved] == ["ack", "park"]
    assert "Saved: chocked" in out.getvalue()
    assert signal.getsignal(signal.SIGINT) is before


def test_closed_input_and_output_end_it_cleanly(tmp_path: Path) -> None:
    """With standard input closed it ends by itself; a reader of the output that leaves is no error."""
    closed = subprocess.run(
        ["sh", "-c", '"$@" <&-', "sh", *TOY, str(tmp_path / "a")], capture_output=True, timeout=20, check=False
    )
    assert (closed.returncode, closed.stderr) == (0, b"")
    assert closed.stdout.endswith(b"ended\n")
    left = subprocess.run(
        ["sh", "-c", '(sleep 0.3; printf "crank chocked\\n1\\n") | "$@" | head -n 1', "sh", *TOY, str(tmp_path / "b")],
        capture_output=True,
        timeout=20,
        check=False,
    )
    assert left.stderr == b""


def test_bytes_that_are_no_text_are_refused_not_fatal(tmp_path: Path) -> None:
    """Rubbish on standard input is an answer that is refused."""
    rubbish = b"\xff\xfe\x00\x1b[2J\n\x80\ncrank chocked\n"
    done = subprocess.run([*TOY, str(tmp_path / "jobs")], input=rubbish, capture_output=True, timeout=20, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"\x1b" not in done.stdout
    assert saved_in(tmp_path / "jobs") == ["ack", "park"]


@pytest.mark.parametrize(("key", "how"), [("\x03", "parked"), ("\x04", "parked")])
def test_on_a_terminal_it_is_plain_too(tmp_path: Path, key: str, how: str) -> None:
    """On a real terminal there is no escape byte either; Ctrl-C and Ctrl-D park."""
    shown = Terminal([*TOY, str(tmp_path / "jobs")], 24, 60)
    shown.wait_for("What you see >")
    shown.send("chocked\r")
    shown.wait_for("Choice >")
    shown.send(key)
    assert shown.end() == 0
    assert b"\x1b" not in shown.raw
    assert shown.text.rstrip().endswith(how)
    assert max(len(line) for line in shown.lines) <= 60
    assert saved_in(tmp_path / "jobs") == ["ack", "park"]
