"""How many sets of faults are judged."""

from __future__ import annotations

from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """How much is judged. More is slower and, past these figures, hardly better.

    Attributes:
        largest: Most faults in a set.
        exact: All sets are judged while there are no more than this many.
        leading: Single faults of which pairs and triples are made.
        pairs: Pairs of which triples are made.
        solved: Pairs and triples, besides causes with victims, that the table is asked about at the most.
        far: No pair or triple is asked about that could at best be less likely than the likeliest single fault by this
            much, as a log of chances (6 is a chance 400 times smaller).
        ruled_out: The same for those that were asked about: seen to be less likely by so much, they are left out.
        events: Sets of an event with what it hurt that the table is asked about at the most, beside all these.
        hurt: So many of the faults that an event may make, those that explain most, are made sets of.
        followed: Pairs and triples, the likeliest, that are followed past a repair, none of them less likely than the
            likeliest single fault by more than `far`.
        beside: Sets of what was repaired and one more fault that are solved after a repair at the most.
        pool: Hypotheses that the choice of the next check weighs.
    """

    largest: int = 3
    exact: int = 300
    leading: int = 60
    pairs: int = 30
    solved: int = 24
    far: float = 6.0
    ruled_out: float = 8.0
    events: int = 16
    hurt: int = 6
    followed: int = 40
    beside: int = 24
    pool: int = 48
