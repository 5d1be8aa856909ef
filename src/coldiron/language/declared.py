"""What the rule files declare: every id a line may speak of, with its place. Collected before anything is resolved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coldiron.book.acts import ACTS
from coldiron.book.checks import LOOKS_GOOD, UNITS, look_at
from coldiron.book.source import Place
from coldiron.language.tree import EVERYTHING, Block, Statement, Token, Tree, blocks
from coldiron.record import dataclass, field


def place_of(file: str, line: Statement, word: Token | None = None) -> Place:
    """Return the place of a word, or of the keyword of its line."""
    word = word or line.keyword
    return Place(file, line.line, word.column, word.end)


@dataclass(slots=True)
class Declared:
    """Ids by what they are; the insides of entries that others speak of.

    `ids` maps an opener to its ids and `repeats` lists the second declarations. `parts` maps a part to the kind it was
    first declared with; `options` a feature to its answers; `given` a kind to the values it sets; `units` a check to
    the unit it is read in; `each` a check template to the kinds it is for. `damaged` are entries not read whole, `lost`
    openers with entries not read at all.
    """

    ids: dict[str, dict[str, Place]] = field(default_factory=dict)
    repeats: list[tuple[str, str, Place]] = field(default_factory=list)
    values: dict[str, tuple[str, ...]] = field(default_factory=dict)
    findings: dict[str, tuple[str, ...]] = field(default_factory=dict)
    answers: dict[str, tuple[str, ...]] = field(default_factory=dict)
    options: dict[str, tuple[str, ...]] = field(default_factory=dict)
    faults: dict[str, tuple[str, ...]] = field(default_factory=dict)
    ends: dict[str, tuple[str, ...]] = field(default_factory=dict)
    each: dict[str, tuple[str, ...]] = field(default_factory=dict)
    acts: dict[str, str] = field(default_factory=dict)
    given: dict[str, tuple[str, ...]] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    parts: dict[str, str] = field(default_factory=dict)
    part_places: dict[str, Place] = field(default_factory=dict)
    damaged: set[tuple[str, str]] = field(default_factory=set)
    lost: set[str] = field(default_factory=set)

    def of(self, space: str) -> Mapping[str, Place]:
        """Return the ids of one sort."""
        return self.part_places if space == "part" else self.ids.get(space, {})

    def has(self, space: str, name: str) -> bool:
        """Whether an id is declared, or may be in a line that could not be read."""
        return name in self.of(space) or space in self.lost or EVERYTHING in self.lost

    def sound(self, space: str, name: str) -> bool:
        """Whether an entry was read whole; nothing is said against what speaks of the inside of a damaged one."""
        return name in self.of(space) and (space, name) not in self.damaged

    def copy(self) -> Declared:
        """Return a copy to which more files can be added."""
        made = Declared()
        for name in Declared.__match_args__:
            setattr(made, name, getattr(self, name).copy())
        made.ids = {opener: ids.copy() for opener, ids in self.ids.items()}
        return made

    def add(self, tree: Tree) -> None:
        """Collect one file."""
        self.lost.update(tree.lost)
        for block in blocks(tree.lines):
            if block.id:
                self._add_block(tree.file, block)
            elif block.opener.keyword.text == "section":
                self._add_parts(tree.file, block)

    def _add_block(self, file: str, block: Block) -> None:
        opener, place = block.opener.keyword.text, place_of(file, block.opener, block.opener.phrases[0].words[0])
        known = self.ids.setdefault(opener, {})
        if block.id in known:
            self.repeats.append((opener, block.id, place))
            return
        known[block.id] = place
        if opener == "section":
            self._add_parts(file, block)
        elif not block.damaged:
            self._add_inside(opener, block)
        if block.damaged:
            self.damaged.add((opener, block.id))

    def _add_inside(self, opener: str, block: Block) -> None:
        """Collect what others may speak of inside a block; of a damaged one nothing is known, so anything goes."""
        if opener == "setting":
            self.values[block.id] = _listed(block, "values")
        elif opener == "check":
            self.findings[block.id] = tuple(dict.fromkeys(_first_words(block.statements, "finding")))
            quantity = next(iter(_first_words(block.statements, "reads")), "")
            self.units[block.id] = UNITS.get(quantity, "")
            if each := _listed(block, "each"):
                self.each[block.id] = each
        elif opener == "question":
            self.answers[block.id] = tuple(inner.id for inner in block.inner)
        elif opener == "feature":
            self.options[block.id] = tuple(_first_words(block.statements, "answer"))
        elif opener == "route":
            self._add_route(block)
        elif opener == "kind":
            self.faults[block.id] = tuple(inner.id for inner in block.inner)
            acts = next(iter(_first_words(block.statements, "acts")), "")
            self.acts[block.id] = acts
            self.given[block.id] = tuple(_first_words(block.statements, "value"))
            self.ends[block.id] = (ACTS[acts].ends if acts in ACTS else ()) or _listed(block, "ends")

    def _add_route(self, block: Block) -> None:
        """A route is spoken of as a part whose faults are what happens there, and its look as a check."""
        look, own = look_at(block.id), f"{block.opener.keyword.text} {block.id}"  # no kind has a blank in its id
        place = self.ids["route"][block.id]
        self.ids.setdefault("check", {}).setdefault(look, place)
        self.faults[own] = tuple(dict.fromkeys(_first_words(block.statements, "suffers")))
        self.findings[look], self.units[look] = (*self.faults[own], LOOKS_GOOD), ""
        self.parts.setdefault(block.id, own)
        self.part_places.setdefault(block.id, place)

    def _add_parts(self, file: str, block: Block) -> None:
        """Collect the parts of a section; a damaged one may have more."""
        for line in (inner.opener for inner in block.inner if inner.id):
            name, kind = line.phrases[0].words
            self.parts.setdefault(name.text, kind.text)
            self.part_places.setdefault(name.text, place_of(file, line, name))
        if block.damaged:
            self.lost.add("part")


def _listed(block: Block, keyword: str) -> tuple[str, ...]:
    lines = (line for line in block.statements if line.keyword.text == keyword)
    return tuple(word.text for line in lines for phrase in line.phrases for word in phrase.words)


def _first_words(lines: Iterable[Statement], keyword: str) -> Iterable[str]:
    return (line.phrases[0].words[0].text for line in lines if line.keyword.text == keyword)


def collect(trees: Iterable[Tree]) -> Declared:
    """Collect what all files declare."""
    declared = Declared()
    for tree in trees:
        declared.add(tree)
    return declared
