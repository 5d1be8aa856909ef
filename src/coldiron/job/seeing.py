"""The answer to a caution: the word for what was seen, its first letter, or that it is not so."""

from __future__ import annotations

from coldiron.job.acknowledged import READ, SO
from coldiron.job.question import Question
from coldiron.readings.refusal import AnswerError

NO = ("no", "n", "not so", "it is not", "it is not so")
YES_BRIEF = (SO, "s", "1", "it is so")
NO_BRIEF = ("2",)


def seen(asked: Question, text: str) -> str:
    """What is logged for the answer to a caution: its word, or that one key said so.

    Who types the word where one key would do has said as much.

    Raises:
        AnswerError: it is something else, or that it is not so: then the sentence says what makes it so.
    """
    plain = " ".join(text.lower().split())
    if plain in NO or (asked.brief and plain in NO_BRIEF):
        raise AnswerError("caution due", _make_it_so(asked))
    if asked.brief:
        words = {caution.type for caution in asked.cautions}
        if plain in YES_BRIEF or plain in words:
            return READ if set(asked.acks) - set(asked.beside) else SO
        raise AnswerError("caution due", "Look again. Type s if it is so, n if it is not.", asked.choices)
    word = asked.choices[0]
    if plain in (word, word[0]):
        return word
    raise AnswerError("caution due", f"Type '{word}' once you see that it is so, or n if it is not.", asked.choices)


def _make_it_so(asked: Question) -> str:
    """What to do where it is not so, and what else can be done."""
    how = asked.cautions[0].avoid if len(asked.cautions) == 1 else "What to do stands with each hazard on this page."
    word = "s" if asked.brief else f"'{asked.choices[0]}'"
    other = " For another check type: skip." if asked.step else ""
    return f"Then make it so first. {how} When it is so, type {word}.{other} To stop here type: park."
