"""The sheet of a job: all of it stands in the log, nothing of the log is lost, hostile texts stay texts."""

from __future__ import annotations

import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest

import coldiron
from coldiron.cli import DONE, STORE, main
from coldiron.consult.mapped import mapped
from coldiron.job.rows import step_of
from coldiron.jobs.home import FILE
from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.paper import html
from coldiron.paper.letterhead import letterhead
from coldiron.paper.sheet import Sheet, sheet_of
from support.kept_jobs import demo, kept
from support.mechanic import shipped
from support.payloads import SHAPES
from support.sizes import few

MARKUP = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</title></style><svg onload=alert(1)>",
    "{{ 7 * 7 }}{% include 'x' %}",
    "javascript:alert(1)",
    "<!--",
    "]]>&lt;&#x3c;b&#x3e;",
)
"""Texts that end a place in a page and begin another; shapes as the OWASP sheet on cross site scripting has them."""


OHMS = "dead_side_ohms.main_link"
"""A check of the recorded job that is measured."""


class Tags(HTMLParser):
    """All tags of a page with the names of their attributes, and its text, as the standard library reads HTML."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: Counter[tuple[str, ...]] = Counter()
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found[tag, *(name for name, _ in attrs)] += 1

    def handle_data(self, data: str) -> None:
        self.text += data


def words(page: str) -> str:
    """The text of a page, blanks in order."""
    return " ".join(Tags(page).text.split())


def made(entries: tuple[Entry, ...], name: str = "Roller 4") -> Sheet:
    return sheet_of(*kept(entries, name))


def test_every_entry_of_a_log_stands_on_its_sheet() -> None:
    """Each once, by its number, and each figure as it was typed."""
    log = demo("02")
    sheet = made(log)
    assert [line.number for line in sheet.lines] == list(range(1, len(log) + 1))
    page = words(html.report(sheet))
    figures = [entry.value for entry in log if entry.kind in ("answer", "read") and entry.value[:1].isdecimal()]
    assert len(figures) > 3
    assert [figure for figure in figures if figure not in page] == []
    assert all(entry.value in page for entry in log if entry.kind == "note")


def test_the_owner_reads_what_the_mechanic_has_typed() -> None:
    """Two fixes in their order, each told once as done; what was not shown, with what must not be done until then."""
    log = demo("02")
    fixes = [shipped().faults[entry.id].name for entry in log if (entry.kind, entry.value) == ("repair", "done")]
    sheet = made(log)
    assert [fix.fault for fix in sheet.account.fixes] == fixes
    assert len(fixes) == 2
    page = words(html.report(sheet_of(*kept(log), "owner")))
    assert page.index(fixes[0]) < page.index(fixes[1])
    assert "The machine is fixed and was handed back." in page
    assert "nobody can be warned" in page
    assert "14.1 V" in page
    assert "Record" not in page
    assert "do not start" not in page.lower()


@pytest.mark.parametrize("part", [0.0, 0.1, 0.3, 0.55, 0.8, 0.97])
def test_an_unfinished_job_never_reads_as_a_finished_one(part: float) -> None:
    """Wherever it was left: not fixed, not handed back, not to be started; and what is off stands there."""
    log = demo("02")[: int(part * len(demo("02")))]
    sheet = made(log)
    page = words(html.report(sheet))
    assert "handed back." not in page.replace("was not handed back yet.", "")
    assert "Do not start or use it" in page
    for name, value in sheet.account.off:
        assert f"{name} ({value})" in page


def test_the_tag_names_what_is_off_as_it_was_told() -> None:
    """Told off and out: on the tag; told back on: not on it any more. The words of a tag are those of the rule on tags.

    A signal word and the message in short, 29 CFR 1910.145(f)(4), from memory.
    """
    log = demo("02")
    moved = [at for at, entry in enumerate(log) if entry.id.startswith("set.battery_lead")]
    assert [log[at].value for at in moved] == ["off", "on"]
    name = shipped().settings["battery_lead"].name
    off = words(html.tag(made((*log[: moved[0] + 1], Entry("park", "", "")))))
    assert "DANGER DO NOT START" in off
    assert f"{name}: off" in off
    assert f"{name}: off" not in words(html.tag(made(log[: moved[1] + 1])))


def test_what_was_taken_back_or_changed_is_struck_out() -> None:
    """A reading changed later, and one taken back: both stay on the sheet, and neither counts."""
    log = demo("02")
    first = next(at for at, entry in enumerate(log) if entry.id == OHMS)
    short = log[: first + 1]
    changed = made((*short, Entry("change", OHMS, "0.3")))
    assert [(line.said, bool(line.struck)) for line in changed.of("reading")][-2:] == [
        (f"{log[first].value} ohm", True),
        ("0.3 ohm", False),
    ]
    back = made((*short, Entry("back", "", "")))
    assert back.of("reading")[-1].struck
    assert back.lines[-1].struck == ""


def test_the_picture_shows_the_odds_that_the_job_had() -> None:
    """Each curve ends at the odds that the last entry left, and reaches the highest that any entry did."""
    job = kept(demo("02"))
    sheet = sheet_of(*job)
    assert sheet.picture is not None
    seen = [dict(now.judged.belief.in_view) for now in job[2] if now.judged]
    names = {fault.name: fault.id for fault in shipped().faults.values()}
    for curve in sheet.picture.curves:
        odds = [one.get(names[curve.name], 0.0) for one in seen]
        assert curve.highest == round(100 * max(odds))
        assert curve.last == round(100 * odds[-1])
        assert all(0 <= y <= 240 and 40 <= x <= 700 for x, y in curve.points)
    looks = {(curve.dashes, curve.mark) for curve in sheet.picture.curves}
    assert len(looks) == len(sheet.picture.curves) > 1


HOSTILE = [*MARKUP, *few((shape.format("x") for shape in SHAPES if "\ud800" not in shape), 5, 99)]


@pytest.mark.parametrize("hostile", HOSTILE)
def test_a_hostile_text_stays_a_text(hostile: str) -> None:
    """In name, notes, told words, readings, ids and the shop's head: a page has the tags of a harmless one."""

    def page(text: str) -> str:
        log = (*demo("02")[:6], Entry("note", "", text), Entry("read", "told.1", text), Entry("answer", "usual", text))
        sheet = sheet_of(*kept((*log, Entry("ack", f"{text}@x", text)), text), "apprentice", (text, text))
        return html.report(sheet) + html.tag(sheet)

    found, harmless = Tags(page(hostile)), Tags(page("plain words"))
    assert found.found == harmless.found
    raw = page(hostile)
    assert not [letter for letter in raw if not letter.isprintable() and letter != "\n"]


def test_a_sheet_needs_nothing_besides_itself() -> None:
    """No script, nothing fetched, no link; a browser is told so (Content Security Policy Level 3)."""
    page = html.report(made(demo("02")))
    tags = {tag for tag, *_ in Tags(page).found}
    assert not tags & {"script", "link", "img", "iframe", "object", "form", "a"}
    named = page.replace('xmlns="http://www.w3.org/2000/svg"', "")  # a name only; nothing is fetched by it
    assert not re.search(r"https?:|url\(|@import|\bsrc=", named)
    assert "default-src 'none'" in page
    assert len(page.encode()) < 100_000


def test_no_template_lets_anything_through() -> None:
    """Escaping is switched off nowhere."""
    templates = list(Path(coldiron.__file__).parent.rglob("templates/*"))
    assert len(templates) > 4
    for path in templates:
        assert not re.search(r"\|\s*safe|autoescape|Markup", path.read_text(encoding="utf-8")), path.name


def test_the_shop_gets_the_machine_as_a_drawing_and_the_owner_does_not() -> None:
    """One circle for each point that the text of the drawing numbers; nothing while the machine is not known."""
    log = demo("02")
    found = mapped(kept(log)[2][-1])
    assert found is not None
    circles = len(found[0].spots)
    assert circles > 5
    assert html.report(made(log)).count("<circle ") >= circles
    assert "<circle " not in html.report(sheet_of(*kept(log), "owner"))
    assert "<circle " not in html.report(made(log[:1]))


def test_an_apprentice_reads_why_each_check_was_made() -> None:
    """The reason that the page gave at that moment."""
    log = demo("02")[:24]
    lines = sheet_of(*kept(log), "apprentice").of("reading")
    assert any(line.why for line in lines)
    assert "Why then" in html.report(sheet_of(*kept(log), "apprentice"))
    assert not any(line.why for line in sheet_of(*kept(log)).lines)


def test_the_command_writes_a_file_and_changes_no_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The latest job; the shop's head from its file; a job that is not there and a place that cannot be are told."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    assert main(["report"]) == STORE
    with open_store(tmp_path / FILE) as store:
        number = store.create("Roller 4", shipped().hash, "0").id
        store.append_all(number, 0, demo("02")[:8])
        before = store.events(number)
    (tmp_path / "letterhead.txt").write_text("Wetstone Yard\n\n  12 Quarry   Lane\n", encoding="utf-8")
    assert main(["report", "--out", "sheet.html"]) == DONE
    page = words((tmp_path / "sheet.html").read_text(encoding="utf-8"))
    assert "Wetstone Yard 12 Quarry Lane" in page
    assert "Roller 4" in page
    assert main(["report", "1", "--tag"]) == DONE
    assert "DO NOT START" in (tmp_path / "coldiron-tag-1.html").read_text(encoding="utf-8")
    assert main(["report", "--out", str(tmp_path)]) == STORE
    assert main(["report", "99"]) == STORE
    (tmp_path / "letterhead.txt").write_bytes(b"\xff\xfe\x00")
    assert main(["report", "--for", "owner"]) == DONE
    assert "The sheet has no head." in capsys.readouterr().err
    with open_store(tmp_path / FILE) as store:
        assert store.events(number) == before


def test_a_head_is_bounded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However long the file is."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    assert letterhead() == ((), "")
    (tmp_path / "letterhead.txt").write_text("x" * 10_000 + "\n" + "line\n" * 500, encoding="utf-8")
    head, wrong = letterhead()
    assert (len(head), len(head[0]), wrong) == (6, 90, "")


def test_a_log_of_another_version_is_still_a_sheet() -> None:
    """Entries that this version or this book does not know are passed over or shown as they stand."""
    strange = (
        *demo("02")[:9],
        Entry("answer", "no_such_question", "x"),
        Entry("change", f"{OHMS}@9", "12"),
        Entry("repair", "no.such_fault", "done"),
        Entry("again", "no_such_check", ""),
        Entry("from_the_future", "a", "b"),
        Entry("ack", "no_such_caution@x", "clear"),
    )
    sheet = made(strange)
    assert len(sheet.lines) == len([entry for entry in strange if step_of(*entry)])
    assert "no such" not in html.report(sheet)
