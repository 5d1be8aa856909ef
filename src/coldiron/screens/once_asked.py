"""What only some entries at a screen need, so that the first pages are there before it is loaded."""

from coldiron.cards.words import at_hand, card_in_words
from coldiron.consult.differences import differences
from coldiron.consult.mapped import mapped
from coldiron.consult.naming import answer_in_words, meant, repaired
from coldiron.map.text import lanes, legend, strip
from coldiron.readings.in_words import in_words
from coldiron.telling.code_words import confirmation, why_code

__all__ = [
    "answer_in_words",
    "at_hand",
    "card_in_words",
    "confirmation",
    "differences",
    "in_words",
    "lanes",
    "legend",
    "mapped",
    "meant",
    "repaired",
    "strip",
    "why_code",
]
