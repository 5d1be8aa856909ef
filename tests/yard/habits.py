"""What people do at a machine beside what they are told, and what they read on a meter."""

from __future__ import annotations

MISCHIEF = {
    "skip": 6,
    "skip_in_the_middle": 3,
    "not_sure": 4,
    "cannot_reach": 3,
    "back": 3,
    "change": 3,
    "park": 2,
    "kill": 2,
    "person": 2,
    "others": 2,
    "wait": 1,
    "cranks_himself": 2,
    "note": 1,
    "mend": 3,
}
"""How often, of a hundred pages of work, he does something else than the step."""

AFTER = ("skip", "not_sure", "mend", "back", "change", "park", "kill", "person", "others", "wait")
"""What a walk can be about: what comes right after it."""

READINGS = {
    "Volts": (
        "0.02",
        "0.4",
        "3.1",
        "8.2",
        "10.6",
        "11.8",
        "12.6",
        "24.9",
        "0.02",
        "0.4",
        "3.1",
        "8.2",
        "10.6",
        "-12.7",
    ),
    "Amps": ("0", "0.02", "1.2", "35", "180", "700"),
    "Ohms": ("0.1", "0.9", "12", "80", "4000", "OL"),
}

PLAIN = 0.5
"""How many people work plainly on a machine with an ordinary fault and no danger: theirs are the jobs that end."""

SELDOM = 0.25
"""How much less often such a one does something else than the step."""

MENDS_AFTER = 6
"""After so many steps he repairs what is suspected most, whether it is asked for or not."""

NOT_SO = 0.04
"""How often an honest person says at a warning that it is not so."""

LIARS = 0.2
"""How many people say that it is so without a look."""

AT_ONCE = 0.9
"""How often what must be done this second can be done."""
