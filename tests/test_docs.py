"""What the pages for people say is so: commands, words, folders, exit codes, Python, links; examples run."""

from __future__ import annotations

import doctest
import re
import shutil
import subprocess
import sys
from functools import cache
from importlib import import_module
from pathlib import Path

import pytest
from platformdirs.macos import MacOS
from platformdirs.unix import Unix

from coldiron import AnswerError, Consultation, cli
from coldiron.cli import book, commands
from coldiron.screens.driver import JobDriver
from coldiron.screens.lines import ALL_WORDS, Reply
from support.mechanic import Mechanic, shipped, work

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONTRIBUTORS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TESTS = (ROOT / "tests" / "README.md").read_text(encoding="utf-8")
PAGES = ("README.md", "DEVELOPERS.md", "CHANGES.md", "rules/README.md", "tests/README.md", "tests/bench/README.md")
PACKAGE = ROOT / "src" / "coldiron"

MOST_BYTES = 10_000
"""Of the page for contributors: as much as is read before one begins."""

MOST_WORDS = 60
"""Of its glossary."""

NAMES = {
    "[NAME]": "roller",
    "[JOB]": "3",
    "[NUMBER]": "1",
    "[PATH]": "rules",
    "[COMMAND]": "find",
    "FILE": "job.txt",
    "FOLDER": "rules",
    "AMPS": "8",
    "LENGTH": "20ft",
    "VOLTS": "12",
}
"""What stands for what in a command of a page."""


TAKES = {
    "--answers": ("job.jsonl",),
    "--for": ("owner",),
    "--machine": ("roller",),
    "--new": ("roller",),
    "--port": ("8347",),
    "--seed": ("7",),
    "--out": ("sheet.html",),
    "--replay": ("drill.txt",),
}
"""What options take, for a command that is only read."""


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
    assert told - set(ALL_WORDS) <= {"cannot", "not", "rest_volts", "code", "told", "again", "map", "quit", "stop"}


def test_every_command_of_the_readme_exists() -> None:
    """With every option named; and no command is left out."""
    parser = commands.parser_for((*commands.COMMANDS, *book.COMMANDS))
    told = set()
    for command, words in rows("command"):
        line = [NAMES.get(word, word) for word in command.split()]
        if line[0] != "coldiron":
            continue
        arguments = parser.parse_args(line[1:])
        assert callable(arguments.run)
        told.add(line[1])
        for option in re.findall(r"`(--[a-z]+)", words):
            more = [option, *TAKES.get(option, ())]
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


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    """Every relative link of a page is a file or a folder here, and a heading of it where it names one."""
    page = ROOT / name
    for target, heading in re.findall(r"\]\((?!https?:)([^)#]*)#?([^)]*)\)", page.read_text(encoding="utf-8")):
        there = page.parent / target if target else page
        assert there.exists(), f"{name}: {target}"
        if heading:
            titles = re.findall(r"^#+ (.+)$", there.read_text(encoding="utf-8"), re.MULTILINE)
            assert heading in {re.sub(r"[^a-z0-9 -]", "", title.lower()).replace(" ", "-") for title in titles}


def test_the_page_for_contributors_is_short() -> None:
    """And so are its words, each on a line of its own, by the alphabet, none twice."""
    assert len(CONTRIBUTORS.encode()) <= MOST_BYTES
    words = re.findall(r"^- \*\*([a-z ]+)\*\*: .+$", CONTRIBUTORS.partition("## The words")[2], re.MULTILINE)
    assert 0 < len(words) <= MOST_WORDS
    assert words == sorted(set(words))
    glossary = CONTRIBUTORS.partition("## The words")[2].partition("\n## ")[0]
    assert len(words) == len(re.findall(r"^[-|] ", glossary, re.MULTILINE))
    assert len(glossary.strip().splitlines()) == len(words) + 2  # a sentence and a blank line before them


def test_every_folder_has_its_line() -> None:
    """The table of folders and the folders of the package are the same."""
    told = re.findall(r"^\| `([a-z]+)/` \|", CONTRIBUTORS, re.MULTILINE)
    assert len(told) == len(set(told))
    assert set(told) == {path.parent.name for path in PACKAGE.glob("*/__init__.py")}


def test_every_helper_of_the_tests_is_on_their_map() -> None:
    """All that stands in `tests/support`, and nothing else; every folder of the tests and every benchmark is named."""
    support = {path.name for path in (ROOT / "tests" / "support").iterdir() if path.name != "__pycache__"}
    told = re.findall(r"`([a-z_]+(?:\.py|\.rules|/))`", TESTS.partition("## The map")[2].replace("`fixtures/`", ""))
    assert {name.rstrip("/") for name in told if name not in {"support/", "transcripts_demo/"}} == support
    folders = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir()} - {"__pycache__"}
    assert all(f"`{name}" in TESTS for name in folders)
    bench = (ROOT / "tests" / "bench" / "README.md").read_text(encoding="utf-8")
    assert all(f"`{path.name}`" in bench for path in (ROOT / "tests" / "bench").glob("bench_*.py"))


@pytest.mark.parametrize("page", ["DEVELOPERS.md", "tests/README.md", "tests/bench/README.md"])
def test_files_and_folders_named_in_a_page_are_there(page: str) -> None:
    """Each path in a page for contributors, from the top, from the package, from the tests or from their helpers."""
    bases = [ROOT, PACKAGE, ROOT / "tests", ROOT / "tests" / "support"]
    named = re.findall(r"`([\w.-]+/[\w./-]*)`", (ROOT / page).read_text(encoding="utf-8"))
    assert named
    assert [name for name in named if not any((base / name).exists() for base in bases)] == []


def commands_of(page: str) -> list[list[str]]:
    """The command lines in a page: in its text between backticks, in its blocks on lines of their own."""
    text = (ROOT / page).read_text(encoding="utf-8")
    lines = re.findall(r"`(?:[A-Z_]+=\d )?((?:coldiron|python|pytest)\b[^`]*)`", text)
    lines += re.findall(r"^ {4}((?:coldiron|python|pytest) .*)$", text, re.MULTILINE)
    return [" ".join(line.split()).split() for line in lines]


@pytest.mark.parametrize("page", PAGES)
def test_commands_in_a_page_are_commands(page: str) -> None:
    """Their arguments are taken by the program; the files that Python and pytest are to run are there."""
    parser = commands.parser_for((*commands.COMMANDS, *book.COMMANDS))
    for program, *words in commands_of(page):
        given = [NAMES.get(word, word) for word in words]
        if program == "coldiron":
            parser.parse_args(given)
        else:
            assert all((ROOT / path).exists() for path in given if "/" in path), (page, words)


ENDS_BY_ITSELF = ("help", "jobs", "schema", "size", "book check")
"""Commands that ask nothing and take seconds."""


def test_commands_that_ask_nothing_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """Those of the pages at the top, in their folder: each ends with 0."""
    monkeypatch.chdir(ROOT)
    lines = [line[1:] for page in ("README.md", "DEVELOPERS.md") for line in commands_of(page) if line[0] == "coldiron"]
    lines = [[NAMES.get(word, word) for word in line] for line in lines if " ".join(line).startswith(ENDS_BY_ITSELF)]
    assert {line[0] for line in lines} == {words.split()[0] for words in ENDS_BY_ITSELF}
    for line in lines:
        done = subprocess.run([sys.executable, "-m", "coldiron", *line], capture_output=True, text=True, check=False)
        assert done.returncode == 0, (line, done.stdout, done.stderr)
        assert done.stdout


def test_the_command_that_writes_the_manual_leaves_it_as_it_is(tmp_path: Path) -> None:
    """As the page for contributors says it, on a copy: the manual is what the table of forms makes of it."""
    line = next(words for words in commands_of("DEVELOPERS.md") if words[:2] == ["python", "-m"])
    copy = tmp_path / "README.md"
    shutil.copy(ROOT / line[-1], copy)
    subprocess.run([sys.executable, *line[1:-1], str(copy)], check=True, cwd=ROOT)
    assert copy.read_text(encoding="utf-8") == (ROOT / line[-1]).read_text(encoding="utf-8")


def test_jobs_are_kept_where_the_readme_says(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the library of such folders has it for two of the systems."""
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    told = dict(re.findall(r"^\| (Linux|macOS|Windows) \| `(.*)` \|$", README, re.MULTILINE))
    assert set(told) == {"Linux", "macOS", "Windows"}
    for name, system in (("Linux", Unix), ("macOS", MacOS)):
        assert Path(told[name]).expanduser() == Path(system("coldiron", appauthor=False).user_data_dir)


EXAMPLES = sorted(
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")
    for path in PACKAGE.rglob("*.py")
    if ">>>" in path.read_text(encoding="utf-8")
)


@pytest.mark.parametrize("module", EXAMPLES)
def test_examples_in_docstrings_run(module: str) -> None:
    """And give what they say they give."""
    outcome = doctest.testmod(import_module(module))
    assert outcome.attempted > 0
    assert outcome.failed == 0


def test_what_is_public_shows_how_it_is_used() -> None:
    """By an example that runs: the package, a consultation, the engine, the planner."""
    assert {"coldiron", "coldiron.consult.session", "coldiron.engine", "coldiron.planner.planner"} <= set(EXAMPLES)
