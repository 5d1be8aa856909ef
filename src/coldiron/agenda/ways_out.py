"""What can lift a danger that stands: offered first, and never by taking the other answers' word for it."""

from __future__ import annotations

from coldiron.job.barring import barred_check
from coldiron.judging.judgement import Judgement


def way_out(judged: Judgement, *, last: bool = False) -> tuple[str, str] | None:
    """The check or question that can lift a danger that stands, with the reason; None if there is none now.

    What was told by words is looked into at once. What was read is looked for where it comes from, and read again
    after a repair, or with `last`, where nothing else is left to do.
    """
    for stands in judged.dangers:
        if stands.by_words or stands.repaired or last:
            for way in stands.ways:
                if all(_may(judged, name) for name in way):
                    return way[0], f"This can tell whether it is over: {stands.danger.name}."
    return None


def _may(judged: Judgement, name: str) -> bool:
    """Whether it can be asked now: the kit is there and no danger bars it."""
    state = judged.state
    check = state.book.checks.get(name)
    if check is None:
        return name in state.book.questions
    if state.kit is not None and not state.kit.issuperset(check.kit):
        return False
    return barred_check(state, check, judged.dangers) is None


def lifting(judged: Judgement) -> frozenset[str]:
    """The checks of the machine that can lift any danger of the book: to read one of them begins no new search."""
    signs = (sign for danger in judged.state.book.dangers.values() for lift in danger.lifts for sign in lift.signs)
    names = {sign.name for sign in signs}
    return frozenset(
        check for check in judged.state.present.taken if not names.isdisjoint((check, check.partition(".")[0]))
    )
