"""What the judge keeps of the last evidence: it serves where nothing new was told, and changes no result."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coldiron.choice.judge import Judge
from coldiron.inference.evidence import Evidence, Reading
from coldiron.inference.faults import FaultModel
from support.fault_tables import DetectionTable

CHECKS = ("one", "two", "three")
TABLE = DetectionTable({name: {"a": 0.9, "b": 0.2 * n} for n, name in enumerate(CHECKS)})
MODEL = FaultModel(odds={"a": 1, "b": 2, "c": 1})

READINGS = st.lists(
    st.tuples(st.sampled_from(CHECKS), st.sampled_from((0, 1, None)), st.integers(0, 1)),
    unique_by=lambda told: (told[0], told[2]),
)
EVIDENCE = st.builds(
    lambda told, repaired, factor: Evidence(
        tuple(Reading(*one) for one in told), (frozenset((repaired,)),), {"c": factor} if factor else {}
    ),
    READINGS,
    st.sampled_from(("a", "b")),
    st.sampled_from((0, 0.5, 3.0)),
)


def test_what_tells_nothing_is_not_judged_anew() -> None:
    """A setting makes new evidence of the same readings, a check that was left undone adds one that says nothing."""
    judge = Judge(MODEL, TABLE)
    told = (Reading("one", 0), Reading("two", 1))
    belief = judge.belief(Evidence(told))
    assert judge.belief(Evidence(tuple(Reading("one", 0) if n == 0 else one for n, one in enumerate(told)))) is belief
    assert judge.belief(Evidence((*told, Reading("three", None)))) is belief
    assert judge.belief(Evidence((*told, Reading("three", 0)))) is not belief


@given(st.lists(EVIDENCE, min_size=2, max_size=6))
def test_what_was_judged_before_changes_nothing(several: list[Evidence]) -> None:
    """One judge for all of them, the same evidence twice in a row or not, comes to what a new one comes to."""
    judge = Judge(MODEL, TABLE)
    for evidence in several:
        assert judge.belief(evidence) == Judge(MODEL, TABLE).belief(evidence)
