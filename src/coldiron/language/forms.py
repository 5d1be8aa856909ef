"""The table of forms: every line of every block, and every form that such a line is made of.

Whatever tells the language is made from this table: the grammar, the printer, the hints, the BNF and the tables of the
manual. A new line of the language is one entry here and what it means in `build`; `notation` says how it is written.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal

from coldiron.language import notation
from coldiron.language.notation import Form, Node, Option
from coldiron.language.sorts import RESERVED, SORTS, UNITS
from coldiron.record import dataclass

__all__ = ["BLOCKS", "FORMS", "INNER", "LINES", "OPENERS", "RESERVED", "SORTS", "UNITS", "lines_of", "node"]

Count = Literal["one", "at most one", "one or more", "any number", "a text", "a text, if any"]
"""How many such lines a block has; those of a text make one text of them all."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a block: its keyword, what follows it, how many of it, what it means, and a line that shows it."""

    keyword: str
    pattern: str
    count: Count
    means: str
    example: str

    @property
    def needed(self) -> bool:
        """Whether a block must have it."""
        return self.count in ("one", "one or more", "a text")

    @property
    def once(self) -> bool:
        """Whether a block may have it only once."""
        return self.count in ("one", "at most one")


@dataclass(frozen=True, slots=True)
class BlockForm:
    """An opener, what its entries are, and their lines; `inside` names the block that an inner one stands in."""

    opener: str
    means: str
    lines: tuple[Line, ...]
    pattern: str = "ID"
    inside: str = ""


def _option(pattern: str, says: str = "") -> Form:
    return Form((Option(pattern),), says)


FORMS: Mapping[str, Form] = {
    "MINUTES": _option("minutes<NUMBER minute(s)>"),
    "HOURS": _option("hours<NUMBER [to NUMBER] hour(s)>"),
    "CHANCE": _option("chance<NUMBER in NUMBER>"),
    "MEANING": _option("meaning<meaning TEXT>"),
    "AT": _option("at<at ID:portion>"),
    "SIGNAL": _option("DANGER/WARNING/CAUTION/NOTICE"),
    "OHMS": _option("NUMBER [UNIT:ohms] [to NUMBER] [UNIT:ohms]"),
    "RANGE": _option("NUMBER [UNIT] [to NUMBER] [UNIT]"),
    "BAND": _option("band<from NUMBER [UNIT] to NUMBER [UNIT]>"),
    "SYSTEM": _option("(on<on NUMBER V> | per_battery<'per battery'>)"),
    "STATE": _option("state<ID:setting VALUE>"),
    "READS": Form(
        (
            Option("reads_at<volts/ at POINT to POINT>", "volts, red probe on the first point, black on the second"),
            Option("reads_at<lamp/ at POINT to POINT>", "glow of a 21 W test lamp between them, as a share"),
            Option("reads_at<ohms/ at POINT to POINT>", "ohms between them; the `state` takes the battery off"),
            Option("reads_through<amps/ through PART>", "amps, with the clamp round its lead"),
            Option("reads_of<glow/click/turn of PART>", "what it does, as a share: 0 nothing, about 1 full"),
            Option("reads<eye/>", "what eyes, ears, nose and hands tell"),
        ),
        "volts at, lamp at, ohms at, amps through, glow of, click of, turn of, or eye",
    ),
    "SPREAD": Form(
        (
            Option("CHANCE [and<and NUMBER [UNIT]>]", "a share of the reading, and an amount if there is one"),
            Option("step<NUMBER [UNIT]>", "an amount alone"),
        ),
        "a spread, such as 3 in 100 and 0.03 V",
    ),
    "DUE": Form(
        (
            Option("before_setting<setting ID VALUE>", "before the setting is brought to this value"),
            Option("before_check<check CHECK>", "before that check"),
            Option("before_area<area ID>", "before work in that area"),
            Option("before_repair<repair FAULTS>", "before the repair of such a fault"),
            Option("before_start<start>", "before the first step of a job"),
        )
    ),
    "CONDITION": Form(
        (
            Option("complaint<complaint ID>", "the machine has this complaint"),
            Option("history<history ID:question ANSWER>", "the question was answered so"),
            Option("machine_has<machine has PART>", "the machine has this part"),
            Option("setting<setting ID VALUE>", "the setting stands so"),
            Option("fact<fact ID>", "a rule has concluded it"),
            Option("repaired<repaired FAULTS>", "such a fault was repaired"),
            Option("code<code ID>", "the controller gave this trouble code"),
            Option("controller_talks<'controller talks'>", "it gave any code, so it has power"),
            Option("taken<CHECK taken>", "the check was made"),
            Option("above_number<CHECK above NUMBER [UNIT]>", "the reading is above the figure"),
            Option("above_check<CHECK above CHECK> [by<by NUMBER [UNIT]>]", "it is above another reading, by so much"),
            Option("below_number<CHECK below NUMBER [UNIT]>", "the reading is below the figure"),
            Option("below_check<CHECK below CHECK> [by<by NUMBER [UNIT]>]", "it is below another reading, by so much"),
            Option("finding<CHECK FINDING>", "the check found this"),
        ),
        "a condition",
    ),
    "CONCLUSION": Form(
        (
            Option("conclude<conclude ID:fact>", "the fact holds"),
            Option("likelier<likelier FAULTS times NUMBER>", "the odds of these faults, from history only"),
            Option("rarer<rarer FAULTS times NUMBER>", "the same, with a figure below one"),
            Option("allow<allow CHECK>", "the check may be asked, though nothing else calls for it"),
            Option("forbid<forbid CHECK>", "the check is not asked"),
            Option("leave<leave ID:setting VALUE>", "no step changes this setting, but a look at a machine at rest"),
            Option("avoid<avoid ID:setting VALUE>", "no step brings the setting to this value"),
            Option("ask<ask CHECK NUMBER times sooner/later>", "the check is asked so much sooner or later"),
            Option("warn<warn ID:caution>", "the caution is due"),
            Option("require<require CHECK before ['verdict on'] FAULTS>", "no verdict on these before that check"),
            Option(
                "count<count CHECK as FINDING> in_place_of<'in place of' CHECK...> for<for FAULTS...>",
                "readings compared make one finding, which counts in their place for these faults",
            ),
            Option("advise<advise TEXT>", "words on the screen"),
        )
    ),
    "EXPECT": Form(
        (
            Option("first<first FAULTS>", "the likeliest"),
            Option("among<among FAULTS>", "one of the first three"),
            Option("not<not FAULTS>", "not one of the first three"),
            Option("held<held FAULTS>", "a rule still holds the verdict on it"),
            Option("next<next CHECK>", "what is asked next: a check or a question"),
            Option("warned<warned ID:caution>", "the caution is due"),
            Option("told<told TEXT>", "some words of an advice"),
        )
    ),
    "SIGN": Form(
        (
            Option("history_not_known<history ID:question 'not known'>", "nobody could answer the question"),
            Option("history<history ID:question ANSWER>", "the question was answered so"),
            Option("complaint<complaint ID>", "the machine has this complaint"),
            Option("finding<CHECK FINDING>", "the check found this; with `each`, that of any part"),
        ),
        "a check and its finding, 'history' and an answer, or 'complaint' and one",
    ),
    "SIGNS": _option("SIGN {and<and> SIGN}"),
    "STEP": Form(
        (
            Option("setting<setting ID VALUE> {, STATE}", "a step at these settings, all of them"),
            Option("proof_setting<proof setting ID VALUE> {, STATE}", "the same, as the proof of a repair"),
            Option("check<check CHECK>", "that check"),
            Option("repair<repair FAULTS>", "the repair of such a fault; `part` is the part of the check that told"),
            Option("all<all>", "every step"),
        )
    ),
    "MARK": Form(
        (
            Option("setting<setting ID VALUE>", "it needs the setting so"),
            Option("reading<reads volts/amps/ohms/lamp/glow/click/turn/eye>", "it reads this"),
            Option("area<area ID>", "it is done there"),
            Option("kit<kit ID>", "it uses this"),
            Option("point<point ID>", "a probe touches this"),
            Option("renews<renews ID:kind>", "it fits a new part of this kind"),
            Option("repair<repair FAULTS>", "it repairs such a fault"),
            Option("check<check ID>", "it is this check"),
            Option("duty<duty ID>", "it shows this duty"),
            Option("answer<answer ID:question ANSWER>", "the question was answered so"),
        )
    ),
}
"""The forms that have a name of their own."""


def _name(example: str, count: Count = "a text") -> Line:
    return Line("name", "TEXT", count, "what a person reads", example)


def _comes_and_goes(means: str) -> Line:
    return Line("comes", "and goes CHANCE", "at most one", means, "comes and goes 20 in 100")


def _takes(count: Count = "one", means: str = "minutes of work") -> Line:
    return Line("takes", "MINUTES", count, means, "takes 2 minutes")


def _source(count: Count = "a text") -> Line:
    return Line("source", "TEXT", count, "where it is from", "source common practice")


_BECAUSE = Line("because", "TEXT", "a text", "why", "because It hurts an ear at arm's length.")
_GROUNDED = (_BECAUSE, _source())
_WARNS = Line("warns", "list<VALUE:caution...>", "any number", "cautions that are due with it", "warns spark")
_KIT = Line("kit", "list<VALUE:kit...>", "any number", "what it needs", "kit meter")
_STATE = Line(
    "state", "STATE {, STATE}", "any number", "the settings it needs; all others stay normal", "state key off"
)
_TOPIC = Line("topic", "ID", "one", "of one topic only the strongest figure counts", "topic weather")
_ANSWER = Line(
    "answer",
    "ID [MEANING]",
    "one or more",
    "an answer, and what a person reads",
    "answer yes meaning it has, or it shares one",
)
_HEARS = Line(
    "hears",
    "TEXT",
    "any number",
    "phrases of an owner that may mean it; two dots are up to four other words",
    "hears rained on, left .. in the rain",
)
_SEES = Line("sees", "finding<CHECK FINDING>", "any number", "what that check would find", "sees horn_sounds silent")
_SHIFTS = (
    Line(
        "likelier",
        "times<FAULTS times NUMBER>",
        "any number",
        "how many times likelier it makes the faults",
        "likelier any wire.corroded times 2",
    ),
    Line(
        "rarer",
        "times<FAULTS times NUMBER>",
        "any number",
        "the same, with a figure below one",
        "rarer horn_fuse.blown times 0.3",
    ),
)

BLOCKS: tuple[BlockForm, ...] = (
    BlockForm(
        "setting",
        "one way the machine can be set",
        (
            _name("name key switch"),
            Line("values", "list<VALUE...>", "one or more", "how it can stand", "values off, on, start"),
            Line("normal", "VALUE", "one", "how the machine is handed back", "normal off"),
            Line(
                "springs",
                "springs<VALUE to VALUE>",
                "at most one",
                "the first value lasts only while a step holds it; then it is the second",
                "springs start to on",
            ),
            Line(
                "confirm",
                "VALUE MEANING",
                "any number",
                "a person says by itself, in these words, that it stands so",
                "confirm on meaning the ground lead is back on and tight",
            ),
            _takes("at most one", "minutes to change it"),
        ),
    ),
    BlockForm("kit", "a thing, or a pair of hands, that a check needs", (_name("name multimeter"),)),
    BlockForm(
        "area",
        "a place on the machine that is opened once for all checks in it",
        (
            _name("name battery box"),
            _takes("one", "minutes to open and close it"),
            Line("beside", "ID", "at most one", "an area from whose place it is reached", "beside dash"),
        ),
    ),
    BlockForm(
        "point",
        "a place a probe can touch; parts are joined at points",
        (_name("name battery positive post"), Line("area", "ID", "one", "where it lies", "area battery_box")),
    ),
    BlockForm("topic", "what several questions or codes speak of", (_name("name what the weather did"),)),
    BlockForm("fact", "something that rules conclude", (_name("name the feed of the horn is proven"),)),
    BlockForm(
        "kind",
        "a sort of part, and how it fails",
        (
            _name("name battery"),
            Line("acts", "as ID", "one", "what it is to the circuit; the table below", "acts as battery"),
            Line("ends", "list<VALUE:end...>", "at most one", "its ends, if it has two plain ones", "ends feed, load"),
            Line(
                "value",
                "value<ID:value NUMBER [UNIT]>",
                "any number",
                "a usual value; a part may have its own",
                "value volts 12.6 V",
            ),
            Line("fault", "ID", "any number", "one way it fails; its lines follow", "fault flat"),
        ),
    ),
    BlockForm(
        "fault",
        "one way a kind of part fails",
        (
            _name("name flat"),
            Line("odds", "CHANCE", "one", "how many dead machines have it", "odds 100 in 1000"),
            Line(
                "becomes",
                "open/closed/locked/slipping [AT]",
                "any number",
                "the part is so; `at` coil, contact, pull_in, hold_in, motor, field or trio only that portion is",
                "becomes open",
            ),
            Line("adds", "range<OHMS> [AT]", "any number", "so many ohms more, mild to severe", "adds 0.5 to 20 ohms"),
            Line(
                "leaks",
                "leaks<ID:end to POINT> range_through<through OHMS>",
                "any number",
                "current leaks from an end to a point or to another end; fewer ohms are worse",
                "leaks from_end to frame through 0.5 to 0.01 ohms",
            ),
            Line(
                "sets",
                "ID:value range_to<to RANGE>",
                "any number",
                "a value is this, mild to severe",
                "sets volts to 11.8 to 9 V",
            ),
            Line(
                "scales",
                "ID:value range_by<by RANGE>",
                "any number",
                "a value is so many times what it was, mild to severe",
                "scales ohms by 3 to 8",
            ),
            Line(
                "shows",
                "finding<CHECK FINDING> CHANCE",
                "any number",
                "how often eyes, ears or hands find this, where the circuit does not decide it",
                "shows look_at green 60 in 100",
            ),
            Line(
                "overrules",
                "finding<CHECK FINDING> CHANCE because TEXT",
                "any number",
                "the same where the circuit decides it, and why the circuit is wrong here",
                "overrules horn_sounds silent 90 in 100 because Its coil draws, but nothing moves.",
            ),
            _comes_and_goes("the chance that it shows at all on one day"),
            Line(
                "renews",
                "the part",
                "at most one",
                "its repair fits a new part: all faults are gone",
                "renews the part",
            ),
            Line(
                "both",
                "of a pair",
                "at most one",
                "its repair is done to each part of this kind that the machine has",
                "both of a pair",
            ),
            Line("repair", "TEXT", "a text", "what to do", "repair Fit a new battery of the same size."),
            _takes(),
            Line(
                "waits",
                "HOURS [TEXT]",
                "at most one",
                "hours while nobody works, and what for",
                "waits 4 to 12 hours on charge",
            ),
            Line("proof", "TEXT", "a text", "what shows that it worked", "proof The horn sounds."),
            Line("damages", "TEXT", "a text, if any", "what else it may have harmed", "damages The fuse before it."),
            _WARNS,
            _source("a text, if any"),
        ),
        inside="kind",
    ),
    BlockForm(
        "section",
        "a run of parts that several circuits may use",
        (
            _name("name battery and ground"),
            Line("ends", "list<VALUE:point...>", "one or more", "where others join it", "ends battery_positive, frame"),
            Line(
                "part",
                "is<ID:part is ID:kind>",
                "one or more",
                "a part of a kind; one id is one component everywhere; its lines follow",
                "part horn_fuse is fuse",
            ),
        ),
    ),
    BlockForm(
        "part",
        "one component of a section",
        (
            Line("name", "TEXT", "a text, if any", "what a person reads; without one, its id", "name the horn"),
            Line(
                "from",
                "points<POINT to POINT>",
                "at most one",
                "the points of its first end and its second",
                "from battery_positive to fuse_out",
            ),
            Line("joins", "joins<ID:end to POINT>", "any number", "one end, by its name", "joins feed to horn_feed"),
            Line(
                "closed",
                "when closed<ID:setting VALUE {or VALUE}>",
                "any number",
                "a switch is closed where the setting is so",
                "closed when horn_button pressed",
            ),
            Line("value", "value<ID:value NUMBER [UNIT]>", "any number", "a value of its own", "value amps 10 A"),
        ),
        pattern="is<ID:part is ID:kind>",
        inside="section",
    ),
    BlockForm(
        "circuit",
        "one sort of machine: sections that meet at points of the same name",
        (
            _name("name horn"),
            Line(
                "about", "TEXT", "a text, if any", "which machines are like it", "about any small machine with a horn"
            ),
            Line("volts", "NUMBER", "one", "12 or 24", "volts 12"),
            Line("batteries", "NUMBER", "one", "how many stand in series: 1, 2 or 4", "batteries 1"),
            Line("uses", "list<VALUE:section...>", "one or more", "its sections", "uses supply, horn_run"),
            Line(
                "has",
                "has<ID:feature ID:answer...>",
                "any number",
                "answers to a feature that fit it; without a line for a feature every answer fits",
                "has horn_fuse yes",
            ),
            Line("common", "CHANCE", "at most one", "how many machines of these volts are so", "common 80 in 100"),
            Line(
                "odds",
                "fault<FAULT> CHANCE",
                "any number",
                "odds in place of those of the kind",
                "odds horn_button.worn 60 in 1000",
            ),
            Line(
                "free",
                "point<ID:point> because TEXT",
                "any number",
                "an end of a section that meets nothing here, and why that is meant",
                "free fuse_out because Nothing else hangs on this fuse.",
            ),
        ),
    ),
    BlockForm(
        "feature",
        "what tells circuits apart where nobody has a diagram",
        (
            _name("name fuse of the horn"),
            Line("ask", "TEXT", "a text", "the question", "ask Has the horn a fuse of its own?"),
            Line(
                "how",
                "TEXT",
                "a text, if any",
                "how it is seen",
                "how Follow the wire from the button towards the battery.",
            ),
            _takes(),
            _ANSWER,
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "option",
        "what a machine may have beside its circuit, and the sections that brings",
        (
            _name("name a fuse of the horn"),
            Line(
                "gives",
                "has<ID:feature ID:answer...>",
                "one or more",
                "the answers to a feature that say the machine has it",
                "gives horn_fuse yes",
            ),
            Line(
                "brings",
                "list<VALUE:section...> [instead<instead of VALUE:section...>] [on<on NUMBER V>]",
                "one or more",
                "its sections, and those that give way; every line that fits the circuit is done",
                "brings horn_run instead of horn_bare",
            ),
            Line("common", "CHANCE", "at most one", "how many machines have it that need not", "common 10 in 100"),
            Line(
                "matters",
                "matters<ID:complaint> CHANCE",
                "any number",
                "how often, with that complaint, the fault lies in what it brings; it is asked for then",
                "matters no_horn 30 in 100",
            ),
            Line(
                "never",
                "list<VALUE:circuit...> because TEXT",
                "any number",
                "circuits that cannot have it, and why",
                "never horn_12 because It has one already.",
            ),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "usual",
        "a sort of machine as people name it, and the circuits it usually has",
        (
            _name("name van"),
            Line(
                "hears",
                "TEXT",
                "one or more",
                "words that name it; two dots are up to four other words",
                "hears van, delivery van",
            ),
            Line(
                "like",
                "sort<ID:circuit> [besides<with VALUE:option...>] CHANCE",
                "one or more",
                "a circuit it may have, with options, and how many of them do",
                "like horn_12 70 in 100",
            ),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "chain",
        "a cause and the victim it brings",
        (
            Line("cause", "FAULTS", "one", "what comes first", "cause ground_wire.chafed"),
            Line(
                "victim",
                "faults<FAULTS> CHANCE",
                "one or more",
                "what it harms, and how often it does",
                "victim horn_fuse.blown 10 in 100",
            ),
            Line(
                "circle",
                "TEXT",
                "a text, if any",
                "a victim can bring its own cause, and why that is meant",
                "circle The chafed wire may have blown the fuse in the first place.",
            ),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "route",
        "a place that several wires pass side by side, and what may happen there",
        (
            _name("name wires under the dash"),
            Line(
                "passes",
                "list<VALUE:part...>",
                "one or more",
                "the parts that pass there; a machine with two of them has the place",
                "passes ground_wire, horn_button",
            ),
            Line(
                "suffers",
                "suffers<ID:event> CHANCE",
                "one or more",
                "what may happen there, with its odds beside those of the faults",
                "suffers wetted 2 in 1000",
            ),
            Line("ask", "TEXT", "a text", "the look at the place", "ask Look at the wires under the dash"),
            Line("how", "TEXT", "a text", "how it is done", "how Take the panel off and look at the lowest plug."),
            _STATE,
            _takes("one", "minutes of the look"),
            Line("area", "ID", "one", "where", "area dash"),
            _KIT,
            _WARNS,
            Line("wrong", "CHANCE", "one", "how often the look misleads", "wrong 6 in 100"),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "event",
        "what happens at such a place, and hurts several wires there at once",
        (
            _name("name water came in"),
            Line(
                "hurts",
                "faults<FAULTS> CHANCE",
                "one or more",
                "a fault that it makes, and how often, of each part that passes there",
                "hurts any wire.corroded 40 in 100",
            ),
            Line(
                "seen",
                "CHANCE MEANING",
                "one",
                "how often eyes see it at the place, and what they see",
                "seen 70 in 100 meaning drops, or green pins",
            ),
            Line(
                "after",
                "story<ID:question ANSWER times NUMBER>",
                "any number",
                "an answer that makes it so many times likelier",
                "after washed wet times 5",
            ),
            Line("repair", "TEXT", "a text", "what is done", "repair Blow it dry, low to high, and fit new seals."),
            _takes(),
            Line("proof", "TEXT", "a text", "what then holds", "proof It is still dry the day after."),
            Line("damages", "TEXT", "a text, if any", "what it may have harmed", "damages The fuse may be green too."),
            _WARNS,
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "complaint",
        "what the dead machine does",
        (
            _name("name the horn stays silent"),
            _SEES,
            _comes_and_goes("the chance that a reading finds it there"),
            Line(
                "mistaken",
                "other<for VALUE:complaint> CHANCE",
                "any number",
                "what people say it does instead, and how often they do",
                "mistaken for horn_now_and_then 10 in 100",
            ),
            _HEARS,
        ),
    ),
    BlockForm(
        "question",
        "what is asked of the person",
        (
            Line("ask", "TEXT", "a text", "the question", "ask Was it washed, or did it stand in the rain?"),
            Line(
                "stage",
                "safety/before/history",
                "one",
                "first always; before the steps it names; when it is worth its minutes",
                "stage history",
            ),
            Line("before", "STEP", "any number", "it is put before such a step", "before setting horn_button pressed"),
            _TOPIC,
            _takes(),
            Line("several", "", "at most one", "more than one answer may be given", "several"),
            Line(
                "answer",
                "ID [MEANING]",
                "one or more",
                "an answer, and what a person reads; its lines follow",
                "answer wet meaning yes, in the last days",
            ),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "answer",
        "an answer to a question",
        (
            _WARNS,
            _comes_and_goes("the chance that a reading finds the fault there"),
            *_SHIFTS,
            Line(
                "up",
                "up<to NUMBER because TEXT>",
                "at most one",
                "with others it may shift odds so far, past ten, and why",
                "up to 40 because It is known to the day, and to the place.",
            ),
            Line("common", "CHANCE", "at most one", "how many answer so, whatever is wrong", "common 30 in 100"),
            _HEARS,
        ),
        pattern="ID [MEANING]",
        inside="question",
    ),
    BlockForm(
        "check",
        "one thing done at the machine to learn something",
        (
            Line(
                "each",
                "list<VALUE:kind...>",
                "any number",
                "it is made for every part of these kinds, as `check.part`; `{part}` is its name, `part.end` an end",
                "each wire",
            ),
            Line("ask", "TEXT", "a text", "what to do, in a line", "ask Volts across the battery posts"),
            Line(
                "how", "TEXT", "a text", "how it is done", "how Red probe on the positive post, black on the negative,"
            ),
            Line("reads", "READS", "one", "what it reads", "reads volts at horn_feed to frame"),
            _STATE,
            Line(
                "leaves",
                "list<VALUE:setting...>",
                "any number",
                "settings that change nothing of what it finds: it leaves them as they stand",
                "leaves horn_button",
            ),
            _takes(),
            Line("area", "ID", "at most one", "where; else that of its first point", "area dash"),
            _KIT,
            _WARNS,
            Line(
                "finding",
                "ID:finding [BAND [SYSTEM]] [MEANING]",
                "one or more",
                "a band of readings with a name, the worst first; without figures a person chooses by its meaning",
                "finding dead from -0.3 V to 11.9 V per battery",
            ),
            Line("good", "ID:finding", "one", "what a sound machine gives", "good live"),
            Line("wrong", "CHANCE", "one", "how often it is misread", "wrong 2 in 100"),
            Line("spread", "SPREAD", "at most one", "how far sound readings scatter", "spread 1 in 100 and 0.02 V"),
            _source(),
        ),
    ),
    BlockForm(
        "code",
        "what a controller tells by numbers",
        (
            _name("name battery volts"),
            Line("spn", "WHOLE", "one", "what is wrong, by SAE J1939", "spn 168"),
            Line("fmi", "list<WHOLE...>", "one or more", "how it is wrong, by SAE J1939-73", "fmi 1, 4, 17, 18"),
            Line(
                "says",
                "TEXT",
                "a text",
                "what the controller has seen",
                "says The controller has seen its supply too low.",
            ),
            _TOPIC,
            *_SHIFTS,
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "caution",
        "a hazard, and what must be so before a step",
        (
            Line("word", "SIGNAL", "one", "how bad it can be", "word WARNING"),
            Line("hazard", "TEXT", "a text", "what can hurt", "hazard Battery gas burns."),
            Line("harm", "TEXT", "a text", "what it does", "harm A spark at a post can burst the battery."),
            Line("avoid", "TEXT", "a text", "how nobody is hurt", "avoid Tell them first."),
            Line("type", "TEXT", "a text, if any", "the state seen, typed for DANGER and WARNING", "type covered"),
            Line("due", "[before] DUE", "any number", "what it comes before", "due area battery_box"),
            Line(
                "until",
                "list<VALUE...>",
                "one or more",
                "what ends it: `once`, `day`, or settings and questions that change",
                "until day",
            ),
            _source(),
        ),
    ),
    BlockForm(
        "action",
        "what a step does to people, and what it then needs",
        (
            _name("name turns a key that may start something"),
            Line(
                "when",
                "MARK {, MARK}",
                "any number",
                "a step does it where all of these hold",
                "when setting key start",
            ),
            Line(
                "says",
                "TEXT",
                "any number",
                "or where its text has one of these phrases; two dots are up to four other words",
                "says ohms from, set the .. to ohms",
            ),
            Line(
                "needs",
                "needs<SIGNAL from ID:caution...>",
                "any number",
                "one of these cautions is due before it, as grave as the word",
                "needs DANGER from start_refused",
            ),
            Line("stands", "STATE {or STATE}", "any number", "or the machine stands so", "stands key off"),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "danger",
        "something found that can hurt by the next step",
        (
            _name("name a wire is green where it was to be dry"),
            Line("told", "by SIGNS", "one or more", "what tells of it", "told by history who_is_near somebody"),
            Line("bars", "STEP", "any number", "what is not done while it stands", "bars setting horn_button pressed"),
            Line(
                "lifted",
                "by SIGNS [after_repair<'after repair' FAULTS>]",
                "any number",
                "what ends it, if it comes later",
                "lifted by look_at clean after repair part.corroded",
            ),
            Line("now", "TEXT", "a text, if any", "what to do this second", "now Hands off the button."),
            _WARNS,
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "duty",
        "what the machine is shown to do, or to refuse, before it is handed back",
        (
            _name("name lever in gear"),
            Line("ask", "TEXT", "a text", "what to see", "ask The horn sounds"),
            Line(
                "how",
                "TEXT",
                "a text, if any",
                "how it is done",
                "how Red probe on the positive post, black on the negative.",
            ),
            Line("has", "OWNER", "any number", "only machines with such a part show it", "has any horn"),
            Line("lacks", "OWNER", "any number", "only machines without such a part show it", "lacks any horn"),
            Line("if", "fitted", "at most one", "a machine without it counts as shown", "if fitted"),
            Line("reads", "volts/amps/ohms", "at most one", "the figure it reads", "reads volts"),
            Line(
                "good", "BAND [SYSTEM]", "any number", "where the figure passes", "good from 13.8 V to 14.6 V on 12 V"
            ),
            _STATE,
            _takes(),
            Line("area", "ID", "one", "where", "area dash"),
            _KIT,
            _WARNS,
            Line(
                "fails",
                "as finding<CHECK FINDING>",
                "any number",
                "if it fails, this is found",
                "fails as horn_sounds silent",
            ),
            Line("otherwise", "TEXT", "a text", "what is done if it fails", "otherwise Look at its fuse."),
            Line(
                "until",
                "TEXT",
                "a text",
                "what the owner must not do until it is shown",
                "until Do not work near people on foot.",
            ),
            Line(
                "keeps",
                "out of service",
                "at most one",
                "until it is shown the machine is not to be used",
                "keeps out of service",
            ),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "rule",
        "what a good hand knows beyond the circuit",
        (
            Line(
                "for",
                "in<VARIABLE in ID:kind> [before<before PART> | after<after PART>]",
                "at most one",
                "a rule for every part of a kind, the letter stands for it",
                "for W in wire",
            ),
            Line("when", "[not<not>] CONDITION", "one", "the first condition", "when horn_volts live"),
            Line("and", "[not<not>] CONDITION", "any number", "another; all must hold", "and not fact feed_proven"),
            Line("then", "CONCLUSION", "one or more", "what follows", "then conclude feed_proven"),
            *_GROUNDED,
        ),
    ),
    BlockForm(
        "case",
        "a worked example, run as a test",
        (
            _name("name horn silent the day after the wash"),
            Line(
                "circuit",
                "sort<ID:circuit> [besides<with VALUE:option...>]",
                "one",
                "the machine, with options",
                "circuit horn_12",
            ),
            Line("complaint", "ID", "one", "what it does", "complaint no_horn"),
            Line(
                "given",
                "given<CHECK TEXT>",
                "any number",
                "an answer, a reading, a finding or `code` with SPN and FMI, in order",
                "given horn_volts 12.5 V",
            ),
            Line("repaired", "FAULTS", "any number", "what was repaired then", "repaired horn_button.worn"),
            Line("expect", "EXPECT", "one or more", "what must come of it", "expect first horn.dead"),
            _source(),
        ),
    ),
    BlockForm(
        "machine",
        "a card of one machine of the shop; it is a file of its own, in the user's folder, never in a book",
        (
            _name("name Red van"),
            Line("usual", "ID", "at most one", "its sort", "usual van"),
            Line("volts", "NUMBER", "at most one", "12 or 24", "volts 12"),
            Line(
                "circuit",
                "sort<ID:circuit> [besides<with VALUE:option...>] [less<without VALUE:option...>]",
                "at most one",
                "its circuit, and the options brought in or left out",
                "circuit horn_bare_12 with fused_horn",
            ),
            Line("has", "has<ID:feature ID:answer>", "any number", "what it has, by its feature", "has horn_fuse yes"),
            Line("besides", "list<VALUE:option...>", "any number", "options that were named", "besides fused_horn"),
            Line("without", "list<VALUE:option...>", "any number", "options it was asked for", "without fused_horn"),
            Line("lacks", "CHECK", "any number", "what that check is made on is not fitted", "lacks under_dash_look"),
            Line(
                "note",
                "about<CHECK TEXT>",
                "any number",
                "words of the shop, shown at each check and fix of that part, point or check",
                "note horn_fuse Second slot from the left, blue wire 14.",
            ),
            Line(
                "healthy",
                "given<CHECK TEXT>",
                "any number",
                "what the check read after a fix that held",
                "healthy horn_volts 12.4 V",
            ),
            Line(
                "fixed",
                "given<FAULT TEXT>",
                "any number",
                "a fault that was fixed, and when",
                "fixed horn.dead 2026-05-04",
            ),
        ),
    ),
)
"""The blocks of the language with all their lines."""

LINES: Mapping[str, Mapping[str, Line]] = {
    block.opener: {line.keyword: line for line in block.lines} for block in BLOCKS
}
"""The lines of every block, by opener and keyword."""

INNER: Mapping[str, str] = {block.opener: block.inside for block in BLOCKS if block.inside}
"""Blocks inside a block, and in which."""

OPENERS: tuple[str, ...] = tuple(block.opener for block in BLOCKS if not block.inside)
"""What a line may open with at column 1."""


def lines_of(opener: str) -> Mapping[str, Line]:
    """Return the lines a block takes; none for an unknown opener."""
    return LINES.get(opener, {})


@cache
def node(context: str, keyword: str) -> Node:
    """Return what follows a keyword in its block, as a node. The block "" is the level of the openers."""
    pattern = next(block.pattern for block in BLOCKS if block.opener == keyword) if not context else ""
    return notation.read(pattern or LINES[context][keyword].pattern, FORMS)
