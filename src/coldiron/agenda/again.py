"""Which reading is taken once more: the one asked for, one that left several findings open, one that would settle it.

To measure the same again is the cheapest way out of doubt: the probes are still there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldiron.book.checks import UNITS, Check
from coldiron.job.dangers import barred_check
from coldiron.job.state import State
from coldiron.job.steps import Answered, Step, standing
from coldiron.judging.judgement import Judgement
from coldiron.readings.refusal import AnswerError

MOST = 2
"""Readings of one stretch between repairs that the program takes once more of its own accord, to be surer."""

TELLING = 0.7
"""Log-odds that a reading must have moved for its repetition to be worth the walk: a factor of two."""


def once_more(judged: Judgement) -> tuple[Check, str] | None:
    """The check that comes first, with the reason: the mechanic wants it, or its figure was left open."""
    state = judged.state
    wanted = state.book.checks.get(state.once_more)
    if wanted is not None and _may(judged, wanted):
        return wanted, "You asked for it again. Both readings count."
    vague = next((check for check in _measured(state) if _is_vague(judged, check)), None)
    if vague is None or state.wanted:
        return None
    cover = state.present.taken[vague.id].understood.cover
    names = ", ".join(f"'{name.replace('_', ' ')}'" for name, _ in cover)
    return vague, f"That reading fits: {names}. The exact figure tells which. Type skip if you cannot get it."


def _is_vague(judged: Judgement, check: Check) -> bool:
    """Whether its reading left several findings open, and it was not asked for again yet."""
    return _may_repeat(judged, check) and len(judged.state.present.taken[check.id].understood.cover) > 1


def _may(judged: Judgement, check: Check) -> bool:
    """Whether it can be made on this machine, and neither a rule nor a danger stands against it."""
    known = judged.setup.can_make(check.id) and check.id not in judged.directives.closed
    return known and not barred_check(judged.state, check, judged.dangers)


def surer(judged: Judgement) -> tuple[Check, str] | None:
    """Where no other check tells anything and no verdict is sure: the reading that all hangs on, once more."""
    state = judged.state
    if judged.decision.why not in ("nothing left", "no trial", "unknown") or len(state.present.again) >= MOST:
        return None
    open_ones = {check.id: check for check in _measured(state) if _may_repeat(judged, check)}
    if not open_ones or not judged.belief.suspects:
        return None
    now = len(state.epochs) - 1
    for change in judged.changes(judged.belief.suspects[0][0]):  # the strongest first
        if change.epoch == now and change.check in open_ones and abs(change.log_odds) >= TELLING:
            return open_ones[
                change.check
            ], "A lot hangs on this reading, and no other check tells more. Take it again to be sure."
    return None


def _may_repeat(judged: Judgement, check: Check) -> bool:
    return check.id not in judged.state.present.again and _may(judged, check)


def _measured(state: State) -> Iterator[Check]:
    """The checks measured since the latest repair that told something, in the order in which they were."""
    for name, taken in state.present.taken.items():
        check = state.book.checks.get(name)
        if check is not None and check.reads.quantity in UNITS and taken.understood.tells:
            yield check


def repeatable(state: State, steps: Iterable[Step], name: str) -> str:
    """The check that a word names, or the one measured last.

    Raises:
        AnswerError: nothing of the sort was measured since the latest repair.
    """
    measured = {check.id for check in _measured(state)}
    if name:
        if name not in measured:
            raise AnswerError("not now", f"'{name}' was not measured since the last fix.", tuple(sorted(measured)))
        return name
    last = next((s.id for s in reversed(standing(steps)) if isinstance(s, Answered) and s.id in measured), "")
    if not last:
        raise AnswerError("not now", "There is no reading yet to take again.")
    return last
