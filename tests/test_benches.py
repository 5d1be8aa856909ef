"""The benchmarks assert nothing; this is what can be held of them without running them."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from bench.all import BENCHES, HERE
from coldiron.engine import RuleSet, compile_rules, run
from support.chart import Line, Panel, svg
from support.engines import Coldiron
from support.knowledge import SHAPES, Shape, knowledge, plain_fixpoint, split

FILES = sorted(path.stem for path in HERE.glob("bench_*.py"))


def test_one_command_runs_every_benchmark() -> None:
    """One that is forgotten is not measured."""
    assert sorted(BENCHES) == FILES
    done = subprocess.run([sys.executable, str(HERE / "all.py"), "--list"], capture_output=True, text=True, check=True)
    assert sorted(line.split()[1] for line in done.stdout.splitlines()) == [f"{name}.py" for name in FILES]


def test_a_benchmark_that_is_not_there_is_named() -> None:
    done = subprocess.run(
        [sys.executable, str(HERE / "all.py"), "bench_nothing"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "there is no bench_nothing; there is bench_" in done.stderr


@pytest.mark.parametrize("name", FILES)
def test_every_benchmark_says_what_its_figures_are(name: str) -> None:
    """Its first words are what it measures, then how it is started."""
    told = ast.get_docstring(ast.parse((HERE / f"{name}.py").read_text(encoding="utf-8")))
    assert told
    assert f"    python tests/bench/{name}.py" in told


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_the_book_of_the_knowledge_says_what_its_records_say(
    shape: Shape, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The engines are compared on one knowledge: read from rule files, kept and made at once it derives the same."""
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path / "cache"))
    known = knowledge(shape, 60, seed=2)
    wanted = {fact[1] for fact in plain_fixpoint(known.rules, known.layers, known.answers)}
    made = compile_rules(known.rules)
    assert isinstance(made, RuleSet)
    assert {fact[1] for fact in run(made, *split(known.answers)).facts if fact[0] == "fact"} == wanted != set()
    engine = Coldiron()
    assert engine.write(known, tmp_path)
    for load in (engine.load, engine.load_kept):
        load(tmp_path)
        engine.keep(tmp_path)
        engine.start()
        for answer in known.answers:
            engine.answer(answer)
        assert engine.derived() == wanted
        for answer in known.answers:
            engine.withdraw(answer)
        assert engine.derived() == {fact[1] for fact in plain_fixpoint(known.rules, known.layers, ())}


def test_a_chart_has_its_words_and_its_points_on_decades() -> None:
    """Ten times the number is the same step anywhere on the axis."""
    line = Line("ours & theirs", 0, {100.0: 0.001, 1000.0: 0.01, 10_000.0: 0.1})
    drawn = svg([Panel("load", "rules", "seconds", (line,)), Panel("nothing", "rules", "seconds", ())])
    sheet = ET.fromstring(drawn)  # noqa: S314 - our own text
    space = "{http://www.w3.org/2000/svg}"
    words = [one.text for one in sheet.iter(f"{space}text")]
    assert {"load", "rules", "seconds", "ours & theirs", "100", "10,000", "0.001", "0.1", "nothing"} <= set(words)
    x, y = ([float(one.get(name, "")) for one in sheet.iter(f"{space}circle")] for name in ("cx", "cy"))
    assert x[1] - x[0] == pytest.approx(x[2] - x[1], abs=0.2)
    assert y[0] - y[1] == pytest.approx(y[1] - y[2], abs=0.2) != 0
