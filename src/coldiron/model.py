"""Records of the book: what the rule files say, typed.

Plain frozen slotted classes, cheap to build from the cache at the start of a consultation. The language checks them
with pydantic when a book is built from text; nothing here reads a file or imports a library. All figures are in volts,
amps, ohms, minutes, square millimetres and metres; chances lie between 0 and 1.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from coldiron.problem import Problem
from coldiron.record import dataclass, field
from coldiron.source import NOWHERE, Place

SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
Way = Literal["above", "below"]
Quantity = Literal["volts", "amps", "ohms", "lamp", "glow", "click", "turn", "eye"]
Verb = Literal["open", "closed", "locked", "slipping", "adds", "leaks", "sets", "scales"]

ODD = "odd"
"""The finding of a reading that falls in no declared band."""

OPEN_LINE = 20e6
"""Ohms above which an ohmmeter shows an open line. A band that goes on above it holds that reading as well."""

COMPLAINT = "complaint"
"""The id under which the complaint is asked and judged as a check; its findings are the complaints of the book."""

CODE = "code"
"""The id under which trouble codes are entered, in a case as at a prompt."""

LARGEST_SPN = 2**19 - 1
"""The number of what is wrong (SPN) has 19 bits in a trouble code of SAE J1939-73."""

LARGEST_FMI = 2**5 - 1
"""The number of how it is wrong (FMI) has 5 bits."""

ONCE, DAY = "once", "day"
ENDS = (ONCE, DAY)
"""What may stand alone behind `until` of a caution: this one step, or until a new day."""

UNITS: Mapping[str, str] = {"volts": "V", "amps": "A", "ohms": "ohm"}
"""The unit of a reading, by quantity. The other quantities are answered by choosing a finding."""


@dataclass(frozen=True, slots=True)
class Act:
    """How a part behaves electrically: its ends in order, its portions that can fail, its values with units.

    `ends` is empty for a plain two-ended part, whose kind names them.
    """

    ends: tuple[str, ...]
    portions: tuple[str, ...]
    values: Mapping[str, str]
    optional: Mapping[str, str] = field(default_factory=dict)
    verbs: tuple[Verb, ...] = ("open", "adds", "leaks")


ACTS: Mapping[str, Act] = {
    "battery": Act(
        ends=("positive", "negative"),
        portions=(),
        values={"volts": "V", "ohms": "ohms"},
        verbs=("open", "adds", "leaks", "sets", "scales"),
    ),
    "wire": Act((), (), {"area": "mm2", "length": "m"}, {"joints": "ohms"}),
    "joint": Act((), (), {"ohms": "ohms"}),
    "fuse": Act((), (), {"ohms": "ohms", "amps": "A"}),
    "switch": Act((), (), {"ohms": "ohms"}, verbs=("open", "closed", "adds", "leaks")),
    "load": Act((), (), {"ohms": "ohms"}, verbs=("open", "adds", "leaks", "sets", "scales")),
    "relay": Act(
        ends=("coil_feed", "coil_ground", "contact_feed", "contact_out"),
        portions=("coil", "contact"),
        values={"coil_ohms": "ohms", "contact_ohms": "ohms", "pull_in": "V", "drop_out": "V"},
        verbs=("open", "closed", "adds", "leaks", "sets", "scales"),
    ),
    "rest_relay": Act(
        ends=("coil_feed", "coil_ground", "contact_feed", "contact_out"),
        portions=("coil", "contact"),
        values={"coil_ohms": "ohms", "contact_ohms": "ohms", "pull_in": "V", "drop_out": "V"},
        verbs=("open", "closed", "adds", "leaks", "sets", "scales"),
    ),
    "starter": Act(
        ends=("battery_stud", "s_terminal", "motor_stud", "case"),
        portions=("pull_in", "hold_in", "contact", "motor"),
        values={
            "pull_in_ohms": "ohms",
            "hold_in_ohms": "ohms",
            "armature_ohms": "ohms",
            "contact_ohms": "ohms",
            "crank_amps": "A",
            "crank_volts": "V",
            "pull_in": "V",
            "drop_out": "V",
        },
        verbs=("open", "closed", "locked", "slipping", "adds", "leaks", "sets", "scales"),
    ),
}
"""Every way a kind may act. A relay's contact is open at rest, a rest_relay's is closed at rest."""


@dataclass(frozen=True, slots=True)
class Setting:
    """A condition of the machine that a check may require: key position, isolator, a lead on or off.

    `normal` is the value the machine must be back in before it is handed over; `minutes` is what a change costs.
    `springs` is empty, or (a value that lasts only while a step holds it, the value it springs back to). `confirm` is
    empty, or one (value, words) for each value: such a setting stands as it was last said to stand, and each change is
    said by itself in these words.
    """

    id: str
    name: str
    values: tuple[str, ...]
    normal: str
    minutes: float = 0.0
    place: Place = NOWHERE
    springs: tuple[str, ...] = ()
    confirm: tuple[tuple[str, str], ...] = ()

    @property
    def held(self) -> str:
        """The value that springs back when the step is over; empty if every value stays."""
        return self.springs[0] if self.springs else ""

    def in_words(self, value: str) -> str:
        """What is said of it when it stands at a value."""
        return dict(self.confirm).get(value, f"{self.name}: {value}")


@dataclass(frozen=True, slots=True)
class Kit:
    """A thing, or a pair of hands, that a check needs."""

    id: str
    name: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Area:
    """A part of the machine that has to be opened or reached, once, for the checks in it.

    `beside` is the area from whose place it is reached without walking round the machine; empty if none.
    """

    id: str
    name: str
    minutes: float
    place: Place = NOWHERE
    beside: str = ""


@dataclass(frozen=True, slots=True)
class Point:
    """A place a probe can touch; an electrical node of the circuits that have it."""

    id: str
    name: str
    area: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Word:
    """A declared topic of history or a declared derived fact."""

    id: str
    name: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Effect:
    """One change of the network that a fault makes.

    `at` is a portion (`coil`, `contact` ...), an end (for `leaks`) or a value name (for `sets` and `scales`); empty for
    the whole part. `low` and `high` bound the size: ohms added or leaked through, the value set, or a factor. `to` is
    the point a leak goes to.
    """

    verb: Verb
    at: str = ""
    low: float = 0.0
    high: float = 0.0
    to: str = ""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Shows:
    """How often a fault produces a finding of a check that the circuit does not decide (eyes, ears, smell)."""

    check: str
    finding: str
    chance: float
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class FaultKind:
    """One way a kind of part fails.

    `minutes` are hands-on ones; `waits` are hours in which nobody works, at least and at most, and `waiting` says what
    for. `odds` is a relative weight; `shows_now` is below 1 if it comes and goes; with `renews` the repair fits a new
    part, which has none of the part's other faults either.
    """

    id: str
    name: str
    odds: float
    effects: tuple[Effect, ...]
    shows: tuple[Shows, ...]
    repair: str
    minutes: float
    proof: str
    damages: str = ""
    cautions: tuple[str, ...] = ()
    shows_now: float = 1.0
    renews: bool = False
    source: str = ""
    place: Place = NOWHERE
    waits: tuple[float, float] = (0.0, 0.0)
    waiting: str = ""


@dataclass(frozen=True, slots=True)
class Kind:
    """A sort of component: how it acts, the names of its ends, usual values, and its faults."""

    id: str
    name: str
    acts: str
    ends: tuple[str, ...]
    values: Mapping[str, float]
    faults: tuple[FaultKind, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Closed:
    """A switch is closed while `setting` has one of `values`. All such lines of a part must hold."""

    setting: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One component in a piece: its kind, which point each end is joined to, and its own values."""

    id: str
    name: str
    kind: str
    joins: Mapping[str, str]
    values: Mapping[str, float]
    closed: tuple[Closed, ...] = ()
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Piece:
    """A reusable run of parts. `ends` are the points at which other pieces join it."""

    id: str
    name: str
    ends: tuple[str, ...]
    parts: tuple[Part, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Circuit:
    """Pieces joined from source through load to return: one sort of machine.

    `odds` replaces the odds of single faults (`part.fault`) on this circuit. `has` gives the answers that fit it, by
    trait; a trait it says nothing of fits with every answer. `common` is its share among machines of its volts.
    """

    id: str
    name: str
    volts: int
    batteries: int
    pieces: tuple[str, ...]
    odds: Mapping[str, float]
    about: str = ""
    has: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    common: float = 0.0
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Trait:
    """Something by which sorts of machines are told apart, asked when a machine is described.

    `name` is what it is called where it is not known; `answers` are (id, meaning) in the order of the list.
    """

    id: str
    name: str
    ask: str
    how: str
    minutes: float
    answers: tuple[tuple[str, str], ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class FaultRef:
    """Which faults a line speaks of: `part.fault`, a whole part, or one fault of every part of a kind.

    Exactly one of `part` and `kind` is set; an empty `fault` means all faults of that part or kind.
    """

    part: str = ""
    kind: str = ""
    fault: str = ""
    place: Place = NOWHERE

    def __str__(self) -> str:
        """As it is written in a rule file."""
        tail = f".{self.fault}" if self.fault else ""
        return f"any {self.kind}{tail}" if self.kind else f"{self.part}{tail}"


@dataclass(frozen=True, slots=True)
class Chain:
    """Cause and victim: how often the one brings the other with it."""

    id: str
    cause: FaultRef
    victim: FaultRef
    chance: float
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Band:
    """Bounds of a finding: `low <= reading < high`, in the unit of the check.

    `volts` is 12 or 24 for a machine of that voltage, 0 for both. `per_battery` bounds are multiplied by the number of
    batteries in series; nothing else is.
    """

    low: float
    high: float
    volts: int = 0
    per_battery: bool = False
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Finding:
    """A named result of a check, with its bands and, for a result that is chosen and not typed, its meaning."""

    id: str
    meaning: str
    bands: tuple[Band, ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Reads:
    """What a check measures: a quantity between two points, or of one part."""

    quantity: Quantity
    a: str = ""
    b: str = ""
    part: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """One thing a person does at the machine to learn something.

    `findings` are in declared order, the first the worst (noisy-MAX joins causes in this order); `good` names the
    finding of a sound machine. `wrong` is the chance of a wrong reading; `spread` and `step` give the spread of sound
    parts and meters as a share of the reading and as an amount in its unit.
    """

    id: str
    ask: str
    how: str
    reads: Reads
    state: Mapping[str, str]
    minutes: float
    area: str
    kit: tuple[str, ...]
    warns: tuple[str, ...]
    findings: tuple[Finding, ...]
    good: str
    wrong: float
    spread: float
    step: float
    source: str
    each: str = ""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Shift:
    """A history answer that multiplies the odds of some faults."""

    faults: FaultRef
    factor: float


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to a question: shifts of odds, cautions that become due."""

    id: str
    meaning: str
    shifts: tuple[Shift, ...] = ()
    warns: tuple[str, ...] = ()
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Bar:
    """A sort of step: one that brings settings to values (all of `state` together), a check, the repair of faults, all.

    `proof` is as `setting`, of the proof of a repair alone.
    `name` is a check or a template of checks. In `faults` the part `part` is the one that the danger was found at.
    """

    what: Literal["setting", "proof", "check", "repair", "all"]
    state: Mapping[str, str] = field(default_factory=dict)
    name: str = ""
    faults: FaultRef | None = None
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Ask:
    """A question about the machine's state or history, put to the owner or the mechanic.

    `stage` is `safety` (always first), `before` (put before the first step of the sorts in `before`) or `history`
    (asked when worth its minutes). `several` allows several answers.
    """

    id: str
    ask: str
    stage: Literal["safety", "before", "history"]
    topic: str
    minutes: float
    answers: tuple[Answer, ...]
    several: bool
    because: str
    source: str
    place: Place = NOWHERE
    before: tuple[Bar, ...] = ()


@dataclass(frozen=True, slots=True)
class Sign:
    """What tells of a danger, or that it is over: the finding of a check, an answer to a question, the complaint.

    `name` may be a template of checks: then any check of it tells, and it is the one of the same part that lifts. An
    answer without a `value` is one that nobody knew. Of the complaint, `name` is `complaint` and the value is which.
    """

    test: Literal["finding", "history", "complaint"]
    name: str
    value: str = ""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Lift:
    """What ends a danger: all of `signs`, found later than it was told; with `after`, later than such a repair too."""

    signs: tuple[Sign, ...]
    after: FaultRef | None = None
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Danger:
    """Something found that holds until something measured says otherwise.

    Each of `told` (signs that are found together) tells of it. While it stands no step of the sorts in `bars` is
    offered or taken. `now` says what is done this second, if anything; `warns` are cautions for every step meanwhile.
    """

    id: str
    name: str
    told: tuple[tuple[Sign, ...], ...]
    bars: tuple[Bar, ...]
    lifts: tuple[Lift, ...]
    now: str
    warns: tuple[str, ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Code:
    """A trouble code as a controller shows it: what is wrong (`spn`), how (any of `fmis`), and what that tells here.

    `name` is the plain name of the SPN, `says` what the controller has seen. `shifts` are odds, as those of an answer;
    of all codes and answers of one `topic` only the strongest counts.
    """

    id: str
    name: str
    spn: int
    fmis: tuple[int, ...]
    says: str
    topic: str
    shifts: tuple[Shift, ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Complaint:
    """What the dead machine does; `sees` are the (check, finding) pairs that make it up.

    Without any, what is wrong does not stand still, so the circuit cannot show it: rules alone speak of it.
    """

    id: str
    name: str
    sees: tuple[tuple[str, str], ...]
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Due:
    """When a caution must be on screen: before a setting takes a value, a check, an area, or a repair."""

    what: Literal["setting", "check", "area", "repair", "start"]
    name: str = ""
    value: str = ""
    faults: FaultRef | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard with its consequence and how to avoid it.

    `type` is the word for the state seen, typed to acknowledge a DANGER or WARNING. `until` says what ends the
    acknowledgement: `once` (it holds for this one step), `day` (until a new day), or settings and questions whose
    change ends it. A repair, a new day, another person and parking always do.
    """

    id: str
    word: SignalWord
    hazard: str
    harm: str
    avoid: str
    type: str
    due: tuple[Due, ...]
    until: tuple[str, ...]
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing by which a step is seen to do something: a setting it asks for, what it reads, where, with what.

    setting(name, value) · reads(name=quantity) · area/kit/point(name) · renews(name=kind): the repair fits a new part
    of that kind · repair(faults) · check/function(name), answer(name=question, value):
    this very one.
    """

    what: Literal["setting", "reads", "area", "kit", "point", "renews", "repair", "check", "function", "answer"]
    name: str = ""
    value: str = ""
    faults: FaultRef | None = None


@dataclass(frozen=True, slots=True)
class Need:
    """A step needs one of these cautions due before it, as severe as `word` or more."""

    word: SignalWord
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Action:
    """Something a step does that can hurt, whatever the step is for.

    A step does it if all marks of one of `whens` hold, or one phrase of `says` stands in its text: whole words in their
    order, with at most four others where the phrase has two dots. Such a step has every one of `needs`, and of each of
    `stands` at least one setting at its value.
    """

    id: str
    name: str
    whens: tuple[tuple[Mark, ...], ...]
    says: tuple[str, ...]
    needs: tuple[Need, ...]
    stands: tuple[Mapping[str, str], ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Function:
    """One thing the machine must do, or refuse to do, before it is handed back.

    `has` names the parts or kinds of which the machine must have one; none for every machine. What is read as a figure
    has a `quantity` (`volts`, `amps` or `ohms`) and the `bands` of a good one; the others are ticked. `sees` are the
    (check, finding) pairs that follow when it fails; `otherwise` says what is done then. `until` says what the owner
    must not do while it has not been shown; with `keeps` the machine stays out of service so long.
    """

    id: str
    name: str
    ask: str
    how: str
    has: tuple[FaultRef, ...]
    if_fitted: bool
    quantity: Literal["", "volts", "amps", "ohms"]
    bands: tuple[Band, ...]
    state: Mapping[str, str]
    minutes: float
    area: str
    kit: tuple[str, ...]
    warns: tuple[str, ...]
    sees: tuple[tuple[str, str], ...]
    otherwise: str
    until: str
    keeps: bool
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class ComplaintIs:
    """The machine has this complaint."""

    complaint: str
    form: Literal["complaint"] = "complaint"


@dataclass(frozen=True, slots=True)
class AnswerIs:
    """A question was answered so."""

    question: str
    answer: str
    form: Literal["history"] = "history"


@dataclass(frozen=True, slots=True)
class FindingIs:
    """A check has found this."""

    check: str
    finding: str
    form: Literal["finding"] = "finding"


@dataclass(frozen=True, slots=True)
class CheckMade:
    """A check was made, whatever it found."""

    check: str
    form: Literal["taken"] = "taken"


@dataclass(frozen=True, slots=True)
class ReadingAgainst:
    """The reading of a check is above or below a figure."""

    check: str
    way: Way
    figure: float
    form: Literal["figure"] = "figure"


@dataclass(frozen=True, slots=True)
class ReadingsAgainst:
    """The reading of a check is above or below that of another by a margin."""

    check: str
    way: Way
    other: str
    margin: float = 0.0
    form: Literal["reading"] = "reading"


@dataclass(frozen=True, slots=True)
class PartIsThere:
    """The machine has this part."""

    part: str
    form: Literal["has"] = "has"


@dataclass(frozen=True, slots=True)
class SettingIs:
    """A setting stands so."""

    setting: str
    value: str
    form: Literal["setting"] = "setting"


@dataclass(frozen=True, slots=True)
class FactHolds:
    """A rule has concluded this fact."""

    fact: str
    form: Literal["fact"] = "fact"


@dataclass(frozen=True, slots=True)
class RepairMade:
    """One of these faults was repaired."""

    faults: FaultRef
    form: Literal["repaired"] = "repaired"


@dataclass(frozen=True, slots=True)
class CodeGiven:
    """The controller gave this trouble code."""

    code: str
    form: Literal["code"] = "code"


@dataclass(frozen=True, slots=True)
class ControllerTalks:
    """The controller gave any trouble code."""

    form: Literal["talks"] = "talks"


Test = (
    ComplaintIs
    | AnswerIs
    | FindingIs
    | CheckMade
    | ReadingAgainst
    | ReadingsAgainst
    | PartIsThere
    | SettingIs
    | FactHolds
    | RepairMade
    | CodeGiven
    | ControllerTalks
)
"""What a rule can ask for; `form` names each in the facts of the engine and in what is kept."""


def checks_of(test: Test) -> tuple[str, ...]:
    """Return the checks a test speaks of."""
    match test:
        case FindingIs() | CheckMade() | ReadingAgainst():
            return (test.check,)
        case ReadingsAgainst():
            return (test.check, test.other)
    return ()


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that must hold (or, with `negated`, not hold) for a rule."""

    test: Test
    negated: bool = False
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class ConcludesFact:
    """A fact holds."""

    fact: str
    place: Place = NOWHERE
    form: Literal["conclude"] = "conclude"


@dataclass(frozen=True, slots=True)
class ShiftsOdds:
    """The odds of faults are so many times what they were."""

    faults: FaultRef
    factor: float
    place: Place = NOWHERE
    form: Literal["shift"] = "shift"


@dataclass(frozen=True, slots=True)
class OpensCheck:
    """A check is asked though the complaint has told it."""

    check: str
    place: Place = NOWHERE
    form: Literal["open"] = "open"


@dataclass(frozen=True, slots=True)
class ClosesCheck:
    """A check is not asked."""

    check: str
    place: Place = NOWHERE
    form: Literal["close"] = "close"


@dataclass(frozen=True, slots=True)
class LeavesSetting:
    """No step changes a setting from this value, but a look at a machine at rest."""

    setting: str
    value: str
    place: Place = NOWHERE
    form: Literal["leave"] = "leave"


@dataclass(frozen=True, slots=True)
class AvoidsValue:
    """No step brings a setting to this value."""

    setting: str
    value: str
    place: Place = NOWHERE
    form: Literal["avoid"] = "avoid"


@dataclass(frozen=True, slots=True)
class PrefersCheck:
    """A check is asked so many times sooner."""

    check: str
    factor: float
    place: Place = NOWHERE
    form: Literal["prefer"] = "prefer"


@dataclass(frozen=True, slots=True)
class WarnsOf:
    """A caution is due."""

    caution: str
    place: Place = NOWHERE
    form: Literal["warn"] = "warn"


@dataclass(frozen=True, slots=True)
class RequiresCheck:
    """No verdict on faults before a check is made."""

    check: str
    faults: FaultRef
    place: Place = NOWHERE
    form: Literal["require"] = "require"


@dataclass(frozen=True, slots=True)
class FindsInstead:
    """A finding of a check takes the place of what other checks say about some faults."""

    check: str
    finding: str
    replaces: tuple[str, ...]
    about: tuple[FaultRef, ...]
    place: Place = NOWHERE
    form: Literal["find"] = "find"


@dataclass(frozen=True, slots=True)
class Advises:
    """Words for the screen."""

    text: str
    place: Place = NOWHERE
    form: Literal["advise"] = "advise"


Conclusion = (
    ConcludesFact
    | ShiftsOdds
    | OpensCheck
    | ClosesCheck
    | LeavesSetting
    | AvoidsValue
    | PrefersCheck
    | WarnsOf
    | RequiresCheck
    | FindsInstead
    | Advises
)
"""What a rule brings about; `form` names each in the facts of the engine and in what is kept."""


@dataclass(frozen=True, slots=True)
class Loop:
    """`for NAME in KIND`, with `before` or `after` a part: the rule is grounded once for every such part."""

    name: str
    kind: str
    relation: Literal["", "before", "after"] = ""
    part: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """When facts hold, then something follows. A loop variable stands for a part id wherever a part may stand."""

    id: str
    loop: Loop | None
    when: tuple[Condition, ...]
    then: tuple[Conclusion, ...]
    because: str
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Given:
    """One answer in a case: a reading as typed, a finding, a history answer, or a trouble code (its id is `code`).

    `epoch` counts repairs before it.
    """

    id: str
    value: str
    epoch: int = 0
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Expect:
    """What a case must lead to.

    first(faults) · not(faults): not above 5 in 100 · next(name=check) · warned(name=caution) · told(text) ·
    held(faults): no verdict on it yet · among(faults): in the leading three.
    """

    what: Literal["first", "not", "next", "warned", "told", "held", "among"]
    name: str = ""
    faults: FaultRef | None = None
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Case:
    """A worked example in the book, run as a test. `repaired[k]` is repaired after the answers of epoch k."""

    id: str
    name: str
    circuit: str
    complaint: str
    given: tuple[Given, ...]
    repaired: tuple[FaultRef, ...]
    expects: tuple[Expect, ...]
    source: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one part: `id` is `part.fault`."""

    id: str
    part: str
    kind: str
    name: str
    what: FaultKind


@dataclass(frozen=True, slots=True)
class Book:
    """Everything loaded from the rule files. All mappings are by id, in the order of the files.

    `broken` holds every error that was found in them: a book that has any is not used for a job.
    """

    hash: str
    settings: Mapping[str, Setting]
    kits: Mapping[str, Kit]
    areas: Mapping[str, Area]
    points: Mapping[str, Point]
    topics: Mapping[str, Word]
    facts: Mapping[str, Word]
    kinds: Mapping[str, Kind]
    pieces: Mapping[str, Piece]
    circuits: Mapping[str, Circuit]
    chains: Mapping[str, Chain]
    complaints: Mapping[str, Complaint]
    questions: Mapping[str, Ask]
    checks: Mapping[str, Check]
    codes: Mapping[str, Code]
    cautions: Mapping[str, Caution]
    functions: Mapping[str, Function]
    rules: Mapping[str, Rule]
    cases: Mapping[str, Case]
    parts: Mapping[str, Part]
    faults: Mapping[str, Fault]
    traits: Mapping[str, Trait] = field(default_factory=dict)
    actions: Mapping[str, Action] = field(default_factory=dict)
    dangers: Mapping[str, Danger] = field(default_factory=dict)
    broken: tuple[Problem, ...] = ()
