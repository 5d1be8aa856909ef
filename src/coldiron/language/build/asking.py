"""Builders of what is asked: questions with answers, checks with findings, and checks spread over parts."""

from __future__ import annotations

from collections.abc import Iterator

from coldiron.book.checks import UNITS, Band, Check, Finding, Reads
from coldiron.book.history import LOOSE, Answer, Ask, Shift
from coldiron.book.machines import Feature, Part
from coldiron.language.build.endangering import step_of
from coldiron.language.build.names import faults_of, kind_of_part, point_of, values_of
from coldiron.language.build.scope import LARGEST, Lines
from coldiron.language.build.words import comes_and_goes
from coldiron.language.tree import Phrase, Statement, Token
from coldiron.record import replace

FACTORS = {"likelier": (1, 100), "rarer": (0.01, 1)}
"""Factors on odds, by the word of the language: a larger one would leave nothing to the readings."""


def question(lines: Lines) -> Ask:
    """Build a question with its answers."""
    answers: dict[str, Answer] = {}
    for inner in lines.block.inner:
        answer = _answer(Lines(lines.scope, lines.file, inner))
        if answer.id in answers:
            first = (("the first", answers[answer.id].place),)
            word = inner.opener.phrases[0].words[0]
            lines.report("duplicate", inner.opener, word, what="answer", word=answer.id, related=first)
        answers[answer.id] = answer
    return Ask(
        id=lines.block.id,
        ask=lines.text("ask"),
        stage=lines.word("stage") or "history",  # type: ignore[arg-type]
        topic=lines.known("topic", "topic"),
        minutes=lines.minutes(),
        answers=tuple(answers.values()),
        several=lines.line("several") is not None,
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
        before=tuple(step_of(lines, line) for line in lines.lines("before")),
    )


def _answer(lines: Lines) -> Answer:
    meaning = lines.block.opener.find("meaning")
    shifts = shifts_of(lines)
    warns = lines.listed("warns", "caution")
    most, why = _reach(lines)
    common = lines.line("common")
    return Answer(
        id=lines.block.id,
        meaning=meaning.words[0].text if meaning else lines.block.id.replace("_", " "),
        shifts=shifts,
        warns=warns,
        place=lines.place,
        most=most,
        reaches=why,
        common=lines.chance(common, common.find("chance")) if common else 0.0,
        hears=lines.phrases("hears"),
        there=comes_and_goes(lines),
    )


def _reach(lines: Lines) -> tuple[float, str]:
    """How far the shifts of an answer may reach, with the reason of one that reaches past what is loosely told."""
    line = lines.line("up")
    if line is None:
        return LOOSE, ""
    figure, why = line.phrases[0].words
    return lines.number(line, figure, LOOSE, FACTORS["likelier"][1], "'up to'"), why.text


def feature(lines: Lines) -> Feature:
    """Build a feature with its answers."""
    answers: dict[str, str] = {}
    for line in lines.lines("answer"):
        word = line.phrases[0].words[0]
        if word.text in answers:
            lines.report("listed-twice", line, word, word=word.text)
        meaning = line.find("meaning")
        answers[word.text] = meaning.words[0].text if meaning else word.text.replace("_", " ")
    return Feature(
        id=lines.block.id,
        name=lines.text("name"),
        ask=lines.text("ask"),
        how=lines.text("how"),
        minutes=lines.minutes(),
        answers=tuple(answers.items()),
        because=lines.text("because"),
        source=lines.text("source"),
        place=lines.place,
    )


def shifts_of(lines: Lines) -> tuple[Shift, ...]:
    """Build the shifts of an answer or of a trouble code."""
    shifts = []
    for line in lines.block.statements:
        if line.keyword.text in FACTORS:
            faults, factor = line.phrases[0].words
            reference = faults_of(lines, line, faults)
            shifts.append(Shift(reference, factor_of(lines, line, factor, line.keyword.text)))
    return tuple(shifts)


def factor_of(lines: Lines, line: Statement, word: Token, way: str) -> float:
    """Return a factor on odds that goes the way its word says."""
    return lines.number(line, word, *FACTORS[way], f"'{way}'")


def check(lines: Lines) -> Check:
    """Build a check; one with `each` is a template in which `part` stands for any part of the kinds it is for."""
    each = lines.listed("each", "kind")
    reads = _reads(lines, each)
    unit = UNITS.get(reads.quantity, "")
    findings = _findings(lines, unit, reads)
    wrong, spread = lines.line("wrong"), lines.line("spread")
    share, step = _spread(lines, spread, unit) if spread else (0.0, 0.0)
    return Check(
        id=lines.block.id,
        ask=lines.text("ask"),
        how=lines.text("how"),
        reads=reads,
        state=state_of(lines),
        leaves=lines.listed("leaves", "setting"),
        minutes=lines.minutes(),
        area=lines.known("area", "area"),
        kit=lines.listed("kit", "kit"),
        warns=lines.listed("warns", "caution"),
        findings=findings,
        good=_good(lines, findings),
        wrong=lines.chance(wrong, wrong.find("chance")) if wrong else 0.0,
        spread=share,
        step=step,
        source=lines.text("source"),
        each=", ".join(each),
        place=lines.place,
    )


def _reads(lines: Lines, each: tuple[str, ...]) -> Reads:
    line = lines.line("reads")
    if line is None:
        return Reads("eye")
    phrase = line.phrases[0]
    quantity, *rest = phrase.words
    if phrase.form == "reads at":
        a, b = (point_of(lines, line, word, each) for word in rest)
        if a == b:
            lines.report("same-point", line, rest[1], word=b)
        return Reads(quantity.text, a, b)  # type: ignore[arg-type]
    if phrase.form == "reads":
        return Reads("eye")
    word = rest[0]
    if not (each and word.text == "part"):
        _check_act(lines, line, quantity, word)
    return Reads(quantity.text, part=word.text)  # type: ignore[arg-type]


_ACTS_READ = {"glow": ("load",), "click": ("relay", "rest_relay", "starter"), "turn": ("starter",)}


def _check_act(lines: Lines, line: Statement, quantity: Token, word: Token) -> None:
    """Report a quantity that such a part does not have: only a load glows, only a starter turns."""
    acts = lines.declared.acts.get(kind_of_part(lines, line, word, word.text, None), "")
    allowed = _ACTS_READ.get(quantity.text)
    if acts and allowed and acts not in allowed:
        lines.report("no-such-quantity", line, word, word=word.text, quantity=quantity.text, acts=" or ".join(allowed))


def state_of(lines: Lines) -> dict[str, str]:
    """Return the settings that a block asks for."""
    return values_of(lines, *lines.lines("state"))


def _findings(lines: Lines, unit: str, reads: Reads) -> tuple[Finding, ...]:
    """Build the findings; lines with one id are bands, and parts of the meaning, of one finding."""
    found: dict[str, Finding] = {}
    for line in lines.lines("finding"):
        word = line.phrases[0].words[0]
        if word.text == "odd":
            lines.report("odd-declared", line, word)
        band = line.find("band")
        bands = (band_of(lines, line, band, unit),) if band else ()
        if reads.quantity == "eye" and band:
            lines.report("band-of-eye", line, band.words[0])
        if reads.quantity != "eye" and not band and not lines.block.damaged and word.text not in found:
            lines.report("no-band", line, word, word=word.text)
        meaning = line.find("meaning")
        text = meaning.words[0].text if meaning else ""
        last = found.get(word.text)
        if last:
            joined = " ".join(filter(None, (last.meaning, text)))
            found[word.text] = replace(last, meaning=joined, bands=last.bands + bands)
        else:
            found[word.text] = Finding(word.text, text, bands, lines.at(line, word))
    if not unit:
        for line in lines.lines("finding"):
            word = line.phrases[0].words[0]
            if not found[word.text].meaning:
                lines.report("no-meaning", line, word, word=word.text)
                break
    return tuple(found.values())


def band_of(lines: Lines, line: Statement, phrase: Phrase, unit: str) -> Band:
    """Return a band with the voltage it holds for."""
    numbers = lines.units(line, phrase.words, unit, "this check")
    low, high = (lines.number(line, word, -LARGEST, LARGEST, "a bound") for word in numbers)
    if low >= high:
        lines.report("turned-range", line, numbers[0], low=numbers[0].text, high=numbers[1].text)
    on = line.find("on")
    volts = 0
    if on:
        if on.words[0].text not in ("12", "24"):
            lines.report("one-of", line, on.words[0], keyword="on", words="12 V or 24 V")
        volts = 24 if on.words[0].text == "24" else 12
    return Band(low, high, volts, line.find("per battery") is not None, lines.at(line))


def _good(lines: Lines, findings: tuple[Finding, ...]) -> str:
    good, line = lines.word("good"), lines.line("good")
    allowed = tuple(finding.id for finding in findings)
    if line and good not in allowed and not lines.block.damaged:
        lines.scope.unknown("finding of this check", good, lines.at(line, line.phrases[0].words[0]), allowed)
    return good


def _spread(lines: Lines, line: Statement, unit: str) -> tuple[float, float]:
    chance, step = line.find("chance"), line.find("and") or line.find("step")
    share = lines.chance(line, chance, none=True) if chance else 0.0
    if step is None:
        return share, 0.0
    number = lines.units(line, step.words, unit, "the spread")[0]
    return share, lines.number(line, number, 0, LARGEST, "the spread")


def spread_over(template: Check, parts: dict[str, Part], area_of: dict[str, str]) -> Iterator[Check]:
    """Make one check of a template for every part of its kinds; `area_of` gives the area of a point."""
    kinds = template.each.split(", ")
    for part in parts.values():
        if part.kind in kinds:
            points = [_joined(point, part) for point in (template.reads.a, template.reads.b)]
            reads = replace(
                template.reads,
                a=points[0],
                b=points[1],
                part=part.id if template.reads.part == "part" else template.reads.part,
            )
            findings = tuple(
                replace(finding, meaning=finding.meaning.replace("{part}", part.name)) for finding in template.findings
            )
            yield replace(
                template,
                id=f"{template.id}.{part.id}",
                ask=template.ask.replace("{part}", part.name),
                how=template.how.replace("{part}", part.name),
                reads=reads,
                area=template.area or area_of.get(next(iter(part.joins.values()), ""), ""),
                findings=findings,
                each=part.kind,
            )


def _joined(point: str, part: Part) -> str:
    """Return the end of this very part for `part.end`; at which point it lies is for each machine to say."""
    name, dot, end = point.partition(".")
    return f"{part.id}.{end}" if dot and name == "part" else point
