"""Drills as they are kept: a file of the user's folder, one JSON line a thing typed, and what each drill came to."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Iterator
from datetime import date
from typing import Any

from coldiron.drill.play import Play
from coldiron.drill.review import Score
from coldiron.drill.skills import SKILLS, due, skills_of
from coldiron.jobs.home import home, prepare
from coldiron.jobs.log import Entry
from coldiron.jobs.trouble import trouble

FILE = "drills.jsonl"

LATEST = 10
"""Drills that are listed."""


class DrillFile:
    """Where one drill is written, one of a lesson by its number. Nothing is written before the first thing is typed."""

    def __init__(self, seed: int, circuit: str, book: str, lesson: int = 0) -> None:
        self._begun = {"drill": f"{int(time.time() * 1000)}", "seed": seed, "circuit": circuit, "book": book}
        self._lesson = lesson
        self._written = False

    def save(self, entries: tuple[Entry, ...]) -> None:
        """Commit what was typed.

        Raises:
            StoreTrouble: it could not be written.
        """
        lines = [] if self._written else [self._begun]
        _append([*lines, *({"drill": self._begun["drill"], "typed": entry.value} for entry in entries)])
        self._written = True

    def close(self, score: Score, play: Play) -> None:
        """Write what the drill came to.

        Raises:
            StoreTrouble: it could not be written.
        """
        unloaded = sum(shot.trusted for shot in play.shots)
        ended = {"day": time.strftime("%Y-%m-%d"), "over": play.over, "score": score.score, "minutes": score.minutes}
        more = {"best": score.best, "vain": len(play.in_vain), "missed": len(play.missed), "unloaded": unloaded}
        name = f"lesson {self._lesson}, drill {play.world.seed}" if self._lesson else f"drill {self._begun['seed']}"
        _append(
            [{"drill": self._begun["drill"], "name": name, **ended, **more, "skills": skills_of(play, score.score)}]
        )


def _append(records: list[dict[str, Any]]) -> None:
    """Write lines at the end of the file; a line that was left torn there is ended first, or it would take the next."""
    file = home() / FILE
    prepare(file)
    text = "".join(f"{json.dumps(record)}\n" for record in records)
    try:
        with file.open("a+b") as out:
            end = out.seek(0, os.SEEK_END)
            out.seek(max(0, end - 1))
            torn = out.read(1) not in (b"", b"\n")
            out.write(f"{chr(10) * torn}{text}".encode())
            out.flush()
            os.fsync(out.fileno())
    except OSError as error:
        raise trouble("full", str(file)) from error


def _records() -> Iterator[dict[str, Any]]:
    """What stands in the file; a line that a pulled plug left torn is passed over."""
    file = home() / FILE
    if not file.is_file():
        return
    for line in file.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            record = json.loads(line)
        except ValueError:
            continue
        if isinstance(record, dict):
            yield record


def progress() -> list[str]:
    """What the drills came to, the latest last, and the mean score of the latest beside those before."""
    begun = {one["drill"]: one for one in _records() if "seed" in one}
    ended = [one for one in _records() if "score" in one and one.get("drill") in begun]
    if not ended:
        return ["No drill has ended yet. To begin one: coldiron drill"]
    found = []
    for one in ended[-LATEST:]:
        what = {"found": "found", "hurt": "ended by a caution", "left": "given up"}.get(one["over"], "")
        bar = "#" * (int(one["score"]) // 5)
        name = one.get("name") or f"drill {begun[one['drill']]['seed']}"
        found.append(f"{one['day']}  {name:<17}  {int(one['score']):>3}  {bar:<20}  {what}")
    latest, before = ended[-LATEST:], ended[:-LATEST]
    found.append(f"Mean score of the latest {len(latest)}: {_mean(latest):.0f}")
    if before:
        found.append(f"Of the {len(before)} before: {_mean(before):.0f}")
    found += _skills(ended)
    weak = {key: sum(int(one.get(key, 0)) for one in latest) for key in WEAK}
    found += [f"{WEAK[key]}: {count}" for key, count in weak.items() if count]
    return found


def _skills(ended: list[dict[str, Any]]) -> Iterator[str]:
    """Each skill that was asked for: how often it was shown of late, and when it is due; the next due first."""
    histories: dict[str, list[tuple[date, bool]]] = {}
    for one in ended:
        for name, shown in one.get("skills", {}).items():
            histories.setdefault(name, []).append((date.fromisoformat(one["day"]), bool(shown)))
    rows = sorted((due(history), name, history[-LATEST:]) for name, history in histories.items() if name in SKILLS)
    for day, name, latest in rows:
        yield f"{SKILLS[name]}: {sum(shown for _, shown in latest)} of {len(latest)}, due {day}"


WEAK = {
    "vain": "Fixes in vain in these",
    "missed": "Cautions not seen to in these",
    "unloaded": "Full volts read without load in these",
}
"""What went wrong, by the key it is kept under."""


def _mean(ended: list[dict[str, Any]]) -> float:
    return sum(float(one["score"]) for one in ended) / len(ended)
