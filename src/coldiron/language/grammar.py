"""The grammar: one line of a rule file to phrases.

The whole language, as BNF:

    book      = { [ statement ] [ comment ] newline }
    statement = opener | line          ; an opener stands at column 1, a line is indented
    line      = setting | kit | area | point | topic | fact | kind | fault | piece | circuit | trait | chain
              | complaint | question | answer | check | code | caution | danger | action | function | rule
              | case                       ; as its block has it
    comment   = "#" any                ; at the start of a line or after a blank
    opener    = ( "setting" | "kit" | "area" | "point" | "topic" | "fact" | "kind" | "piece" | "circuit" | "trait"
                | "chain" | "complaint" | "question" | "check" | "code" | "caution" | "danger" | "action" | "function"
                | "rule"
                | "case" ) id
    setting   = name | "values" list | "normal" word | "springs" word "to" word | "confirm" word "meaning" text
              | takes
    kit       = name
    area      = name | takes | "beside" id
    point     = name | "area" id
    topic     = name
    fact      = name
    kind      = name | "acts as" word | "ends" list | "value" id number [ unit ] | "fault" id
    fault     = name | "odds" number | effect | "shows" check id chance | "comes and goes" chance | "repair" text
              | "renews" "the" "part"
              | takes | "waits" number [ "to" number ] "hours" [ text ]
              | "proof" text | "damages" text | warns | source
    effect    = "becomes" ( "open" | "closed" | "locked" | "slipping" ) [ "at" id ]
              | "adds" range [ "at" id ] | "leaks" id "to" point "through" range
              | "sets" id "to" range | "scales" id "by" range
    piece     = name | "ends" list | "part" part
    part      = id "is" id ( "from" point "to" point | "joining" join { "," join } ) { "," detail }
    join      = id "to" point
    detail    = "closed when" id value { "or" value } | "named" text | id number [ unit ]
    circuit   = name | "about" text | "volts" number | "batteries" number | "uses" list
              | "has" id id { "," id } | "common" chance | "odds" fault number
    trait     = name | "ask" text | "how" text | takes | "answer" id [ "meaning" text ] | because | source
    chain     = "cause" faults | "victim" faults | "chance" chance | because | source
    complaint = name | "sees" check id
    question  = "ask" text | "stage" ( "safety" | "before" | "history" ) | "before" step | "topic" id | takes
              | "several"
              | "answer" id [ "meaning" text ] | because | source
    answer    = warns | "shift" faults "times" number
    check     = "each" list | "ask" text | "how" text | "reads" reads | "state" id value { "," id value } | takes
              | "area" id | "kit" list | warns | "finding" finding | "good" id | "wrong" chance
              | "spread" ( chance [ "and" number [ unit ] ] | number [ unit ] ) | source
    reads     = ( "volts" | "lamp" | "ohms" ) "at" point "to" point | "amps" "through" part
              | ( "glow" | "click" | "turn" ) "of" part | "eye"
    finding   = id [ "from" number [ unit ] "to" number [ unit ] ] [ "on" number "V" | "per battery" ]
                [ "meaning" text ]
    code      = name | "spn" whole | "fmi" whole { "," whole } | "says" text | "topic" id
              | "shift" faults "times" number | because | source
    caution   = "word" signal | "hazard" text | "harm" text | "avoid" text
              | "type" text | "due" due | "until" list | source
    due       = [ "before" ] ( "setting" id value | "check" check | "area" id | "repair" faults | "start" )
    action    = name | "when" mark { "," mark } | "says" text | "needs" signal "from" list
              | "stands" id value { "or" id value } | because | source
    mark      = "setting" id value | "reads" id | "area" id | "kit" id | "point" id | "renews" id | "repair" faults
              | "check" id | "function" id | "answer" id id
    signal    = "DANGER" | "WARNING" | "CAUTION" | "NOTICE"
    danger    = name | "told" "by" signs | "bars" step | "lifted" "by" signs [ "after" "repair" faults ] | "now" text
              | warns | because | source
    signs     = sign { "and" sign }
    sign      = "history" id ( id | "not" "known" ) | "complaint" id | check id
    step      = [ "proof" ] "setting" id value { "," id value } | "check" check | "repair" faults | "all"
    function  = name | "ask" text | "how" text | "has" ( "any" id | part ) | "if" "fitted"
              | "reads" ( "volts" | "amps" | "ohms" )
              | "good" "from" number [ unit ] "to" number [ unit ] [ "on" number "V" | "per battery" ]
              | "state" id value { "," id value } | takes | "area" id | "kit" list | warns | "sees" check id
              | "otherwise" text | "until" text | "keeps" "out" "of" "service" | because | source
    rule      = "for" variable "in" id [ ( "before" | "after" ) part ] | ( "when" | "and" ) condition
              | "then" conclusion | because | source
    condition = [ "not" ] ( "complaint" id | "history" id id | "machine has" part | "setting" id value | "fact" id
              | "repaired" faults | "code" id | "controller" "talks" | check ( "taken" | id
              | ( "above" | "below" ) ( number [ unit ] | check [ "by" number [ unit ] ] ) ) )
    conclusion = "conclude" id | "shift" faults "times" number | "open" check | "close" check
              | ( "leave" | "avoid" ) id value
              | "prefer" check "times" number | "warn" id | "require" check "before" [ "verdict on" ] faults
              | "find" id "on" check "replacing" check { "," check } "about" faults { "," faults }
              | "advise" text
    case      = name | "circuit" id | "complaint" id | "given" check text | "repaired" faults | "expect" expect | source
    expect    = ( "first" | "among" | "not" | "held" ) faults | "next" check | "warned" id | "told" text
    name      = "name" text
    takes     = "takes" number "minutes"
    because   = "because" text
    source    = "source" text
    warns     = "warns" list
    list      = word { "," word }
    range     = number [ unit ] [ "to" number [ unit ] ] [ unit ]
    chance    = number "in" number
    faults    = "any" id [ "." id ] | part [ "." id ]
    check     = id [ "." part ]
    point     = id [ "." id ]
    part      = id | variable
    id        = letter { letter | digit | "_" }       ; small letters
    variable  = capital { capital | digit | "_" }
    number    = [ "-" ] digit { digit } [ "." digit { digit } ]
    whole     = digit { digit }
    unit      = "V" | "A" | "ohms" | "minutes" | "mm2" | "m"

Every element below is named after its rule. `-` after the word that settles a form keeps a mistake at its own place.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pyparsing as pp

from coldiron.language.forms import OPENERS, SMALL_WORDS
from coldiron.language.tree import Phrase, Word

ID = r"[a-z][a-z0-9_]*"
VARIABLE = r"[A-Z][A-Z0-9_]*"
UNIT = r"(?:V|A|ohms?|minutes?|mm2|m)(?![A-Za-z0-9_])"
NUMBER = r"-?[0-9]+(?:\.[0-9]+)?(?![A-Za-z0-9_.%]|,[0-9])"


def _word(pattern: str, name: str) -> pp.ParserElement:
    """A terminal that gives a `Word`."""
    element = pp.Regex(pattern)
    element.set_parse_action(lambda _text, at, found: Word(found[0], at + 1, at + 1 + len(found[0])))
    return element.set_name(name)


def _key(text: str) -> pp.ParserElement:
    """A small word of the language, not kept."""
    return pp.Regex(text.replace(" ", r"[ \t]+") + r"(?![A-Za-z0-9_])").suppress().set_name(f"'{text}'")


def _form(form: str, element: pp.ParserElement) -> pp.ParserElement:
    """Make one phrase of the words an element gives."""
    whole: pp.ParserElement = element + pp.Empty()
    whole.add_parse_action(lambda found: Phrase(form, tuple(found)))
    whole.set_name(element.name)
    return whole


_comma = pp.Literal(",").suppress().set_name("a comma")


def _listed(element: pp.ParserElement) -> pp.ParserElement:
    several: pp.ParserElement = element + (_comma - element)[...]
    several.set_name(f"{element.name}, or several with commas between")
    return several


_not_small = rf"(?!(?:{'|'.join(SMALL_WORDS[:15])})(?![a-z0-9_]))"
ident = _word(_not_small + ID + r"(?![A-Za-z0-9_.-])", "an id")
value_word = _word(r"[a-z0-9][a-z0-9_]*(?![A-Za-z0-9_])", "a value")
variable = _word(VARIABLE + r"(?![A-Za-z0-9_])", "a letter for the part, such as W")
part = _word(rf"(?:{ID}|{VARIABLE})(?![A-Za-z0-9_.-])", "a part")
point = _word(rf"(?:{ID}|{VARIABLE})(?:\.{ID})?(?![A-Za-z0-9_.-])", "a point")
check = _word(rf"{_not_small}{ID}(?:\.(?:{ID}|{VARIABLE}))?(?![A-Za-z0-9_.-])", "a check")
faults = _word(
    rf"any[ \t]+{ID}(?:\.{ID})?(?![A-Za-z0-9_.-])|(?!any(?![a-z0-9_]))(?:{ID}|{VARIABLE})(?:\.{ID})?(?![A-Za-z0-9_.-])",
    "a fault: part.fault, a part, or any kind.fault",
)
fault = _word(rf"{ID}\.{ID}(?![A-Za-z0-9_.-])", "a fault: part.fault")
number = _word(NUMBER, "a number")
whole = _word(r"[0-9]+(?![A-Za-z0-9_.%-])", "a whole number")
unit = _word(UNIT, "a unit: V, A, ohms, minutes, mm2 or m")
text = _word(r"\S.*\S|\S", "a text")
listed = _listed(value_word)
_minutes = pp.Regex(r"minutes?(?![A-Za-z0-9_])").suppress().set_name("'minutes'")
minutes = _form("minutes", number - _minutes)
_hours = pp.Regex(r"hours?(?![A-Za-z0-9_])").suppress().set_name("'hours'")
hours = _form("hours", number - pp.Optional(_key("to") - number) - _hours)
chance = _form("chance", number + _key("in") - number).set_name("a chance, such as 4 in 100")


def _range(lead: str = "") -> pp.ParserElement:
    """A number or two, with the word before them; the form is named after it."""
    figures = number - pp.Optional(unit) - pp.Optional(_key("to") - number) - pp.Optional(unit)
    figures.set_name("a number, or two with 'to' between")
    return _form(f"range {lead}".strip(), _key(lead) - figures if lead else figures)


at_portion = pp.Optional(_form("at", _key("at") - ident))


def _one(*words: str) -> pp.ParserElement:
    """One of a closed set of words."""
    pattern = "(?:" + "|".join(words) + r")(?![A-Za-z0-9_])"
    return _word(pattern, "one of " + ", ".join(words))


join = _form("joining", ident + _key("to") - point).set_name("END to POINT")
closed_when = _form("closed when", _key("closed") - _key("when") - ident - value_word - (_key("or") - value_word)[...])
named = _form("named", _key("named") - text)
value = _form("value", ident + number - pp.Optional(unit))
detail = (closed_when | named | value).set_name("'closed when', 'named', or a value such as ohms 0.01 ohms")
from_to = _form("from", _key("from") - point - _key("to") - point)
joining = _key("joining") - join + (_comma + join)[...]
part_line = (
    _form("is", ident - _key("is") - ident)
    - (from_to | joining).set_name("'from POINT to POINT' or 'joining END to POINT'")
    - (_comma - detail)[...]
)

effect_word = _form("word", _one("open", "closed", "locked", "slipping")) - at_portion
leaks = _form("leaks", ident - _key("to") - point) - _range("through")
shows = _form("finding", check - ident) - chance

reads_at = _form("reads at", _one("volts", "lamp", "ohms") - _key("at") - point - _key("to") - point)
reads_through = _form("reads through", _one("amps") - _key("through") - part)
reads_of = _form("reads of", _one("glow", "click", "turn") - _key("of") - part)
reads = (reads_at | reads_through | reads_of | _form("reads", _one("eye"))).set_name(
    "volts at, lamp at, ohms at, amps through, glow of, click of, turn of, or eye"
)

setting_value = _form("state", ident - value_word).set_name("a setting and its value")
states = setting_value - (_comma - setting_value)[...]
band = _form("band", _key("from") - number - pp.Optional(unit) - _key("to") - number - pp.Optional(unit))
scope = _form("on", _key("on") - number - _key("V")) | _form("per battery", _key("per battery"))
meaning = _form("meaning", _key("meaning") - text)
finding = _form("word", ident) - pp.Optional(band - pp.Optional(scope)) - pp.Optional(meaning)
amount = number + pp.Optional(unit)
spread = (chance + pp.Optional(_form("and", _key("and") - amount))) | _form("step", amount)
spread.set_name("a spread, such as 3 in 100 and 0.03 V")

due_thing = (
    _form("before setting", _key("setting") - ident - value_word)
    | _form("before check", _key("check") - check)
    | _form("before area", _key("area") - ident)
    | _form("before repair", _key("repair") - faults)
    | _form("before start", _key("start"))
).set_name("setting, check, area, repair or start")
due = pp.Optional(_key("before")) - due_thing

loop = _form("in", variable - _key("in") - ident) - pp.Optional(
    _form("before", _key("before") - part) | _form("after", _key("after") - part)
)
by = _form("by", _key("by") - number - pp.Optional(unit))


def _compared(way: str) -> pp.ParserElement:
    to_number = _form(f"{way} number", check + _key(way) + number - pp.Optional(unit))
    to_check = _form(f"{way} check", check + _key(way) - check.copy().set_name("a number or a check")) - pp.Optional(by)
    return to_number | to_check


condition_body = (
    _form("complaint", _key("complaint") - ident)
    | _form("history", _key("history") - ident - ident)
    | _form("machine has", _key("machine") - _key("has") - part)
    | _form("setting", _key("setting") - ident - value_word)
    | _form("fact", _key("fact") - ident)
    | _form("repaired", _key("repaired") - faults)
    | _form("code", _key("code") - ident)
    | _form("controller talks", _key("controller talks"))
    | _form("taken", check + _key("taken"))
    | _compared("above")
    | _compared("below")
    | _form("finding", check - ident.copy().set_name("a finding, 'taken', 'above' or 'below'"))
).set_name("a condition")
condition = pp.Optional(_form("not", _key("not"))) - condition_body

conclusion = (
    _form("conclude", _key("conclude") - ident)
    | _form("shift", _key("shift") - faults - _key("times") - number)
    | _form("open", _key("open") - check)
    | _form("close", _key("close") - check)
    | _form("leave", _key("leave") - ident - value_word)
    | _form("avoid", _key("avoid") - ident - value_word)
    | _form("prefer", _key("prefer") - check - _key("times") - number)
    | _form("warn", _key("warn") - ident)
    | _form("require", _key("require") - check - _key("before") - pp.Optional(_key("verdict on")) - faults)
    | (
        _form("find", _key("find") - ident - _key("on") - check)
        - _form("replacing", _key("replacing") - _listed(check))
        - _form("about", _key("about") - _listed(faults))
    )
    | _form("advise", _key("advise") - text)
).set_name("conclude, shift, open, close, leave, avoid, prefer, warn, require, find or advise")

expect = (
    _form("first", _key("first") - faults)
    | _form("among", _key("among") - faults)
    | _form("not", _key("not") - faults)
    | _form("held", _key("held") - faults)
    | _form("next", _key("next") - check)
    | _form("warned", _key("warned") - ident)
    | _form("told", _key("told") - text)
).set_name("first, among, not, held, next, warned or told")

sign = (
    _form("history not known", _key("history") + ident + _key("not known"))
    | _form("history", _key("history") - ident - ident.copy().set_name("an answer, or 'not known'"))
    | _form("complaint", _key("complaint") - ident)
    | _form("finding", check - ident)
).set_name("a check and its finding, 'history' and an answer, or 'complaint' and one")
signs = sign - (_form("and", _key("and")) - sign)[...]
step = (
    (_form("setting", _key("setting") - ident - value_word) - (_comma - setting_value)[...])
    | (_form("proof setting", _key("proof") - _key("setting") - ident - value_word) - (_comma - setting_value)[...])
    | _form("check", _key("check") - check)
    | _form("repair", _key("repair") - faults)
    | _form("all", _key("all"))
).set_name("setting, proof setting, check, repair or all")

mark = (
    _form("setting", _key("setting") - ident - value_word)
    | _form("reading", _key("reads") - _one("volts", "amps", "ohms", "lamp", "glow", "click", "turn", "eye"))
    | _form("area", _key("area") - ident)
    | _form("kit", _key("kit") - ident)
    | _form("point", _key("point") - ident)
    | _form("renews", _key("renews") - ident)
    | _form("check", _key("check") - ident)
    | _form("function", _key("function") - ident)
    | _form("answer", _key("answer") - ident - ident)
    | _form("repair", _key("repair") - faults)
).set_name("setting, reads, area, kit, point, renews, repair, check, function or answer")
signal = _one("DANGER", "WARNING", "CAUTION", "NOTICE")

owner = _word(
    rf"any[ \t]+{ID}(?![A-Za-z0-9_.-])|(?!any(?![a-z0-9_])){ID}(?![A-Za-z0-9_.-])", "a part, or any kind of part"
)

_text = _form("text", text)
_list = _form("list", listed)
_id = _form("word", ident)
_faults = _form("word", faults)
_number = _form("number", number)
_times = _form("times", faults - _key("times") - number)

RESTS: Mapping[str, pp.ParserElement] = {
    **dict.fromkeys(
        (
            "name ask how because source repair proof damages hazard harm avoid about type says otherwise now".split()  # noqa: SIM905
        ),
        _text,
    ),
    **dict.fromkeys(("values", "ends", "kit", "warns", "uses", "until", "each"), _list),
    "normal": _form("word", value_word),
    "springs": _form("springs", value_word - _key("to") - value_word),
    "confirm": _form("word", value_word) - meaning,
    **dict.fromkeys(("area", "beside", "topic", "good", "circuit", "complaint"), _id),
    "takes": minutes,
    "waits": hours - pp.Optional(_text),
    "acts": _key("as") - _id,
    "value": value,
    "odds": _number,
    "becomes": effect_word,
    "adds": _range() - at_portion,
    "leaks": leaks,
    "sets": _id - _range("to"),
    "scales": _id - _range("by"),
    "shows": shows,
    "comes": _key("and") - _key("goes") - chance,
    "renews": _key("the") - _key("part"),
    "common": chance,
    "has": _form("word", owner),
    "if": _key("fitted"),
    "keeps": _key("out") - _key("of") - _key("service"),
    "part": part_line,
    "volts": _number,
    "batteries": _number,
    "cause": _faults,
    "victim": _faults,
    "chance": chance,
    "sees": _form("finding", check - ident),
    "stage": _form("word", _one("safety", "before", "history")),
    "before": step,
    "told": _key("by") - signs,
    "bars": step,
    "lifted": _key("by") - signs - pp.Optional(_form("after repair", _key("after repair") - faults)),
    "several": pp.Empty(),
    "answer": _id - pp.Optional(meaning),
    "shift": _times,
    "reads": reads,
    "state": states,
    "finding": finding,
    "wrong": chance,
    "spread": spread,
    "spn": _form("number", whole),
    "fmi": _form("list", _listed(whole)),
    "word": _form("word", signal),
    "needs": _form("needs", signal - _key("from") - _listed(ident)),
    "stands": setting_value - (_key("or") - setting_value)[...],
    "due": due,
    "for": loop,
    "when": condition,
    "and": condition,
    "then": conclusion,
    "given": _form("given", check - text),
    "repaired": _faults,
    "expect": expect,
    "fault": _id,
}
"""What follows each keyword; the few that differ between blocks are in `SPECIAL`."""

SPECIAL: Mapping[tuple[str, str], pp.ParserElement] = {
    ("circuit", "odds"): _form("odds", fault - number),
    ("circuit", "has"): _form("has", ident - _listed(ident)),
    ("function", "reads"): _form("word", _one("volts", "amps", "ohms")),
    ("function", "good"): band - pp.Optional(scope),
    ("function", "until"): _text,
    ("action", "when"): _listed(mark),
    **{("", opener): _id for opener in OPENERS},
}
"""What follows a keyword in one block only. The block "" is the level of the openers."""


@cache
def statement(context: str, keyword: str) -> pp.ParserElement:
    """Return the element for one line: keyword and what follows it, in its block."""
    rest = SPECIAL.get((context, keyword)) or RESTS[keyword]
    line = (_word(r"\S+", f"'{keyword}'") - rest).set_name(f"a line with '{keyword}'")
    line.parse_with_tabs()
    return line
