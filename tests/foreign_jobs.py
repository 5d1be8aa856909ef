"""Jobs on foreign machines.

`python tests/foreign_jobs.py jobs 60` plays jobs and prints a table, `jobs 60 FROM tuned` those from a seed on, on the
machines that the rules may be tuned on, `jobs 60 FROM aside` on those kept aside; `show SEED` prints one job page by
page; `machine NAME` prints what a machine does, sound and with each of its faults; `sayable tuned` what share of the
faults of the machines the book can say at all.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator

from foreign.people.results import line, machines, one, played, table
from foreign.people.sayable import table as sayable
from foreign.people.stories import story
from foreign.tables import machine_table


def main(arguments: list[str]) -> int:
    """The table that was asked for."""
    parser = argparse.ArgumentParser(prog="foreign_jobs.py")
    commands = parser.add_subparsers(dest="command", required=True)
    jobs = commands.add_parser("jobs", help="play jobs and count what they come to")
    jobs.add_argument("count", type=int)
    jobs.add_argument("start", type=int, nargs="?", default=0)
    jobs.add_argument("group", nargs="?", default="", choices=["", "tuned", "aside"])
    jobs.add_argument("--workers", type=int, default=1)
    show = commands.add_parser("show", help="one job, page by page")
    show.add_argument("seed", type=int)
    show.add_argument("group", nargs="?", default="", choices=["", "tuned", "aside"])
    commands.add_parser("machine", help="what a machine does, sound and with each fault").add_argument("name")
    said = commands.add_parser("sayable", help="what share of the foreign faults the book can say")
    said.add_argument("group", nargs="?", default="tuned", choices=["tuned", "aside"])
    asked = parser.parse_args(arguments)
    for text in _lines(asked):
        sys.stdout.write(f"{text}\n")
        sys.stdout.flush()
    return 0


def _lines(asked: argparse.Namespace) -> Iterator[str]:
    if asked.command == "machine":
        yield from machine_table(asked.name)
        return
    if asked.command == "sayable":
        yield from sayable(machines(asked.group))
        return
    if asked.command == "show":
        if (found := one((asked.seed, asked.group))) is None:
            yield "This seed draws no job: the faults that were drawn do nothing on its machine."
            return
        yield from (line(found), f"it does: {found.job.does}; the owner: {story(found.job)}", *found.log)
        return
    done = []
    try:
        for each in played(range(asked.start, asked.start + asked.count), asked.group, asked.workers):
            done.append(each)
            yield line(each)
    except KeyboardInterrupt:
        yield "Stopped; of the jobs so far:"
    yield from table(done)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
