"""What the README says is so: its commands, words, exit codes, Python and links."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from coldiron import AnswerError, Consultation, cli
from coldiron.cli import book, commands
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import ALL_WORDS, Reply
from support.mechanic import Mechanic, shipped, work

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def rows(first: str) -> list[tuple[str, str]]:
    """The rows of the table whose heading begins so: the code of the first column, and the words beside it."""
    table = README.partition(f"| {first} |")[2].partition("\n\n")[0]
    found = re.findall(r"^\| (`.*?`) \| (.*?) \|$", table, re.MULTILINE)
    return [(code, words) for cell, words in found for code in re.findall(r"`([^`]+)`", cell)]


@cache
def judged() -> JobDriver:
    """A job at its first check, with a reading and a repair behind it."""
    job = work(Mechanic(shipped(), "interlocks", frozenset(("main_link.blown",))))
    now = next(now for now in job.after if now.next and now.next.kind == "check")
    now = now.answer("rest_volts", "12.6")
    while now.next and now.next.kind == "caution":
        now = now.answer(now.next.id, now.next.choices[0])
    return JobDriver("readme", now)


@pytest.mark.parametrize("line", [code for code, _ in rows("word")])
def test_every_word_of_the_readme_is_understood(line: str) -> None:
    """No row of the table is refused at a check, but for the bare `done`: no repair is asked for there."""
    after = judged().enter(line.replace("TEXT", "the blue wire"))
    if isinstance(after, Reply) and after.refused:
        said = " ".join(getattr(block, "text", "") for block in after.blocks)
        assert line.startswith("done"), said
        assert "Say what you fixed" in said


def test_every_word_of_the_key_bar_is_in_the_readme() -> None:
    """And the other way round: what the table names is a word, a reading or an answer."""
    told = {code.split()[0] for code, _ in rows("word")}
    assert set(ALL_WORDS) <= told
    assert told - set(ALL_WORDS) <= {"cannot", "not", "rest_volts", "code", "again", "quit", "stop"}


def test_every_command_of_the_readme_exists() -> None:
    """With every option named; and no command is left out."""
    parser = commands.parser_for((*commands.COMMANDS, *book.COMMANDS))
    values = {"[NAME]": "roller", "[JOB]": "3", "[PATH]": "rules", "FILE": "job.txt", "FOLDER": "rules"}
    values |= {"[COMMAND]": "find", "AMPS": "8", "METRES": "6", "VOLTS": "12"}
    told = set()
    for command, words in rows("command"):
        line = [values.get(word, word) for word in command.split()]
        if line[0] != "coldiron":
            continue
        arguments = parser.parse_args(line[1:])
        assert callable(arguments.run)
        told.add(line[1])
        for option in re.findall(r"`(--[a-z]+)", words):
            more = [option, "job.jsonl"] if option == "--answers" else [option]
            assert parser.parse_args([*line[1:], *more]).run is arguments.run
    assert told == set(commands.COMMANDS)


def test_the_exit_codes_are_those_of_the_readme() -> None:
    """Each number with its meaning, in the README and in the module that defines them."""
    told = dict(re.findall(r"(\d) ([a-z]+ [a-z]+)", README.partition("Exit codes:")[2].partition("\n\n")[0]))
    assert set(told) == {str(code) for code in (cli.DONE, cli.USAGE, cli.BOOK, cli.ANSWERS, cli.STORE)}
    documented = cli.__doc__ or ""
    assert all(f"{code} {words}" in " ".join(documented.split()) for code, words in told.items())


def test_the_python_of_the_readme_runs() -> None:
    """As it stands there."""
    for block in re.findall(r"```python\n(.*?)```", README, re.DOTALL):
        done = subprocess.run([sys.executable, "-c", block], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        assert done.stdout.strip()


def test_what_the_readme_says_of_a_consultation_is_so() -> None:
    """The names it gives are there."""
    now = Consultation(shipped())
    assert re.findall(r"`c\.([a-z]+)", README)
    assert all(hasattr(now, name) for name in re.findall(r"`c\.([a-z]+)", README))
    with pytest.raises(AnswerError):
        now.answer("raised", "hovering")


def test_the_commands_that_set_up_name_what_is_there() -> None:
    """The environment, the installed command and the extra that the tests need."""
    project = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    blocks = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    assert len(blocks) == 2
    assert "coldiron find" in blocks[0]
    assert ".[test]" in blocks[1]
    assert "\ntest = [" in project
    assert 'coldiron = "coldiron.cli:main"' in project


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "rules/README.md"])
def test_links_lead_somewhere(name: str) -> None:
    """Every relative link of a page is a file or a folder here."""
    page = ROOT / name
    for target in re.findall(r"\]\((?!https?:|#)([^)#]+)", page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), f"{name}: {target}"
