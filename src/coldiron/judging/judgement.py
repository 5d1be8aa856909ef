"""What the evidence of a job comes to: odds, what the rules say, the next check, the verdict."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from coldiron.book.checks import ODD, Check
from coldiron.book.history import COMPLAINT
from coldiron.choice.choice import MOST_CHECKS, Foresight, NextCheck, choose, foresee, least_share
from coldiron.choice.doubt import Change, Contradiction, changes, contradiction, expected, raised
from coldiron.choice.judge import Judge
from coldiron.choice.offers import Offer, Ways
from coldiron.choice.verdict import Decision, decide
from coldiron.inference.belief import Belief
from coldiron.inference.evidence import Evidence, Reading
from coldiron.job.at_machine import NEW_STRETCH, place_of, stretch_of
from coldiron.job.cautions import asked_of, guarded
from coldiron.job.danger_records import Standing
from coldiron.job.dangers import barred_check, standing_dangers
from coldiron.job.state import State
from coldiron.judging.setup import NO_EVENTS, Setup, at_routes_of, told_of
from coldiron.judging.witnesses import told_by
from coldiron.machine.codes import entries_of
from coldiron.machine.describing import shares
from coldiron.readings.refusal import OUT_OF_REACH
from coldiron.ruling.directives import within
from coldiron.ruling.grounding import Directives, SessionFacts

STORY = frozenset((COMPLAINT,))
"""What is told and not read at the machine."""


NOW_AND_THEN = 0.5
"""The chance that a reading finds a fault there that is seen to come and go: common practice, no source."""

MOST_REPAIRS = 10
"""After so many repairs none is offered any more: an answer is wrong, or the cause is not in the book."""


class Judgement:
    """One state of a job, judged. Everything is worked out at its first use and kept."""

    def __init__(self, state: State, setup: Setup) -> None:
        self.state = state
        self.setup = setup

    @cached_property
    def dangers(self) -> tuple[Standing, ...]:
        """What was found of danger and still holds."""
        return standing_dangers(self.state, self.setup.machine.checks)

    @cached_property
    def there(self) -> float:
        """The chance that a reading finds the fault there: below 1 where it is told that it comes and goes."""
        book = self.state.book
        complaint = book.complaints.get(self.state.complaint)
        said = [complaint.there] if complaint else []
        for name, ids in self.state.questions.items():
            if name in book.questions:
                said += [answer.there for answer in book.questions[name].answers if answer.id in ids]
        return min(said, default=1.0) if not self.goes_now else min(NOW_AND_THEN, *said)

    @cached_property
    def goes_now(self) -> bool:
        """Whether the engine cranks as it should, on the same day as it was told not to, and nothing was repaired."""
        told = self.state.book.complaints.get(self.state.complaint)
        taken = self.state.present.taken
        return self.state.epochs[:-1] == [] and any(
            check.id in taken and taken[check.id].understood.finding == check.good
            for check in self.setup.turning
            if told is not None and (check.id, check.good) not in told.sees and check.id in dict(told.sees)
        )

    @property
    def judge(self) -> Judge:
        """Who judges the evidence."""
        return self.setup.judge_of(self.there, self.awake)

    @cached_property
    def awake(self) -> frozenset[str]:
        """The events that are weighed: those the story speaks for, else those that tie what was found together."""
        machine = self.setup.machine
        if not machine.events or not self.evidence.readings:
            return NO_EVENTS
        told = told_of(machine, self.directives.shifts)
        if told:
            return told
        mended = {name for faults in self.evidence.repairs for name in faults} if self._amiss_since() else set()
        return at_routes_of(machine, mended, self.setup.judge_of(self.there).belief(self.evidence))

    def _amiss_since(self) -> bool:
        """Whether an event was mended, or anything since the latest repair read as on no sound machine."""
        if any(epoch.repaired in self.setup.machine.events for epoch in self.state.epochs[:-1]):
            return True
        checks, taken = self.state.book.checks, self.state.present.taken
        return any(
            one.understood.finding not in ("", checks[name].good) for name, one in taken.items() if name in checks
        )

    @cached_property
    def directives(self) -> Directives:
        """What the rules of the book make of the answers so far."""
        return self.setup.grounding.direct(session_facts(self.state))

    @cached_property
    def evidence(self) -> Evidence:
        """The answers as readings of numbered findings."""
        return Evidence(
            readings=tuple(_readings(self.state, self.setup, self.directives)),
            repairs=tuple(_mended(self.setup, epoch.repaired) for epoch in self.state.epochs[:-1]),
            shifts=within(self.directives.shifts, self.doubted),
        )

    @cached_property
    def doubted(self) -> Mapping[str, float]:
        """The factor on the odds of each fault of a part of which nobody knows whether it is fitted."""
        if not self.state.taken:
            return {}
        found = shares(self.state.book, self.state.said)
        faults = self.setup.machine.faults
        return {name: found[fault.part] for name, fault in faults.items() if fault.part in found}

    @cached_property
    def belief(self) -> Belief:
        """The odds."""
        return self.judge.belief(self.evidence)

    @cached_property
    def offers(self) -> tuple[Offer, ...]:
        """The checks that may be done now: on this machine, with this kit, not closed, not done in this epoch."""
        left = guarded(self.state.book, self.state.settings)
        return tuple([_offer(self, check, left) for check in open_checks(self)])

    @cached_property
    def ways(self) -> Ways:
        """What it takes to change the machine's state from the present one."""
        book = self.state.book
        normal = {name: setting.normal for name, setting in book.settings.items()}
        return Ways(
            normal=normal,
            minutes={name: setting.minutes for name, setting in book.settings.items()},
            areas={name: area.minutes for name, area in book.areas.items()},
            present={name: value for name, value in self.state.settings.items() if value != normal[name]},
            opened=frozenset(self.state.opened),
            stretch=stretch_of(self.state),
            clearing=NEW_STRETCH,
            held=frozenset(name for name, setting in book.settings.items() if setting.springs),
        )

    @cached_property
    def choice(self) -> NextCheck | None:
        """The check that tells most for its minutes, or None if none tells anything."""
        return choose(self.judge, self.belief, self.offers, self.ways, self.decision.check, least=self.least)

    @property
    def first_on_a_bad_day(self) -> str:
        """The check that would tell most of what comes and goes, once it fails; empty where none tells anything."""
        told = Evidence(tuple([one for one in self.evidence.readings if one.check in STORY]), (), self.evidence.shifts)
        machine, book = self.setup.machine, self.state.book
        measured = [book.checks[name] for name in machine.checks if book.checks[name].reads.quantity != "eye"]
        offers = [_offer(self, check, {}) for check in measured if check.id not in self.directives.closed]
        best = choose(self.setup.judge, self.setup.judge.belief(told), offers, self.ways)
        return best.check if best else ""

    def foresee(self, check: str) -> tuple[Foresight, ...]:
        """What each finding of a check would do to the suspects, in the order of the findings."""
        return foresee(self.judge, self.belief, check)

    def settled(self, bits: float) -> float:
        """The share, from 0 to 1, of the doubt about what to repair first that so many bits take away."""
        return self.judge.pool(self.belief).settled(bits)

    @cached_property
    def held(self) -> Mapping[str, tuple[str, ...]]:
        """By fault, the checks a rule wants done before a verdict on it, less those done or out of reach."""
        waiting: dict[str, list[str]] = {}
        open_now = {offer.check for offer in self.offers}
        for check, faults in sorted(self.directives.required.items()):
            if check in open_now:
                for fault in faults:
                    waiting.setdefault(fault, []).append(check)
        return {fault: tuple(checks) for fault, checks in waiting.items()}

    @cached_property
    def least(self) -> float:
        """The share of the doubt that a check has to settle to be offered.

        Any will do before one was read, and while something stands that can hurt: where that comes from is looked for.
        Of what comes and goes every reading tells less, and less is asked of it.
        """
        epochs = self.state.epochs
        checks = sum(name != COMPLAINT for epoch in epochs for name in epoch.taken) + sum(len(e.again) for e in epochs)
        if not checks or (self.dangers and checks < MOST_CHECKS):
            return 0.0
        return least_share(self.judge, self.evidence, STORY, checks) * self.there**2

    @cached_property
    def decision(self) -> Decision:
        """The verdict, or why there is none yet; an answer to be doubted is taken again before anything else."""
        decided = decide(
            self.judge,
            self.evidence,
            self.belief,
            offers=self.offers,
            ways=self.ways,
            held=self.held,
            story=STORY,
            least=self.least,
        )
        if decided.why in ("sound", "no reading") or not self.contradicting:
            return decided
        return Decision("held", held_by=(self.contradicting,))

    @cached_property
    def contradicting(self) -> str:
        """The check of this epoch that fits the other answers least, if they contradict each other; once each.

        Leads slip and ranges are misread; what eyes and hands found they would find again. What a rule has closed, such
        as a crank on a starter that does not stop, stays closed.
        """
        found = self.contradiction
        if found is None or found.epoch < len(self.state.epochs) - 1 or found.check in self.state.present.again:
            return ""
        if found.check in self.directives.closed or found.check in {one.source for one in self.dangers}:
            return ""  # what told of a danger is not read away because the others speak for sound
        check = self.state.book.checks.get(found.check)
        if check is not None and barred_check(self.state, check, self.dangers):
            return ""
        return check.id if check is not None and check.reads.quantity != "eye" else ""

    @cached_property
    def contradiction(self) -> Contradiction | None:
        """The answer to doubt first, or None while the answers fit together."""
        return contradiction(self.judge, self.evidence)

    def likelier_than(self, doubted: Contradiction) -> int:
        """The number of the finding that all the other answers speak for, in the place of the doubted one."""
        return expected(self.judge, self.evidence, doubted)

    @cached_property
    def changes_before_repair(self) -> tuple[Change, ...]:
        """What the readings taken last before the latest repair did to the odds of the fault repaired."""
        last = self.read_before_repair
        if last is None or not self.setup.may_have(self.state.epochs[-2].repaired):
            return ()
        evidence = self.evidence
        before = Evidence(
            readings=tuple(reading for reading in evidence.readings if reading.epoch <= last),
            repairs=evidence.repairs[:last],
            shifts=evidence.shifts,
        )
        return self.setup.told(self.judge, before, self.state.epochs[-2].repaired)

    @property
    def read_before_repair(self) -> int | None:
        """The latest epoch before the present one in which anything was read; several repairs may have followed it."""
        read = [n for n, epoch in enumerate(self.state.epochs[:-1]) if any(name != COMPLAINT for name in epoch.taken)]
        return read[-1] if read else None

    def raised(self, fault: str) -> float:
        """What all readings together did to the log-odds of a fault, beside what is only told."""
        return raised(self.judge, self.evidence, fault, STORY)

    def changes(self, fault: str) -> tuple[Change, ...]:
        """What each reading did to the odds of a fault."""
        return changes(self.judge, self.evidence, fault)


def _mended(setup: Setup, repaired: str) -> frozenset[str]:
    """What a repair dealt with; nothing of this machine if the job was begun as another, or with another book."""
    return frozenset(setup.machine.mended_with(repaired) if setup.may_have(repaired) else ())


def session_facts(state: State) -> SessionFacts:
    """The facts and numbers the rules may speak of: those of the present epoch, history, and what was repaired."""
    taken = {name: item for name, item in state.present.taken.items() if name != COMPLAINT}
    return SessionFacts(
        complaint=state.complaint,
        history={name: answers for name, answers in state.questions.items() if answers},
        findings={name: item.understood.finding for name, item in taken.items() if item.understood.finding},
        values={name: item.understood.value for name, item in taken.items() if item.understood.value is not None},
        taken=frozenset(taken),
        settings=dict(state.settings),
        repaired=frozenset(epoch.repaired for epoch in state.epochs if epoch.repaired),
        codes=entries_of(state.book, state.codes) if state.codes else (),
        talks=bool(state.codes),
    )


def finding_number(check: Check, finding: str) -> int:
    """The place of a finding among those of its check; `odd` comes last."""
    if finding == ODD:
        return len(check.findings)
    return next(number for number, known in enumerate(check.findings) if known.id == finding)


def _readings(state: State, setup: Setup, directives: Directives) -> list[Reading]:
    found = []
    for number, epoch in enumerate(state.epochs):
        for name, item in epoch.taken.items():
            finding = item.understood.finding
            if name == COMPLAINT:
                if finding:
                    found.append(Reading(COMPLAINT, list(state.book.complaints).index(finding), number))
            elif setup.can_make(name):
                found.append(told_by(state.book.checks[name], (*item.earlier, item.understood), number))
    return found + _derived(state, directives, {(reading.epoch, reading.check) for reading in found})


def _derived(state: State, directives: Directives, read: set[tuple[int, str]]) -> list[Reading]:
    """Findings that rules made of several readings; they silence those readings about the faults they speak of."""
    now = len(state.epochs) - 1
    return [
        Reading(
            derived.check,
            finding_number(state.book.checks[derived.check], derived.finding),
            now,
            derived.masks,
        )
        for derived in directives.derived
        if (now, derived.check) not in read
    ]


def open_checks(judged: Judgement) -> list[Check]:
    """The checks that may be done now, in the order of the book."""
    state, directives = judged.state, judged.directives
    done = {*state.present.taken, *directives.closed, *(_told_by_complaint(judged) - set(directives.opened))}
    checks = state.book.checks
    machine = judged.setup.machine
    looks = dict.fromkeys([machine.looks[machine.events[name].fault.part] for name in sorted(judged.awake)])
    left = [checks[name] for name in (*machine.checks, *looks) if name not in done]
    if state.kit is not None:
        left = [check for check in left if state.kit.issuperset(check.kit)]
    if judged.dangers:
        left = [check for check in left if not barred_check(state, check, judged.dangers)]
    before = {name: taken.raw for epoch in state.epochs[:-1] for name, taken in epoch.taken.items()}
    left = [check for check in left if before.get(check.id) != OUT_OF_REACH]
    return [check for check in left if check.id not in before or not _looked_enough(judged, check)]


def _looked_enough(judged: Judgement, check: Check) -> bool:
    """Whether eyes have nothing new to see: what they saw before stays as it is, unless a repair since then touches it.

    Looking again finds the same again, which is no new evidence; twice is enough in any case.
    """
    if check.reads.quantity != "eye":
        return False
    seen = [number for number, epoch in enumerate(judged.state.epochs) if check.id in epoch.taken]
    if not seen or len(seen) > 1:
        return len(seen) > 1
    shown = {check.id, check.id.partition(".")[0]}
    faults = judged.state.book.faults
    done = [epoch.repaired for epoch in judged.state.epochs[seen[0] :]]
    since = [repaired for repaired in done if judged.setup.may_have(repaired)]
    return not any(line.check in shown for fault in since for line in faults[fault].what.shows)


def _told_by_complaint(judged: Judgement) -> frozenset[str]:
    """Checks the complaint has answered already, as long as nothing was repaired since."""
    told = judged.state.present.taken.get(COMPLAINT)
    if told is None or not told.understood.finding or not judged.state.book.complaints[told.understood.finding].sees:
        return frozenset()
    return judged.setup.complained_of


def _offer(judged: Judgement, check: Check, left: Mapping[str, str]) -> Offer:
    book = judged.state.book
    preferred = judged.directives.preferred.get(check.id)
    return Offer(
        check=check.id,
        minutes=check.minutes,
        state=asked_of(book, check, left),
        area=check.area,
        stretch=place_of(book, check.area) if any(book.settings[n].held == v for n, v in check.state.items()) else "",
        prefer=preferred[0] if preferred else 1.0,
    )
