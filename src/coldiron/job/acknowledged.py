"""Which acknowledgements hold for a step, and when they end.

Two sorts of cautions. One that belongs to a setting or to the day holds until that setting changes, a repair is done,
the job is parked or somebody else comes. One that belongs to each step (a START that is held, what says `once`) holds
for one step alone: in full with its word at the first of a stretch of steps, in a line and one key at the next of the
same stretch. A stretch ends with a repair, a step left undone, another place, another setting, a pause.

What holds until a setting changes or a repair is done, and has ended so, is said again in a line and one key by who
typed it: he has read it. Another person, a parked or killed job, ten minutes, a new answer: then in full.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coldiron.book.book import Book
from coldiron.book.cautions import Caution
from coldiron.job.cautions import TYPED, dues_of
from coldiron.record import dataclass, replace

SO, NOT_SO = "so", "no"
"""What one key says of a caution: that it is so, or is not. Only the first is ever logged."""

READ = "read"
"""What is logged where one key said it of cautions that stood on the page in full."""


@dataclass(frozen=True, slots=True)
class Acks:
    """What has been acknowledged.

    `held` are all that hold; those of each step hold only before the step `step`. `full` are those of them that were
    typed before that step, `read` those typed earlier on the same stretch. `known` are those of no single step that the
    same person has typed since he came: where a repair or a setting has ended one, a line and one key say it again.
    """

    held: frozenset[str] = frozenset()
    step: str = ""
    full: frozenset[str] = frozenset()
    read: frozenset[str] = frozenset()
    known: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Waiting:
    """What is still to be acknowledged before a step: `full` is to be read whole, `brief` in a line.

    With `typed` the word of the gravest is to be typed, else one key says that it is so: that is for a page with no
    DANGER and no START to be read in full.
    """

    full: tuple[Caution, ...] = ()
    brief: tuple[Caution, ...] = ()
    typed: bool = True

    def __bool__(self) -> bool:
        """Whether anything is."""
        return bool(self.full or self.brief)


def waiting(book: Book, acks: Acks, due: Iterable[str], step: str, *, moves: bool = False) -> Waiting:
    """What of the due cautions is still to be acknowledged before a step.

    Args:
        book: the book.
        acks: what has been acknowledged.
        due: ids of the cautions due before the step.
        step: the id of the step.
        moves: whether the step goes to another place or changes another setting, so that a new stretch begins with it.
    """
    each = dues_of(book).each_step
    open_ones = [name for name in due if book.cautions[name].word in TYPED and not _holds(acks, name, step, each)]
    brief = [name for name in open_ones if (name in acks.read and not moves if name in each else name in acks.known)]
    full = [name for name in open_ones if name not in brief]
    return Waiting(
        tuple(book.cautions[name] for name in full),
        tuple(book.cautions[name] for name in brief),
        any(book.cautions[name].word == TYPED[0] or name in dues_of(book).starts for name in full),
    )


def _holds(acks: Acks, name: str, step: str, each: frozenset[str]) -> bool:
    return name in acks.held and (name not in each or acks.step == step)


def given(book: Book, acks: Acks, names: Iterable[str], step: str, *, word: str) -> Acks:
    """After some cautions were acknowledged before a step, by the word that is in the log."""
    known = frozenset(names) & book.cautions.keys()
    dues = dues_of(book)
    each = dues.each_step
    before = acks if acks.step == step else replace(acks, held=acks.held - each, full=frozenset(), step=step)
    typed = known & each if word != SO else frozenset()
    if word == READ:
        typed = frozenset(name for name in typed - dues.starts if book.cautions[name].word != TYPED[0])
    return replace(before, held=before.held | known, full=before.full | typed, known=before.known | known - each)


def after_step(book: Book, acks: Acks, *, moves: bool) -> Acks:
    """After the step was taken: what belongs to each step is to be said again, in a line on the same stretch."""
    read = acks.full if moves else acks.read | acks.full
    return Acks(held=acks.held - dues_of(book).each_step, read=read, known=acks.known)


def broken(book: Book, acks: Acks) -> Acks:
    """After a stretch has ended: what belongs to each step is to be read in full again."""
    return Acks(held=acks.held - dues_of(book).each_step, known=acks.known)


def paused(book: Book, acks: Acks) -> Acks:
    """After ten minutes: a stretch has ended, and what ends from now on is to be read in full again."""
    return replace(broken(book, acks), known=frozenset())


def repaired(acks: Acks) -> Acks:
    """After a repair nothing holds; who has typed a caution that belongs to no single step is asked in a line."""
    return Acks(known=acks.known)


def surviving(book: Book, acks: Acks, due: Iterable[str], before: Mapping[str, str], after: Mapping[str, str]) -> Acks:
    """What outlives a change of the machine's state."""
    return replace(acks, held=outliving(book, acks.held, due, before, after))


def outliving(
    book: Book, names: Iterable[str], due: Iterable[str], before: Mapping[str, str], after: Mapping[str, str]
) -> frozenset[str]:
    """The cautions of which no setting behind `until` changes, and those due before the very step that changes it."""
    changed = {name for name in after if before.get(name) != after[name]}
    step = set(due)
    return frozenset(name for name in names if name in step or changed.isdisjoint(book.cautions[name].until))


def ended_by(book: Book, acks: Acks, question: str) -> Acks:
    """What outlives a new answer to a question: not what says that it holds until that answer changes."""
    ended = frozenset(name for name in acks.held | acks.known if question in book.cautions[name].until)
    return replace(acks, held=acks.held - ended, known=acks.known - ended)
