"""Mistakes of form: what a line looks like, seen while it is read."""

from __future__ import annotations

from coldiron.mistakes.entry import Mistake

DISK: tuple[Mistake, ...] = (
    Mistake(
        "not-valid",
        "{entry} holds in {field} what it cannot hold: {why}",
        "",
        "rules.quick holds in then.0.factor what it cannot hold: Input should be a valid number",
    ),
    Mistake("no-such-book", "there is no folder or file of this name", "", "there is no folder or file of this name"),
    Mistake("empty-book", "there is no rule file (*.rules) here", "", "there is no rule file (*.rules) here"),
    Mistake(
        "no-entries",
        "nothing stands in the rule files here",
        "",
        "nothing stands in the rule files here",
    ),
    Mistake("unreadable", "this cannot be read: {why}", "", "this cannot be read: it is no plain file"),
    Mistake(
        "too-many-files",
        "a book may have {most} rule files; from this one on they were not read",
        "",
        "a book may have 400 rule files; from this one on they were not read",
    ),
    Mistake(
        "book-too-long",
        "the rule files of a book may have {most} MB together; from this one on they were not read",
        "",
        "the rule files of a book may have 16 MB together; from this one on they were not read",
    ),
    Mistake(
        "card-alone",
        "a card holds one machine and nothing else",
        "",
        "a card holds one machine and nothing else",
    ),
    Mistake(
        "card-too-long",
        "a card may have {most} lines '{word}': leave some out",
        "",
        "a card may have 40 lines 'fixed': leave some out",
    ),
    Mistake(
        "card-too-big",
        "a card may have {most} bytes: leave something out",
        "",
        "a card may have 100000 bytes: leave something out",
    ),
    Mistake(
        "card-fits-not",
        "no machine of this book is as the card says: leave out what is wrong, or tell it anew",
        "",
        "no machine of this book is as the card says: leave out what is wrong, or tell it anew",
    ),
)
"""Mistakes of the folder a book lies in, of a program that made its records, or of a card; no book shows them."""

FORM: tuple[Mistake, ...] = (
    Mistake(
        "file-too-long",
        "this file is longer than {most} bytes: split it",
        "«»# " + 500_000 * "-",
        "this file is longer than 500000 bytes: split it",
    ),
    Mistake(
        "too-many-lines",
        "this file has more than {most} lines: split it",
        "«»# a word on every line\n" + 20_000 * "# and another\n",
        "this file has more than 20000 lines: split it",
    ),
    Mistake(
        "not-utf8",
        "this is not UTF-8 text: byte {byte} cannot be read",
        "kit gauge\n  name  jauge carr«\udce9»e",
        "this is not UTF-8 text: byte E9 cannot be read",
    ),
    Mistake(
        "line-too-long",
        "this line is longer than {most} characters: break the text over several lines",
        "kit gauge\n  name  " + 1_992 * "g" + "«gggg»",
        "this line is longer than 2000 characters: break the text over several lines",
    ),
    Mistake(
        "strange-blank",
        "this blank ({code}) is not an ordinary one: type a space",
        "kit gauge\n  name«\N{NO-BREAK SPACE}»pressure gauge",
        "this blank (U+00A0) is not an ordinary one: type a space",
    ),
    Mistake(
        "strange-character",
        "this character ({code}) cannot be seen or changes how the line reads: delete it",
        "kit gauge\n  name pressure «\N{RIGHT-TO-LEFT OVERRIDE}»gauge",
        "this character (U+202E) cannot be seen or changes how the line reads: delete it",
    ),
    Mistake(
        "too-many",
        "many mistakes above: the rest of this file was not read",
        "kit gauge\n" + 50 * "  nam gauge\n" + "«»",
        "many mistakes above: the rest of this file was not read",
        alone=False,
    ),
    Mistake(
        "unknown-opener",
        "no block opens with '{word}'",
        "«rulle» quick\n  when key_feed_volts live",
        "no block opens with 'rulle'",
        meant="rule",
    ),
    Mistake(
        "not-indented",
        "'{word}' is a line of a {block}: put a blank before it",
        "kit gauge\n«name» pressure gauge",
        "'name' is a line of a kit: put a blank before it",
    ),
    Mistake(
        "outside-block",
        "'{word}' stands outside any block: open one first, at the start of a line",
        "  «name» pressure gauge",
        "'name' stands outside any block: open one first, at the start of a line",
    ),
    Mistake(
        "indented-opener",
        "'{word}' is no line of a {block}; if it opens a new block, put it at the start of the line",
        "kit gauge\n  name pressure gauge\n  «kit» clamp",
        "'kit' is no line of a kit; if it opens a new block, put it at the start of the line",
    ),
    Mistake(
        "other-block",
        "'{word}' is no line of a {block}: it belongs in a {homes}",
        "kit gauge\n  name pressure gauge\n  «normal» off",
        "'normal' is no line of a kit: it belongs in a setting",
    ),
    Mistake(
        "unknown-line",
        "a {block} has no line '{word}'",
        "kit gauge\n  «nmae» pressure gauge",
        "a kit has no line 'nmae'",
        meant="name",
    ),
    Mistake(
        "colon",
        "no colon or equals sign after '{word}'",
        "kit gauge\n  «name:» pressure gauge",
        "no colon or equals sign after 'name'",
        meant="name",
    ),
    Mistake(
        "line-ends",
        "the line ends where {expected} should stand",
        "point lug\n  name lug\n  area«»",
        "the line ends where an id should stand",
    ),
    Mistake(
        "expected",
        "'{found}' stands where {expected} should",
        "chain worn\n  cause   lamp.blown\n  victim  battery.flat 4 «of» 10\n"
        "  because It draws.\n  source  common practice",
        "'of' stands where 'in' should",
    ),
    Mistake(
        "none-of-these",
        "'{found}' is none of the words that can stand here",
        "caution hot\n  word    «Danger»\n  hazard  It is hot.\n  harm    It burns.\n  avoid   Let it cool.\n"
        "  type    cold\n  until   once\n  source  common practice",
        "'Danger' is none of the words that can stand here",
    ),
    Mistake(
        "too-much",
        "nothing more is expected after '{before}'",
        "area bay\n  name  engine bay\n  takes 4 minutes «each»",
        "nothing more is expected after 'minutes'",
    ),
    Mistake(
        "goes-on-so",
        "the line cannot go on with '{found}' after '{before}'",
        "check lamp_volts\n  ask     Volts at the lamp\n  how     Red on the lamp.\n"
        "  reads   volts at key_out to battery_negative\n  takes   4 minutes\n  finding dead «form» -0.3 V to 1 V\n"
        "  finding live from 1 V to 15 V\n  good    live\n  wrong   4 in 100\n  source  common practice",
        "the line cannot go on with 'form' after 'dead'",
        meant="from",
    ),
    Mistake(
        "comma-missing",
        "between the items of a list stands a comma: {before}, {found}",
        "setting door\n  name   cab door\n  values open «shut»\n  normal shut",
        "between the items of a list stands a comma: open, shut",
    ),
    Mistake(
        "decimal-comma",
        "decimals are written with a point: {better}",
        "area bay\n  name  engine bay\n  takes «2,5» minutes",
        "decimals are written with a point: 2.5",
    ),
    Mistake(
        "glued-unit",
        "put a blank between {number} and {unit}",
        "section tail\n  name tail wire\n  ends frame, key_out\n"
        "  part tail_wire is wire\n    from  key_out to frame\n    value area «4mm2»\n    value length 2 m",
        "put a blank between 4 and mm2",
    ),
    Mistake(
        "percent",
        "a chance is written like '4 in 100', not with a percent sign",
        "chain worn\n  cause   lamp.blown\n  victim  battery.flat «40%»\n"
        "  because It draws.\n  source  common practice",
        "a chance is written like '4 in 100', not with a percent sign",
    ),
    Mistake(
        "plus-sign",
        "a number has no plus sign: {better}",
        "area bay\n  name  engine bay\n  takes «+5» minutes",
        "a number has no plus sign: 5",
    ),
    Mistake(
        "bare-point",
        "a decimal point has a digit on both sides: {better}",
        "area bay\n  name  engine bay\n  takes «.5» minutes",
        "a decimal point has a digit on both sides: 0.5",
    ),
    Mistake(
        "sign-not-word",
        "signs such as '{found}' are not part of the language: say it in words",
        "chain worn\n  cause   lamp.blown\n  victim  «->» battery.flat 4 in 10\n"
        "  because It draws.\n  source  common practice",
        "signs such as '->' are not part of the language: say it in words",
    ),
    Mistake(
        "compare-sign",
        "say '{better}', not '{found}'",
        "rule low\n  when    rest_volts «<» 12 V\n  then    ask rest_volts 2 times sooner\n"
        "  because It is low.\n  source  common practice",
        "say 'below', not '<'",
        meant="below",
    ),
    Mistake(
        "quotes",
        "no quotation marks: the words alone",
        'point lug\n  name lug\n  area «"dash"»',
        "no quotation marks: the words alone",
    ),
    Mistake(
        "wrong-unit",
        "'{found}' is not a unit here: write {unit}",
        "area bay\n  name  engine bay\n  takes 5 «min»",
        "'min' is not a unit here: write minutes",
        meant="minutes",
    ),
    Mistake(
        "hyphen",
        "an id has no hyphen: {better}",
        "kit «test-lamp»\n  name test lamp",
        "an id has no hyphen: test_lamp",
        meant="test_lamp",
    ),
    Mistake(
        "capital",
        "an id is written in small letters: {better}",
        "kit «Gauge»\n  name pressure gauge",
        "an id is written in small letters: gauge",
        meant="gauge",
    ),
    Mistake(
        "digit-first",
        "an id begins with a letter: '{found}' does not",
        "kit «2nd_gauge»\n  name second gauge",
        "an id begins with a letter: '2nd_gauge' does not",
    ),
)
