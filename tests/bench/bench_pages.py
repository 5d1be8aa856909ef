"""How much is asked of a person about hazards: typed words, cautions in a line, settings to be told, in whole jobs.

    python tests/bench/bench_pages.py [EVERY]

Every EVERY-th fault (20) of every circuit is hidden in a simulated machine and worked to its end by somebody who does
what he is told and answers truly. Prints the median, what nine of ten jobs stay under, and the most: typed words, of
them those for a START, one-line confirmations, settings told by themselves, pages of cautions that do not fit 80
columns by 24 rows, the minutes of the job by the book, answers before the first check and questions of history. Then
what the words are typed for: each caution that came in full, by what had ended its last acknowledgement, in a mean job.
The machines are made from the book itself: the figures say what the book asks, nothing of people.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from statistics import mean, median

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron import Consultation, Question
from coldiron.job.at_machine import is_left
from coldiron.judging.composing import setup_of
from coldiron.machine.duties import as_check, page_named
from coldiron.screens.drawing import fit
from coldiron.screens.driver import JobDriver
from support.mechanic import Job, Mechanic, shipped, work

ROWS = 24
"""Rows of a page, its title, the line to type in and the words below it included."""

AROUND = 4
"""Rows that the terminal screen needs around the page: title, line to type in, words."""

COUNTED = (
    *("typed words", "for a START", "in a line", "settings told", "pages over 24 rows", "minutes"),
    *("before first check", "history"),
)

ENDS = ("first", "repair", "setting", "area", "other")
"""What ends an acknowledgement, in the order of the table: nothing yet, a repair, a setting put, another area."""


def counts(job: Job) -> tuple[float, ...]:
    """What one job has asked, in the order of `COUNTED`."""
    asked = [question for question, _ in job.said]
    cautions = [question for question in asked if question.kind == "caution"]
    typed = [question for question in cautions if not question.brief]
    starts = [question for question in typed if "crank_area" in set(question.acks) - set(question.beside)]
    told = [question for question in asked if question.kind == "set"]
    history = [question for question in asked if _is_history(job, question)]
    first = next((n for n, one in enumerate(asked) if one.kind == "check"), len(asked))
    steps = (len(typed), len(starts), len(cautions) - len(typed), len(told), _over(job), job.end.minutes)
    return *steps, first, len(history)


def _is_history(job: Job, question: Question) -> bool:
    known = job.end.book.questions.get(question.id)
    return known is not None and known.stage == "history"


def _over(job: Job) -> int:
    """The caution pages that have to be turned over on a terminal of 24 rows."""
    pages = [now for now in job.after if now.next is not None and now.next.kind == "caution"]
    return sum(len(fit(JobDriver("a job", now).page().blocks, 80, ROWS - AROUND)) > ROWS - AROUND for now in pages)


def reasons(job: Job) -> Counter[tuple[str, str]]:
    """How often each caution was asked for in full, by what had ended its last acknowledgement."""
    found: Counter[tuple[str, str]] = Counter()
    since: dict[str, set[str]] = {}
    for (asked, answer), now in zip(job.said, job.after, strict=False):
        if asked.kind == "caution":
            for name in set(asked.acks) - set(asked.beside):
                found[name, _reason(since.get(name), asked, now)] += 1
                since[name] = set()
            continue
        happened = _happened(asked, answer, now)
        for name in since:
            since[name] |= happened
    return found


def _reason(since: set[str] | None, asked: Question, now: Consultation) -> str:
    """What a caution is asked for again by: the weightiest of what has happened, and of what the step itself does."""
    if since is None:
        return "first"
    happened = since | _of_step(asked.step, now)
    return next((reason for reason in ENDS if reason in happened), "other")


def _happened(asked: Question, answer: str, now: Consultation) -> set[str]:
    if asked.kind == "repair":
        return {"repair"}
    if asked.kind == "set":
        return {"setting"}
    return set() if is_left(answer) else _of_step(asked.id, now)


def _of_step(name: str, now: Consultation) -> set[str]:
    """Whether a check goes to another area, or moves a setting that stays where it was put."""
    page = page_named(now.book, now.state.circuit, name)
    check = as_check(page) if page else now.book.checks.get(name)
    if check is None:
        return set()
    settings, known = now.state.settings, now.book.settings
    moved = any(settings[name] != value for name, value in check.state.items() if not known[name].springs)
    return {reason for reason, so in (("area", check.area != now.state.area), ("setting", moved)) if so}


def _table(jobs: list[Job]) -> str:
    """The cautions asked for in full, most often first: how often in a mean job, by what had ended them."""
    whole = sum((reasons(job) for job in jobs), Counter[tuple[str, str]]())
    names = Counter[str]()
    for (name, _), often in whole.items():
        names[name] += often
    lines = [f"{'in full, in 100 jobs':24}{'all':>6}" + "".join(f"{reason:>9}" for reason in ENDS)]
    for name, often in names.most_common():
        row = "".join(f"{100 * whole[name, reason] / len(jobs):9.0f}" for reason in ENDS)
        lines.append(f"{name:24}{100 * often / len(jobs):6.0f}{row}")
    return "\n".join(lines)


def main(every: int) -> None:
    """Work the jobs and print the tables."""
    book = shipped()
    hidden = [
        (circuit, fault)
        for circuit in book.circuits
        for fault in sorted(setup_of(book, circuit).machine.faults)[::every]
    ]
    jobs = [work(Mechanic(book, circuit, frozenset((fault,)))) for circuit, fault in hidden]
    sys.stdout.write(f"{len(jobs)} jobs\n")
    for name, column in zip(COUNTED, zip(*(counts(job) for job in jobs), strict=True), strict=True):
        ordered = sorted(column)
        nine = ordered[int(len(ordered) * 0.9)]
        spread = (
            f"median {median(ordered):5.1f}   mean {mean(ordered):5.1f}   9 of 10 {nine:3.0f}   most {ordered[-1]:3.0f}"
        )
        sys.stdout.write(f"{name:20} {spread}\n")
    sys.stdout.write(f"\n{_table(jobs)}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
