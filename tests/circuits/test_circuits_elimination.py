"""Elimination of nodes: laws that hold for every network of conductances, and figures nothing may cancel out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldiron.circuits.elimination import Factor, Plan

Network = tuple[int, list[tuple[int, int, float]], list[int]]


@st.composite
def networks(draw: st.DrawFn, *, wide: bool = True) -> Network:
    """Nodes, (a, b, siemens) with node -1 as the reference, and nodes kept last; every node has a leak."""
    nodes = draw(st.integers(1, 9))
    exponent = st.floats(-9, 6) if wide else st.floats(-2, 2)
    pairs = draw(st.lists(st.tuples(st.integers(-1, nodes - 1), st.integers(-1, nodes - 1)), max_size=20))
    edges = [(a, b, 10 ** draw(exponent)) for a, b in pairs if a != b]
    kept = draw(st.lists(st.integers(0, nodes - 1), max_size=3, unique=True))
    return nodes, edges, kept


def worked(network: Network) -> tuple[Plan, Factor]:
    nodes, edges, kept = network
    plan = Plan(nodes, [(a, b) for a, b, _ in edges], kept)
    base = conductances(plan, network)
    factor = Factor.blank(plan)
    factor.rework(plan, base, range(plan.top))
    factor.rework_last(plan, factor.gathered(plan, base))
    return plan, factor


def conductances(plan: Plan, network: Network) -> list[float]:
    nodes, edges, _ = network
    base = [0.0] * len(plan.slots)
    for node in range(nodes):
        base[plan.slot(node, -1)] += 1e-10
    for a, b, siemens in edges:
        base[plan.slot(a, b)] += siemens
    return base


def volts(plan: Plan, factor: Factor, amps: dict[int, float]) -> list[float]:
    """Volts by node, the reference last."""
    put = [0.0] * (plan.size + 1)
    for node, flow in amps.items():
        put[plan.row[node]] += flow
    found = factor.volts(plan, put)
    return [found[plan.row[node]] for node in range(plan.size)] + [0.0]


@given(networks(wide=False), st.data())
def test_volts_agree_with_a_dense_matrix(network: Network, data: st.DataObject) -> None:
    """Within a millionth of a millionth wherever numpy's own answer is good."""
    nodes, edges, _ = network
    matrix = np.eye(nodes) * 1e-10
    for a, b, siemens in edges:
        for one, other in ((a, b), (b, a)):
            if one >= 0:
                matrix[one, one] += siemens
                if other >= 0:
                    matrix[one, other] -= siemens
    amps = data.draw(st.lists(st.floats(-10, 10), min_size=nodes, max_size=nodes))
    plan, factor = worked(network)
    found = volts(plan, factor, dict(enumerate(amps)))
    if np.linalg.cond(matrix) < 1e5:
        assert found[:-1] == pytest.approx(np.linalg.solve(matrix, amps), rel=1e-9, abs=1e-9)


@given(networks(), st.integers(0, 8), st.integers(0, 8))
def test_reciprocity(network: Network, one: int, other: int) -> None:
    """One amp put in here gives there the volts that one amp put in there gives here."""
    plan, factor = worked(network)
    a, b = one % plan.size, other % plan.size
    assert volts(plan, factor, {a: 1.0})[b] == pytest.approx(volts(plan, factor, {b: 1.0})[a], rel=1e-9)


@given(networks(), st.data())
def test_superposition(network: Network, data: st.DataObject) -> None:
    """Currents put in together give the sum of what each gives by itself."""
    plan, factor = worked(network)
    amps = data.draw(st.lists(st.floats(0, 10), min_size=plan.size, max_size=plan.size))
    alone = [volts(plan, factor, {node: flow}) for node, flow in enumerate(amps)]
    together = volts(plan, factor, dict(enumerate(amps)))
    assert together == pytest.approx([sum(column) for column in zip(*alone, strict=True)], rel=1e-9)


@given(networks(), st.data())
def test_working_only_the_changed_rows_is_the_same_as_working_all(network: Network, data: st.DataObject) -> None:
    """To the last bit."""
    nodes, edges, kept = network
    if not edges:
        return
    plan, factor = worked(network)
    number = data.draw(st.integers(0, len(edges) - 1))
    a, b, siemens = edges[number]
    changed: Network = nodes, [*edges[:number], (a, b, siemens * 1e-6), *edges[number + 1 :]], kept
    low = min(plan.row[a], plan.row[b])
    base = conductances(plan, changed)
    factor.rework(plan, base, plan.climb[low] if low < plan.top else ())
    factor.rework_last(plan, factor.gathered(plan, base))
    _, anew = worked(changed)
    assert (factor.siemens, factor.share, factor.ohms) == (anew.siemens, anew.share, anew.ohms)


@given(networks())
def test_bounds_of_source_resistance_are_bounds(network: Network) -> None:
    """No node answers one amp with more volts than its bound says."""
    plan, factor = worked(network)
    bounds = factor.finish(plan, [0.0] * (plan.size + 1))
    for node in range(plan.size):
        assert volts(plan, factor, {node: 1.0})[node] <= bounds[plan.row[node]] * (1 + 1e-9)


@pytest.mark.parametrize("leak", [1e-9, 1e-6, 1.0])
def test_microohms_beside_gigaohms_keep_their_figures(leak: float) -> None:
    """One amp into a microohm, then into a leak: Cramer's rule by hand, to 12 figures, whichever end goes first."""
    for kept in ([], [0], [1], [0, 1]):
        plan, factor = worked((2, [(0, 1, 1e6), (1, -1, leak)], kept))
        found = volts(plan, factor, {0: 1.0})
        beyond = leak + 1e-10
        determinant = 1e-10 * (1e6 + beyond) + 1e6 * beyond
        assert found[1] == pytest.approx(1e6 / determinant, rel=1e-12)
        assert found[0] == pytest.approx((1e6 + beyond) / determinant, rel=1e-12)
