"""The consultation as screens see it: a page of blocks, and what one typed line does."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from time import monotonic
from types import ModuleType
from typing import Protocol

from coldiron.book.history import CODE, TOLD
from coldiron.book.machines import LONGEST_NOTE
from coldiron.book.variants import circuit_named
from coldiron.consult.likely import answers
from coldiron.consult.session import Consultation
from coldiron.job.card import CARD, CHANGED, KEEP, NO, NOTED, card_after, is_taken_over
from coldiron.job.dangers import standing_dangers
from coldiron.job.question import Question, may_be_left
from coldiron.job.rows import row_of
from coldiron.job.steps import Answered, ReadingStep, RepairStep, Step, is_repaired, standing
from coldiron.jobs.log import Entry
from coldiron.machine.codes import read_code
from coldiron.machine.fitting import HAS, USUAL
from coldiron.questions.table import kind_of
from coldiron.readings.choosing import MOST_DIGITS
from coldiron.readings.refusal import NOT_FITTED, UNKNOWN, AnswerError
from coldiron.record import dataclass, field, replace
from coldiron.screens.lines import WORDS, Drawn, Page, Reply, Text
from coldiron.screens.meaning import plain
from coldiron.screens.pages import ANY, is_begun, make_page


class CardsByName(Protocol):
    """The cards of machines, as a job finds them."""

    def any(self) -> bool:
        """Whether there is one."""

    def of(self, name: str) -> tuple[Step, ...]:
        """The entries that a job takes over from the card of a name."""


@dataclass(frozen=True, slots=True)
class JobDriver:
    """One job at a screen. Pure: nothing is saved here.

    `said` is what the last entry brought about, `doubted` an implausible answer that is taken if it comes again,
    `earlier` what was noted on earlier jobs of this machine, `keeps` the name under which its card is kept (`ANY` asks
    for one, nothing keeps none), `cards` finds the card of a name, `at` when the last entry was made, in seconds by
    `clock`.
    """

    title: str
    consultation: Consultation
    committed: int = 0
    said: tuple[str, ...] = ()
    doubted: str = ""
    parked: bool = False
    earlier: tuple[str, ...] = ()
    keeps: str = ""
    cards: CardsByName | None = field(default=None, compare=False)
    clock: Callable[[], float] = field(default=monotonic, compare=False)
    at: float = field(default_factory=monotonic, compare=False)

    @property
    def unsaved(self) -> tuple[Entry, ...]:
        """What the last entry adds to the log."""
        return tuple(Entry(*row_of(step)) for step in self.consultation.steps[self.committed :])

    def likely(self) -> tuple[str, ...]:
        """Something that could be typed for every way the page can go; nothing before the evidence is judged."""
        return answers(self.consultation) if self.consultation.judged is not None else ()

    def saved(self) -> JobDriver:
        """The same, once it is committed."""
        return replace(self, committed=len(self.consultation.steps))

    def page(self) -> Page:
        """What to show now."""
        taken_over = sum(map(is_taken_over, self.consultation.steps))
        saved = self.committed - taken_over if self.committed == len(self.consultation.steps) else 0
        asked = self.consultation.next
        by_name = (BY_NAME,) if self.cards and asked and asked.id == USUAL and self.cards.any() else ()
        earlier = () if self.consultation.state.circuit else self.earlier[-SHOWN:]
        return make_page(
            self.title,
            self.consultation,
            said=(*self.said, *by_name),
            saved=saved,
            parked=self.parked,
            earlier=earlier,
            keeps=self._kept_as() if self._offers() else "",
            way=self._way(),
        )

    def _way(self) -> Drawn | None:
        """The line of the drawing that stands above a check made with probes."""
        asked = self.consultation.next
        if asked is None or asked.kind not in ("check", "proof") or self.consultation.judged is None:
            return None
        found = _once_asked().mapped(self.consultation)
        return Drawn(partial(_once_asked().strip, *found), aside=True) if found and found[1].red else None

    def _offers(self) -> bool:
        """Whether it is asked now if the machine's card is to be written: the job is over and it says something new."""
        state = self.consultation.state
        if not (self.keeps and state.handed_back) or state.card_kept:
            return False
        before = replace(state.card, notes=tuple(note for note in state.card.notes if note not in state.noted))
        return card_after(state, before, "") != before

    def enter(self, text: str) -> JobDriver | Reply:
        """What one typed line does."""
        line = " ".join(text.split())
        if self._offers() and line.lower() != "back":
            return self._keep(line)
        asked = self.consultation.next
        line = plain(line, (*asked.choices, *asked.meanings) if asked else ())
        if asked is not None and asked.kind == "caution" and self._is_late():
            later = replace(self, consultation=self.consultation.pause(), at=self.clock())
            return replace(later, said=(LONG_AGO,), doubted="") if asked.brief else later.enter(line)
        try:
            after = self._enter(line)
        except AnswerError as error:
            after = self._refusal(line, error)
        still = isinstance(after, Reply) or after.consultation is self.consultation
        return self._looked_at_again(after) if still and self._is_late() else after

    def _looked_at_again(self, after: JobDriver | Reply) -> JobDriver | Reply:
        """What changes nothing, after so long: what was typed before the step at hand holds no more."""
        paused = self.consultation.pause()
        if paused.next is None or paused.next.kind != "caution":
            return after
        said = [block.text for block in after.blocks if isinstance(block, Text)] if isinstance(after, Reply) else ()
        told = after.said if isinstance(after, JobDriver) else tuple(said)
        return replace(self, consultation=paused, said=(*told, LONG_AGO), doubted="", at=self.clock())

    def _kept_as(self) -> str:
        """The name under which the card is kept, `ANY` if none was given."""
        return self.keeps if self.keeps != ANY else self.consultation.state.card.name or ANY

    def _keep(self, line: str) -> JobDriver | Reply:
        """The answer whether the machine's card is to be written."""
        plain = line.lower()
        name = self._kept_as().replace(ANY, "")
        if plain == "park":  # whoever resumes the job is asked again
            return replace(self, keeps="", said=())
        if plain in ("no", "n", "skip", *(("2",) if name else ())):
            return self._moved(self.consultation.on_card(KEEP, NO))
        if name and plain not in ("yes", "y", "1"):
            return Reply((Text("Type yes or no."),), refused=True)
        name = name or line[:LONGEST_NAME]
        return replace(self._moved(self.consultation.on_card(KEEP, name)), said=(f"The card of {name} is written.",))

    def _say_card(self, text: str) -> JobDriver | Reply:
        """What stands on the machine's card; or what is to be written there about the part at hand."""
        if text.lower() == CHANGED:
            return self._moved(self.consultation.answer(CARD, CHANGED))
        if not text:
            return _reply(_once_asked().card_in_words(self.consultation.state))
        asked = self.consultation.next
        about = _once_asked().at_hand(self.consultation.book, asked.step or asked.id) if asked else ""
        if not about:
            return _reply(("Type it at the check or fix of the part: card PLUG X14, BLUE WIRE. Elsewhere: note.",))
        after = self._moved(self.consultation.on_card(f"{NOTED}.{about}", text[:LONGEST_NOTE]))
        return replace(after, said=("Written on its card." if self.keeps not in ("", ANY) else "Kept for its card.",))

    def _is_late(self) -> bool:
        return self.clock() - self.at > TEN_MINUTES

    def _refusal(self, line: str, error: AnswerError) -> JobDriver | Reply:
        if error.kind == "implausible":
            if line != self.doubted and (taken := self._dangerous(line)) is not None:
                return replace(taken, said=(f"{error.sentence} {IT_COUNTS}", *taken.said))
            doubt = f"{error.sentence} To keep it anyway, type it again."
            return replace(self, doubted=line, said=(doubt,))
        could_be = f" Closest: {', '.join(error.could_be)}." if error.could_be else ""
        if error.kind == "caution due":
            could_be = ""
        elif error.kind == "not a choice":
            could_be = " Type a number from the list, or the words beside it."
        # What was refused is the last thing on the line, whatever word or name stands before it.
        place = len(line) - len(error.text) + error.place if error.place else 0
        return Reply((Text(error.sentence + could_be),), refused=True, place=place)

    def _dangerous(self, line: str) -> JobDriver | None:
        """The job with doubtful minus volts taken as they stand, where they tell of a danger; else None.

        Who is asked about them could pass over the question, and go on beside a battery that is the wrong way round.
        """
        taken = replace(self, doubted=line).enter(line)
        if not isinstance(taken, JobDriver):
            return None
        known = {(one.danger.id, one.source) for one in standing_dangers(self.consultation.state)}
        now = {(one.danger.id, one.source) for one in standing_dangers(taken.consultation.state)}
        read = taken.consultation.state.present.taken
        minus = [name for _, name in now - known if name in read and (read[name].understood.value or 0.0) < 0]
        return taken if minus else None

    def _enter(self, line: str) -> JobDriver | Reply:
        word, _, rest = line.partition(" ")
        asked = self.consultation.next
        chosen = asked is not None and line.lower() in asked.choices  # a choice goes before a word of the key bar
        command = None if chosen else getattr(self, f"_say_{word.lower()}", None)
        if command is not None and (not rest or word.lower() in TAKES_MORE):
            result: JobDriver | Reply = command(rest)
            return result
        if asked is not None and asked.kind == "caution" and rest and word == asked.id:
            return self._moved(self.consultation.answer(asked.id, rest))
        if asked is None or (rest and self._names_something(word)):
            return self._elsewhere(word, rest, line)
        if asked.id == USUAL and self.cards and not chosen and (steps := self.cards.of(line)):
            before = self.consultation
            return self._moved(Consultation(before.book, (*before.steps, *steps), before.before))
        try:
            return self._moved(self.consultation.answer(asked.id, line, sure=line == self.doubted))
        except AnswerError as error:
            return self._told_elsewhere(asked, line, error)

    def _told_elsewhere(self, asked: Question, line: str, error: AnswerError) -> JobDriver | Reply:
        """What is no answer here may be a reading of something else, told in words; else the error stands."""
        if error.kind not in ("not a choice", "misread", "caution due"):
            raise error
        told = _once_asked().in_words(self.consultation.checks, line) if not asked.unit or line[:1].isalpha() else None
        if told is None:
            return self._told_by_owner(asked, line, error)
        return self._elsewhere(told[0], told[1], line)

    def _told_by_owner(self, asked: Question, line: str, error: AnswerError) -> JobDriver | Reply:
        """What is neither may be an owner's words that an open question is about; else the error stands."""
        if asked.kind not in ("intake", "check"):
            raise error
        try:
            return self._elsewhere(TOLD, line, line)
        except AnswerError:
            raise error from None

    def _names_something(self, word: str) -> bool:
        kind = kind_of(self.consultation.book, word)
        return kind is not None and kind.by_name

    def _elsewhere(self, name: str, value: str, line: str) -> JobDriver | Reply:
        """A reading already taken, given by the name of its check."""
        if not value:
            return Reply((Text("There is nothing to answer. Try: back, change, note, park."),), refused=True)
        after = self._moved(self.consultation.answer(name, value, sure=line == self.doubted))
        if not isinstance(
            after.consultation.steps[-1], ReadingStep
        ):  # an earlier answer given anew is told as a change
            return after
        told = _once_asked().answer_in_words(after.consultation, name, value)
        return replace(after, said=(f"Written down: {told}.", *after.said))

    def _moved(self, after: Consultation) -> JobDriver:
        said: tuple[str, ...] = ()
        if self._is_late():
            after = after.pause()
        if self.consultation.judged or after.judged:
            said = _once_asked().differences(self.consultation, after)
        elif after.state.circuit and (_of_a_feature(after.steps[-1]) or self._varied(after)):
            said = (_found(after),)
        return replace(self, consultation=after, said=said, doubted="", parked=False, at=self.clock())

    def _varied(self, after: Consultation) -> bool:
        """Whether what was told besides has made another machine of the one that was described."""
        return self.consultation.state.circuit not in ("", after.state.circuit)

    def _say_code(self, text: str) -> JobDriver:
        after = self._moved(self.consultation.code(text))
        told = _once_asked().confirmation(after.consultation.book, after.consultation.setup, read_code(text))
        return replace(after, said=(*told, *after.said))

    def _say_told(self, text: str) -> JobDriver | Reply:
        return self._elsewhere(TOLD, text, text)

    def _say_spn(self, rest: str) -> JobDriver:
        return self._say_code(f"SPN {rest}")

    def _say_why(self, name: str) -> Reply:
        first, _, others = name.partition(" ")
        more = first.lower() == MORE
        name = others if more else name
        word, _, rest = name.partition(" ")
        if word.lower() in CODE_WORDS and (not rest or any(letter.isdigit() for letter in rest)):
            text = rest if word.lower() == CODE else name
            return _reply(
                _once_asked().why_code(self.consultation.book, text, self.consultation.state.codes, more=more)
            )
        meant = self._meant(name)
        full = self.consultation.why(meant, more=True)
        lines = full if more else self.consultation.why(meant)
        return _reply(lines if lines == full else (*lines, MORE_HINT))

    def _say_what(self, name: str) -> Reply:
        return _reply(self.consultation.predicted_answers(self._meant(name)))

    def _meant(self, text: str) -> str:
        if not text:
            return ""
        name: str = _once_asked().meant(self.consultation, text)
        return name

    def _say_skip(self, _: str) -> JobDriver:
        return self._unknown(UNKNOWN[0])

    def _say_cannot(self, rest: str) -> JobDriver | Reply:
        return self._unknown(UNKNOWN[1]) if rest == "reach" else _reply(("Did you mean 'cannot reach'?",))

    def _say_not(self, rest: str) -> JobDriver | Reply:
        if rest == "fitted":
            return self._unknown(NOT_FITTED)
        return self._unknown(UNKNOWN[2]) if rest == "sure" else _reply(("Did you mean 'not sure'?",))

    def _unknown(self, words: str) -> JobDriver:
        asked = self.consultation.next
        name = asked.step or asked.id if asked else ""
        if asked is not None and asked.kind == "set" and words != NOT_FITTED:
            return self._moved(self.consultation.answer(asked.id, words))
        if words == NOT_FITTED and name not in self.consultation.book.checks:
            raise AnswerError("not now", "You can say 'not fitted' only at a check of a part.")
        if asked is None or not may_be_left(asked):
            raise AnswerError("not now", "A caution cannot be skipped.")
        value = "no" if name in self.consultation.book.faults else words
        return self._moved(self.consultation.answer(name, value))

    def _say_back(self, _: str) -> JobDriver:
        return self._moved(self.consultation.back())

    def _say_again(self, rest: str) -> JobDriver:
        return self._moved(self.consultation.again(self._meant(rest)))

    def _say_change(self, rest: str) -> JobDriver | Reply:
        name, _, value = rest.partition(" ")
        if not value:
            return _reply(self._changeable())
        if name.isdecimal() and len(name) <= MOST_DIGITS:
            name = self._numbered(int(name))
        return self._moved(self.consultation.change(name, value, sure=f"change {rest}" == self.doubted))

    def _answers(self) -> list[tuple[str, str]]:
        """Names and values of the answers that can be changed, the number of repairs before each after an @."""
        found = []
        epoch = 0
        for step in standing(self.consultation.steps):
            if is_repaired(step):
                epoch += 1
            elif isinstance(step, Answered) and (kind := kind_of(self.consultation.book, step.id)) and kind.listed:
                found.append((f"{step.id}@{epoch}" if epoch else step.id, step.value))
        return found

    def _changeable(self) -> tuple[str, ...]:
        rows = tuple(
            f"{number}  {_once_asked().answer_in_words(self.consultation, name, value)}"
            for number, (name, value) in enumerate(self._answers(), 1)
        )
        return ("To change an answer: change NUMBER NEW VALUE. Later answers are kept.", *rows)

    def _numbered(self, number: int) -> str:
        answers = self._answers()
        if not 1 <= number <= len(answers):
            raise AnswerError("unknown question", f"There is no answer {number}.")
        return answers[number - 1][0]

    def _say_note(self, rest: str) -> JobDriver | Reply:
        if not rest:
            hint = Text("Write the note after the word: note BLUE WIRE GOES TO THE FUSE BOX")
            noted = (*self.earlier, *self.consultation.state.notes)
            return Reply((hint, *(Text(text, label="Noted") for text in noted)), refused=True)
        return replace(self._moved(self.consultation.note(rest)), said=("Noted.",))

    def _say_done(self, name: str) -> JobDriver | Reply:
        asked = self.consultation.next
        if not name and asked is not None and asked.kind in ("repair", "proof") and "done" in asked.choices:
            return self._moved(self.consultation.answer(asked.id, "done"))
        if name:
            after = self._moved(self.consultation.answer(_once_asked().repaired(self.consultation, name), "done"))
            last = after.consultation.steps[-1]
            waits = isinstance(last, RepairStep) and last.word == "next"
            return (
                replace(after, said=("Read the cautions for that fix first. Then say that it is done.",))
                if waits
                else after
            )
        return Reply((Text("Say what you fixed, by some words of its name: done main link blown"),), refused=True)

    def _say_others(self, _: str) -> JobDriver:
        return self._moved(self.consultation.others())

    def _say_park(self, _: str) -> JobDriver:
        if not is_begun(self.consultation.steps):  # nothing was answered, so there is no job to keep
            return replace(self, said=(), parked=True)
        return replace(self, consultation=self.consultation.park(), said=(), doubted="", parked=True)

    def _say_map(self, _: str) -> Reply:
        found = _once_asked().mapped(self.consultation)
        if found is None:
            return _reply(("The machine is not known yet. Say what it is, then type map.",))
        lanes, legend = (partial(one, *found) for one in (_once_asked().lanes, _once_asked().legend))
        return Reply((Text(SIGNS), Drawn(lanes), Drawn(legend)))

    def _say_help(self, _: str) -> Reply:
        rows = tuple(f"{word.word}: {word.meaning}" for word in WORDS)
        return _reply((*HELP, *rows))


def _of_a_feature(step: Step) -> bool:
    return isinstance(step, Answered) and step.id.startswith(HAS)


def _found(consultation: Consultation) -> str:
    """The circuit that was found by what was said of the machine: who reads it sees whether it can be."""
    found = circuit_named(consultation.book, consultation.state.circuit)
    if found is None:
        return ""
    about = f" ({found.about})" if found.about else ""
    return f"Closest match: {found.name}, {found.volts} V{about}. If that is wrong, type back or change."


TEN_MINUTES = 600.0
"""Seconds without an entry after which a START needs its caution in full again."""

IT_COUNTS = "It counts until it is cleared. If it was a slip, type: change, the answer's number, and the right figure."
"""What is said of a doubtful reading that tells of a danger."""

LONG_AGO = "You last looked a while ago. Look again, and read this once more."

LONGEST_NAME = 100
"""Characters of a machine's name that are kept."""

BY_NAME = "If the machine has a card, type its name."

SHOWN = 5
"""Earlier notes on the first pages; `note` alone shows all of them."""

TAKES_MORE = ("why", "what", "again", "cannot", "not", "change", "note", "done", "code", "spn", "told", "card")

MORE = "more"
MORE_HINT = "For rules, sources and figures: why more."
"""Asks `why` for the rules, their sources and the figures too."""

CODE_WORDS = (CODE, "spn")
"""How a line about a trouble code begins."""

SIGNS = "= proven good, ? likely cause, X condemned, - not known. What each number means stands below."
"""What stands above the drawing of a machine."""

HELP = (
    "Type the reading with or without its unit: 12.6, 12,6 V, 300 mV, OL. Choose by word or by number.",
    "If the figure is not exact: less than 10, over 12, 10 or so, between 3 and 4, 12.4 falling to 11.",
    "The machine as a drawing, with its points, the probes and what is proven good: map.",
    "A reading you already have, at any prompt: battery volts at rest 12.4.",
    "To take the last reading once more: again. Both readings count.",
    "What the owner told, in his own words: told we washed it Friday. What it may mean is asked next.",
    "A trouble code, SPN then FMI: code 168 1. To have it explained: why code.",
    "What helps next time at this check, on the card of the machine: card PLUG X14, BLUE WIRE. To see it: card.",
    "If the part is not on this machine, type at its check: not fitted.",
    "To ask about a part or a check: why, and some words of its name, such as why battery volts.",
    MORE_HINT,
)


def _reply(lines: tuple[str, ...]) -> Reply:
    return Reply(tuple(Text(line) for line in lines))


def _once_asked() -> ModuleType:
    """What only some entries need: names looked up, differences told, readings and trouble codes in words."""
    from coldiron.screens import once_asked  # noqa: PLC0415 - the first pages are drawn without it

    return once_asked
