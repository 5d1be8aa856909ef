"""How much is asked of a person about hazards: typed words, cautions in a line, settings to be told, in whole jobs.

    python tests/bench/bench_pages.py [EVERY]

Every EVERY-th fault (20) of every circuit is hidden in a simulated machine and worked to its end by somebody who does
what he is told and answers truly. Prints the median, what nine of ten jobs stay under, and the most: typed words, of
them those for a START, one-line confirmations, settings told by themselves, and pages of cautions that do not fit 80
columns by 24 rows. The machines are made from the book itself: the figures say what the book asks, nothing of people.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from coldiron.judging.setup import setup_of
from coldiron.screens.drawing import draw
from coldiron.screens.driver import JobDriver
from support.mechanic import Job, Mechanic, shipped, work

ROWS = 24
"""Rows of a page, its title, the line to type in and the words below it included."""

AROUND = 4
"""Rows that the terminal screen needs around the page: title, line to type in, words."""

COUNTED = ("typed words", "for a START", "in a line", "settings told", "pages over 24 rows")


def counts(job: Job) -> tuple[int, ...]:
    """What one job has asked, in the order of `COUNTED`."""
    asked = [question for question, _ in job.said]
    cautions = [question for question in asked if question.kind == "caution"]
    typed = [question for question in cautions if not getattr(question, "brief", False)]
    starts = [question for question in typed if "crank_area" in getattr(question, "acks", (question.id,))]
    told = [question for question in asked if question.kind == "set"]
    return len(typed), len(starts), len(cautions) - len(typed), len(told), _over(job)


def _over(job: Job) -> int:
    """The caution pages that have to be turned over on a terminal of 24 rows."""
    pages = [now for now in job.after if now.next is not None and now.next.kind == "caution"]
    return sum(len(draw(JobDriver("a job", now).page().blocks, 80)) > ROWS - AROUND for now in pages)


def main(every: int) -> None:
    """Work the jobs and print the table."""
    book = shipped()
    hidden = [
        (circuit, fault)
        for circuit in book.circuits
        for fault in sorted(setup_of(book, circuit).machine.faults)[::every]
    ]
    rows = [counts(work(Mechanic(book, circuit, frozenset((fault,))))) for circuit, fault in hidden]
    sys.stdout.write(f"{len(rows)} jobs\n")
    for name, column in zip(COUNTED, zip(*rows, strict=True), strict=True):
        ordered = sorted(column)
        nine = ordered[int(len(ordered) * 0.9)]
        sys.stdout.write(f"{name:20} median {median(ordered):4.1f}   9 of 10 {nine:3}   most {ordered[-1]:3}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
