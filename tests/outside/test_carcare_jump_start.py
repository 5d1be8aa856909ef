"""A consumer council on jump starting: the order of the leads, and the reverse for taking them off.

Plus of the flat battery, plus of the good one, minus of the good one, and last metal of the engine or frame away from
the flat battery. Read in a stored copy: carcare.org/Electrical/jump_start.shtml. (One stored web page turns the order
of taking off round; it is not used.)
"""

from __future__ import annotations

from support.shop import WELL, begin, book

ORDER = (
    "dead machine's positive",
    "helper's positive",
    "helper's negative",
    "dead machine's engine or frame",
)
"""In the words of the book, the order read there."""


def test_the_caution_has_the_printed_order() -> None:
    text = " ".join(book().cautions["jump_or_charge"].avoid.split())
    places = [text.index(words) for words in ORDER]
    assert places == sorted(places)
    assert text[places[-1] :].startswith("dead machine's engine or frame, 20 inches (half a meter) from its battery")


def test_nobody_is_told_to_jump_before_it_was_acknowledged() -> None:
    """The step that takes a helper's battery is refused until the order was read and what is seen was typed."""
    job = begin("start_relay", "weak_lamps").answer("battery.flat", "done")
    seen: set[str] = set()
    while job.next is not None and (job.next.kind == "caution" or job.next.id in WELL):
        seen |= set(job.next.acks)
        job = job.answer(job.next.id, WELL.get(job.next.id, job.next.choices[0]))
    assert "jump_or_charge" in seen
    assert job.next is not None
    assert (job.next.kind, job.next.id) == ("repair", "battery.flat")
