"""What is told where a job is left: where the trouble lies, and what would tell."""

from __future__ import annotations

from coldiron.judging.judgement import Judgement
from coldiron.telling.between import where_it_lies

NAMED = 4
"""So many are named at the most: a page is small."""

HELP = "Get the maker's diagram, or a licensed electrician for this machine."


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
    missing = missing_kit(judged)
    more = f"These would tell more: {', '.join(missing)}." if missing else HELP
    return f"No check left tells enough, and no fix is likely enough to try. {where_it_lies(judged)} {more}"


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
