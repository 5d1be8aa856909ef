"""No step that can hurt is ever asked for before its caution was acknowledged, whatever has been typed before it.

Random walks do everything a person can type; `support.hazards` reckons from book and log alone, in a way of its own,
what had to be acknowledged. With COLDIRON_THOROUGH=1 the walks are 1,000 and some are over whole machines.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator

import pytest

from coldiron import Consultation
from coldiron.consult import agenda, state
from coldiron.consult.cautions import TYPED
from coldiron.consult.setup import setup_of
from coldiron.consult.steps import Step
from coldiron.model import Book
from support.hazards import DEADLY, neglected, settings_after
from support.mechanic import Mechanic, shipped
from support.wander import Wanderer, lesser

THOROUGH = os.environ.get("COLDIRON_THOROUGH") == "1"
CIRCUITS = tuple(shipped().circuits)
WALKS = max(30, (1000 if THOROUGH else 300) // len(CIRCUITS))
"""Over each circuit; a new circuit makes no longer run."""
WHOLE = 20
"""One walk in so many is over a whole machine, where THOROUGH."""
MOVES = 40
PORTIONS = 3 if THOROUGH else 1


def wanderer(circuit: str, seed: int) -> Wanderer:
    book: Book = shipped() if THOROUGH and seed % WHOLE == 0 else lesser(circuit, 0)
    faults = sorted(setup_of(book, circuit).machine.faults)
    story = {"raised": book.questions["raised"].answers[-1 - seed % len(book.questions["raised"].answers)].id}
    return Wanderer(Mechanic(book, circuit, frozenset((faults[seed % len(faults)],)), seed=seed, story=story), seed)


def violations(circuit: str, seeds: Iterable[int]) -> Iterator[str]:
    return (
        f"walk {seed}, after {move}: {wrong}"
        for seed in seeds
        for now, move in wanderer(circuit, seed).walk(MOVES)
        for wrong in wrongs(now)
    )


def wrongs(now: Consultation) -> Iterator[str]:
    """What must not be, in one state of a job."""
    if now.next is None:
        return
    missing = neglected(now)
    if missing:
        yield f"{now.next.id} without {', '.join(missing)}"
    if now.next.id in now.state.present.taken:
        yield f"{now.next.id} is asked twice"
    if now.next.id == "hand_back":
        stands = settings_after(now.book, now.steps)
        left = [name for name, setting in now.book.settings.items() if stands[name] != setting.normal]
        if left:
            yield f"handed back with {', '.join(left)} not put back"


@pytest.mark.slow
@pytest.mark.parametrize("portion", range(PORTIONS))
@pytest.mark.parametrize("circuit", CIRCUITS)
def test_no_step_that_can_hurt_comes_without_its_caution(circuit: str, portion: int) -> None:
    """For checks, proofs, repairs, putting back and handing back every DANGER and WARNING due is acknowledged now.

    On the same walks nothing is asked twice in one epoch, and nothing is handed back before all is put back.
    """
    assert list(violations(circuit, range(portion, WALKS, PORTIONS))) == []


def nothing_due(*_: object) -> tuple[str, ...]:
    return ()


def for_ever(_: object, held: Iterable[str], *__: object) -> frozenset[str]:
    return frozenset(held)


BREAKS = {
    "checks": (agenda, "before_check", nothing_due),
    "repairs": (agenda, "before_repair", nothing_due),
    "what answers and rules made due": (agenda, "_warned", nothing_due),
    "acknowledgements that never end": (state, "surviving", for_ever),
    "cautions of the gravest word": (agenda, "unacknowledged", nothing_due),
}


@pytest.mark.slow
@pytest.mark.parametrize("what", BREAKS)
def test_an_agenda_broken_on_purpose_is_caught(what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The walks see it when the program forgets the cautions of some sort of step, or lets them stand for ever."""
    module, name, broken = BREAKS[what]
    monkeypatch.setattr(module, name, broken)
    assert any(any(violations(circuit, range(1, WALKS, 2))) for circuit in CIRCUITS)


def test_parking_that_ends_nothing_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The walks see it when a parked job goes on with the acknowledgements of another day."""
    apply = state._apply

    def kept(now: state.State, step: Step) -> None:
        if step.kind != "park":
            apply(now, step)

    monkeypatch.setattr(state, "_apply", kept)
    assert any(any(violations(circuit, range(1, WALKS, 2))) for circuit in CIRCUITS)


def test_only_cautions_that_are_typed_are_looked_for() -> None:
    """The reckoning and the program mean the same signal words."""
    assert set(TYPED) == set(DEADLY)
    assert all(caution.type for caution in shipped().cautions.values() if caution.word in DEADLY)
