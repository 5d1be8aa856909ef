"""Walk with simulated people through jobs on the shipped book, and print what a second reckoner finds wrong.

    python tests/yard_walks.py [WALKS] [FROM]
    python tests/yard_walks.py after [WALKS] [FROM]
    python tests/yard_walks.py show SEED [CIRCUIT] [AFTER]

WALKS (200) from the seed FROM (0) on, over all circuits in turn. `after` walks are about what comes right after one
thing: a skip, not sure, a repair, back, change, park, a killed program, another person. `show` prints one walk, every
page and line, with its alarms. Ends with 1 if there was any alarm.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[0]))

from yard.person import Person
from yard.screen import Screen
from yard.walks import CIRCUITS, Tally, pages_of, walks

STEP = 15
"""Walks between two lines of progress."""


def main(arguments: list[str]) -> int:
    """Walk, print, and say whether all was well."""
    after = arguments[:1] == ["after"]
    if arguments[:1] == ["show"]:
        return show(arguments[1:])
    numbers = [int(text) for text in arguments[after:]]
    number, first = (*numbers, *(200, 0)[len(numbers) :])
    every = Tally()
    with suppress(KeyboardInterrupt):  # whoever stops it sees what it has come to
        for start in range(first, first + number, STEP):
            every.add(walks(range(start, min(start + STEP, first + number)), after=after))
            print(f"{every.walks} walks, {sum(every.alarms.values())} alarms", file=sys.stderr, flush=True)  # noqa: T201
    print(every.table())  # noqa: T201
    return 1 if every.alarms else 0


def show(arguments: list[str]) -> int:
    """Print one walk."""
    seed = int(arguments[0])
    circuit = int(arguments[1]) if len(arguments) > 1 else seed % CIRCUITS
    after = arguments[2] if len(arguments) > 2 else ""
    person = Person(Screen(), seed, circuit, after)
    typed = known = 0
    for number, page in enumerate(person.walk(pages_of(person, after))):
        print(*(f"    > {line}" for line in person.screen.typed[typed:]), sep="\n")  # noqa: T201
        typed = len(person.screen.typed)
        print(f"---- page {number}", *page.lines, sep="\n")  # noqa: T201
        print(*(f"==== ALARM {kind}" for kind, _ in person.reckoner.alarms[known:]), sep="\n")  # noqa: T201
        known = len(person.reckoner.alarms)
    return 1 if known else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
