"""Many jobs played and counted: a table by kind of job and by machine."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from multiprocessing import get_context
from statistics import median

from foreign.loading import files, load
from foreign.people.drawing import aside, draw
from foreign.people.judge import Played, play
from foreign.record import Machine

MOST_CHECKS = 40
"""Checks within which a job is to end."""

HEAD = (
    f"{'':34}{'jobs':>5}{'first':>6}{'part':>6}{'end':>6}{'sure':>6}{'ends':>6}{'>40':>5}{'use-':>6}{'min/':>6}"
    f"{'vain':>6}\n{'':34}{'':5}{'right':>6}{'right':>6}{'right':>6}{'wrong':>6}{'':6}{'':5}{'less':>6}{'fixed':>6}"
    f"{'parts':>6}"
)


def machines(group: str = "") -> list[Machine]:
    """All machines, or those that the rules may be tuned on, or those kept aside."""
    found = [load(path) for path in files()]
    return [each for each in found if not group or aside(each) == (group == "aside")]


def one(asked: tuple[int, str]) -> Played | None:
    """The job of a seed, played."""
    seed, group = asked
    job = draw(seed, machines(group))
    return play(job) if job else None


def played(seeds: Sequence[int], group: str, workers: int = 1) -> Iterator[Played]:
    """Jobs in the order of their seeds."""
    asked = [(seed, group) for seed in seeds]
    if workers == 1:
        yield from (each for each in map(one, asked) if each)
        return
    with get_context("fork").Pool(workers) as pool:
        yield from (each for each in pool.imap(one, asked) if each)


def table(jobs: Sequence[Played]) -> Iterator[str]:
    """All jobs, then by kind of job, by what it does, by machine."""
    yield HEAD
    yield _row("all", jobs)
    yield _row("  fault in the book", [each for each in jobs if each.job.kind != "unknown"])
    groups: tuple[tuple[str, Callable[[Played], str]], ...] = (
        ("kind", lambda each: each.job.kind),
        ("told as", lambda each: f"{each.job.tells}{'' if each.job.tells == each.job.does else ' (not so)'}"),
        ("part", lambda each: each.job.faults[0][0].part),
        ("machine", lambda each: f"{each.job.machine.name}{' *' if aside(each.job.machine) else ''}"),
    )
    for title, key in groups:
        yield f"by {title}"
        counts = Counter(key(each) for each in jobs)
        for name, _ in sorted(counts.items()):
            yield _row(f"  {name}", [each for each in jobs if key(each) == name])
    yield from _ends(jobs)


def _ends(jobs: Sequence[Played]) -> Iterator[str]:
    yield "how they ended"
    for status, count in Counter(each.error or each.status for each in jobs).most_common():
        yield f"  {status[:90]:<90} {count}"
    vain = [each.vain for each in jobs if each.job.kind == "unknown"]
    if vain:
        yield f"fault not in the book: {median(vain)} parts in vain in the median"
    yield "* kept aside: the rules are not tuned on it"


def _row(title: str, jobs: Sequence[Played]) -> str:
    """One line; all but jobs, checks over 40 and minutes in 100 jobs."""
    if not jobs:
        return f"{title:34}{0:>5}"
    promised = sum(each.promised for each in jobs)
    fixed = sum(each.fixed for each in jobs if each.mended)
    minutes = sum(each.minutes for each in jobs if each.mended)
    cells = (
        f"{len(jobs):5}{_share(each.first_right for each in jobs):>6}{_share(each.part_right for each in jobs):>6}"
        f"{_share(each.mended for each in jobs):>6}{_share(each.sure_wrong > 0 for each in jobs):>6}"
        f"{_share(each.ended for each in jobs):>6}{sum(each.checks > MOST_CHECKS for each in jobs):5}"
        f"{100 * sum(each.useless for each in jobs) / max(promised, 1):6.0f}{minutes / fixed if fixed else 0.0:6.2f}"
        f"{sum(each.vain for each in jobs) / len(jobs):6.1f}"
    )
    return f"{title:34}{cells}"


def _share(flags: Iterable[bool]) -> str:
    found = list(flags)
    return f"{100 * sum(found) / len(found):.0f}"


def line(each: Played) -> str:
    """One job on one line."""
    marks = f"{'first' if each.first_right else '-':5} {'end' if each.mended else '-':3}"
    return (
        f"{each.job.seed:5} {each.job.machine.name:22} {each.job.kind:8} {each.job.tells:14} {marks} "
        f"{each.checks:3} checks {each.vain:2} vain  {each.first or 'no verdict':28} {each.first_odds:4.2f}  "
        f"{each.job.words}"
    )
