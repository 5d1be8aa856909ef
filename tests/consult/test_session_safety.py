"""No step that can hurt is ever asked for before its caution was acknowledged, whatever has been typed before it.

Random walks do everything a person can type; `support.hazards` reckons from book and log alone, in a way of its own,
what had to be acknowledged. How many walks there are, `support.sizes` says; `python tests/walks.py 100000` makes more.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from coldiron.agenda import preparing
from coldiron.consult import fold
from coldiron.job import acknowledged, warned
from coldiron.job.acknowledged import Acks, Waiting
from coldiron.job.cautions import TYPED
from coldiron.job.state import State
from coldiron.job.steps import Step
from support.hazards import DEADLY
from support.mechanic import shipped
from support.screens import Watch, at_terminal, on_plain_lines
from support.sizes import few, size
from support.walks import concerns, missed, untold, unwarned, walks

CIRCUITS = tuple(shipped().circuits)
CHARGED = "interlocks+charge_light"
"""What only a variant has, an alternator, has cautions of its own."""

PORTIONS = size(1, 1, 3)
SHARE = max(size(4, 10, 10), -(-size(60, 300, 2000) // len(CIRCUITS) // PORTIONS))
"""Walks of one portion; a new circuit makes no longer run."""

GRAVE = sorted(name for name, caution in shipped().cautions.items() if caution.word in DEADLY)
FEW = 20
"""Walks over each circuit on which something broken on purpose must be seen."""


@pytest.mark.slow
@pytest.mark.parametrize("portion", range(PORTIONS))
@pytest.mark.parametrize("circuit", CIRCUITS)
def test_no_step_that_can_hurt_comes_without_its_caution(circuit: str, portion: int) -> None:
    """For checks, proofs, repairs, putting back and handing back every DANGER and WARNING due is acknowledged now.

    On the same walks nothing is asked twice in one epoch, but a measured reading once more, nothing is handed
    back before all is put back, and honest answers lead from wherever they are to a machine handed back or to what it
    still needs.
    """
    first = portion * SHARE
    tally = walks(circuit, range(first, first + SHARE))
    assert tally.wrong == []
    assert tally.grave > tally.walks


@pytest.mark.slow
def test_a_machine_that_was_described_and_never_named_is_reckoned_with_too() -> None:
    """On this walk what is said of its start makes it another machine: its hand-back has pages all the same."""
    assert walks("direct_start", [3299]).wrong == []


@pytest.mark.slow
@pytest.mark.parametrize("circuit", CIRCUITS[:: size(8, 2, 1)])
@pytest.mark.parametrize("screen", [on_plain_lines, at_terminal])
def test_no_page_of_a_screen_comes_without_its_caution(screen: Callable[[str, int], Watch], circuit: str) -> None:
    """The same on both screens, by what is typed there, parked jobs gone on with; and its cautions are on the page."""
    seen = [screen(circuit, seed) for seed in range(size(2, 2, 5))]
    assert [wrong for watch in seen for wrong in watch.wrong] == []
    assert sum(watch.pages for watch in seen) > 10 * len(seen)


def nothing_due(*_: object) -> tuple[str, ...]:
    return ()


def nothing_waits(*_: object, **__: object) -> Waiting:
    return Waiting()


def for_ever(_: object, acks: Acks, *__: object, **___: object) -> Acks:
    return acks


def for_any_step(acks: Acks, name: str, *_: object) -> bool:
    return name in acks.held


BREAKS = {
    "checks": (preparing, "before_check", nothing_due),
    "repairs": (preparing, "before_repair", nothing_due),
    "what answers and rules made due": (preparing, "warned", nothing_due),
    "acknowledgements that outlive their setting": (acknowledged, "surviving", for_ever),
    "acknowledgements of one step that serve for the next": (acknowledged, "_holds", for_any_step),
    "stretches that never end": (acknowledged, "broken", for_ever),
    "cautions of the gravest word": (warned, "waiting", nothing_waits),
}


@pytest.mark.slow
@pytest.mark.parametrize("what", BREAKS)
def test_an_agenda_broken_on_purpose_is_caught(what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The walks see it when the program forgets the cautions of some sort of step, or lets them stand for ever."""
    module, name, broken = BREAKS[what]
    monkeypatch.setattr(module, name, broken)
    assert any(any(unwarned(circuit, range(FEW))) or any(untold(circuit, range(FEW))) for circuit in CIRCUITS)


@pytest.mark.parametrize("circuit", CIRCUITS[:: size(5, 2, 1)])
def test_what_is_told_before_a_step_lends_no_caution_to_the_next(circuit: str) -> None:
    """A reading taken already, told when a step stands acknowledged, may bring another step: with its own cautions."""
    assert list(untold(circuit, range(2))) == []


def test_parking_that_ends_nothing_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The walks see it when a parked job goes on with the acknowledgements of another day."""
    apply = fold._apply

    def kept(now: State, step: Step) -> None:
        if step.kind != "park":
            apply(now, step)

    monkeypatch.setattr(fold, "_apply", kept)
    assert any(any(unwarned(circuit, range(FEW))) for circuit in CIRCUITS)


@pytest.mark.slow
@pytest.mark.parametrize("caution", few(GRAVE, 12, len(GRAVE)))
def test_a_caution_taken_out_of_the_book_is_missed(caution: str) -> None:
    """Whichever DANGER or WARNING nobody has to type any more, some walk comes to its step and finds it missing."""
    circuits = sorted((*CIRCUITS, CHARGED), key=lambda circuit: not concerns(circuit, caution))
    assert next((wrong for circuit in circuits for wrong in missed(circuit, caution)), "")


def test_only_cautions_that_are_typed_are_looked_for() -> None:
    """The reckoning and the program mean the same signal words."""
    assert set(TYPED) == set(DEADLY)
    assert all(caution.type for caution in shipped().cautions.values() if caution.word in DEADLY)
