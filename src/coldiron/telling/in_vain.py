"""Which repairs did not help: by all readings they took nothing away, and the machine failed after them."""

from __future__ import annotations

from coldiron.book.history import COMPLAINT
from coldiron.judging.judgement import Judgement


def in_vain(judged: Judgement) -> tuple[str, ...]:
    """The faults whose repair helped none of the times it was done, in the order of the first.

    By the likeliest course of the whole job: a repair that mended one fault of several has helped, though the machine
    stayed dead. Of what nothing was found amiss after, nothing is said.
    """
    done = [epoch.repaired for epoch in judged.state.epochs[:-1]]
    if not any(_fails_after(judged, number) for number in range(len(done))):
        return ()
    heard = judged.judge.hear(judged.evidence)
    path = next(iter(heard.timeline.leading(heard.weighed)), None)
    if path is None:
        return ()
    present = [frozenset(faults) for faults, _ in path]
    helped = {
        fault
        for number, fault in enumerate(done)
        if not _fails_after(judged, number) or present[number] & judged.evidence.repairs[number] - present[number + 1]
    }
    return tuple(fault for fault in dict.fromkeys(done) if fault and fault not in helped)


def _fails_after(judged: Judgement, number: int) -> bool:
    """Whether a check read badly at any time after the repair that ended an epoch."""
    checks = judged.state.book.checks
    return any(
        taken.understood.finding not in ("", checks[name].good)
        for epoch in judged.state.epochs[number + 1 :]
        for name, taken in epoch.taken.items()
        if name != COMPLAINT and name in checks
    )
