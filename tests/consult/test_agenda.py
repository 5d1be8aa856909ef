"""What comes next, in which order, and when a job is over."""

from __future__ import annotations

import pytest

from coldiron import Consultation
from coldiron.agenda.agenda import after_intake
from coldiron.agenda.proving import proofs
from coldiron.agenda.repairing import OFTEN, repair_due
from coldiron.book.history import COMPLAINT
from coldiron.job.steps import AnswerStep, ParkStep, RepairStep, Step
from coldiron.judging.judgement import Judgement
from coldiron.record import replace
from support.mechanic import Job, Mechanic, shipped, work, worked
from support.rows import id_of

BOOK = shipped()
PAIR: Job = worked("interlocks", "main_link.blown", "cab_feed.chafed")
LOOSE: Job = worked("start_relay", "relay_ground.off")


@pytest.fixture(params=[PAIR, LOOSE], ids=["cause and victim", "ground off"])
def job(request: pytest.FixtureRequest) -> Job:
    told: Job = request.param
    return told


def seen_amiss(job: Job) -> set[str]:
    """The checks at which the complaint of a job has seen something amiss."""
    told = BOOK.complaints[next(answer for asked, answer in job.said if asked.id == COMPLAINT)]
    return {name for name, finding in told.sees if finding != BOOK.checks[name].good}


def test_safety_comes_first_then_the_machine_and_what_it_does() -> None:
    """How it stands, what it is, its volts, its circuit, what it does, the kit: in this order, whatever the machine."""
    assert [asked.id for asked, _ in PAIR.said[:6]] == ["raised", "usual", "volts", "has.start_way", COMPLAINT, "kit"]
    assert [id_of(step) for step in PAIR.end.steps[:6]] == ["raised", "usual", "volts", "circuit", COMPLAINT, "kit"]


def test_what_the_owner_says_of_danger_is_acknowledged_before_anything_else() -> None:
    """A raised boom has its caution before anything of the machine is asked."""
    now = Consultation(BOOK).answer("raised", "raised, slope")
    seen: list[str] = []
    while now.next and now.next.kind == "caution":
        seen += now.next.acks
        now = now.answer(now.next.id, now.next.choices[0])
    assert {"raised_parts", "roll_away"} <= set(seen)
    assert now.next
    assert now.next.id == "usual"


def test_no_verdict_without_a_reading(job: Job) -> None:
    """No repair is named before something was read at the machine."""
    first = next(n for n, (asked, _) in enumerate(job.said) if asked.kind == "repair")
    assert any(asked.kind == "check" for asked, _ in job.said[:first])


def test_a_repair_is_followed_by_its_proof(job: Job) -> None:
    """After the last repair: what read badly before reads well now, then the engine cranks."""
    last = max(n for n, (asked, _) in enumerate(job.said) if asked.kind == "repair")
    proved = [asked.id for asked, _ in job.said[last:] if asked.kind == "proof" and asked.id in BOOK.checks]
    assert proved
    assert proved[-1] == "starter_turn"
    read_before = {asked.id: answer for asked, answer in job.said[:last] if asked.id in BOOK.checks}
    assert all(name in read_before or name in seen_amiss(job) for name in proved[:-1])


DARK = [
    ("start_relay", "key_fuse.blown", "run_fuse.missing"),
    ("isolator_24", "run_link.cracked", "run_relay.coil_open"),
]


@pytest.mark.parametrize(("circuit", "first", "second"), DARK)
def test_the_complaint_is_seen_gone_before_the_hand_back(circuit: str, first: str, second: str) -> None:
    """An engine that cranks with its dash still dark is no finished job: the second fault is found as well."""
    job = work(Mechanic(BOOK, circuit, frozenset((first, second)), complaint="part_alive"))
    assert (job.status, job.mechanic.present) == ("handed back", frozenset())
    repairs = [n for n, (asked, _) in enumerate(job.said) if asked.kind == "repair"]
    assert ("dash_lamps_on", "bright") in [(asked.id, answer) for asked, answer in job.said[repairs[-1] :]]


def test_a_proof_read_badly_before_the_repair(job: Job) -> None:
    """What read well all along proves nothing."""
    judged = next(now.judged for now in reversed(job.after) if now.next and now.next.id == "hand_back")
    assert judged is not None
    for check in proofs(judged)[:-1]:
        taken = [
            epoch.taken[check.id].understood.finding for epoch in judged.state.epochs[:-1] if check.id in epoch.taken
        ]
        assert check.id in seen_amiss(job) or any(finding != check.good for finding in taken)


def test_the_job_ends_with_everything_put_back_and_shown(job: Job) -> None:
    """The last questions put settings back, one each; then the hand-back, and then nothing."""
    assert job.said[-1][0].id == "hand_back"
    assert job.end.next is None
    assert job.end.state.undone == ()
    assert job.status == "handed back"


def test_what_does_not_work_yet_is_gone_on_with() -> None:
    """`no` at the hand-back does not end the job."""
    before = next(now for now in LOOSE.after if now.next and now.next.id == "hand_back")
    after = before.answer("hand_back", "no")
    assert not after.state.handed_back
    assert after.next is None or after.next.id != "hand_back"
    assert after.verdict.status != "handed back"


def test_what_was_set_for_a_check_is_used_at_once() -> None:
    """Whoever has turned the key or taken the lead off for it is asked for that reading, even if another tells more."""
    now = next(now for now in PAIR.after if now.state.begun and now.next and now.next.id == now.state.begun)
    assert now.setup
    judged = Judgement(now.state, now.setup)
    assert judged.choice
    other = next(offer.check for offer in judged.offers if offer.check != now.state.begun)
    judged.choice = replace(judged.choice, check=other, bits=9.0)
    judged.decision = replace(judged.decision, verdict=None, why="unsure")
    asked = after_intake(judged)
    assert asked
    assert asked.id == now.state.begun


def test_a_proof_that_fails_is_gone_on_with() -> None:
    """An engine that still does not turn after the repair is no proven repair: the search goes on."""
    before = next(now for now in LOOSE.after if now.next and now.next.id == "starter_turn" and now.next.kind == "proof")
    after = before.answer("starter_turn", "none")
    assert after.verdict.status != "proven"
    assert after.next is not None
    assert after.next.id != "hand_back"


def test_a_victim_is_repaired_right_after_its_cause() -> None:
    """Between the two nothing is proved; the dead side is measured once more, before the new link goes in."""
    repairs = [n for n, (asked, _) in enumerate(PAIR.said) if asked.kind == "repair"]
    done = [PAIR.said[n][0].id for n in repairs]
    assert done.index("cab_feed.chafed") < done.index("main_link.blown")
    between = PAIR.said[repairs[0] : repairs[-1]]
    others = [asked for asked, _ in between if asked.kind not in ("repair", "caution")]
    assert [(asked.kind, asked.id) for asked in others] == [("check", "dead_side_ohms.main_link")]


DEAD_SIDE = "dead_side_ohms.main_link"


@pytest.mark.parametrize(("chance", "due"), [(0.05, ""), (0.6, ""), (0.85, ""), (0.95, DEAD_SIDE)])
def test_a_victim_is_repaired_before_the_proof_only_where_it_is_nearly_sure(chance: float, due: str) -> None:
    """Right after its cause, its dead side measured first. Of one that may be sound the proof tells.

    Common practice, no source: no part is changed that the next turn of the key may show to be good.
    """
    steps: list[Step] = [
        AnswerStep(name, said) for name, said in (("raised", "none"), ("volts", "12"), ("circuit", "interlocks"))
    ]
    steps += [
        AnswerStep(COMPLAINT, "silent"),
        AnswerStep("kit", "all"),
        RepairStep("cab_feed.chafed", "done"),
    ]
    judged = Consultation(BOOK, steps).judged
    assert judged is not None
    others = tuple((fault, 0.0) for fault, _ in judged.belief.suspects if fault != "main_link.blown")
    judged.belief = replace(judged.belief, suspects=(("main_link.blown", chance), *others))
    judged.decision = replace(judged.decision, verdict=None)
    asked = repair_due(judged)
    assert (asked.step or asked.id if asked else "") == due  # its cautions come first


def test_a_repair_turned_down_is_not_asked_again() -> None:
    """Not before another repair was done."""
    before = next(now for now in LOOSE.after if now.next and now.next.kind == "repair")
    assert before.next
    turned_down = before.next.id
    now = before.answer(turned_down, "no")
    for _ in range(30):
        if now.next is None or (now.next.kind == "repair" and now.next.id != turned_down):
            break
        assert now.next.id != turned_down
        now = now.answer(now.next.id, "not sure" if now.next.kind != "caution" else now.next.choices[0])


def test_a_repair_that_cures_nothing_is_not_asked_for_ever() -> None:
    """A machine that stays dead whatever is done: no repair is asked more often than is sensible."""
    now = Consultation(BOOK)
    mechanic = Mechanic(BOOK, "direct_start", frozenset(("start_wire.broken",)))
    done: dict[str, int] = {}
    for _ in range(80):
        asked = now.next
        if asked is None:
            break
        if asked.kind == "repair":
            done[asked.id] = done.get(asked.id, 0) + 1
        now = now.answer(asked.id, mechanic.answer(asked), sure=True)
    assert done
    assert max(done.values()) <= OFTEN


def test_what_needs_kit_is_not_asked_without_it() -> None:
    """With a meter alone no check is asked that wants more; with nothing at hand the need is named at the end."""
    meter = work(Mechanic(BOOK, "start_relay", frozenset(("relay_ground.off",)), kit="meter"))
    assert all(set(BOOK.checks[q.id].kit) <= {"meter"} for q, _ in meter.said if q.kind == "check")
    bare = work(Mechanic(BOOK, "start_relay", frozenset(("relay_ground.off",)), kit="none"))
    assert all(not BOOK.checks[q.id].kit for q, _ in bare.said if q.kind == "check")
    assert bare.status in ("handed back", "needs")


def test_history_is_asked_only_when_it_tells_something() -> None:
    """With the machine as good as proven no question of history comes any more."""
    proven = [n for n, now in enumerate(LOOSE.after) if now.verdict.status in ("proven", "handed back")]
    assert all(asked.id not in BOOK.questions for asked, _ in LOOSE.said[proven[0] :])


def test_a_resumed_job_asks_its_cautions_again() -> None:
    """The step after parking is the caution of the step before it, and then the very same step."""
    before = next(now for now in PAIR.after if now.next and now.next.kind == "check" and now.next.cautions)
    assert before.next
    now = Consultation(BOOK, [*before.steps, ParkStep()])
    assert now.next
    assert now.next.id == "away"
    now = now.answer("away", "same")
    while now.next and now.next.kind == "caution":
        now = now.answer(now.next.id, now.next.choices[0])
    assert now.next
    assert now.next.id == before.next.id


def test_history_waits_for_the_first_reading() -> None:
    """A check is asked before any question to the owner but safety; history competes after it."""
    steps = [
        AnswerStep("raised", "none"),
        AnswerStep(COMPLAINT, "chatter"),
        AnswerStep("circuit", "start_relay"),
    ]
    now = Consultation(BOOK, [*steps, AnswerStep("kit", "all")])
    while now.next and now.next.kind == "caution":
        now = now.answer(now.next.id, now.next.choices[0])
    assert now.next
    assert now.next.kind == "check"
    after = now.answer(now.next.id, "not sure")
    asked: set[str] = set()
    while after.next and not asked & BOOK.questions.keys() and len(asked) < 30:
        asked.add(after.next.id)
        said = after.next.choices[0] if after.next.kind == "caution" else "skip"
        after = after.answer(after.next.id, "no" if after.next.kind == "repair" else said)
    assert asked & BOOK.questions.keys()


@pytest.mark.parametrize(
    ("circuit", "fault"),
    [("start_relay", "relay_feed_wire.poor"), ("interlocks", "start_fuse.burnt_grip"), ("start_relay", "battery.flat")],
)
def test_the_step_whose_cautions_were_read_is_the_one_that_is_asked(circuit: str, fault: str) -> None:
    """However near another check is: who read them for one step is not sent to another."""
    mechanic = Mechanic(BOOK, circuit, frozenset({fault}))
    now, seen = Consultation(BOOK), 0
    while now.next and seen < 8 and len(now.steps) < 60:
        asked = now.next
        now = now.answer(asked.id, mechanic.answer(asked))
        if asked.kind == "caution" and asked.step in BOOK.checks and now.next:
            assert asked.step in (now.next.id, now.next.step)
            seen += 1
    assert seen
