"""`coldiron jobs`: list the jobs."""

from __future__ import annotations

from coldiron.cli.exits import DONE
from coldiron.jobs.store import open_store
from coldiron.plaintext import one_line
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Say what runs; this command takes no arguments."""
    parser.set_defaults(run=_run)


def _run(_: argparse.Namespace) -> int:
    with open_store() as store:
        rows = [job for job in store.jobs() if job.answers]
        rows = [job if store.health(job.id).whole else job._replace(status="damaged") for job in rows]
    if not rows:
        tell("No jobs yet. Start one with: coldiron find")
    for job in rows:
        changed, status = one_line(job.changed[:16].replace("T", " ")), one_line(job.status or "open", 14)
        tell(f"{job.id:>4}  {changed}  {status:<14} {one_line(job.name, 60)}  {one_line(job.summary)}")
    return DONE
