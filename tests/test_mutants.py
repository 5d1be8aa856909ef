"""The small mistakes that `mutants.py` makes are mistakes: code that can be run, and that is another."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.code_mutants import mutants, stands

ROOMS = Path(__file__).parents[1] / "src" / "coldiron"


@pytest.mark.parametrize(
    ("code", "made"),
    [
        ("a < b", {"(a <= b)", "(a > b)"}),
        ("a == b", {"(a != b)"}),
        ("a and b", {"(a or b)"}),
        ("not a", {"(a)"}),
        ("a + 1", {"(a - 1)", "a + 2"}),
        ("a + 'two words'", set()),
        ("max(a)", {"(min(a))"}),
        ("f(a, b)", {"(f(b, a))"}),
        ("a if b else c", {"(a)", "(c)"}),
        ("[a for a in b if a]", {"([a for a in b])"}),
        ("a[1:]", {"(a[:])", "a[2:]"}),
        ("f'{a + 1}'", set()),
    ],
)
def test_what_is_made_of_a_piece_of_code(code: str, made: set[str]) -> None:
    """One thing is changed at a time; words for people, and what stands in them, are left alone."""
    source = f"def g(a, b, c):\n    d = {code}\n    return\n".encode()
    found = {one.applied(source).decode().splitlines()[1].removeprefix("    d = ") for one in mutants("g.py", source)}
    assert found == made


def test_a_branch_and_what_is_done_are_left_out() -> None:
    """As is what a function returns, by the type it says."""
    source = b'def g(a: int) -> bool:\n    """Words."""\n    if a:\n        f(a)\n    return a.b\n'
    found = {(one.line, one.text) for one in mutants("g.py", source)}
    assert found == {(3, "False"), (3, "True"), (4, "pass"), (5, "return not (a.b)")}


def test_a_figure_with_a_name_is_looked_for_by_its_name() -> None:
    """It is read while the file is loaded: the tests count that run a line which has it."""
    (one,) = mutants("g.py", b'A = 2.0\n"""Volts."""\n')
    assert (one.text, one.needs, list(one.lines)) == ("4.0", ("A",), [])


def test_all_that_is_made_of_a_room_is_another_code() -> None:
    """Of a room, all but a few; those are never drawn."""
    for path in sorted((ROOMS / "agenda").glob("*.py")):
        source = path.read_bytes()
        found = mutants(path.name, source)
        assert sum(stands(one, source) for one in found) >= 0.95 * len(found)
