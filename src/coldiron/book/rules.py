"""Rules: what follows when facts hold."""

from __future__ import annotations

from typing import Literal

from coldiron.book.conclusions import Conclusion
from coldiron.book.conditions import Condition
from coldiron.book.source import NOWHERE, Place
from coldiron.record import dataclass


@dataclass(frozen=True, slots=True)
class Loop:
    """`for NAME in KIND`, with `before` or `after` a part: the rule is grounded once for every such part."""

    name: str
    kind: str
    relation: Literal["", "before", "after"] = ""
    part: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """When facts hold, then something follows. A loop variable stands for a part id wherever a part may stand."""

    id: str
    loop: Loop | None
    when: tuple[Condition, ...]
    then: tuple[Conclusion, ...]
    because: str
    source: str
    place: Place = NOWHERE
