"""Mistakes of the book as a whole: every entry is sound, but together something is missing or in the way."""

from __future__ import annotations

from coldiron.mistakes.entry import Mistake

_LAMP_24 = "circuit lamp_24\n  name      one lamp, 24 V\n  volts     24\n  batteries 2\n  uses      supply, lighting\n"
_CHECK = (
    "check {id}\n  ask     Volts at the lamp\n  how     Red on the lamp.\n"
    "  reads   volts at key_out to battery_negative\n  state   {state}\n  takes   4 minutes\n"
    "  warns   spark\n{more}{findings}\n"
    "  good    live\n  wrong   4 in 100\n  source  common practice"
)
_FINDINGS = "  finding dead from -0.3 V to 1 V\n  finding live from 1 V to 13.2 V per battery"
_RULE = "rule {id}\n  when    {when}\n  then    {then}\n  because It saves a walk.\n  source  common practice\n"
_PART = "section tail\n  name    tail wire\n  ends    key_out\n  part    "
_CAUTION = (
    "caution hot\n  word    {word}\n  hazard  It is hot.\n  harm    It burns.\n  avoid   Let it cool.\n"
    "{more}  until   once\n  source  common practice"
)
_LEAKING = (
    "point lug\n  name    loose lug\n  area    dash\n\n"
    "kind bulb\n  name    bulb\n  acts as load\n  ends    feed, ground\n"
    "  value   ohms 7 ohms\n  fault wet\n    name    wet\n    odds    5 in 1000\n"
    "    «leaks»   feed to {to} through 2 ohms\n"
    "    repair  Dry it.\n    takes   5 minutes\n    proof   It lights.\n"
    "section tail\n  name    tail bulb\n  ends    key_out, frame\n  part tail_bulb is bulb\n    from key_out to frame\n"
    "circuit tail_12\n  name      lamp and a tail\n  volts     12\n  batteries 1\n  uses      supply, lighting, tail\n"
)
_CASE = (
    "case one\n  name      one lamp, no light\n  circuit   lamp_12\n  complaint dark\n"
    "  {line}\n  expect    among lamp.blown\n  source    common practice"
)
_WINTER = (
    "case flat_after_winter\n  name      lamp dark after the winter\n  circuit   lamp_12\n  complaint dark\n"
    "  given     stood months\n  given     rest_volts 11.4 V\n  expect    first battery.flat\n"
    "  source    common practice, no source\n"
)
_CODE = (
    "code {id}\n  name    battery volts\n  spn     168\n  fmi     {fmi}\n  says    Too few volts.\n  topic   standing\n"
    "  likelier   {faults} times 3\n  because It looked.\n  source  common practice\n"
)
_SPARE = (
    "section spare\n  name    spare lamp\n  ends    key_out\n  part spare_lamp is lamp\n    from key_out to frame\n"
)
_OTHER = (
    "circuit spare_12\n  name      spare lamp\n  volts     12\n  batteries 1\n  uses      supply, lighting, spare\n"
)
_FEATURE = (
    "feature {id}\n  name    tail lamp\n  ask     Is there a tail lamp?\n  takes   1 minutes\n  answer  yes\n"
    "  answer  no\n{more}  because It tells.\n  source  common practice\n"
)
_QUESTION = (
    "question {id}\n  ask     What color is it?\n  stage   history\n  topic   standing\n  takes   1 minutes\n"
    "  answer  red\n{more}  because It tells.\n  source  common practice\n"
)
_TAIL_12 = (
    "circuit {id}\n  name      lamp and a tail\n  volts     12\n  batteries 1\n  uses      supply, lighting\n{more}"
)
_SECOND_TAIL = (
    "option second_tail\n  name    a second tail lamp\n  gives   tail_lamp yes\n  brings  spare\n"
    "  never   lamp_12 because There is no room for it.\n"
    "  because It is dark.\n  source  common practice\n"
)
_VAN = (
    "usual {id}\n  name    {name}\n  hears   {hears}\n  like    {like} 40 in 100\n"
    "  because It is seen most.\n  source  common practice\n"
)
_ROUTE = (
    "route «{id}»\n  name     wires behind the dash\n  passes   {parts}\n  suffers  soaked 2 in 1000\n"
    "  ask      Look behind the dash\n  how      Take the panel off.\n  takes    3 minutes\n  area     dash\n"
    "  warns    spark\n  wrong    6 in 100\n  because  It leaks there.\n  source   common practice\n"
)
_SOAKED = (
    "event soaked\n  name     water came in\n  hurts    {faults} 40 in 100\n  seen     70 in 100 meaning drops\n"
    "  repair   Dry it.\n  takes    30 minutes\n  proof    It stays dry.\n  warns    spark\n"
    "  because  It wets all of them.\n  source   common practice\n"
)
_HAS_NO = ("  batteries 1\n", "  batteries 1\n  has       tail_lamp no\n")
_FUNCTION = (
    "duty {id}\n  name      lamp\n  ask       The lamp lights\n{more}  takes     1 minutes\n  area      dash\n"
    "  otherwise Look at its fuse.\n  until     No work in the dark.\n"
    "  because   A lamp that was dead may be dead again.\n  source    common practice\n"
)
_DANGER = (
    "danger {id}\n  name      the lamp is dark\n  told by   lamp_glow dark\n{more}"
    "  now       Key off.\n  because   It may be hot.\n  source    common practice\n"
)
_BARS = "  bars      setting key start\n"


def _check(name: str = "lamp_volts", state: str = "key off", findings: str = _FINDINGS, more: str = "") -> str:
    return _CHECK.format(id=name, state=state, findings=findings, more=more)


def _rule(name: str = "quick", when: str = "lamp_glow dark", then: str = "ask rest_volts 2 times sooner") -> str:
    return _RULE.format(id=name, when=when, then=then)


WHOLE: tuple[Mistake, ...] = (
    Mistake(
        "start-uncautioned",
        "the check '{word}' turns the key to START and no DANGER is due before it",
        "",
        "the check 'lamp_glow' turns the key to START and no DANGER is due before it",
        edits=(("before setting key start", "before check rest_volts"), ("check lamp_glow", "check «lamp_glow»")),
    ),
    Mistake(
        "danger-bars-nothing",
        "the danger '{word}' bars nothing: say what must not be done while it stands",
        _DANGER.format(id="«dark»", more="  lifted by rest_volts live\n"),
        "the danger 'dark' bars nothing: say what must not be done while it stands",
    ),
    Mistake(
        "danger-unlifted",
        "nothing lifts the danger '{word}': say what must be found for it to be over",
        _DANGER.format(id="«dark»", more=_BARS),
        "nothing lifts the danger 'dark': say what must be found for it to be over",
    ),
    Mistake(
        "danger-unlifted-on",
        "on the circuit '{circuit}' nothing can lift the danger '{word}': none of those checks can be made there",
        _SPARE
        + _OTHER
        + _check("spare_glow", "key on").replace(
            "volts at key_out to battery_negative", "volts at spare_lamp.ground to key_out"
        )
        + "\n"
        + _DANGER.format(id="«dark»", more=_BARS + "  lifted by spare_glow live\n"),
        "on the circuit 'lamp_12' nothing can lift the danger 'dark': none of those checks can be made there",
        alone=False,
    ),
    Mistake(
        "danger-bars-its-lift",
        "the danger '{word}' bars the check '{check}', which would lift it",
        _DANGER.format(id="dark", more="  bars      check rest_volts\n  «lifted» by rest_volts live\n"),
        "the danger 'dark' bars the check 'rest_volts', which would lift it",
    ),
    Mistake(
        "never-put",
        "the question '{word}' is never put: no 'before' line, and it lifts no danger",
        "question «smell»\n  ask     Does it smell?\n  stage   before\n  topic   standing\n  takes   1 minutes\n"
        "  answer  yes\n  answer  no\n  because It tells.\n  source  common practice\n",
        "the question 'smell' is never put: no 'before' line, and it lifts no danger",
    ),
    Mistake(
        "battery-uncautioned",
        "the check '{word}' is made at the battery and no {wanted} is due before it",
        "",
        "the check 'rest_volts' is made at the battery and no DANGER or WARNING is due before it",
        alone=False,
        edits=(
            ("before area battery_box", "before repair battery"),
            ("  warns   spark\n  finding", "  finding"),
            ("check rest_volts", "check «rest_volts»"),
        ),
    ),
    Mistake(
        "duty-uncautioned",
        "the duty '{word}' turns the key to START and no DANGER is due before it",
        _FUNCTION.format(id="«cranks»", more="  state     key start\n"),
        "the duty 'cranks' turns the key to START and no DANGER is due before it",
        alone=False,
        edits=(("before setting key start", "before check rest_volts"),),
    ),
    Mistake(
        "refusal-uncautioned",
        "the duty '{word}' shows START refused and warns of no DANGER: if it is not refused, the engine cranks",
        _FUNCTION.format(id="«refuses»", more="  state     key start, isolator off\n"),
        "the duty 'refuses' shows START refused and warns of no DANGER: if it is not refused, the engine cranks",
    ),
    Mistake(
        "lead-uncautioned",
        "the setting '{word}' lifts a lead off the battery and no DANGER or WARNING is due before it",
        "setting «battery_lead»\n  name    battery lead\n  values  on, off\n  normal  on\n"
        + _check(state="key off, battery_lead off", more="  area    battery_box\n"),
        "the setting 'battery_lead' lifts a lead off the battery and no DANGER or WARNING is due before it",
    ),
    Mistake(
        "no-safety-question",
        "'{word}' turns the key to START and no question of safety warns of anything before the first step",
        "",
        "'lamp_glow' turns the key to START and no question of safety warns of anything before the first step",
        alone=False,
        edits=(("  stage   safety\n", "  stage   history\n"), ("check lamp_glow", "check «lamp_glow»")),
    ),
    Mistake(
        "action-uncautioned",
        "the {what} '{word}' {does} ({by}), and no {signal} comes before it: {wanted}",
        "action glows\n  name    makes a lamp glow\n  says    lamp shine\n  when    reads lamp\n"
        "  needs   DANGER from spark\n"
        "  because It does.\n  source  common practice\n"
        + _check("«lamp_volts»").replace("Volts at the lamp", "Lamp shine"),
        "the check 'lamp_volts' makes a lamp glow (the words 'lamp shine'), and no DANGER comes before it: spark",
    ),
    Mistake(
        "action-unsafe-state",
        "the {what} '{word}' {does} ({by}), and does not stand at {wanted}",
        "action measures\n  name    measures volts at the lamp\n  when    reads volts, area dash\n"
        "  stands  key off or isolator off\n  because It does.\n  source  common practice\n"
        + _check("«lamp_volts»", state="key on", more="  area    dash\n"),
        "the check 'lamp_volts' measures volts at the lamp (reads volts, area dash), and does not stand at key off or "
        "isolator off",
        alone=False,
    ),
    Mistake(
        "untypable",
        "nobody can type '{word}' here: one word of small letters, and none that the program takes for something else",
        _CAUTION.format(word="DANGER", more="  type    Back\n  due     check rest_volts\n").replace("hot", "«hot»", 1),
        "nobody can type 'Back' here: one word of small letters, and none that the program takes for something else",
    ),
    Mistake(
        "many-type-words",
        "'{word}' is one word to type more than the {most} that a person keeps apart: {words}",
        "\n".join(
            _CAUTION.format(word="DANGER", more=f"  type    {word}\n  due     check rest_volts\n").replace(
                "hot", f"«hot_{word}»" if word == "slow" else f"hot_{word}", 1
            )
            for word in ("dead", "mine", "cold", "gone", "held", "high", "left", "shut", "safe", "slow")
        ),
        "'slow' is one word to type more than the 12 that a person keeps apart: clear, covered, down, dead, mine, "
        "cold, gone, held, high, left, shut, safe, slow",
    ),
    Mistake(
        "no-type-word",
        "a {word} is acknowledged by typing the state seen: give it a 'type' line",
        _CAUTION.format(word="DANGER", more="  due     check rest_volts\n").replace("hot", "«hot»", 1),
        "a DANGER is acknowledged by typing the state seen: give it a 'type' line",
    ),
    Mistake(
        "never-due",
        "the caution '{word}' never comes up: no 'due' line, and nothing warns of it",
        _CAUTION.format(word="NOTICE", more="").replace("hot", "«hot»", 1),
        "the caution 'hot' never comes up: no 'due' line, and nothing warns of it",
    ),
    Mistake(
        "no-beginning",
        "no job can begin with this book: it has no {what}",
        "",
        "no job can begin with this book: it has no complaint",
        edits=(
            ("setting key\n", "setting «key»\n"),
            ("complaint dark\n  name    lamp stays dark\n  sees    lamp_glow dark\n", ""),
            (_WINTER, ""),
        ),
    ),
    Mistake(
        "too-many-bands",
        "the check '{word}' has {count} bands: nobody can work with more than {most}",
        _check(
            findings="\n".join(f"  finding f{n} from {n} V to {n + 1} V" for n in range(60))
            + "\n  «finding» live from 60 V to 61 V"
        ),
        "the check 'lamp_volts' has 61 bands: nobody can work with more than 60",
    ),
    Mistake(
        "circuit-too-large",
        "the circuit '{word}' has {count} {what}: more than {most} cannot be worked out while somebody waits",
        "section tail\n  name    tail wires\n  ends    key_out, frame\n"
        + "".join(f"  part tail_{n} is lamp\n    from key_out to frame\n" for n in range(120))
        + "circuit tail_12\n  name      lamp and tails\n  volts     12\n  batteries 1\n".replace("tail_12", "«tail_12»")
        + "  uses      supply, lighting, tail",
        "the circuit 'tail_12' has 125 parts: more than 120 cannot be worked out while somebody waits",
    ),
    Mistake(
        "end-unreached",
        "no part of the section '{section}' reaches its end '{end}'",
        "section «tail»\n  name    tail wire\n  ends    key_out, frame\n"
        "  part tail_wire is wire\n    from  key_out to key_feed\n    value area 4 mm2\n    value length 2 m\n"
        "circuit tail_12\n  name      lamp and tail wire\n  volts     12\n  batteries 1\n"
        "  uses      supply, lighting, tail",
        "no part of the section 'tail' reaches its end 'frame'",
    ),
    Mistake(
        "no-post",
        "the circuit '{circuit}' has no point '{post}'",
        "circuit «bare»\n  name      no battery\n  volts     12\n  batteries 1\n  uses      lighting",
        "the circuit 'bare' has no point 'battery_negative'",
        alone=False,
    ),
    Mistake(
        "two-ways",
        "the circuit '{circuit}' has the part '{part}' twice, joined or sized differently",
        "section tail\n  name    tail wire\n  ends    key_out, key_feed\n"
        "  part «feed_wire» is wire\n    from  battery_positive to key_out\n"
        "    value area 4 mm2\n    value length 2 m\n"
        "  part tail_wire is wire\n    from  key_out to key_feed\n    value area 4 mm2\n    value length 2 m\n"
        "circuit tail_12\n  name      lamp and tail wire\n  volts     12\n  batteries 1\n"
        "  uses      supply, lighting, tail",
        "the circuit 'tail_12' has the part 'feed_wire' twice, joined or sized differently",
    ),
    Mistake(
        "end-meets-nothing",
        "the end '{end}' of the section '{section}' meets nothing on the circuit '{circuit}'",
        "point lug\n  name    loose lug\n  area    dash\n"
        "section «tail»\n  name    tail wire\n  ends    key_out, lug\n"
        "  part tail_wire is wire\n    from  key_out to lug\n    value area 4 mm2\n    value length 2 m\n"
        "circuit tail_12\n  name      lamp and tail wire\n  volts     12\n  batteries 1\n"
        "  uses      supply, lighting, tail",
        "the end 'lug' of the section 'tail' meets nothing on the circuit 'tail_12'",
        warning=True,
    ),
    Mistake(
        "not-free",
        "the point '{word}' is said to be free on the circuit '{circuit}': no section ends there, or two meet",
        "circuit «tail_12»\n  name      one lamp more\n  volts     12\n  batteries 1\n  uses      supply, lighting\n"
        "  free      frame because Nothing else hangs there.",
        "the point 'frame' is said to be free on the circuit 'tail_12': no section ends there, or two meet",
        warning=True,
        alone=False,
    ),
    Mistake(
        "circuit-goes-on",
        "the circuit '{word}' ends with the section '{section}', which goes on to 'next': name the one that follows it",
        "point pin\n  name    loose pin\n  area    dash\n"
        "section tail\n  name    tail wire\n  ends    key_out, next\n"
        "  part tail_wire is wire\n    from  key_out to next\n    value area 4 mm2\n    value length 2 m\n"
        "circuit «tail_12»\n  name      lamp and tail wire\n  volts     12\n  batteries 1\n"
        "  uses      supply, lighting, tail",
        "the circuit 'tail_12' ends with the section 'tail', which goes on to 'next': name the one that follows it",
        alone=False,
    ),
    Mistake(
        "option-fits-nothing",
        "no circuit can have the option '{word}': none has the sections that give way for it",
        _FEATURE.format(id="tail_lamp", more="")
        + _TAIL_12.format(id="tail_12", more="  has       tail_lamp yes\n")
        + "option «second_tail»\n  name    a second tail lamp\n  gives   tail_lamp yes\n"
        "  brings  lighting instead of supply on 48 V\n  because It is dark.\n  source  common practice\n",
        "no circuit can have the option 'second_tail': none has the sections that give way for it",
        alone=False,
        edits=(_HAS_NO,),
    ),
    Mistake(
        "like-cannot-be",
        "the circuit '{circuit}' cannot have all of these options at once: {options}",
        _FEATURE.format(id="tail_lamp", more="")
        + _TAIL_12.format(id="tail_12", more="  has       tail_lamp yes\n")
        + _SPARE
        + _SECOND_TAIL
        + _VAN.format(id="van", name="van", hears="van", like="«lamp_12» with second_tail"),
        "the circuit 'lamp_12' cannot have all of these options at once: second_tail",
        alone=False,
        edits=(_HAS_NO,),
    ),
    Mistake(
        "names-two",
        "'{word}' names the usual machine '{other}' and '{one}' too: leave it out at one of them",
        _VAN.format(id="van", name="van", hears="van, truck", like="lamp_12")
        + _VAN.format(id="«lorry»", name="lorry", hears="lorry, truck", like="lamp_12"),
        "'truck' names the usual machine 'lorry' and 'van' too: leave it out at one of them",
        warning=True,
    ),
    Mistake(
        "cut-off",
        "on the circuit '{circuit}' no path joins the part '{part}' to the battery",
        "point lug\n  name    loose lug\n  area    dash\n\npoint pin\n  name    loose pin\n  area    dash\n"
        "section tail\n  name    tail wire\n  ends    lug\n"
        "  part «tail_wire» is wire\n    from  lug to pin\n    value area 4 mm2\n    value length 2 m\n"
        "circuit tail_12\n  name      lamp and tail wire\n  volts     12\n  batteries 1\n"
        "  uses      supply, lighting, tail",
        "on the circuit 'tail_12' no path joins the part 'tail_wire' to the battery",
        alone=False,
    ),
    Mistake(
        "leak-nowhere",
        "'{word}' leaks to '{to}', which the circuit '{circuit}' has not: name an end of its part or a point of it",
        _LEAKING.format(to="lug"),
        "'tail_bulb.wet' leaks to 'lug', which the circuit 'tail_12' has not: name an end of its part or a point of it",
        alone=False,
    ),
    Mistake(
        "leak-to-itself",
        "'{word}' leaks to '{to}', where it is joined already on the circuit '{circuit}': name another end or point",
        _LEAKING.format(to="key_out"),
        "'tail_bulb.wet' leaks to 'key_out', where it is joined already on the circuit 'tail_12': name another end or "
        "point",
        alone=False,
    ),
    Mistake(
        "check-nowhere",
        "no circuit has what the check '{word}' needs: {lacking}",
        "point lug\n  name    loose lug\n  area    dash\n\n"
        + _check().replace("key_out", "lug").replace("lamp_volts", "«lamp_volts»"),
        "no circuit has what the check 'lamp_volts' needs: lug",
    ),
    Mistake(
        "complaint-nowhere",
        "no circuit has what the complaint '{word}' sees",
        "point lug\n  name    loose lug\n  area    dash\n\n"
        + _check().replace("key_out", "lug")
        + "\ncomplaint «no_feed»\n  name    no volts\n  sees    lamp_volts dead",
        "no circuit has what the complaint 'no_feed' sees",
        alone=False,
    ),
    Mistake(
        "duty-nowhere",
        "no circuit has what the duty '{word}' is shown on: {lacking}",
        _SPARE + _FUNCTION.format(id="«spare_lights»", more="  has       spare_lamp\n"),
        "no circuit has what the duty 'spare_lights' is shown on: spare_lamp",
        alone=False,
    ),
    Mistake(
        "rule-nowhere",
        "no circuit has all that the rule '{word}' speaks of",
        _SPARE + _rule(when="machine has spare_lamp").replace("quick", "«quick»"),
        "no circuit has all that the rule 'quick' speaks of",
        alone=False,
    ),
    Mistake(
        "bands-overlap",
        "on {volts} V the findings '{one}' and '{other}' overlap from {low} to {high}",
        _check(findings="  finding dead from -0.3 V to 2 V\n  «finding» live from 1 V to 13.2 V per battery"),
        "on 12 V the findings 'dead' and 'live' overlap from 1 to 2",
    ),
    Mistake(
        "bands-gap",
        "on {volts} V nothing is said of readings from {low} to {high}, between '{one}' and '{other}'",
        _check(findings="  finding dead from -0.3 V to 1 V\n  «finding» live from 2 V to 13.2 V per battery"),
        "on 12 V nothing is said of readings from 1 to 2, between 'dead' and 'live'",
        warning=True,
    ),
    Mistake(
        "batteries-volts",
        "{batteries} batteries of 12 V in series do not make {volts} V",
        _LAMP_24.replace("batteries 2", "batteries 1").replace("lamp_24", "«lamp_24»"),
        "1 batteries of 12 V in series do not make 24 V",
    ),
    Mistake(
        "one-voltage",
        "the finding '{word}' has figures for {volts} V and none for {other} V, where this check is made too",
        _LAMP_24 + _check(findings="  finding dead from -0.3 V to 1 V\n  finding «live» from 1 V to 13.2 V on 12 V"),
        "the finding 'live' has figures for 12 V and none for 24 V, where this check is made too",
    ),
    Mistake(
        "good-one-voltage",
        "the duty '{word}' has a good reading for {volts} V and none for {other} V, where it is shown too",
        _LAMP_24
        + _FUNCTION.format(id="«charges»", more="  reads     volts\n  good      from 13.5 V to 14.8 V on 12 V\n"),
        "the duty 'charges' has a good reading for 12 V and none for 24 V, where it is shown too",
    ),
    Mistake(
        "not-scaled",
        "the finding '{word}' begins at {low} V on 12 V and 24 V alike: say per battery, or on 12 V and on 24 V",
        _LAMP_24 + _check(findings="  finding dead from -0.3 V to 11.5 V\n  «finding» live from 11.5 V to 26.4 V"),
        "the finding 'live' begins at 11.5 V on 12 V and 24 V alike: say per battery, or on 12 V and on 24 V",
    ),
    Mistake(
        "rule-figure",
        "the figure {figure} V is the same on 12 V and on 24 V machines: use a finding",
        _LAMP_24 + _rule(when="rest_volts below 12 V").replace("when", "«when»"),
        "the figure 12 V is the same on 12 V and on 24 V machines: use a finding",
        warning=True,
    ),
    Mistake(
        "over-one",
        "the chances of what '{fault}' shows at '{word}' add up to more than one",
        "",
        "the chances of what 'wire.broken' shows at 'look_at' add up to more than one",
        edits=(
            (
                "    shows   look_at bare 60 in 100\n",
                "    shows   look_at bare 60 in 100\n    «shows»   look_at whole 60 in 100\n",
            ),
        ),
    ),
    Mistake(
        "overrides-circuit",
        "this line takes the place of what the circuit gives for '{word}'",
        "",
        "this line takes the place of what the circuit gives for 'rest_volts'",
        warning=True,
        edits=(("    sets    volts to", "    «shows»   rest_volts dead 9 in 10\n    sets    volts to"),),
    ),
    Mistake(
        "overrules-nothing",
        "the circuit decides nothing for '{word}': say 'shows'",
        "",
        "the circuit decides nothing for 'look_at': say 'shows'",
        warning=True,
        edits=(("    shows   look_at bare 60 in 100", "    «overrules» look_at bare 60 in 100 because It is green."),),
    ),
    Mistake(
        "chain-circle",
        "causes and victims run in a circle: {path}",
        "chain flat_breaks_ground\n  cause   battery.flat\n  victim  ground_wire.broken 1 in 100\n"
        "  because It does not.\n  source  common practice".replace("flat_breaks_ground", "«flat_breaks_ground»"),
        "causes and victims run in a circle: battery.flat -> ground_wire.broken -> battery.flat",
        alone=False,
        warning=True,
    ),
    Mistake(
        "no-circle",
        "none of the victims of '{word}' brings its cause: leave out 'circle'",
        "chain «lamp_empties»\n  cause   lamp.blown\n  victim  battery.flat 1 in 100\n"
        "  circle  A flat battery blows no lamp.\n  because It does not.\n  source  common practice",
        "none of the victims of 'lamp_empties' brings its cause: leave out 'circle'",
        warning=True,
    ),
    Mistake(
        "chain-nowhere",
        "no circuit has both '{cause}' and '{victim}'",
        _SPARE + "chain spare\n  cause   spare_lamp.blown\n  victim  «battery.flat» 1 in 100\n"
        "  because It draws.\n  source  common practice",
        "no circuit has both 'spare_lamp.blown' and 'battery.flat'",
        alone=False,
        warning=True,
    ),
    Mistake(
        "route-nowhere",
        "no circuit has two of the parts that pass '{word}'",
        _SPARE + _ROUTE.format(id="behind_dash", parts="lamp, spare_lamp") + _SOAKED.format(faults="any lamp.blown"),
        "no circuit has two of the parts that pass 'behind_dash'",
        alone=False,
    ),
    Mistake(
        "route-taken",
        "the place '{word}' and its look '{look}' need ids that no part and no other check has",
        _ROUTE.format(id="lamp", parts="lamp, feed_wire") + _SOAKED.format(faults="any lamp.blown"),
        "the place 'lamp' and its look 'lamp_look' need ids that no part and no other check has",
        alone=False,
    ),
    Mistake(
        "event-harmless",
        "'{event}' hurts nothing that passes '{word}'",
        _ROUTE.format(id="behind_dash", parts="lamp, feed_wire") + _SOAKED.format(faults="any battery.flat"),
        "'soaked' hurts nothing that passes 'behind_dash'",
    ),
    Mistake(
        "absence-circle",
        "'{word}' follows from its own absence: {path}",
        "fact idle\n  name it is idle\n"
        + _rule("«one»", "not fact idle", "conclude supply_proven")
        + _rule("two", "fact supply_proven", "conclude idle"),
        "'fact supply_proven' follows from its own absence: not fact idle -> fact supply_proven -> fact idle",
        alone=False,
    ),
    Mistake(
        "code-twice",
        "the trouble code SPN {spn} FMI {fmi} has two entries: '{one}' and '{other}'",
        _CODE.format(id="volts_dead", fmi="1, 18", faults="battery.flat")
        + _CODE.format(id="«volts_poor»", fmi="4, 18", faults="battery.flat"),
        "the trouble code SPN 168 FMI 18 has two entries: 'volts_dead' and 'volts_poor'",
    ),
    Mistake(
        "code-nowhere",
        "no circuit has what the trouble code '{word}' makes likelier",
        _SPARE + _CODE.format(id="«volts_dead»", fmi="1", faults="spare_lamp.blown"),
        "no circuit has what the trouble code 'volts_dead' makes likelier",
        warning=True,
        alone=False,
    ),
    Mistake(
        "fact-never-concluded",
        "no rule concludes the fact '{word}'",
        "fact idle\n  name it is idle\n" + _rule(when="fact idle").replace("when", "«when»"),
        "no rule concludes the fact 'idle'",
    ),
    Mistake(
        "fact-never-asked",
        "no rule asks for the fact '{word}'",
        "fact idle\n  name it is idle\n" + _rule(then="conclude idle").replace("then", "«then»"),
        "no rule asks for the fact 'idle'",
        warning=True,
    ),
    Mistake(
        "not-on-circuit",
        "'{word}' is not on the circuit '{circuit}'",
        _SPARE + _OTHER + _CASE.format(line="expect    not «spare_lamp.blown»"),
        "'spare_lamp.blown' is not on the circuit 'lamp_12'",
    ),
    Mistake(
        "odds-of-nothing",
        "the circuit '{circuit}' gives odds for '{fault}', which it does not have",
        _SPARE
        + _OTHER
        + "circuit «lamp_13»\n  name      one more\n  volts     12\n  batteries 1\n  uses      supply, lighting\n"
        "  odds      spare_lamp.blown 4 in 1000",
        "the circuit 'lamp_13' gives odds for 'spare_lamp.blown', which it does not have",
    ),
    Mistake(
        "circuits-alike",
        "nothing tells the circuit '{one}' from '{other}', both {volts} V: give them 'has' lines with other answers to "
        "one feature",
        _FEATURE.format(id="tail_lamp", more="")
        + _TAIL_12.format(id="tail_12", more="  has       tail_lamp yes\n")
        + _TAIL_12.format(id="«tail_13»", more="  has       tail_lamp yes, no\n"),
        "nothing tells the circuit 'tail_13' from 'lamp_12', both 12 V: give them 'has' lines with other answers to "
        "one feature",
        alone=False,
        edits=(_HAS_NO,),
    ),
    Mistake(
        "feature-idle",
        "the feature '{word}' tells no two circuits of the same volts apart: give it 'has' lines, or leave it out",
        _FEATURE.format(id="«tail_lamp»", more="") + _LAMP_24 + "  has       tail_lamp yes\n",
        "the feature 'tail_lamp' tells no two circuits of the same volts apart: give it 'has' lines, or leave it out",
        warning=True,
        edits=(_HAS_NO,),
    ),
    Mistake(
        "answer-nowhere",
        "no circuit has the answer '{word}' to the feature '{feature}'",
        _FEATURE.format(id="«tail_lamp»", more="  answer  two\n")
        + _TAIL_12.format(id="tail_12", more="  has       tail_lamp yes\n"),
        "no circuit has the answer 'two' to the feature 'tail_lamp'",
        warning=True,
        edits=(_HAS_NO,),
    ),
    Mistake(
        "question-idle",
        "no answer to the question '{word}' moves anything: give one a weight, or leave the question out",
        _QUESTION.format(id="«painted»", more="  answer  blue\n"),
        "no answer to the question 'painted' moves anything: give one a weight, or leave the question out",
        warning=True,
    ),
    Mistake(
        "answer-idle",
        "the answer '{word}' to '{question}' moves nothing, and '{other}' says that already: give it a weight",
        _QUESTION.format(id="painted", more="    likelier lamp.blown times 2\n  answer  blue\n  answer  «green»\n"),
        "the answer 'green' to 'painted' moves nothing, and 'blue' says that already: give it a weight",
        warning=True,
    ),
    Mistake(
        "times-one",
        "times 1 changes nothing",
        _rule(then="ask rest_volts 1 times sooner").replace("then", "«then»"),
        "times 1 changes nothing",
        warning=True,
    ),
    Mistake(
        "stray-braces",
        "the texts of '{word}' have words in braces that nothing fills in: only {{part}}, in a check with 'each'",
        _check("«lamp_volts»").replace("at the lamp", "at the {part}"),
        "the texts of 'lamp_volts' have words in braces that nothing fills in: only {part}, in a check with 'each'",
    ),
    Mistake(
        "same-name",
        "'{one}' and '{other}' are both called '{name}'",
        "point «lug»\n  name    frame\n  area    dash\n\n" + _SPARE.replace("to frame", "to lug") + _OTHER,
        "'lug' and 'frame' are both called 'frame'",
        warning=True,
    ),
    Mistake(
        "unused",
        "nothing uses the {what} '{word}'",
        "kit «gauge»\n  name    pressure gauge",
        "nothing uses the kit 'gauge'",
        warning=True,
    ),
)
