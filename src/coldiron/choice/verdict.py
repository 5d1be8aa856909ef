"""When to stop checking and repair, what to blame, and what is not excluded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.pool import NO_WORK, Pool
from coldiron.choice.ranking import Ranked
from coldiron.inference.belief import DIGITS, Belief
from coldiron.inference.evidence import Evidence
from coldiron.inference.faults import FaultModel
from coldiron.planner.weighing import Trial, Weighing
from coldiron.record import dataclass, replace

SURE = 0.95
"""A repair this likely to mend what is wrong is named without weighing further checks."""

PROVEN = 0.9
"""A repair less likely than this is not tried while a quick check tells something.

One less likely than `SURE` is not while a check tells something that takes no longer than the repair.
"""

TELLS = 0.05
"""Bits from which a check tells something."""

QUICK = 15.0
"""Minutes up to which a check is quick: a quarter of an hour, common practice, no source."""

STANDS_OUT = 0.2
"""A cause present with its victim in more than this share of the cases is blamed with it."""

NEARLY_SOUND = 0.8
"""A machine this likely sound is not searched any further."""

EVEN = 0.5
"""A fault that came by itself less often than this has a cause, whichever it is."""

FEW_REPAIRS = 4
FEW_HOLD = 0.95
"""Where no more than so many repairs hold so much of the probability, checking is weighed against repairing."""

WORTH_A_WORD = 0.02
"""Chance from which a part is named among what is not excluded: one in fifty."""

GIVE_UP = 240.0
"""Minutes that it costs if none of the repairs helps: half a day of somebody else's. An estimate, no source."""

NEW_PART = 60.0
"""Minutes that a part costs which is fitted where less may have mended the old one: an hour's wages. An estimate, no
source."""

A_TRIAL = 0.2
"""Chance below which no repair is offered on trial: four of five would be made in vain. An estimate, no source."""

TRIALS = 6
WIDTH = 3
STEPS = 12
"""How many checks are weighed against repairing, how many of them are followed further, and how far."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the evidence now supports.

    Attributes:
        faults: What to repair, every cause before its victims. A victim stands alone only if it is likely alone.
        part: The part that the verdict rests on.
        chance: Chance that it has a fault which the repair of what is blamed at it mends.
        open: What is not excluded: other parts with their chances, likeliest first.
        unknown: Chance that the fault is not in the book.
        repair_minutes: Expected minutes of repairing now, in the best order, until the machine works; None if it was
            not weighed.
        check_minutes: The same if the best check is done first; None if it was not weighed or no check is left.
    """

    faults: tuple[str, ...]
    part: str
    chance: float
    open: tuple[tuple[str, float], ...]
    unknown: float
    repair_minutes: float | None = None
    check_minutes: float | None = None


Reason = Literal[
    "sure", "repair pays", "nothing left", "no trial", "check pays", "unsure", "held", "no reading", "unknown", "sound"
]


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict, or why there is none yet.

    `why` is "sure", "repair pays" or "nothing left" (no check tells anything more) with a verdict. Without one it is
    "no reading" (nothing was read at the machine), "unsure", "check pays", "held" (the checks in `held_by` come
    first), "unknown" (most likely not in the book, and no check left), "no trial" (no check left, and no repair likely
    enough to be tried), "sound" (most likely nothing is wrong any more).
    `check` is the check that pays, if one was weighed.
    """

    why: Reason
    verdict: Verdict | None = None
    held_by: tuple[str, ...] = ()
    check: str = ""


def decide(
    judge: Judge,
    evidence: Evidence,
    belief: Belief,
    *,
    offers: Sequence[Offer] = (),
    ways: Ways | None = None,
    held: Mapping[str, Sequence[str]] | None = None,
    story: frozenset[str] = frozenset(),
    least: float = 0.0,
) -> Decision:
    """Repair now, or check first?

    Args:
        judge: Judges the evidence.
        evidence: All of it.
        belief: What `judge` makes of it.
        offers: The checks that may still be done.
        ways: What reaching their states takes.
        held: Checks that have to be done before a verdict on a fault, by fault; those already done left out. They come
            before any other as soon as the part is surely at fault, whatever may have brought its fault.
        story: Checks that are told and not read at the machine, such as the complaint.
        least: The share of the doubt that a check has to settle to be worth doing.
    """
    if belief.sound >= NEARLY_SOUND:
        return Decision("sound")
    if not any(r.finding is not None and r.check not in story for r in evidence.readings):
        return Decision("no reading")
    verdict = blame(belief, judge.model)
    if verdict is None:
        return Decision("unknown")
    waiting = sorted({check for fault in verdict.faults for check in (held or {}).get(fault, ())})
    if verdict.chance >= SURE:
        decided = Decision("sure", verdict)
    else:
        ranked = judge.ranked(belief, offers, ways or Ways(), least)
        decided = _decided(judge, belief, verdict, ranked, waits=bool(waiting))
    if waiting and (decided.verdict is not None or dict(belief.parts)[verdict.part] >= SURE):
        return Decision("held", held_by=tuple(waiting))
    return decided


def _decided(judge: Judge, belief: Belief, verdict: Verdict, ranked: Sequence[Ranked], *, waits: bool) -> Decision:
    """The decision if nothing held back a verdict that is not sure."""
    if ranked:
        return _weigh(judge.pool(belief), belief, judge.model, verdict, ranked, waits=waits)
    if belief.unknown > verdict.chance:
        return Decision("unknown")
    worth = is_worth_a_trial(verdict.chance, judge.model.minutes(verdict.faults[0]))
    return Decision("nothing left", verdict) if worth else Decision("no trial")


def is_worth_a_trial(chance: float, minutes: float) -> bool:
    """Whether a repair of such a chance and so many minutes is worth trying where no check tells anything more."""
    return chance >= max(A_TRIAL, minutes / GIVE_UP)


def blame(belief: Belief, model: FaultModel) -> Verdict | None:
    """The verdict that a belief would give now, were it sure; None if no fault of the book is possible.

    Blame falls on the repair most likely to be needed by a fault that nothing else brought, and of the faults that it
    mends on the likeliest. A fault with causes in the book is not blamed alone while one of them is present with it in
    more than `STANDS_OUT` of the cases, nor while it more likely than not was brought by one or another.
    """
    own = _own(belief, model)
    if not own or own[0][1] <= 0:
        return None
    work = own[0][0]
    fault = next(name for name, _ in belief.suspects if model.work[name] == work)
    part, chance = model.part(fault), mending(fault, belief, model)
    faults = {fault}
    while cause := _likely_cause(fault, belief, model):
        faults.add(cause)
        fault = cause
    for name in [name for name in model.causes_first if name in model.causes and name not in faults]:
        brought = model.causes[name] & faults
        if brought and _share(belief, {name, *brought}) >= 0.5 * _share(belief, brought):
            faults.add(name)
    blamed = {model.part(name) for name in faults}
    others = tuple((name, p) for name, p in belief.parts if p >= WORTH_A_WORD and name not in blamed)
    ordered = tuple(name for name in model.causes_first if name in faults)
    return Verdict(ordered, part, chance, others, belief.unknown)


def _own(belief: Belief, model: FaultModel) -> list[tuple[str, float]]:
    """All work with the chance that it is needed by a fault which no other present fault brought, likeliest first."""
    chances: dict[str, float] = {}
    for faults, chance in belief.sets:
        for work in {model.work[name] for name in model.unbrought(faults)}:
            chances[work] = chances.get(work, 0.0) + chance
    return sorted(chances.items(), key=lambda item: (-round(item[1], DIGITS), item[0]))


def mending(fault: str, belief: Belief, model: FaultModel) -> float:
    """Chance that the repair of a fault mends one which no other present fault brought."""
    mends = model.mended_by(fault)
    return sum(chance for faults, chance in belief.sets if not mends.isdisjoint(model.unbrought(faults)))


def _likely_cause(fault: str, belief: Belief, model: FaultModel) -> str:
    """The cause that most likely brought a fault; empty if it likely came by itself and no single cause stands out.

    An event that hurts several wires is blamed only where it is likelier than not.
    """
    whole = _share(belief, {fault})
    causes = sorted(model.causes.get(fault, ()))
    causes = [one for one in causes if one not in model.events or _share(belief, {one, fault}) > EVEN * whole]
    if not causes:
        return ""
    alone = sum(chance for faults, chance in belief.sets if fault in faults and fault in model.unbrought(faults))
    best = max(causes, key=lambda cause: (round(_share(belief, {cause, fault}), DIGITS), -causes.index(cause)))
    stands_out = _share(belief, {best, fault}) > STANDS_OUT * whole
    return best if stands_out or alone < EVEN * whole else ""


def _share(belief: Belief, wanted: set[str] | frozenset[str]) -> float:
    """Chance that all of these faults are present."""
    return sum(chance for faults, chance in belief.sets if wanted.issubset(faults))


def _weigh(
    pool: Pool, belief: Belief, model: FaultModel, verdict: Verdict, ranked: Sequence[Ranked], *, waits: bool
) -> Decision:
    """Compare checking first with repairing now, where few repairs are left; otherwise go on checking."""
    shares = [(sum(pool.weights[a:b]), pool.first[a]) for a, b in pool.spans]
    leading = sorted((-share, work) for share, work in shares if work != NO_WORK)[:FEW_REPAIRS]
    if -sum(share for share, _ in leading) * (1 - belief.unknown) < FEW_HOLD:
        return Decision("unsure")
    work = [one for _, one in leading]
    broken = [_mask(pool, i, work, model) for i in range(len(pool.weights))]
    trials = [Trial(entry.minutes, entry.view.columns) for entry in ranked[:TRIALS]]
    repairs = [_repair(one, work, belief, model) for one in work]
    best, now, check = Weighing(broken, repairs, trials, GIVE_UP, STEPS).best(pool.weights, WIDTH, second=0)
    weighed = replace(verdict, repair_minutes=now, check_minutes=check)
    if best is None:
        telling = [] if waits else ranked  # a check that the rules want done first comes before them in any case
        return Decision("repair pays", weighed) if _pays(verdict, belief, model, telling) else Decision("unsure")
    return Decision("check pays", check=ranked[best].offer.check)


def _pays(verdict: Verdict, belief: Belief, model: FaultModel, ranked: Sequence[Ranked]) -> bool:
    """Whether a repair is likely enough to be tried, and no check tells that takes no longer than it."""
    quick = QUICK if verdict.chance < PROVEN else 0.0
    cost = max(quick, *[model.minutes(name) for name in verdict.faults])
    if verdict.chance <= belief.unknown or any(e.bits >= TELLS and e.minutes <= cost for e in ranked):
        return False
    return is_worth_a_trial(verdict.chance, model.minutes(verdict.faults[0]))


def _mask(pool: Pool, i: int, work: Sequence[str], model: FaultModel) -> int:
    """The work that a hypothesis of the pool needs, as a mask; its highest bit for what is not among it."""
    mask = 0
    for one in {model.work[name] for name in pool.faults[i]}:
        mask |= 1 << (work.index(one) if one in work else len(work))
    return mask


def _repair(one: str, work: Sequence[str], belief: Belief, model: FaultModel) -> tuple[int, float]:
    """What one repair mends, as a mask, and its cost: the minutes of the likeliest fault that wants it."""
    mends = {model.work[name] for name in model.mended_by(one)}
    fault = next(name for name, _ in belief.suspects if model.work[name] == one)
    mask = sum(1 << k for k, other in enumerate(work) if other in mends)
    return mask, model.minutes(fault) + (NEW_PART if len(mends) > 1 else 0.0)
