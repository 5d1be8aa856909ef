"""A consultation in small, for tests of the screens: a caution, a choice, readings, and the words of the key bar.

It is pure and keeps nothing but its log, as the real one does. Run as a program it shows itself on a screen, with some
lines of text above its caution, and resumes a job the file holds: `plain|screen JOB_FILE [READINGS [LINES]]`.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path

from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.readings.reading import Misread
from coldiron.readings.spans import read
from coldiron.screens.lines import (
    Block,
    CautionBlock,
    Choices,
    Driver,
    End,
    Heading,
    Page,
    Prompt,
    Reply,
    Saved,
    Suspects,
    Text,
)

COMPLAINTS = (("1", "lamps normal, nothing at START"), ("2", "no lamps at all"), ("3", "it clicks and stops"))
DANGER = CautionBlock(
    "DANGER",
    "With the key at START the machine can move.",
    "Anyone beside a wheel is crushed.",
    "Chock the wheels and keep everyone clear.",
)


@dataclass(frozen=True, slots=True)
class Toy:
    """Acknowledge (`chocked`), choose a complaint, give `count` readings of volts, and it is over."""

    log: tuple[Entry, ...] = ()
    count: int = 2
    unsaved: tuple[Entry, ...] = ()
    said: str = ""
    extra: tuple[Block, ...] = ()

    def page(self) -> Page:
        blocks = self.extra if len(self.log) == 0 else ()
        saved = (Saved(self.said),) if self.said else ()
        return Page("Job 7: yellow loader of the Larch Lane yard", (*saved, *blocks, *self._now()))

    def _now(self) -> tuple[Block, ...]:
        if self.log and self.log[-1].kind == "park":
            return (Text("Parked. Go on with: coldiron resume 7"),)
        stage = len(self.log)
        if stage == 0:
            return (DANGER, Prompt("What you see", "Type the word for what you see: chocked", guards="crank"))
        if stage == 1:
            return (Heading("What does it do?"), Choices(COMPLAINTS), Prompt("Choice", one_key=True))
        if stage < 2 + self.count:
            return (
                Suspects((("main link: blown", 0.41), ("key switch: worn contact", 0.224), ("not in the book", 0.004))),
                Heading(f"Volts at the key switch feed terminal ({stage - 1} of {self.count})"),
                Text("Black on the battery negative post, red on the feed terminal, wires left on.", "Probes"),
                Text("12.0 to 13.0 V", "Good reading"),
                Text("A joint with one strand left passes a meter's microamps and nothing more.", "Mind", aside=True),
                Prompt("Volts", "For example 12.6"),
            )
        return (Heading("Verdict"), Text("The main link is blown."))

    def enter(self, text: str) -> Driver | Reply:
        word = text.strip()
        if word == "park":
            return self._add(Entry("park", "", ""), "")
        if word == "back":
            return replace(self, log=self.log[:-1], said="") if self.log else self._refuse("Nothing to go back to.")
        if word == "why":
            return Reply((Heading("Why"), *(Text(f"Reason {number} for it.") for number in range(1, 31))))
        stage = len(self.log)
        if stage == 0:
            plain = word.removeprefix("crank ")
            return (
                self._add(Entry("ack", "crank", plain), plain) if plain == "chocked" else self._refuse("Type: chocked")
            )
        if stage == 1:
            meaning = dict(COMPLAINTS).get(word)
            return self._add(Entry("answer", "complaint", word), meaning) if meaning else self._refuse("1, 2 or 3.")
        found = read(text, "volts")
        if isinstance(found, Misread):
            return Reply((Text(found.sentence),), refused=True, place=found.place)
        return self._add(Entry("answer", "key_feed_volts", text), str(found))

    def _refuse(self, sentence: str) -> Reply:
        return Reply((Text(sentence),), refused=True)

    def _add(self, entry: Entry, said: str) -> Toy:
        return replace(self, log=(*self.log, entry), unsaved=(entry,), said=said)

    def saved(self) -> Toy:
        return replace(self, unsaved=(), said=f"Saved: {self.said}" if self.said else "")


def main(screen: str, path: str, count: str = "2", lines: str = "0") -> End:
    store = open_store(Path(path))
    job = next(iter(store.jobs()), None) or store.create("toy", "", "")
    log = tuple(Entry(*event[1:4]) for event in store.events(job.id) if event.kind != "park")
    seq = job.answers

    def save(entries: tuple[Entry, ...]) -> None:
        nonlocal seq
        seq = store.append_all(job.id, seq, entries)[-1].seq

    driver = Toy(log, int(count), extra=tuple(Text(f"line {number}") for number in range(int(lines))))
    if screen == "plain":
        from coldiron.screens.plain import run

        return run(driver, save)
    from coldiron.screens.screen import run as run_screen

    return run_screen(driver, save)


if __name__ == "__main__":
    sys.stdout.write(f"{main(*sys.argv[1:]).how}\n")
