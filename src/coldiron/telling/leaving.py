"""What is told where a job is left: what is proven good, where the trouble lies, what would tell."""

from __future__ import annotations

from coldiron.job.shares import in_100
from coldiron.judging.judgement import Judgement

NAMED = 4
"""So many checks, parts or tools are named at the most: a page is small."""

OPEN_PART = 0.05
"""Chance from which a part is named among those that the trouble may lie in."""


def good_day(judged: Judgement) -> str:
    """Where it is told to come and go, and nothing was found wrong today; empty where anything was."""
    checks = judged.state.book.checks
    read = [(checks[name], one) for name, one in judged.state.present.taken.items() if name in checks]
    if judged.there >= 1 or any(one.understood.finding not in ("", check.good) for check, one in read):
        return ""
    said = ["Nothing wrong found today."]
    if held := [check.ask for check, one in read if check.reads.quantity == "eye" and one.understood.finding]:
        said.append(f"These were looked at or moved, and held: {'; '.join(held[-NAMED:])}.")
    said.append("It is not cured: call again when it fails, and touch nothing.")
    if first := judged.first_on_a_bad_day:
        said.append(f"Measure this first then: {checks[first].ask}.")
    return " ".join(said)


def no_trial(judged: Judgement) -> str:
    """Where no check left tells enough, and no repair is likely enough to be tried."""
    said = ["No check left tells enough, and no fix is likely enough to try."]
    if good := _good(judged):
        said.append(f"These read right: {'; '.join(good)}.")
    if left := _open(judged):
        said.append(f"The trouble is most likely in: {'; '.join(left)}.")
    if missing := missing_kit(judged):
        said.append(f"These would tell more: {', '.join(missing)}.")
    else:
        said.append("Get the maker's diagram, or a licensed electrician for this machine.")
    return " ".join(said)


def missing_kit(judged: Judgement) -> tuple[str, ...]:
    """The tools that checks of this machine need and that are not at hand, by name."""
    state = judged.state
    names = {
        state.book.kits[kit].name
        for name in judged.setup.machine.checks
        if name not in state.present.taken
        for kit in state.book.checks[name].kit
        if state.kit is not None and kit not in state.kit
    }
    return tuple(sorted(names)[:NAMED])


def _good(judged: Judgement) -> list[str]:
    """The latest checks that read right since the last repair."""
    checks = judged.state.book.checks
    taken = judged.state.present.taken.items()
    good = [checks[name].ask for name, one in taken if name in checks and one.understood.finding == checks[name].good]
    return good[-NAMED:]


def _open(judged: Judgement) -> list[str]:
    """The parts that the trouble may lie in, likeliest first, with their chances."""
    parts = judged.state.book.parts
    left = [(name, chance) for name, chance in judged.belief.parts[:NAMED] if chance >= OPEN_PART]
    said = [f"{parts[name].name if name in parts else name} {in_100(chance)}" for name, chance in left]
    unknown = judged.belief.unknown
    return said + ([f"something this tool does not know {in_100(unknown)}"] if unknown >= OPEN_PART else [])
