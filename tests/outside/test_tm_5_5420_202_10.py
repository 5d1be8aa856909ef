"""TM 5-5420-202-10, WP 0032, and three more manuals: how long a starter may crank, and how long it rests.

30 s at the most and 2 min of rest in TM 5-3820-256-24-4, TM 5-3805-290-23-1 and TM 10-3930-671-24 (read); 15 s and 3 to
5 min with the batteries of another machine joined (read: nsndepot.com/Library/TM/TM-5-5420-202-10?PageNumber=200).
"""

from __future__ import annotations

import re

from support.shop import book, words

LONGEST = 30
LONGEST_JOINED = 15
COUNTED = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "ten": 10, "fifteen": 15}


def seconds(text: str) -> list[int]:
    """Every number of seconds that a text speaks of."""
    found = re.findall(r"(\w+) seconds", text)
    return [COUNTED[word] if word in COUNTED else int(word) for word in found]


def test_no_check_cranks_longer_than_the_strictest_manual_allows() -> None:
    cranking = [check for check in book().checks.values() if check.state.get("key") == "start"]
    asked = [number for check in cranking for number in seconds(words(check))]
    assert asked
    assert max(asked) <= LONGEST_JOINED


def test_the_caution_keeps_to_the_printed_times() -> None:
    text = book().cautions["crank_duty"].avoid
    assert max(seconds(text)) <= LONGEST
    minutes = [COUNTED[word] if word in COUNTED else int(word) for word in re.findall(r"(\w+) minutes", text)]
    assert min(minutes) >= 2
