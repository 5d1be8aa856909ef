"""The command line: what each command prints, and the exit code it ends with."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from coldiron import __version__, cli
from coldiron.cli import ANSWERS, BOOK, DONE, USAGE, book, commands, main
from support.mechanic import worked

ROOT = Path(__file__).parents[1]
ESCAPE = "\x1b"
SHARED = {"__init__", "__main__", "arguments", "commands", "exits", "scripted", "working"}
"""Files of the command line that are no command."""
JOB = worked("start_relay", "relay_ground.off")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for the jobs of one test."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def type_in(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """What stands on standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def script(path: Path, *, without: str = "") -> Path:
    """The whole job as an answers file, less the lines of one id."""
    rows = [{"id": asked.id, "value": answer} for asked, answer in JOB.said if asked.id != without]
    path.write_text("".join(f"{json.dumps(row)}\n" for row in rows), encoding="utf-8")
    return path


def test_no_command_says_what_there_is(capsys: pytest.CaptureFixture[str]) -> None:
    """And ends as wrong arguments do."""
    assert main([]) == USAGE
    assert "find" in capsys.readouterr().out


def test_every_command_is_in_the_help_and_has_a_file(capsys: pytest.CaptureFixture[str]) -> None:
    """The table of commands and the files of the folder are the same, those of a book included."""
    files = {path.stem for path in Path(cli.__file__).parent.glob("*.py")}
    assert set(commands.COMMANDS) - {"book"} == files - SHARED
    below = {path.stem for path in Path(book.__file__).parent.glob("*.py")}
    assert set(book.COMMANDS) | {"__init__"} == below
    main([])
    told = capsys.readouterr().out
    assert all(f"{name} " in told and words in " ".join(told.split()) for name, words in commands.COMMANDS.items())


@pytest.mark.parametrize("line", [[], ["help"], ["--help"]])
def test_help_says_first_what_to_type_first(line: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Before all usage, and every line of it is a command that there is, no wider than a terminal."""
    with contextlib.suppress(SystemExit):  # the library of arguments ends `--help` so
        main(line)
    told = capsys.readouterr().out
    first = told.partition("usage:")[0]
    typed = re.findall(r"^ .*Type: +coldiron (.+)$", first, re.MULTILINE)
    assert typed[0] == "find"
    assert len(typed) == 6
    for words in typed:
        given = words.replace("FOLDER", "rules").split()
        assert callable(commands.parser_for(given).parse_args(given).run)
    assert max(map(len, first.splitlines())) <= 80


@pytest.mark.parametrize("line", ["find", "resume", "size", "book", "book check", "help"])
def test_help_with_a_command_tells_its_arguments(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    """As the command itself does when it is asked."""
    told = []
    for words in (["help", *line.split()], [*line.split(), "--help"]):
        with pytest.raises(SystemExit) as ended:
            main(words)
        assert ended.value.code == DONE
        told.append(capsys.readouterr().out)
    assert told[0] == told[1]
    assert f"usage: coldiron {line} " in told[0]


@pytest.mark.parametrize(("line", "files"), [("jobs", {"jobs"}), ("book check", {"book", "book.check"})])
def test_a_command_loads_no_file_of_another(line: str, files: set[str]) -> None:
    """In a process of its own: each pays for itself alone."""
    program = (
        f"import sys; from coldiron.cli.commands import parser_for; parser_for({line.split()!r})\n"
        "print(*[name.removeprefix('coldiron.cli.') for name in sys.modules if name.startswith('coldiron.cli.')])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) - SHARED == files


def test_the_version_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == DONE
    assert capsys.readouterr().out.strip() == __version__


@pytest.mark.parametrize(
    "arguments", [["fnd"], ["help", "fnd"], ["find", "--demo", "--replay", "x"], ["resume", "seven"], ["book"]]
)
def test_wrong_arguments_end_with_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == USAGE
    assert "usage" in capsys.readouterr().err


def test_events_are_of_a_script_only(capsys: pytest.CaptureFixture[str]) -> None:
    """`--json` without `--answers` is a wrong argument, not silence."""
    with pytest.raises(SystemExit) as ended:
        main(["find", "--json"])
    assert ended.value.code == USAGE
    assert "--answers" in capsys.readouterr().err


def test_without_input_the_first_question_is_printed_and_how_to_answer(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], home: Path
) -> None:
    """The code says that answers are missing; no job is left behind."""
    type_in(monkeypatch)
    assert main(["find"]) == ANSWERS
    out = capsys.readouterr().out
    assert "How does the machine stand?" in out
    assert "Give one answer a line" in out
    assert "resume" not in out
    assert not home.exists() or main(["jobs"]) == DONE


def test_a_job_is_parked_resumed_and_listed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Parking ends with 0; resume asks the question that was open, with all that was answered."""
    type_in(monkeypatch, "none", "12 V", "relay", "none", "silent", "all", "park")
    assert main(["find", "Roller", "--plain"]) == DONE
    before = capsys.readouterr().out
    assert "Saved (6)." in before
    type_in(monkeypatch, "park")
    assert main(["resume"]) == DONE
    after = capsys.readouterr().out
    assert "Roller" in after
    assert "How does the machine stand?" not in after
    assert main(["jobs"]) == DONE
    listed = capsys.readouterr().out
    assert "Roller" in listed
    assert "parked" in listed


def test_a_job_is_resumed_by_its_number(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """The latest without one; a number that is none is named."""
    for name in ("First", "Second"):
        type_in(monkeypatch, "none", "park")
        main(["find", name])
    capsys.readouterr()
    type_in(monkeypatch, "park")
    assert main(["resume", "1"]) == DONE
    assert "First" in capsys.readouterr().out
    type_in(monkeypatch)
    assert main(["resume", "7"]) == 5
    assert "There is no job 7." in capsys.readouterr().err


def test_nothing_to_resume_is_a_sentence(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    type_in(monkeypatch)
    assert main(["resume"]) == 5
    assert "There is no job to go on with." in capsys.readouterr().err
    assert main(["jobs"]) == DONE
    assert "No jobs yet" in capsys.readouterr().out


def test_a_whole_job_over_a_pipe_ends_with_0(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Handed back, without one escape byte, and listed as such."""
    type_in(monkeypatch, *(f"{asked.id} {said}" if asked.kind == "caution" else said for asked, said in JOB.said))
    assert main(["find", "Tractor", "--plain"]) == DONE
    out = capsys.readouterr().out
    assert "Handed back" in out
    assert ESCAPE not in out
    main(["jobs"])
    assert "handed back" in capsys.readouterr().out


def test_a_script_that_ends_the_job_ends_with_0(tmp_path: Path, capsys: pytest.CaptureFixture[str], home: Path) -> None:
    """The last page is printed, nothing is saved."""
    assert main(["find", "--answers", str(script(tmp_path / "job.jsonl"))]) == DONE
    assert "Handed back" in capsys.readouterr().out
    assert not home.exists()


def test_a_script_without_a_line_for_a_caution_ends_with_4(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With a sentence that names the caution and the line."""
    path = script(tmp_path / "job.jsonl", without="crank_area")
    assert main(["find", "--answers", str(path)]) == ANSWERS
    said = capsys.readouterr().err
    assert "crank_area" in said
    assert "Line" in said


def test_a_script_that_stops_early_ends_with_4(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The page that is open then is printed."""
    path = tmp_path / "job.jsonl"
    path.write_text('{"id": "raised", "value": "none"}\n', encoding="utf-8")
    assert main(["find", "--answers", str(path)]) == ANSWERS
    assert "What is it? Choose, or type it" in " ".join(capsys.readouterr().out.split())


def test_a_script_that_cannot_be_read_ends_with_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["find", "--answers", str(tmp_path / "none.jsonl")]) == USAGE
    binary = tmp_path / "binary.jsonl"
    binary.write_bytes(b"\xff\xfe\x00")
    assert main(["find", "--answers", str(binary)]) == USAGE
    assert "Traceback" not in capsys.readouterr().err


def test_events_are_one_json_object_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An answer and the question after it for every line of the script, and the state at the end."""
    assert main(["find", "--json", "--answers", str(script(tmp_path / "job.jsonl"))]) == DONE
    events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert len(events) == 2 * len(JOB.said) + 1
    assert events[-1]["status"] == "handed back"
    assert events[-2] == {"event": "over"}


def test_a_recording_is_replayed_as_it_stands(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    """Byte for byte, without saving anything."""
    path = min((ROOT / "transcripts_demo").glob("*.txt"))
    assert main(["find", "--replay", str(path)]) == DONE
    written, recorded = capsys.readouterr().out, path.read_text(encoding="utf-8").partition("\n\n")[2]
    if written != recorded:  # comparing long texts line by line takes minutes
        pytest.fail(f"{path.name} replays otherwise; record it anew, see test_transcripts.py")
    assert not home.exists()
    assert main(["find", "--replay", "no_such_file.txt"]) == USAGE


def test_the_demonstration_runs_to_its_end(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """All at once where nobody sits at a terminal."""
    type_in(monkeypatch)
    assert main(["find", "--demo"]) == DONE
    assert "Handed back" in capsys.readouterr().out


def test_a_good_book_is_said_to_be_good(capsys: pytest.CaptureFixture[str]) -> None:
    """The shipped book has no errors."""
    assert main(["book", "check"]) == DONE
    assert "Traceback" not in capsys.readouterr().out


def test_a_broken_rule_file_ends_with_3(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`book check` says where; `find --book` and `resume --book` do not begin with it."""
    path = tmp_path / "shop.rules"
    path.write_text("rule broken\n  when nonsense here\n", encoding="utf-8")
    assert main(["book", "check", str(path)]) == BOOK
    assert "shop.rules:" in capsys.readouterr().out
    assert main(["find", "--book", str(path)]) == BOOK
    said = capsys.readouterr().err
    assert "shop.rules:" in said
    assert main(["resume", "--book", str(path)]) == BOOK


def command(*arguments: str, env: dict[str, str] | None = None, text: str = "") -> subprocess.CompletedProcess[str]:
    """The real command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "coldiron", *arguments],
        env={**os.environ, **(env or {})},
        input=text,
        capture_output=True,
        text=True,
        check=False,
    )


def in_a_shell(line: str) -> subprocess.CompletedProcess[str]:
    """A line as it is typed, pipes and closed input included."""
    return subprocess.run(["sh", "-c", line], capture_output=True, text=True, check=False)


def test_python_m_coldiron_is_the_command() -> None:
    done = command("--version")
    assert (done.returncode, done.stdout.strip()) == (DONE, __version__)


def test_the_closed_input_of_a_real_process() -> None:
    """As a service would start it, with no standard input at all."""
    done = in_a_shell(f"{sys.executable} -m coldiron find <&-")
    assert done.returncode == ANSWERS
    assert "How does the machine stand?" in done.stdout
    assert done.stderr == ""


@pytest.mark.parametrize("env", [{"TERM": "dumb"}, {"NO_COLOR": "1"}, {"LC_ALL": "C", "PYTHONUTF8": "0"}])
def test_plain_output_has_no_escape_byte(env: dict[str, str]) -> None:
    """Whatever the terminal says of itself."""
    done = command("find", "--plain", env=env, text="none\nwhat\nwhy\nhelp\nsilent\npark\n")
    assert done.returncode == DONE
    assert ESCAPE not in done.stdout
    assert "Parked." in done.stdout


def test_a_reader_that_leaves_is_no_error() -> None:
    """`coldiron find --demo | head -1` ends quietly."""
    done = in_a_shell(f"{sys.executable} -m coldiron find --demo | head -1")
    assert "Traceback" not in done.stderr
    assert "Broken" not in done.stderr


def test_what_was_noted_is_shown_on_the_next_job_of_that_machine(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever the capitals and blanks of its name; not on another machine's job, nor on its own resumed."""
    type_in(monkeypatch, "none", "note Circuit 12, blue, goes to the lamp fuse", "park")
    main(["find", "Grey  roller"])
    noted = "Noted on an earlier job: Circuit 12, blue, goes to the lamp fuse"
    assert noted not in capsys.readouterr().out
    type_in(monkeypatch, "same")
    main(["resume"])
    out = capsys.readouterr().out
    assert "What is it? Choose" in out  # where notes of earlier jobs are shown
    assert "Noted on an earlier job" not in out
    type_in(monkeypatch, "none", "note", "park")
    main(["find", "grey Roller"])
    out = " ".join(capsys.readouterr().out.split())
    assert noted in out
    assert "Noted: Circuit 12, blue, goes to the lamp fuse" in out
    type_in(monkeypatch, "none", "note On no machine in particular", "park")
    main(["find"])
    type_in(monkeypatch, "none", "park")
    main(["find"])
    capsys.readouterr()
    type_in(monkeypatch)
    main(["resume"])
    assert "in particular" not in capsys.readouterr().out
    for command in (["find", "Green tractor"], ["find"], ["resume", "1"]):
        type_in(monkeypatch)
        main(command)
        assert noted not in " ".join(capsys.readouterr().out.split())


def test_no_store_is_made_by_looking_for_earlier_notes(
    monkeypatch: pytest.MonkeyPatch, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The first question costs nothing on the disk."""
    type_in(monkeypatch)
    main(["find", "Grey roller"])
    assert "Noted on an earlier job" not in capsys.readouterr().out
    assert not home.exists()


def test_the_circuit_of_last_time_is_offered_on_the_next_job_of_that_machine(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before the volts, on its own next job only; one that was taken because nobody knew it is not offered."""
    offer = "You had a machine by this name before"
    for name, described in (("Grey roller", ("12 V", "switches")), ("Red roller", ("12 V", "list", "not sure"))):
        type_in(monkeypatch, "none", *described, "park")
        main(["find", name])
        assert offer not in capsys.readouterr().out
    type_in(monkeypatch, "none", "1", "park")
    main(["find", "grey  ROLLER"])
    out = " ".join(capsys.readouterr().out.split())
    assert offer in out
    assert "What is it? Choose" not in out
    assert "grey ROLLER · key switch, interlocks and start relay, 12 V" in out
    for name in ("Red roller", "Green roller", ""):
        type_in(monkeypatch, "none")
        main(["find", name])
        assert offer not in " ".join(capsys.readouterr().out.split())
