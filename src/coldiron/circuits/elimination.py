"""Solving a network of conductances by removing its nodes one by one (star-mesh), in pure Python.

Removing a node joins its neighbours directly: between neighbours j and k of node i appears the conductance
g(i,j) * g(i,k) / (sum of all conductances at i). Only sums, products and quotients of positive numbers occur, so
nothing cancels: joints of microohms beside leaks of gigaohms keep their figures. (The same observation gives the
subtraction-free elimination of Grassmann, Taksar and Heyman for Markov chains, 1985.)

The order of removal is fixed once for a topology: fewest neighbours first, the nodes of batteries and motors last,
so that their bent curves are worked on in a handful of nodes. When few conductances change, only the rows on the
way from the changed places up to the last nodes are worked again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coldiron.circuits.straight import Straight

Term = tuple[int, int]


class Plan:
    """The order of removal and the bookkeeping that follows from it, for one topology.

    Rows are the nodes in order of removal, 0 first; `size` is their number and the row number of the reference, which
    is never removed. `top` is the first of the nodes kept to the end. A slot is a pair of rows that are, or come to
    be, joined; conductances are kept in lists by slot.

    Attributes:
        row: the row of each node, by node number; the reference (-1) is reached as the last entry.
        slots: slot number by (lower row, higher row).
        spans: for each row, its (slot, higher row) pairs.
        work: for each row below `top`, its (slot, terms): a term (p, q) adds share[p] * siemens[q].
        first: the first slot among the kept nodes, which have the last ones.
        climb: for each row, the rows to be worked again when it changes, itself first, only those below `top`.
        straight: the sums that go over all rows.
    """

    __slots__ = ("climb", "first", "row", "size", "slots", "spans", "straight", "top", "work")

    def __init__(self, nodes: int, pairs: Iterable[tuple[int, int]], kept: Iterable[int]) -> None:
        """Plan for nodes 0..nodes-1 and -1 (the reference), joined in `pairs`, with `kept` nodes removed last."""
        kept = sorted(set(kept))
        order, higher = _order(nodes, pairs, kept)
        self.size = nodes
        self.top = nodes - len(kept)
        self.row = [0] * nodes + [nodes]
        for row, node in enumerate(order):
            self.row[node] = row
        neighbours = [sorted(self.row[node] for node in higher[node]) for node in order]
        self.slots: dict[tuple[int, int], int] = {}
        for low, above in enumerate(neighbours):
            for high in above:
                self.slots[low, high] = len(self.slots)
        self.spans = [tuple((self.slots[low, high], high) for high in above) for low, above in enumerate(neighbours)]
        terms = self._terms(neighbours)
        cut = self.top
        self.work = [tuple((s, tuple(t for _, t in terms[s])) for s, _ in self.spans[row]) for row in range(cut)]
        self.first = sum(len(span) for span in self.spans[:cut])
        gather = tuple(
            (s, tuple(t for origin, t in terms[s] if origin < cut)) for s in range(self.first, len(self.slots))
        )
        last = [
            tuple((s, tuple(t for origin, t in terms[s] if origin >= cut)) for s, _ in self.spans[row])
            for row in range(cut, nodes)
        ]
        self.straight = Straight(self.spans, gather, last)
        self.climb = self._climb(neighbours)

    def _terms(self, neighbours: Sequence[Sequence[int]]) -> list[list[tuple[int, Term]]]:
        """For each slot, where contributions come from: (row removed, the two slots whose product counts)."""
        terms: list[list[tuple[int, Term]]] = [[] for _ in self.slots]
        for low, above in enumerate(neighbours):
            for index, first in enumerate(above):
                for second in above[index + 1 :]:
                    term = self.slots[low, first], self.slots[low, second]
                    terms[self.slots[first, second]].append((low, term))
        return terms

    def _climb(self, neighbours: Sequence[Sequence[int]]) -> list[tuple[int, ...]]:
        climb: list[tuple[int, ...]] = [()] * self.size
        for row in range(self.top - 1, -1, -1):
            parent = neighbours[row][0]
            climb[row] = (row, *(climb[parent] if parent < self.size else ()))
        return climb

    def slot(self, a: int, b: int) -> int:
        """The slot of two joined nodes, in either order."""
        first, second = self.row[a], self.row[b]
        return self.slots[(first, second) if first < second else (second, first)]


def _order(nodes: int, pairs: Iterable[tuple[int, int]], kept: Sequence[int]) -> tuple[list[int], dict[int, set[int]]]:
    """Nodes in order of removal, and for each the nodes it is joined to at that moment."""
    joined: list[set[int]] = [{-1} for _ in range(nodes)]
    for a, b in pairs:
        if a == b:
            continue
        for one, other in ((a, b), (b, a)):
            if one >= 0:
                joined[one].add(other)
    order: list[int] = []
    higher: dict[int, set[int]] = {}
    free = set(range(nodes)) - set(kept)
    waiting = list(kept)
    while free or waiting:
        node = min(free, key=lambda n: (len(joined[n]), n)) if free else waiting.pop(0)
        free.discard(node)
        order.append(node)
        higher[node] = joined[node]
        for one in joined[node]:
            if one >= 0:
                joined[one] |= joined[node]
                joined[one] -= {one, node}
    return order, higher


class Factor:
    """A network worked through: conductances by slot, each as a share of its row, and ohms of each row to all else.

    `node volts = sum(share * volts of the higher neighbours) + ohms * amps put into the row`.
    """

    __slots__ = ("ohms", "share", "siemens")

    def __init__(self, siemens: list[float], share: list[float], ohms: list[float]) -> None:
        self.siemens = siemens
        self.share = share
        self.ohms = ohms

    @classmethod
    def blank(cls, plan: Plan) -> Factor:
        """Room for a factor of this plan; every row has still to be worked."""
        return cls([0.0] * len(plan.slots), [0.0] * len(plan.slots), [0.0] * plan.size)

    def copy(self) -> Factor:
        """A copy that can be worked on by itself."""
        return Factor(self.siemens.copy(), self.share.copy(), self.ohms.copy())

    def rework(self, plan: Plan, base: Sequence[float], rows: Iterable[int]) -> None:
        """Work the given rows below `plan.top`, in rising order, from the conductances `base` of the parts by slot."""
        siemens, share, ohms = self.siemens, self.share, self.ohms
        work = plan.work
        for row in rows:
            total = 0.0
            items = work[row]
            for slot, terms in items:
                value = base[slot]
                for p, q in terms:
                    value += share[p] * siemens[q]
                siemens[slot] = value
                total += value
            resistance = 1.0 / total
            ohms[row] = resistance
            for slot, _ in items:
                share[slot] = siemens[slot] * resistance

    def gathered(self, plan: Plan, base: Sequence[float]) -> list[float]:
        """The conductances between the kept nodes after all other nodes are removed, by slot from `plan.first`."""
        return plan.straight.gathered(self.siemens, self.share, base)

    def rework_last(self, plan: Plan, held: Sequence[float]) -> None:
        """Work the kept rows from the conductances between them (see `gathered`)."""
        plan.straight.kept(self.share, self.ohms, held)

    def volts(self, plan: Plan, amps: list[float]) -> list[float]:
        """Volts of every row for the amps put into each row (a list of `size` + 1, used up)."""
        return plan.straight.volts(self.share, self.ohms, amps)

    def kept_volts(self, plan: Plan, amps: list[float]) -> list[float]:
        """The same where only kept rows take amps; the rows below `plan.top` are left at 0 volts (see `finish`)."""
        return plan.straight.kept_volts(self.share, self.ohms, amps)

    def finish(self, plan: Plan, volts: list[float]) -> list[float]:
        """Fill in the volts of all rows below `plan.top`; give an upper bound of each row's source resistance in ohms.

        The exact figure is ohms + shares' quadratic form of the rows above, which is convex, so the weighted mean of
        the bounds above is never too small.
        """
        return plan.straight.finish(self.share, self.ohms, volts)
