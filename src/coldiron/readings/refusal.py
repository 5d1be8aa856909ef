"""An answer that cannot be taken, and the answers that tell nothing."""

from __future__ import annotations

from typing import Literal

AnswerFault = Literal["unknown question", "not a choice", "misread", "implausible", "caution due", "not now"]

OUT_OF_REACH = "cannot reach"
"""The answer to a check that nobody gets at: not now, and no better after a repair."""

UNKNOWN = ("skip", OUT_OF_REACH, "not sure")
"""Answers that tell nothing and are never held against any fault."""

NOT_FITTED = "not fitted"
"""The answer to a check that what it is made on is not there, where nobody knew whether it is."""


class AnswerError(ValueError):
    """An answer that cannot be taken; nothing was changed.

    `kind` names what is wrong, `sentence` says it in words, `could_be` lists what would be accepted. An `implausible`
    answer is accepted when it is given again with `sure=True`. `place` is the column, from 1, of what is wrong in
    `text`, the value that was refused; 0 where there is no one place.
    """

    def __init__(
        self, kind: AnswerFault, sentence: str, could_be: tuple[str, ...] = (), *, text: str = "", place: int = 0
    ) -> None:
        super().__init__(sentence)
        self.kind: AnswerFault = kind
        self.sentence = sentence
        self.could_be = could_be
        self.text = text
        self.place = place
