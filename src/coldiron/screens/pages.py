"""The working page of a consultation: what is off or open, what it may be, the one thing to do now, what to type."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coldiron.book.cautions import Caution
from coldiron.book.variants import base_of
from coldiron.job.card import MOST_SHOWN, card_after
from coldiron.job.cautions import TYPED
from coldiron.job.question import Question, may_be_left
from coldiron.job.shares import in_100
from coldiron.job.state import HAND_BACK
from coldiron.job.steps import CardStep, Step
from coldiron.machine.codes import in_words
from coldiron.machine.describing import is_of_sort, may_be_gone, not_known
from coldiron.machine.duties import is_page
from coldiron.machine.fitting import USUAL
from coldiron.questions.complaint import kind_in_words
from coldiron.screens.lines import Block, CautionBlock, Choices, Drawn, Heading, Page, Prompt, Saved, Suspects, Text
from coldiron.screens.stage import stage_alone, stage_in_words, stage_of
from coldiron.telling.so_far import SoFar

IN_VIEW = 4
"""Likely causes shown on the page."""

ONE_KEY = "abcdefghijklmnopqrstuvwxyz"

UNCHANGED = "no change"
"""What is seen where another part, or another way of doing it, is tried: good news for the part alone."""

HEADINGS = {
    "intake": "Answer",
    "check": "Do now",
    "set": "Set",
    "repair": "Fix it",
    "proof": "Check it worked",
}
"""What is to be done on a page, behind the stage of the job."""

AT_ONCE = "Do this right now, before anything else"

SHOW = "Show it works"
"""In the place of a proof, once everything is shown before the hand-back."""

UNITS_IN_WORDS = {"V": "Volts", "A": "Amps", "ohm": "Ohms"}


def make_page(
    title: str,
    consultation: SoFar,
    *,
    said: tuple[str, ...] = (),
    saved: int = 0,
    parked: bool = False,
    earlier: tuple[str, ...] = (),
    keeps: str = "",
    way: Drawn | None = None,
) -> Page:
    """The page for the present state of a job.

    Args:
        title: the name of the job.
        consultation: the job.
        said: what the last entry brought about, in sentences.
        saved: how many entries are committed, 0 if the last is not.
        parked: the page is shown as a farewell, without a prompt.
        earlier: what was noted on earlier jobs of this machine, to be shown now.
        way: where the probes of this check go in the drawing of the machine, if they go anywhere.
        keeps: under which name the machine's card is to be kept, where that is asked now; `ANY` asks for a name too.
    """
    blocks: list[Block] = [Saved(f"Saved ({saved}).")] if saved else []
    blocks += [Text(line) for line in said]
    blocks += [Text(line, label="Noted on an earlier job") for line in earlier]
    blocks += _fixed_before(consultation)
    blocks += _standing(consultation)
    asked = consultation.next
    if parked:
        kept = "Parked. Every caution comes again before the next step."
        blocks.append(
            Text(kept if is_begun(consultation.steps) else "Nothing was answered, so there is no job to keep.")
        )
    elif asked is None:
        blocks += _closing(consultation)
        blocks += _offer(consultation, keeps) if keeps else ()
    else:
        blocks += _suspects(consultation, asked)
        blocks += [way] if way else ()
        blocks += _question(consultation, asked)
    return Page(_title(title, consultation), tuple(blocks))


def is_begun(steps: Iterable[Step]) -> bool:
    """Whether anything was answered: what a job has taken over from a card is no answer."""
    return any(not isinstance(step, CardStep) for step in steps)


def _fixed_before(consultation: SoFar) -> Iterator[Block]:
    """The latest faults that were fixed on earlier jobs, while the job begins."""
    state = consultation.state
    known = [(consultation.book.faults[of].name, day) for of, day in state.card.fixed if of in consultation.book.faults]
    if known and not state.circuit:
        yield Text("; ".join(f"{name} ({day})" for name, day in known[-MOST_SHOWN:]), label="Fixed before")


def _offer(consultation: SoFar, name: str) -> Iterator[Block]:
    """Whether the machine's card is to be written, and what would stand on it."""
    state = consultation.state
    after = card_after(state, state.card, "today")
    yield Heading("A card of this machine for the next job")
    kind = f"{kind_in_words(state)}. " if state.circuit else ""
    fixed = _names(consultation, [of for of, _ in after.fixed[len(state.card.fixed) :]])
    counts = f"Readings when sound: {len(after.healthy)}. Notes: {len(after.notes)}."
    yield Text(f"{kind}{f'Fixed: {fixed}. ' if fixed else ''}{counts}", label="To be written")
    if name != ANY:
        yield Choices((("1", "yes: write it"), ("2", "no")))
        yield Prompt(f"Write the card of {name[:NAME_SHOWN]}?", one_key=True, words=())
    else:
        yield Text("To keep a card, type the machine's name or number. To keep none, type: no")
        yield Prompt("Its name, or no", words=())


ANY = "*"
"""Any machine may be meant: under which name its card is kept is asked."""

NAME_SHOWN = 40
"""Characters of a machine's name that stand before the place to type."""


def _title(title: str, consultation: SoFar) -> str:
    state = consultation.state
    # What it has besides would not fit: the circuit it comes from tells enough here.
    circuit = consultation.book.circuits.get(base_of(state.circuit)) if state.circuit else None
    volts = f"{circuit.volts} V" if circuit else ""
    name = _sort(consultation) or (circuit.name if circuit else "")
    named = [name if volts in name else f"{name}, {volts}"] if circuit else []
    parts = [title, *named, f"{state.minutes:.0f} min"]
    return " · ".join(parts)


def _sort(consultation: SoFar) -> str:
    """The sort of machine by its name, while nobody knows more of it; empty once its circuit is known."""
    state = consultation.state
    of_sort = state.taken and is_of_sort(consultation.book, state.said)
    return consultation.book.usual[state.said[USUAL]].name if of_sort else ""


def _standing(consultation: SoFar) -> Iterator[Block]:
    """What stands at something else than normal and will have to be put back."""
    state = consultation.state
    off = [
        f"{consultation.book.settings[name].name} ({state.settings[name]})"
        for name, _ in state.undone
        if state.settings[name]
    ]
    if off:
        yield Text("; ".join(off), label="To be put back", aside=False)
    not_told = [consultation.book.settings[name].name for name, _ in state.undone if not state.settings[name]]
    if not_told:
        yield Text("; ".join(not_told), label="Not known how it stands", aside=True)
    if state.taken and not _sort(consultation):
        names = "; ".join(feature.name for feature in not_known(consultation.book, state.said))
        yield Text(
            f"{names}. The fullest circuit that fits is used, so nothing is missed.",
            label="Not known",
            aside=True,
        )


def _suspects(consultation: SoFar, asked: Question) -> Iterator[Block]:
    if not consultation.suspects or asked.kind == "caution" or is_page(asked.id):
        return
    book = consultation.book
    seen = consultation.judged.belief.in_view if consultation.judged else ()
    rows = [(book.faults[name].name, share) for name, share in seen[:IN_VIEW] if share >= 0.005]
    if consultation.unknown >= 0.05:
        rows.append(("something this tool does not know", consultation.unknown))
    if rows:
        yield Suspects(tuple(rows))


def _question(consultation: SoFar, asked: Question) -> Iterator[Block]:
    if asked.kind == "caution":
        yield from _preparation(consultation, asked)
        return
    if asked.kind == "repair":
        yield from _verdict(consultation)
    yield Heading(_heading(consultation, asked))
    yield Text(asked.text)
    if asked.how:
        yield Text(asked.how, label="Check it worked" if asked.kind == "repair" else "Where and how")
    yield from (Text(one, label="On its card") for one in asked.notes)
    if asked.changes:
        yield Text("; ".join(asked.changes), label="Set first")
    if asked.good:
        yield Text(asked.good, label="If it is not that" if asked.good == UNCHANGED else "Good")
    if consultation.state.taken and asked.kind in ("check", "proof") and _may_be_gone(consultation, asked.id):
        yield Text("not known. If the part is not on this machine, type: not fitted", label="Fitted")
    if asked.id == HAND_BACK:
        yield from _shown(consultation)
    if asked.why:
        yield Text(asked.why, label="Why now", aside=True)
    yield from (_caution(c) for c in asked.cautions if _still_to_say(consultation, c))
    yield from (_in_a_line(c) for c in asked.cautions if c.word in TYPED)
    if asked.choices:
        yield Choices(
            tuple((str(number), shown_choice(asked, number - 1)) for number in range(1, len(asked.choices) + 1))
        )
    yield Prompt(_label(asked), hint=_hint(asked), one_key=_one_key(asked))


def _may_be_gone(consultation: SoFar, name: str) -> bool:
    return name in consultation.book.checks and may_be_gone(consultation.book, consultation.state.said, name)


def _heading(consultation: SoFar, asked: Question) -> str:
    if asked.kind == "now":
        return AT_ONCE
    deed = HEADINGS[asked.kind]
    if asked.kind == "proof" and stage_of(consultation, asked) == "hand back":
        deed = "Hand back" if asked.id == HAND_BACK else SHOW
    minutes = f" (about {asked.minutes:.0f} min)" if asked.minutes >= 1 else ""
    if asked.waits:
        minutes = f" ({asked.minutes:.0f} min of work, {asked.waits})"
    return f"{stage_in_words(consultation, asked)}. {deed}{minutes}"


def shown_choice(asked: Question, number: int) -> str:
    """A choice, counted from 0, as it stands in the list: its meaning, with its word where that is short and plain."""
    words = asked.meanings[number]
    key = asked.choices[number].replace("_", " ")
    return words if words.startswith(key) or len(words) > 30 or not key.isalpha() else f"{key}: {words}"


def _one_key(asked: Question) -> bool:
    """Whether one key chooses: not where the word of a choice is a figure itself, as in 12 V, and would be typed."""
    figures = any(choice[:1].isdecimal() for choice in asked.choices)
    return bool(asked.choices) and not asked.several and not figures


def _label(asked: Question) -> str:
    return UNITS_IN_WORDS.get(asked.unit, "Your answer")


def _hint(asked: Question) -> str:
    if asked.unit:
        return "" if asked.unit != "ohm" else "You can also type OL."
    return "For several, put commas between them." if asked.several else ""


def _preparation(consultation: SoFar, asked: Question) -> Iterator[Block]:
    """The preparation screen: all that can hurt in the step that follows, and the word for what was seen."""
    yield Heading(f"{stage_alone(consultation, asked)}. {asked.text}")
    full = [caution for caution in asked.cautions if caution.id not in asked.beside]
    yield from map(_caution, full)
    yield from (_still_so(caution) for caution in asked.cautions if caution.id in asked.beside)
    words = ("why", *(("skip",) if may_be_left(asked) else ()), "back", "change", "note", "park", "help")
    seen = ", ".join(dict.fromkeys(caution.type.upper() for caution in full))
    eyes = f"Seen {'it' if len(full) == 1 else 'all of it'} with your own eyes?"
    if asked.brief:
        yield Choices(tuple((str(number), meaning) for number, meaning in enumerate(asked.meanings, 1)))
        hint = f"{eyes} Type 's' if it is so, or n if it is not." if full else ""
        yield Prompt(f"{seen or 'Still so'}?", hint=hint, one_key=True, words=words, guards=asked.id)
        return
    hint = f"{eyes} Type '{asked.choices[0]}', or n if it is not so."
    yield Prompt(f"{seen}?", hint=hint, words=words, guards=asked.id)


def _still_so(caution: Caution) -> Text:
    """A caution that was read in full before: all of its hazard, and what must be seen to be so."""
    return Text(f"{caution.hazard.rstrip('.')}. Still {caution.type}?", label=caution.word)


def _in_a_line(caution: Caution) -> Text:
    """A caution that was acknowledged for this very step: what can hurt in short, and what must be so."""
    first, _, _ = caution.hazard.partition(". ")
    return Text(f"{first.rstrip('.')}. Still {caution.type}?", label=caution.word)


def _caution(caution: Caution) -> CautionBlock:
    return CautionBlock(caution.word, caution.hazard, caution.harm, caution.avoid)


def _still_to_say(consultation: SoFar, caution: Caution) -> bool:
    """Cautions acknowledged by typing have been on the preparation screen; the lesser ones stand with their step."""
    return caution.word in ("CAUTION", "NOTICE") and caution.id not in consultation.state.told


def _verdict(consultation: SoFar) -> Iterator[Block]:
    outcome = consultation.verdict
    book = consultation.book
    if outcome.status != "cause":
        return
    yield Heading("Most likely cause")
    names = [f"{book.faults[name].name} ({in_100(share)})" for name, share in outcome.faults]
    yield Text(", and with it: ".join(names))
    for how, wires in outcome.wires:
        yield Text("; ".join(wires), label=how)
    for link in outcome.evidence[:4]:
        yield Text(link.shown, label="Because")
    if consultation.state.codes:
        yield from (Text(in_words(book, code), label="A controller says") for code in consultation.state.codes)
    if outcome.not_excluded:
        rest = ", ".join(f"{book.faults[n].name} ({in_100(p)})" for n, p in outcome.not_excluded)
        yield Text(rest, label="Still possible")
    yield from _in_vain(consultation)
    for text in outcome.damages:
        yield Text(text, label="Possible damage")
    for text in outcome.advice[:2]:
        yield Text(text, label="Remember")


def _shown(consultation: SoFar) -> Iterator[Block]:
    """What was shown of the machine, with its readings, and what was not, with what must not be done until it is."""
    outcome = consultation.verdict
    if outcome.shown:
        yield Text("; ".join(outcome.shown), label="Shown")
    for name, until in outcome.still_open:
        yield Text(f"{name}. {until}", label="Open")
    for name, otherwise in outcome.failed:
        yield Text(f"{name}. {otherwise}", label="Fails")


def _in_vain(consultation: SoFar) -> Iterator[Block]:
    """The fixes that were done and did not help."""
    if names := _names(consultation, consultation.verdict.in_vain):
        yield Text(names, label="Done, did not help")


def _names(consultation: SoFar, faults: Iterable[str]) -> str:
    return ", ".join(consultation.book.faults[name].name for name in faults)


def _closing(consultation: SoFar) -> Iterator[Block]:
    outcome = consultation.verdict
    if outcome.status in ("handed back", "out of service"):
        names = _names(consultation, [name for name in outcome.repaired if name not in outcome.in_vain])
        stopped = outcome.status == "out of service"
        yield Heading("Out of service: do not use it until the open items are shown" if stopped else "Handed back")
        yield Text(names or "Nothing was fixed.", label="Fixed")
        yield from _in_vain(consultation)
        yield from _shown(consultation)
        yield Text(f"{consultation.minutes:.0f}", label="Minutes by the book")
        return
    yield Heading("This tool can go no further")
    yield Text(outcome.needs or "There is nothing more to check.")
    yield from _in_vain(consultation)
    yield from _shown(consultation)
    for name, share in outcome.not_excluded:
        yield Text(f"{consultation.book.faults[name].name} ({in_100(share)})", label="Still possible")
    yield Prompt("Your answer", hint="back, change, note, park; or a reading by name")
