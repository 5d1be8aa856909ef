"""The verdict as a record: cause, readings that support it, other possible causes, repair, proof, status of the job."""

from __future__ import annotations

from typing import Literal

from coldiron.book.cautions import Caution
from coldiron.job.state import State
from coldiron.record import dataclass

Status = Literal["open", "cause", "proven", "handed back", "out of service", "needs"]


@dataclass(frozen=True, slots=True)
class EvidenceLink:
    """One reading that supports a fault: its check, its words, and its change of the log-odds of the fault."""

    check: str
    shown: str
    log_odds: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """The state of a diagnosis.

    `status`: `open` (no verdict yet), `cause` (repair these), `proven` (repaired and proved, not yet handed back),
    `handed back`, `out of service` (handed over, not to be used until what is open was shown), `needs` (nothing left to
    ask with the kit at hand). Where nothing more is asked before the hand-back, `needs` says what would help.
    `faults` are ids to repair, every cause before its victims, with their chances; `repaired` those repaired so far,
    `in_vain` those of them whose repair did not help.
    `shown` says of every duty shown since the latest repair what was seen or read; `still_open` names those that
    were not, each with what the owner must not do until then, and `failed` those that did not do as they must, with
    what is done next. `wires` are those of the place where an event hurt several: what is known of them, and which.
    """

    status: Status
    faults: tuple[tuple[str, float], ...] = ()
    evidence: tuple[EvidenceLink, ...] = ()
    not_excluded: tuple[tuple[str, float], ...] = ()
    unknown: float = 0.0
    damages: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    repairs: tuple[str, ...] = ()
    proofs: tuple[str, ...] = ()
    repaired: tuple[str, ...] = ()
    in_vain: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()
    needs: str = ""
    shown: tuple[str, ...] = ()
    still_open: tuple[tuple[str, str], ...] = ()
    failed: tuple[tuple[str, str], ...] = ()
    wires: tuple[tuple[str, tuple[str, ...]], ...] = ()


def outcome_before_machine(state: State) -> Outcome:
    """The outcome while the machine is not known yet."""
    return Outcome("handed back" if state.handed_back else "open")
