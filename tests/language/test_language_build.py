"""Building the book: what the entries become, and what is spread over parts."""

from __future__ import annotations

from pathlib import Path

from coldiron.book.checks import Band, Reads
from coldiron.book.conclusions import AsksSooner, ShiftsOdds
from coldiron.book.faults import AddsOhms, FaultRef, Leaks, Opens, ScalesValue, SetsValue, StaysClosed
from coldiron.book.machines import Closed
from coldiron.book.source import NOWHERE
from coldiron.language.load import load
from coldiron.language.validate import validate
from coldiron.record import replace
from support.rule_text import GROUND, load_texts, on_ground


def test_a_check_with_each_becomes_one_check_a_part() -> None:
    """Under `template.part`, the part's name filled in, the template itself gone."""
    book, _ = load_texts(GROUND.read_bytes())
    assert [name for name in book.checks if name.startswith("look_at")] == ["look_at.ground_wire", "look_at.feed_wire"]
    check = book.checks["look_at.feed_wire"]
    assert check.ask == "Look along the feed wire. Is it worn or bare?"
    assert (check.each, check.reads) == ("wire", Reads("eye"))
    assert check.area == "battery_box"


def test_ends_of_part_in_a_template_are_the_ends_of_each_part() -> None:
    """`part.from_end` is that of the feed wire in its own check; where it lies is for each machine to say."""
    text = (
        "check drop\n  each wire\n  ask Drop over the {part}\n  how Red first.\n"
        "  reads volts at part.from_end to part.to_end\n  takes 2 minutes\n  finding none from -1 V to 1 V\n"
        "  finding some from 1 V to 15 V\n  good none\n  wrong 1 in 100\n  source common practice\n"
    )
    book, problems = on_ground(text)
    assert problems == ()
    assert book.checks["drop.feed_wire"].reads == Reads("volts", "feed_wire.from_end", "feed_wire.to_end")


def test_faults_are_those_of_the_kinds_for_every_part() -> None:
    """Id, name, and `shows` lines that speak of the part's own check."""
    book, _ = load_texts(GROUND.read_bytes())
    fault = book.faults["feed_wire.broken"]
    assert (fault.part, fault.kind, fault.name) == ("feed_wire", "wire", "feed wire: broken inside")
    assert [(shows.check, shows.finding, shows.chance) for shows in fault.what.shows] == [
        ("look_at.feed_wire", "bare", 0.6)
    ]
    assert sorted(book.faults) == [
        "battery.flat",
        "feed_wire.broken",
        "ground_wire.broken",
        "key_contact.burnt",
        "lamp.blown",
    ]


def test_parts_join_their_ends_carry_their_values_and_know_when_they_are_closed() -> None:
    """`from` and `joins` say the same for two ends; a part without a name is called by its id."""
    book, _ = load_texts(GROUND.read_bytes())
    wire, contact, lamp = (book.parts[name] for name in ("feed_wire", "key_contact", "lamp"))
    assert (wire.joins, wire.values) == (
        {"from_end": "battery_positive", "to_end": "key_feed"},
        {"area": 4.0, "length": 2.0},
    )
    assert contact.closed == (Closed("key", ("on", "start")),)
    assert (wire.name, lamp.name) == ("feed wire", "work lamp")


def test_figures_and_their_units() -> None:
    """Ranges, bands, chances, minutes."""
    book, _ = load_texts(GROUND.read_bytes())
    effect = book.faults["battery.flat"].what.effects[0]
    assert effect == SetsValue("volts", 11.8, 9.0, effect.place)
    live = book.checks["rest_volts"].findings[1]
    assert replace(live.bands[0], place=live.place) == Band(11.9, 13.2, per_battery=True, place=live.place)
    assert (book.checks["rest_volts"].wrong, book.checks["rest_volts"].spread) == (0.02, 0.01)
    assert book.settings["key"].minutes == 0.2


def test_several_lines_of_one_finding_are_its_bands() -> None:
    """And parts of its meaning."""
    text = (
        "check glow\n  ask A\n  how B\n  reads glow of lamp\n  takes 1 minutes\n  area dash\n"
        "  finding dim from 0.1 to 0.5 meaning weak or\n  finding dim from 0.7 to 0.8 meaning flickering\n"
        "  finding good from 0.8 to 1.2 meaning bright\n  good good\n  wrong 1 in 100\n  source s\n"
    )
    book, problems = on_ground(text)
    assert problems == ()
    dim = book.checks["glow"].findings[0]
    assert [(band.low, band.high) for band in dim.bands] == [(0.1, 0.5), (0.7, 0.8)]
    assert dim.meaning == "weak or flickering"


def test_every_way_a_fault_changes_the_network() -> None:
    """Each verb with its portion, size and target."""
    text = (
        "kind rel\n  name relay\n  acts as relay\n  value coil_ohms 85 ohms\n  value contact_ohms 0.01 ohms\n"
        "  value pull_in 8 V\n  value drop_out 3 V\n  fault all\n    name all\n    odds 1 in 1000\n"
        "    becomes open at coil\n    becomes closed at contact\n    adds 0.1 to 2 ohms at contact\n    adds 3 ohms\n"
        "    leaks coil_feed to frame through 5 ohms\n    leaks coil_feed to coil_ground through 2 to 1 ohms\n"
        "    sets pull_in to 9 V\n    scales drop_out by 0.5 to 0.9\n    comes and goes 4 in 10\n"
        "    repair r\n    takes 1 minutes\n    proof p\n"
    )
    book, problems = on_ground(text)
    assert problems == ()
    fault = book.kinds["rel"].faults[0]
    assert [replace(effect, place=NOWHERE) for effect in fault.effects] == [
        Opens("coil"),
        StaysClosed("contact"),
        AddsOhms(0.1, 2.0, "contact"),
        AddsOhms(3.0, 3.0),
        Leaks("coil_feed", "frame", 5.0, 5.0),
        Leaks("coil_feed", "coil_ground", 2.0, 1.0),
        SetsValue("pull_in", 9.0, 9.0),
        ScalesValue("drop_out", 0.5, 0.9),
    ]
    assert fault.shows_now == 0.4


def test_faults_are_named_by_part_by_fault_or_by_kind() -> None:
    """Four forms."""
    text = "rule one\n  when lamp_glow dark\n{}  because b\n  source s\n".format(
        "".join(f"  then likelier {name} times 2\n" for name in ("lamp", "lamp.blown", "any wire", "any  wire.broken"))
    )
    book, problems = on_ground(text)
    assert problems == ()
    named = [
        replace(then.faults, place=FaultRef().place) for then in book.rules["one"].then if isinstance(then, ShiftsOdds)
    ]
    assert named == [
        FaultRef("lamp"),
        FaultRef("lamp", "", "blown"),
        FaultRef("", "wire"),
        FaultRef("", "wire", "broken"),
    ]


def test_given_lines_behind_a_repair_belong_to_the_next_epoch() -> None:
    """The first epoch is 0."""
    text = (
        "case two\n  name n\n  circuit lamp_12\n  complaint dark\n  given rest_volts 11 V\n  repaired battery.flat\n"
        "  given lamp_glow dark\n  expect first lamp.blown\n  source s\n"
    )
    book, problems = on_ground(text)
    assert problems == ()
    assert [(given.id, given.epoch) for given in book.cases["two"].given] == [("rest_volts", 0), ("lamp_glow", 1)]


def test_an_entry_with_a_mistake_is_left_out_and_the_others_stay() -> None:
    """Nothing is dropped in silence: the problem says which."""
    book, problems = on_ground("kit gauge\n  nmae x\nkit clamp\n  name clamp meter\n")
    assert [problem.kind for problem in problems] == ["unknown-line"]
    assert list(book.kits) == ["meter", "clamp"]


def test_both_places_of_a_duplicate_are_shown() -> None:
    """The second is the problem, the first is related."""
    (problem,) = on_ground("kit meter\n  name other meter\n")[1]
    assert str(problem.place) == "text_2.rules:1:5"
    assert [(note, place.file) for note, place in problem.related] == [("the first", "text_1.rules")]


def test_the_order_of_the_files_is_the_order_of_the_book_and_changes_nothing_else() -> None:
    """References may run forwards."""
    extra = "kit gauge\n  name pressure gauge\n"
    one, first = load_texts(GROUND.read_bytes(), extra)
    two, second = load_texts(extra, GROUND.read_bytes())
    assert (first, second) == ((), ())
    assert list(two.kits) == list(one.kits)[::-1]
    assert set(one.faults) == set(two.faults)


def test_every_entry_knows_its_place(tmp_path: Path) -> None:
    """File as messages name it, line and column from 1."""
    (tmp_path / "a.rules").write_bytes(GROUND.read_bytes())
    book, _ = load(tmp_path)
    place = book.settings["key"].place
    assert (place.file, place.line, place.column, place.end) == (f"{tmp_path.name}/a.rules", 3, 9, 12)
    assert all(entry.place.line for mapping in (book.checks, book.rules, book.parts) for entry in mapping.values())


def test_a_record_of_the_wrong_sort_is_refused_by_the_validator() -> None:
    """What no builder makes, a program might: named by entry and field, at the entry's place."""
    book, _ = load_texts(GROUND.read_bytes())
    check = replace(book.checks["rest_volts"], minutes="two", reads=Reads("amperes"))  # type: ignore[arg-type]
    problems = validate(replace(book, checks={**book.checks, "rest_volts": check}))
    assert {(problem.kind, problem.place) for problem in problems} == {("not-valid", check.place)}
    assert sorted(problem.sentence.split()[3] for problem in problems) == ["minutes", "reads.quantity"]
    assert validate(book) == ()


def test_a_conclusion_of_the_wrong_sort_is_refused_by_the_validator() -> None:
    """Of the several forms a conclusion may have only its own is spoken of, once for a field; no form passes for it."""
    book, problems = on_ground(
        "rule one\n  when lamp_glow dark\n  then ask rest_volts 2 times sooner\n  because b\n  source s"
    )
    assert problems == ()
    for then, field in ((AsksSooner("rest_volts", "two"), "then.0.factor"), ("prefer", "then.0")):  # type: ignore[arg-type]
        rule = replace(book.rules["one"], then=(then,))  # type: ignore[arg-type]
        found = validate(replace(book, rules={"one": rule}))
        assert [(problem.place, problem.sentence.split()[3]) for problem in found] == [(rule.place, field)]


def test_a_circuit_has_answers_to_features() -> None:
    """Answers in order with their meanings; a circuit with several of them, and its share."""
    book, problems = on_ground(
        "feature lamp_sort\n  name sort of lamp\n  ask Which lamp is it?\n  how Look.\n  takes 2 minutes\n"
        "  answer led meaning many small lights\n  answer halogen\n  because b\n  source s\n"
        "circuit other_12\n  name other\n  volts 12\n  batteries 1\n  uses supply, lighting\n"
        "  has lamp_sort led, halogen\n  common 15 in 100\n"
    )
    assert problems == ()
    feature, circuit = book.features["lamp_sort"], book.circuits["other_12"]
    assert feature.answers == (("led", "many small lights"), ("halogen", "halogen"))
    assert (feature.name, feature.minutes, feature.how) == ("sort of lamp", 2.0, "Look.")
    assert circuit.has == {"lamp_sort": ("led", "halogen")}
    assert circuit.common == 0.15
    assert book.circuits["lamp_12"].has == {}
    assert book.circuits["lamp_12"].common == 0.0
