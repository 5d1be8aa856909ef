"""Edits of the shipped book that would let somebody be hurt: the check of the book refuses each of them.

The eight edits came from people who tried to make the book unsafe; each is the least change that does it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

import pytest

from coldiron.audit.safety.actions import actions
from coldiron.audit.safety.cautions import cautions
from coldiron.audit.safety.hazards import hazards
from coldiron.book.book import Book
from coldiron.book.problem import Problem
from coldiron.language.build.book import build
from coldiron.language.files import shipped as folder
from coldiron.language.read import read
from coldiron.language.tree import Tree

Edit = Callable[[str], str]


@cache
def texts() -> Mapping[str, str]:
    """The files of the shipped book."""
    top = Path(folder())
    return {str(path.relative_to(top)): path.read_text(encoding="utf-8") for path in sorted(top.rglob("*.rules"))}


@cache
def tree(file: str, text: str) -> Tree:
    """One file, read."""
    return read(file, text.encode())[0]


def edited(file: str, edit: Edit) -> Book:
    """The book with one file changed."""
    files = dict(texts())
    after = edit(files.get(file, ""))
    assert after != files.get(file)
    files[file] = after
    book, problems = build([tree(name, text) for name, text in files.items()], "")
    assert problems == ()
    return book


def refused(book: Book) -> list[Problem]:
    """What the audits of safety say of a book; each is an error."""
    found = [*hazards(book), *actions(book), *cautions(book)]
    assert all(problem.weight == "error" for problem in found)
    return found


def cut(line: str, caution: str, instead: str = "") -> Edit:
    """Take one line out of a caution, or put another in its place."""

    def edit(text: str) -> str:
        block = re.search(rf"(?ms)^caution {caution}\n.*?(?=^caution|\Z)", text)
        assert block, caution
        assert line in block[0]
        return text.replace(block[0], block[0].replace(line, instead, 1), 1)

    return edit


def add(text: str) -> Edit:
    """Put a block at the end of a file."""
    return lambda before: f"{before}\n{text}"


CHECK = """check new_check
  ask      {ask}
  how      {how}
  reads    {reads}
  state    {state}
  takes    2 minutes
  area     {area}
  finding  bad {bad}
  finding  well {well}
  good     well
  wrong    4 in 100
  source   common practice
"""
SEEN = {"reads": "eye", "bad": "meaning it does not", "well": "meaning it does"}
OHMS = {
    "reads": "ohms at key_start_out to frame",
    "bad": "from 0 ohms to 10 ohms",
    "well": "from 10 ohms to 1000000 ohms",
}
REPAIR = """kind odd_lamp
  name     odd lamp
  acts as  load
  ends     feed, ground
  value    ohms 5 ohms
  fault    dark
    name     dark
    odds     1 in 1000
    becomes  open
    repair   {repair}
    takes    10 minutes
    proof    It lights.
    source   common practice

section odd_run
  name     odd lamp
  ends     key_run_out, frame
  part odd_lamp is odd_lamp
    from key_run_out to frame
"""
BRIDGE = CHECK.format(
    ask="What does the engine do?",
    how="Bridge the studs of the starter with a screwdriver for one second.",
    state="key off",
    area="starter_area",
    **SEEN,
)
LIVE_OHMS = CHECK.format(ask="Ohms of the start wire", how="Red on it.", state="key off", area="dash_panel", **OHMS)

EDITS: Mapping[str, tuple[str, Edit, str]] = {
    "START caution never due": (
        "cautions/people.rules",
        cut("  due     before setting key start\n", "crank_area"),
        "'crank_volts' turns the key to START and no DANGER is due before it",
    ),
    "START caution due only as a notice": (
        "cautions/people.rules",
        cut("  word    DANGER\n", "crank_area", "  word    NOTICE\n"),
        "'crank_volts' turns the key to START and no DANGER is due before it",
    ),
    "ground first never due": (
        "cautions/battery.rules",
        cut("  due     before setting battery_lead off\n", "negative_first"),
        "the setting 'battery_lead off' takes a battery lead off",
    ),
    "no safety question": (
        "questions/how_it_stands.rules",
        lambda text: text.replace("  stage    safety\n", "  stage    history\n", 1),
        "no question of safety warns of anything before the first step",
    ),
    "a check that bridges the starter with a tool": (
        "checks/starter.rules",
        add(BRIDGE),
        "the check 'new_check' bridges the starter",
    ),
    "a repair under a raised part without props": (
        "kinds/loads_and_aids.rules",
        add(REPAIR.format(repair="Lie under the raised boom and change the lamp.")),
        "the repair 'odd_lamp.dark' puts a person under or beside a part that could come down",
    ),
    "ohms without power off": (
        "checks/starter.rules",
        add(LIVE_OHMS),
        "the check 'new_check' measures ohms (reads ohms), and does not stand at battery_lead off",
    ),
    "a word to type in capitals": (
        "cautions/people.rules",
        cut("  type    clear\n", "crank_area", "  type    Clear\n"),
        "nobody can type 'Clear' here",
    ),
    "a word to type with two blanks": (
        "cautions/people.rules",
        cut("  type    clear\n", "crank_area", "  type    all  clear\n"),
        "nobody can type 'all  clear' here",
    ),
    "a word to type that is a command": (
        "cautions/people.rules",
        cut("  type    clear\n", "crank_area", "  type    skip\n"),
        "nobody can type 'skip' here",
    ),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_that_can_hurt_is_refused(name: str) -> None:
    """It is an error, so that the book is used for no job, and the sentence says which step lacks what."""
    file, edit, said = EDITS[name]
    assert [problem for problem in refused(edited(file, edit)) if said in problem.sentence]


def test_the_book_as_it_is_shipped_is_not_refused() -> None:
    """None of these audits has anything to say of it."""
    assert refused(edited("cautions/people.rules", lambda text: f"{text}\n# no change\n")) == []


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ("Crank it for two seconds and look.", "turns the engine"),
        ("Take the ground lead off first.", "takes a battery lead off"),
        ("Jump leads aside, charge it for an hour.", "charges or jumps a battery"),
        ("Injectors out, then look at each.", "turns an engine with its cylinders open"),
        ("Clean it with contact cleaner.", "sprays a cleaner that burns"),
        ("Tilt the cab and look from above.", "puts a person under or beside a part that could come down"),
        ("Bypass the seat switch for a moment.", "bridges an interlock"),
    ],
)
def test_what_a_step_does_is_seen_in_its_words(how: str, said: str) -> None:
    """A new check in the cab needs the caution of what its text tells people to do."""
    text = CHECK.format(ask="What does it do?", how=how, state="key off", area="fuse_box", **SEEN)
    found = [problem.sentence for problem in refused(edited("checks/starter.rules", add(text)))]
    assert any(sentence.startswith("the check 'new_check'") and said in sentence for sentence in found)


@pytest.mark.parametrize("how", ["Never bridge the starter.", "Do not crank it here.", "Look, without the leads off."])
def test_what_a_text_forbids_is_not_what_it_does(how: str) -> None:
    """Behind never, not or without stands what is left alone."""
    text = CHECK.format(ask="What does it do?", how=how, state="key off", area="fuse_box", **SEEN)
    assert refused(edited("checks/starter.rules", add(text))) == []
