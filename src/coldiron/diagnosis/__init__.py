"""Which faults a dead machine may have, what to check next, and when to repair: odds over sets of faults.

`Judge(model, table).belief(evidence)` gives the odds; `choose` the next check; `decide` a verdict or why there is none
yet; `contradiction` the answer that does not fit; `changes` what each answer did. `planner` works on plain numbers.
"""

from coldiron.diagnosis.belief import Belief, Hypothesis
from coldiron.diagnosis.choice import Choice, Foresight, RunnerUp, choose, foresee
from coldiron.diagnosis.descent import FaultSet, Link
from coldiron.diagnosis.doubt import Change, Contradiction, changes, contradiction, expected
from coldiron.diagnosis.evidence import Evidence, Reading, Table
from coldiron.diagnosis.faults import FaultModel
from coldiron.diagnosis.judge import Judge
from coldiron.diagnosis.limits import Limits
from coldiron.diagnosis.offers import Offer, Ways
from coldiron.diagnosis.timeline import ImpossibleEvidenceError
from coldiron.diagnosis.verdict import Decision, Verdict, blame, decide

__all__ = [
    "Belief",
    "Change",
    "Choice",
    "Contradiction",
    "Decision",
    "Evidence",
    "FaultModel",
    "FaultSet",
    "Foresight",
    "Hypothesis",
    "ImpossibleEvidenceError",
    "Judge",
    "Limits",
    "Link",
    "Offer",
    "Reading",
    "RunnerUp",
    "Table",
    "Verdict",
    "Ways",
    "blame",
    "changes",
    "choose",
    "contradiction",
    "decide",
    "expected",
    "foresee",
]
