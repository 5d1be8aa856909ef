"""Whatever a bad disk does to what is kept between runs, the book and the odds are those of a run without it."""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path

import pytest

from coldiron import load_book
from coldiron.book.history import COMPLAINT
from coldiron.inference.evidence import Evidence, Reading
from coldiron.judging.composing import composed
from coldiron.language import files
from coldiron.store.cache import Cache
from support.rule_text import GROUND
from support.sizes import size

ROUNDS = size(40, 80, 400)
CIRCUIT = "lamp_12"
EVIDENCE = Evidence((Reading(COMPLAINT, 0), Reading("rest_volts", 0)))


def seen(rules: Path, cache: Path) -> tuple[object, ...]:
    """A book, its problems, and the odds of a job on it, by what is kept in a folder."""
    book, problems = load_book(rules)
    setup = composed(book, CIRCUIT, Cache(cache))
    setup.prepare("dark")
    odds = setup.judge.belief(EVIDENCE).suspects
    setup.predictor.save()
    return book, problems, odds, setup.predictor.values("rest_volts", frozenset({"battery.flat"}))


@pytest.fixture(name="rules")
def _rules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    rules = tmp_path / "rules"
    rules.mkdir()
    (rules / "ground.rules").write_bytes(GROUND.read_bytes())
    monkeypatch.setattr(files, "FRESH", 0)
    return rules


def test_flipped_bits_change_nothing(rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One to three bits anywhere in any of the kept files, and now and then a file cut short, emptied or a folder."""
    sound, cache, none = tmp_path / "sound", tmp_path / "cache", tmp_path / "none"
    monkeypatch.setenv("COLDIRON_CACHE", str(none))
    wanted = seen(rules, none)
    monkeypatch.setenv("COLDIRON_CACHE", str(sound))
    assert seen(rules, sound) == wanted
    assert {path.name.partition("-")[0] for path in sound.iterdir()} == {
        "book",
        "tree",
        "seen",
        "solved",
        "rows",
        "opening",
    }
    monkeypatch.setenv("COLDIRON_CACHE", str(cache))
    for seed in range(ROUNDS):
        chance = random.Random(seed)  # noqa: S311 - a seeded choice, no secret
        shutil.rmtree(cache, ignore_errors=True)
        shutil.copytree(sound, cache)
        for path in cache.iterdir():
            damage(chance, path)
        assert seen(rules, cache) == wanted, seed
        assert seen(rules, cache) == wanted, f"{seed}, made again"


def damage(chance: random.Random, path: Path) -> None:
    """Do to a file what a bad disk does."""
    data = bytearray(path.read_bytes())
    what = chance.randrange(20)
    if what == 0:
        path.unlink()
        path.mkdir()
        return
    if what == 1:
        del data[chance.randrange(len(data)) :]
    for _ in range(chance.choice((1, 1, 2, 3))):
        if data:
            data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    path.write_bytes(data)


def test_a_pipe_in_the_cache_is_not_waited_for(rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing in that folder need be ours."""
    monkeypatch.setenv("COLDIRON_CACHE", str(tmp_path / "cache"))
    wanted = seen(rules, tmp_path / "cache")
    for path in (tmp_path / "cache").iterdir():
        path.unlink()
        os.mkfifo(path)
    assert seen(rules, tmp_path / "cache") == wanted
