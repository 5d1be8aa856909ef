"""A job played to its end on a foreign machine, and what it came to."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from coldiron import Consultation, load_book
from foreign.people import adaptor_parts
from foreign.people.drawing import Drawn
from foreign.people.fixed_order import minutes_to
from foreign.people.person import Person, is_mended, take

MOST_ANSWERS = 160
"""Pages after which a job that has not ended never will."""

PROMISED, MOVED = 20, 0.02
"""A check that promised so many in 100 of the doubt and moved no suspect by so much was useless."""


@dataclass
class Played:
    """What a job came to; `log` is every page and what was typed."""

    job: Drawn
    first: str = ""
    first_odds: float = 0.0
    first_right: bool = False
    part_right: bool = False
    mended: bool = False
    ended: bool = False
    checks: int = 0
    checks_first: int = 0
    promised: int = 0
    useless: int = 0
    sure: int = 0
    sure_wrong: int = 0
    vain: int = 0
    minutes: float = 0.0
    fixed: float = 0.0
    circuit: str = ""
    status: str = ""
    error: str = ""
    log: list[str] = field(default_factory=list)


def play(job: Drawn) -> Played:
    """Play it; a job ends when it is handed back, or nothing more is asked."""
    book, _ = load_book()
    now, person = Consultation(book), Person(job)
    played = Played(job, fixed=minutes_to(job))
    for _ in range(MOST_ANSWERS):
        asked = now.next
        if asked is None:
            played.ended = True
            break
        try:
            now = _step(now, person, played)
        except Exception as error:  # noqa: BLE001 - a fault of the program is a result
            played.error = f"{type(error).__name__}: {error}"
            break
    played.mended, played.status = person.works(), now.verdict.status
    played.vain = person.sold
    played.circuit = now.state.circuit or ""
    played.minutes = played.minutes or now.minutes
    played.log.append(f"ended: {now.verdict.status}, mended {person.mended}, in vain {person.vain}")
    return played


def _step(now: Consultation, person: Person, played: Played) -> Consultation:
    asked = now.next
    assert asked is not None
    is_check = asked.kind == "check" and asked.id in now.book.checks
    promise = _promise(now) if is_check else 0
    before = dict(now.suspects) if is_check or asked.kind == "repair" else {}
    if asked.kind == "repair":
        _verdict(now, person, played)
    present = len(person.present)
    then, said = take(now, person)
    played.log.append(f"{now.minutes:5.0f} min  {asked.kind:7} {asked.id}: {asked.text[:90]}  >> {said}")
    if is_check:
        played.checks += 1
        if said not in ("cannot reach", "not sure", "not fitted") and promise >= PROMISED:
            played.promised += 1
            after = dict(then.suspects)
            moved = max((abs(after.get(each, 0) - odds) for each, odds in before.items()), default=0.0)
            moved = max([moved, *(odds for each, odds in after.items() if each not in before)])
            played.useless += moved < MOVED
    if asked.kind == "repair" and present and person.works():
        played.minutes = now.minutes
    if is_check and then.suspects:
        leads = ", ".join(f"{each} {odds:.2f}" for each, odds in then.suspects[:3])
        played.log.append(f"           leads: {leads}; unknown {then.unknown:.2f}; promised {promise}")
    return then


def _verdict(now: Consultation, person: Person, played: Played) -> None:
    """Write down what is named before it is done."""
    asked = now.next
    assert asked is not None
    odds = dict(now.suspects).get(asked.id, 0.0)
    fault = now.book.faults[asked.id]
    done = adaptor_parts.acts(fault.what.name, fault.what.repair, renews=fault.what.renews)
    at_part = [each for each, _ in person.present if each.part in adaptor_parts.at_fault(asked.id)]
    causes = {name for each, _ in person.present for name in each.victims}
    right = any(is_mended(each, asked.id, done) and each.name not in causes for each, _ in person.present)
    if not played.first:
        played.first, played.first_odds, played.checks_first = asked.id, odds, played.checks
        played.first_right, played.part_right = right, bool(at_part)
    if odds >= 0.9:
        played.sure += 1
        played.sure_wrong += not right and not person.is_left_over(asked.id)


def _promise(now: Consultation) -> int:
    """How much of the doubt a check promises to settle, in 100, as its page says."""
    for line in now.why(more=True):
        if found := re.search(r"(\d+) in 100 of the doubt", line):
            return int(found[1])
    return 0
