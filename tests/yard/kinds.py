"""The kinds of action that hurt, how each is known by the words of a step and by what moves, and what must be said.

By physics: what a hand, a tool, a current or an engine does. Common practice, no source, where none is named; the
signal words are used in the sense of ANSI Z535.4 (DANGER kills or maims, WARNING can, CAUTION hurts a little, NOTICE is
about things).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from yard.facts import SAID
from yard.machine import Machine
from yard.page import Page

LEVELS = ("NOTICE", "CAUTION", "WARNING", "DANGER")

HOLDS_START = (
    r"START (is|being) held|[Hh]olds? START|^START\b|, then START\b|START for|Crank for|START with|START by"
    r"|starts? from the seat"
    r"|moment START is turned|does it crank now|fire while it cranks|[Cc]rank (tries|it)"
    r"|(let back|released) from START|release the key from START"
    r"|engine at fast idle|[Ee]ngine running|three starts|it starts each time|does it (run on|keep running)"
)
"""Words of a step during which somebody holds the key at START, or the engine runs."""

NOT_NOW = r"[Dd]o not go on to START|START does not|START output to|from START output|after two short crank tries"


@dataclass(frozen=True)
class Kind:
    """One way to be hurt.

    `asks` says whether a step is of that kind, `word` is the least signal word, `says` what must be in the warning;
    `once`: it is said anew each time; `ends`: what is moved ends the warning.
    """

    name: str
    asks: Callable[[Page, Mapping[str, str], Machine], bool]
    word: str
    says: str
    once: bool = False
    ends: tuple[str, ...] = ()


def _words(pattern: str, kinds: str = "do prove") -> Callable[[Page, Mapping[str, str], Machine], bool]:
    found = re.compile(pattern)

    def asks(page: Page, _: Mapping[str, str], __: Machine) -> bool:
        return page.kind in kinds.split() and bool(found.search(page.words))

    return asks


def _title(pattern: str) -> Callable[[Page, Mapping[str, str], Machine], bool]:
    found = re.compile(pattern)
    return lambda page, _, __: page.kind in ("do", "prove") and bool(found.search(page.step))


def _moves(what: str, *values: str) -> Callable[[Page, Mapping[str, str], Machine], bool]:
    return lambda page, moves, _: page.kind != "before" and moves.get(what) in values


def _either(
    *asks: Callable[[Page, Mapping[str, str], Machine], bool],
) -> Callable[[Page, Mapping[str, str], Machine], bool]:
    return lambda page, moves, machine: any(one(page, moves, machine) for one in asks)


def _fact(fact: str) -> Callable[[Page, Mapping[str, str], Machine], bool]:
    return lambda page, _, machine: page.kind in ("do", "set", "repair", "prove") and fact in machine.facts


def _lifts(page: Page, _: Mapping[str, str], machine: Machine) -> bool:
    """A repair whose words want the lead off, where it is still on."""
    off = re.search(r"\b([Ll]eads? off|[Pp]ower off)\b", page.step)
    return page.kind == "repair" and bool(off) and machine.value("lead") == "on"


SAFE = {"neutral": "in", "brake": "set", "lock lever": "locked", "seat": "occupied"}
"""How the controls stand at which a machine may start; what is put back to that is no test of a refusal."""


def _refuses(page: Page, moves: Mapping[str, str], _: Machine) -> bool:
    """START is given where the machine has to refuse it."""
    unsafe = any(moves.get(word, safe) != safe for word, safe in SAFE.items()) or "START does nothing" in page.step
    return page.kind in ("do", "prove") and unsafe and "START" in page.words


def cranks(page: Page, moves: Mapping[str, str], _: Machine) -> bool:
    """Whether a hand holds START in this step, or the engine runs in it."""
    if page.kind not in ("do", "prove"):
        return False
    if moves.get("key") == "start":
        return True
    words = re.sub(NOT_NOW, "", page.words)
    return bool(re.search(HOLDS_START, words)) and moves.get("button") is None


def _cranks_cold(page: Page, moves: Mapping[str, str], machine: Machine) -> bool:
    """START is held, and it is not that the engine runs."""
    return cranks(page, moves, machine) and not re.search(r"engine at fast idle|[Ee]ngine running", page.words)


KINDS: tuple[Kind, ...] = (
    Kind("button at the starter", _moves("button", "pressed"), "DANGER", r"button", once=True),
    Kind("lead off", _either(_moves("lead", "off"), _lifts), "WARNING", r"lift|lead is off|first", ends=("lead",)),
    Kind("gas at a lifted lead", _either(_moves("lead", "off"), _lifts), "DANGER", r"\bgas\b"),
    Kind("lead on", _moves("lead", "on"), "WARNING", r"last connection|gets power|power again", ends=("lead",)),
    Kind("link out", _moves("link", "out"), "WARNING", r"nothing fuses|live with the key off"),
    Kind("link in", _moves("link", "in"), "WARNING", r"fuse or link|what blew|burns|know the cause", ends=("link",)),
    Kind("disconnect switch on", _moves("disconnect", "on"), "DANGER", r"somebody|lock|protection",
         ends=("disconnect",)),
    Kind("disconnect switch off", _moves("disconnect", "off"), "NOTICE", r"disconnect switch|engine running", ends=()),
    Kind("ohms", _words(r"^Ohms(?!.* in the hand)"), "NOTICE", r"ohmmeter"),
    Kind("amps", _words(r"^(Amps|Current)"), "NOTICE", r"meter set to amps|amps is a short"),
    Kind("battery posts", _words(r"post to post|own post|own clamp|on the lead posts|Load test|Hydrometer"), "DANGER",
         r"\bgas\b|explode"),
    Kind("bridged posts", _words(r"post to post|own post|own clamp|on the lead posts|Load test"), "WARNING",
         r"wrench|bridges|dead short"),
    Kind("acid", _words(r"Hydrometer"), "WARNING", r"acid"),
    Kind("pair in series", _words(r"battery on the positive side, alone"), "WARNING", r"middle post|pair"),
    Kind("jump", _moves("booster", "on"), "DANGER|WARNING", r"wrong post|Charging and jumping|past an open|jump"),
    Kind("jumper", _moves("jumper", "on"), "WARNING", r"bridges|short|jump"),
    Kind("charge", _words(r"[Cc]harge (it|the battery|slowly)", "repair"), "DANGER", r"Charging|gas"),
    Kind("bare stud", _either(
        _title(r"starter (battery )?stud|battery side of the .*link|machine side of the .*link|motor stud"),
        _words(r"place of the (main )?link")), "WARNING", r"nothing fuses|live with the key off"),
    Kind("under what is up", _words(r"[Ss]tarter (case|battery stud)|S terminal|starter S\b|motor stud"), "DANGER",
         r"boom|is up|comes down|raised"),
    Kind("turning parts", _words(r"(?<!converter, )fan\b(?! )|away from the fan|fan and belts|leads tied away"),
         "DANGER|WARNING", r"[Ff]an|belts"),
    Kind("refusal", _refuses, "DANGER", r"[Ii]nterlock|refus"),
    Kind("rolls", _either(_moves("brake", "released"), _moves("neutral", "out")), "DANGER", r"roll|drives|moves"),
    Kind("bar", _words(r"^Turn the engine .* by hand"), "WARNING", r"turn\w* .*by hand|bar"),
    Kind("key on", _moves("key", "on"), "CAUTION", r"fans|pumps|solenoids|key at ON|START"),
    Kind("cranked long", _cranks_cold, "NOTICE", r"too long|rest|30 seconds|overheat"),
    Kind("exhaust", _words(r"engine at fast idle|three starts|it starts each time|[Ee]ngine running|Three starts"),
         "WARNING", r"exhaust"),
    Kind("fuse in", _words(r"(fuse|link)\b.*(([Ff]it|[Ii]nstall) the (same|rating)|same (type and )?rating)", "repair"),
         "WARNING", r"larger rating|bigger one|what blew"),
    Kind("heavy cable apart",
         _words(r"Install (a starter|a contact set|a disconnect switch)|[Ss]tarter off\b", "repair"), "WARNING",
         r"battery volts|come apart|live"),
    Kind("heavy lift", _words(r"Install (a )?(new )?battery|[Ii]nstall a starter", "repair"),
         "WARNING", r"weigh|kg"),
    Kind("battery out", _words(r"Install (a )?(new )?battery", "repair"), "DANGER", r"\bgas\b|explode"),
    Kind("welded contact", _words(r"(cranks|turns) as soon as power comes back", "repair"), "DANGER",
         r"welded|by itself|sticks"),
    Kind("bridged interlock", _words(r"[Nn]ever (leave it )?bridged?", "repair"), "DANGER", r"bridged"),
    Kind("line voltage", _either(_words(r"AC power (on|switch)|the AC power\b", "do prove"), _moves("charger", "on"),
                          _words(r"AC power|AC side", "repair")), "DANGER", r"AC power|[Ll]ine voltage"),
    Kind("starts by itself", _either(_moves("mode", "auto"), _moves("contact", "closed")), "DANGER", r"by itself"),
    Kind("airbag", _words(r"(?<!fuse of the )coded key module|reader ring"), "WARNING", r"airbag"),
    Kind("pump", _words(r"stop solenoid|[Pp]lunger|pull relay|(?<!fuse of the )(pull|hold) winding"), "WARNING",
         r"plunger|pump|pressure"),
    Kind("hot work", _words(r"\b[Ss]older|\b[Ww]eld (it|a)\b|heat-shrink|torch", "repair"), "WARNING",
         r"fire|flame|hot work|[Ww]eld"),
    Kind("fuel opened", _words(r"air bled|Injectors out|fuel line (off|open)", "repair"), "WARNING",
         r"pressure|fuel"),
    Kind("hot parts", _words(r"the back of (the|your) hand|back of your hand", "do prove repair"), "CAUTION",
         r"hot|[Bb]urn"),
)  # fmt: skip
KINDS += tuple(Kind(f"said: {fact}", _fact(fact), word, says) for fact, _, word, says in SAID)
"""Everything but START, which has its own law: see `yard.stretch`."""

START_SAYS = r"START.*(move|clear|crank)"
START_MEANS = r"crush|can move|moves"
