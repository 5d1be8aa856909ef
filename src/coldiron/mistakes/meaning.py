"""Mistakes of meaning: a line that reads well but speaks of something that is not there, or cannot be so."""

from __future__ import annotations

from coldiron.mistakes.entry import Mistake

_CHECK = (
    "check lamp_volts\n  ask     Volts at the lamp\n  how     Red on the lamp.\n"
    "  {reads}\n  takes   4 minutes\n{findings}\n  good    live\n"
    "  wrong   4 in 100\n  source  common practice"
)
_DEAD = "  finding dead from -0.3 V to 1 V\n"
_LIVE = "  finding live from 1 V to 15 V per battery"
_FINDINGS = _DEAD + _LIVE
_READS = "reads   volts at key_out to battery_negative"
_PART = "section tail\n  name tail wire\n  ends frame, key_out\n  part "
_FAULT = (
    "kind horn\n  name    horn\n  acts as load\n  ends    feed, ground\n  value   ohms 3 ohms\n{more}"
    "  fault dead\n    name    dead\n    odds    5 in 1000\n    {effect}\n"
    "    repair  Fit a new horn.\n    takes   20 minutes\n    proof   It sounds."
)
_RULE = "rule quick\n  when    {when}\n  then    {then}\n  because It saves a walk.\n  source  common practice"


def _check(reads: str = _READS, findings: str = _FINDINGS) -> str:
    return _CHECK.format(reads=reads, findings=findings)


def _rule(when: str = "key_feed_volts live", then: str = "conclude supply_proven") -> str:
    return _RULE.format(when=when, then=then)


def _fault(effect: str = "becomes open", more: str = "") -> str:
    return _FAULT.format(effect=effect, more=more)


MEANING: tuple[Mistake, ...] = (
    Mistake(
        "card-in-book",
        "the card of a machine does not belong in a book: it is a file of its own (coldiron machine)",
        "«machine» red_van\n  name Red van",
        "the card of a machine does not belong in a book: it is a file of its own (coldiron machine)",
    ),
    Mistake(
        "missing-line",
        "this {block} has no line '{keyword}'",
        "area «bay»\n  name  engine bay",
        "this area has no line 'takes'",
    ),
    Mistake(
        "repeated-line",
        "'{keyword}' stands twice in this {block}",
        "area bay\n  name  engine bay\n  takes 4 minutes\n  «takes» 5 minutes",
        "'takes' stands twice in this area",
    ),
    Mistake(
        "end-alone",
        "'{word}' says it all: nothing else stands behind 'until' with it",
        "caution hot\n  word    NOTICE\n  hazard  It is hot.\n  harm    It burns.\n  avoid   Let it cool.\n"
        "  due     start\n  until   key, «once»\n  source  common practice",
        "'once' says it all: nothing else stands behind 'until' with it",
    ),
    Mistake(
        "duplicate",
        "{what} '{word}' is declared twice",
        "kit «meter»\n  name test meter",
        "kit 'meter' is declared twice",
    ),
    Mistake(
        "unknown-word",
        "there is no {what} '{word}'",
        _rule(when="«key_fed_volts» live"),
        "there is no check 'key_fed_volts'",
        meant="key_feed_volts",
    ),
    Mistake(
        "reserved",
        "'{word}' is a word of the language and cannot be an id",
        "fact «taken»\n  name the reading is taken",
        "'taken' is a word of the language and cannot be an id",
    ),
    Mistake(
        "listed-twice",
        "'{word}' is listed twice",
        "setting door\n  name   cab door\n  values open, shut, «open»\n  normal shut",
        "'open' is listed twice",
    ),
    Mistake(
        "out-of-range",
        "{what} must lie between {low} and {high}: {value}",
        "area bay\n  name  engine bay\n  takes «-4» minutes",
        "minutes must lie between 0 and 10000: -4",
    ),
    Mistake(
        "bad-code",
        "a trouble code is given as two whole numbers, SPN and FMI: given code 168 1",
        "case one\n  name      one lamp, no light\n  circuit   lamp_12\n  complaint dark\n  given     code «168/1»\n"
        "  expect    among lamp.blown\n  source    common practice",
        "a trouble code is given as two whole numbers, SPN and FMI: given code 168 1",
    ),
    Mistake(
        "bad-chance",
        "a chance lies above 0 and is at most 1: {part} in {whole}",
        "chain worn\n  cause   lamp.blown\n  victim  battery.flat «120» in 100\n"
        "  because It draws.\n  source  common practice",
        "a chance lies above 0 and is at most 1: 120 in 100",
    ),
    Mistake(
        "other-unit",
        "{what} is in {unit}, not in {found}",
        _rule(when="rest_volts below 12 «A»"),
        "rest_volts is in V, not in A",
    ),
    Mistake(
        "turned-range",
        "a range goes from the lower to the higher figure: {low} is not below {high}",
        _check(findings="  finding dead from «1» V to -0.3 V\n" + _LIVE),
        "a range goes from the lower to the higher figure: 1 is not below -0.3",
    ),
    Mistake(
        "turned-size",
        "a fault goes from mild to severe: of {what}, {mild} is milder than {severe}, and stands first",
        _fault(effect="adds    «20» to 0.5 ohms"),
        "a fault goes from mild to severe: of ohms added, 0.5 is milder than 20, and stands first",
    ),
    Mistake(
        "which-part",
        "'{word}' is a check for every {kinds}: say of which part, as in {word}.part",
        _rule(when="«look_at» bare"),
        "'look_at' is a check for every wire: say of which part, as in look_at.part",
    ),
    Mistake(
        "no-template",
        "'{word}' is one check, not one for each part",
        _rule(when="«rest_volts.lamp» dead"),
        "'rest_volts' is one check, not one for each part",
    ),
    Mistake(
        "other-kind",
        "'{word}' is for every {kinds}; {part} is a {kind}",
        _rule(when="«look_at.lamp» bare"),
        "'look_at' is for every wire; lamp is a lamp",
    ),
    Mistake(
        "template-kind",
        "'{word}' is for every {kinds}, not for a {kind}",
        _fault(effect="shows «look_at» bare 4 in 10"),
        "'look_at' is for every wire, not for a horn",
    ),
    Mistake(
        "value-twice",
        "the value '{word}' stands twice",
        _fault(more="  value   «ohms» 4 ohms\n"),
        "the value 'ohms' stands twice",
    ),
    Mistake(
        "other-ends",
        "the ends of a {acts} are {ends}",
        "kind cell\n  name    cell\n  acts as battery\n  «ends»    plus, minus\n  fault   dead\n    name    dead\n"
        "    odds    4 in 1000\n    becomes open\n    repair  Fit a new one.\n    takes   9 minutes\n"
        "    proof   It holds.",
        "the ends of a battery are positive, negative",
    ),
    Mistake(
        "two-ends",
        "a {acts} has two ends: name them, as in 'ends feed, load'",
        "kind horn\n  name    horn\n  acts as load\n  ends    «feed»\n  fault   dead\n    name    dead\n"
        "    odds    4 in 1000\n    becomes open\n    repair  Fit a new one.\n    takes   9 minutes\n"
        "    proof   It sounds.",
        "a load has two ends: name them, as in 'ends feed, load'",
    ),
    Mistake(
        "no-effect",
        "the fault '{word}' changes nothing: say what it becomes, adds, leaks, sets, scales or shows",
        _fault(effect="source  common practice").replace("fault dead", "fault «dead»"),
        "the fault 'dead' changes nothing: say what it becomes, adds, leaks, sets, scales or shows",
    ),
    Mistake(
        "cannot-fail-so",
        "this kind cannot fail so: {verb}. It can: {can}",
        _fault(effect="becomes «locked»"),
        "this kind cannot fail so: locked. It can: becomes open, adds, leaks, sets, scales",
    ),
    Mistake(
        "part-of-two-kinds",
        "{part} is a {kind} here and a {other} elsewhere: one part, one kind",
        _PART + "feed_wire is «lamp»\n    from key_feed to frame",
        "feed_wire is a lamp here and a wire elsewhere: one part, one kind",
    ),
    Mistake(
        "more-ends",
        "a {kind} has other ends than two ({ends}): use 'joins'",
        "kind rel\n  name    relay\n  acts as relay\n  value   coil_ohms 85 ohms\n  value   contact_ohms 0.01 ohms\n"
        "  value   pull_in 8 V\n  value   drop_out 3 V\n  fault   dead\n    name    dead\n    odds    4 in 1000\n"
        "    becomes open at coil\n    repair  Fit a new one.\n    takes   9 minutes\n    proof   It clicks.\n"
        + _PART
        + "tail_relay is rel\n    from «key_out» to frame",
        "a rel has other ends than two (coil_feed, coil_ground, contact_feed, contact_out): use 'joins'",
    ),
    Mistake(
        "end-twice",
        "the end '{word}' is joined twice",
        _PART + "tail_lamp is lamp\n    joins feed to key_out\n    joins «feed» to frame\n    joins ground to frame",
        "the end 'feed' is joined twice",
    ),
    Mistake(
        "end-missing",
        "the end '{word}' of this {kind} is joined to nothing",
        _PART + "«tail_lamp» is lamp\n    joins feed to key_out",
        "the end 'ground' of this lamp is joined to nothing",
    ),
    Mistake(
        "value-missing",
        "neither this part nor its kind ({kind}) gives: {lacking}",
        _PART + "«tail_wire» is wire\n    from  key_out to frame\n    value area 4 mm2",
        "neither this part nor its kind (wire) gives: length",
    ),
    Mistake(
        "one-of",
        "{keyword} is {words}",
        "circuit lamp_36\n  name      one lamp\n  volts     «36»\n  batteries 1\n  uses      supply, lighting",
        "volts is 12 or 24",
    ),
    Mistake(
        "own-victim",
        "a fault is not its own victim",
        "chain worn\n  cause   lamp.blown\n  victim  «lamp.blown» 4 in 10\n"
        "  because It draws.\n  source  common practice",
        "a fault is not its own victim",
    ),
    Mistake(
        "same-point",
        "both probes stand on '{word}'",
        _check(reads="reads   volts at key_out to «key_out»"),
        "both probes stand on 'key_out'",
    ),
    Mistake(
        "no-such-quantity",
        "'{word}' has no {quantity}: only a {acts} has",
        _check(
            reads="reads   turn of «lamp»",
            findings="  finding none from 0 to 0.3 meaning no\n  finding live from 0.3 to 2 meaning yes",
        ),
        "'lamp' has no turn: only a starter has",
    ),
    Mistake(
        "odd-declared",
        "'odd' is what falls in no band: it is never declared",
        _check(findings=_DEAD + "  finding «odd» from 20 V to 40 V\n" + _LIVE),
        "'odd' is what falls in no band: it is never declared",
    ),
    Mistake(
        "band-of-eye",
        "what the eye judges has no bands: give a meaning",
        _check(
            reads="reads   eye",
            findings="  finding dead from «0» to 1 meaning dark\n  finding live meaning bright",
        ),
        "what the eye judges has no bands: give a meaning",
    ),
    Mistake(
        "no-band",
        "the finding '{word}' has no bounds: from N to N",
        _check(findings="  finding «dead» meaning no volts\n" + _LIVE),
        "the finding 'dead' has no bounds: from N to N",
    ),
    Mistake(
        "good-unread",
        "there is nothing to be 'good' without a line 'reads'",
        "duty lights\n  name      lamp\n  ask       The lamp lights\n  «good»      from 1 V to 2 V\n"
        "  takes     1 minutes\n  area      dash\n  otherwise Look at its fuse.\n  until     No work in the dark.\n"
        "  because   It was dead.\n  source    common practice",
        "there is nothing to be 'good' without a line 'reads'",
    ),
    Mistake(
        "no-meaning",
        "the finding '{word}' is chosen from words: say what it means",
        _check(reads="reads   eye", findings="  finding «dead»\n  finding live meaning bright"),
        "the finding 'dead' is chosen from words: say what it means",
    ),
    Mistake(
        "and-after-then",
        "'{word}' stands after 'then': conditions come first; for a second conclusion say 'then' again",
        _rule(then="ask rest_volts 2 times sooner\n  «and»     key_feed_volts live"),
        "'and' stands after 'then': conditions come first; for a second conclusion say 'then' again",
    ),
    Mistake(
        "and-before-when",
        "the first condition opens with 'when'",
        "rule quick\n  «and»     key_feed_volts live\n  when    rest_volts live\n  then    conclude supply_proven\n"
        "  because It saves a walk.\n  source  common practice",
        "the first condition opens with 'when'",
    ),
    Mistake(
        "no-number",
        "'{word}' gives no number to compare",
        _rule(when="«lamp_glow» above 0.3"),
        "'lamp_glow' gives no number to compare",
    ),
    Mistake(
        "unlike",
        "'{word}' and '{other}' are read in different units",
        "check feed_amps\n  ask     Amps in the feed wire\n  how     Clamp round the wire.\n"
        "  reads   amps through feed_wire\n  takes   4 minutes\n  area    dash\n  finding none from 0 A to 1 A\n"
        "  finding some from 1 A to 20 A\n  good    some\n  wrong   4 in 100\n  source  common practice\n"
        + _rule(when="rest_volts above «feed_amps»"),
        "'rest_volts' and 'feed_amps' are read in different units",
    ),
)
