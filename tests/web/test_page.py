"""The page in the yard: the log of the terminal, nothing twice, nothing for strangers, hostile texts stay texts."""

from __future__ import annotations

import asyncio
import io
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from html import unescape
from pathlib import Path

import pytest

from coldiron.jobs.log import Entry
from coldiron.jobs.store import open_store
from coldiron.screens.plain import run
from coldiron.screens.replay import recorded
from coldiron.web.desk import MEANWHILE, NOT_ALL, READ, TOO_SOON
from coldiron.web.doors import LINK_LIVES, MOST_TRIES, TRIES_WITHIN, Doors
from coldiron.web.guard import HEADERS, MOST_BYTES
from coldiron.web.serving import picture
from support.kept_jobs import ROOT
from support.phone import FORM, HOST, Answer, Clock, Phone, Yard, sent
from support.sizes import size


@pytest.fixture
def worker(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[ThreadPoolExecutor]:
    """The thread of a job, with a folder of its own for jobs."""
    monkeypatch.setenv("COLDIRON_HOME", str(tmp_path))
    with ThreadPoolExecutor(1) as one:
        yield one


def log() -> list[Entry]:
    """What the store keeps of the only job."""
    with open_store() as store:
        return [Entry(event.kind, event.id, event.value) for job in store.jobs() for event in store.events(job.id)]


def ticks(page: str) -> list[str]:
    """The ticks that a page asks for."""
    return re.findall(r'name="seen" value="(\d+)"', page)


def test_a_job_done_by_thumb_leaves_the_log_of_the_terminal(worker: ThreadPoolExecutor) -> None:
    """A recorded job, each line sent by a form: entry for entry what the terminal saves. All of it on thorough runs."""
    path = next((ROOT / "transcripts_demo").glob("01_*.txt"))
    title, typed = recorded(path.read_text(encoding="utf-8"))
    typed = typed[: size(22, len(typed), len(typed))]
    yard = Yard(worker, title)
    phone = yard.phone()
    page = phone.look()
    for line in typed:
        yard.clock.now += READ
        page = phone.say(line=line, seen=ticks(page))
    at_terminal: list[Entry] = []
    run(yard.driver, at_terminal.extend, io.StringIO("".join(f"{line}\n" for line in typed)), io.StringIO())
    kept = [entry for entry in at_terminal if entry.kind != "park"]  # where its input ends
    assert log() == kept
    assert {"ack", "answer"} <= {entry.kind for entry in kept}


def test_a_page_counts_once(worker: ThreadPoolExecutor) -> None:
    """A form sent twice, and one of a page that is no more: told, and nothing is entered."""
    phone = Yard(worker).phone()
    phone.look()
    old = phone.at
    phone.say(line="none")
    kept = log()
    assert len(kept) == 1
    for said in ("none", "slope", "park", "back"):
        again = phone.say(line=said, at=old)
        assert f"Not taken: {said}." in again
    assert log() == kept
    assert "Not taken" in phone.say(line="back", at="")


def test_twenty_at_once_enter_one_answer(worker: ThreadPoolExecutor) -> None:
    """Twenty phones that show one page answer it together: one answer counts, nineteen are told."""
    yard = Yard(worker)
    phones = [yard.phone() for _ in range(20)]
    for phone in phones:
        phone.look()

    async def together() -> list[Answer]:
        return list(await asyncio.gather(*(phone.tap(line="none") for phone in phones)))

    answers = asyncio.run(together())
    assert sorted(answer.status for answer in answers) == [200] * 19 + [303]
    assert sum("Not taken: none." in answer.text for answer in answers) == 19
    assert len(log()) == 1


def test_a_caution_is_ticked_and_read_before_it_counts(worker: ThreadPoolExecutor) -> None:
    """Neither a double tap nor a word without its ticks confirms it; that it is not so is taken at once."""
    yard = Yard(worker)
    phone = yard.phone()
    phone.look()
    page = phone.say(pick=["1"])
    assert ticks(page)
    kept = log()
    assert TOO_SOON in phone.say(line="down", seen=ticks(page))
    assert "make it so first" in phone.say(line="n")
    yard.clock.now += READ
    assert NOT_ALL in phone.say(line="down")
    assert NOT_ALL in phone.say(line="raised_parts down")
    assert log() == kept
    assert "WARNING" not in phone.say(line="down", seen=ticks(page))
    assert [entry.kind for entry in log()][len(kept) :] == ["ack"]


def test_two_windows_work_one_job(worker: ThreadPoolExecutor) -> None:
    """An answer from another window is told and shown; what was seen there must be seen again here."""
    yard = Yard(worker)
    phone = yard.phone()
    phone.look()
    phone.say(line="none")
    old = phone.at
    with open_store() as store:
        store.append(1, 1, "note", "", "from the terminal")
    page = phone.say(line="tractor", at=old)
    assert MEANWHILE in page
    assert "Not taken: tractor." in page
    phone.say(line="note from the phone")
    assert [entry.kind for entry in log()] == ["answer", "note", "park", "note"]


def test_what_the_yard_types_stays_text(worker: ThreadPoolExecutor) -> None:
    """A hostile name and a hostile note bring no tag and no attribute onto the page."""
    evil = "\"><script>alert(1)</script>{{ 7 * 7 }}</title><img src=x onerror='alert(1)'>\x1b[31m\u202e"
    yard, plain = Yard(worker, evil), Yard(worker, "plain")
    shapes = []
    for one, name in ((yard, evil), (plain, "plain")):
        phone = one.phone()
        phone.look()
        page = phone.say(word="note", line=name) + phone.say(word="note", line="") + phone.say(line=name)
        shapes.append(re.findall(r"<[^>]*>", re.sub(r'value="[\w.]*"', "", page)))
        assert not {"\x1b", "\u202e"} & set(page)
        assert name.replace("\x1b", "").replace("\u202e", "")[:40] in unescape(page)
    assert shapes[0] == shapes[1]


HOSTS = (
    "evil.example",
    "127.0.0.1.evil.example:8347",
    "127.0.0.1",
    "localhost.:8347",
    "127.0.0.1:8347@evil",
    "",
    "::1",
)
"""Shapes of DNS rebinding and of hosts that only begin or end like ours."""

ORIGINS = (None, "null", "http://evil.example", "http://127.0.0.1", "https://127.0.0.1:8347", "http://localhost:8347")
"""None of them is the origin of the page at HOST (RFC 6454)."""


def test_strange_hosts_origins_and_methods_get_nothing(worker: ThreadPoolExecutor) -> None:
    """Each with the cookie of somebody who is in: refused before anything is looked at, and nothing is entered."""
    yard = Yard(worker)
    phone = yard.phone()
    phone.look()
    phone.say(line="none")
    body = f"at={phone.at}&line=back".encode()
    cookie, form = phone.own[3], ("content-type", FORM)

    def status(method: str, *headers: tuple[str, str], path: str = "/say") -> int:
        answer = asyncio.run(sent(yard.app, method, path, [*headers, cookie], body))
        assert "Roller 4" not in answer.text
        assert set(HEADERS) <= {(name.encode(), value.encode()) for name, value in answer.headers}
        return answer.status

    own, origin = ("host", HOST), ("origin", f"http://{HOST}")
    for host in HOSTS:
        assert status("POST", ("host", host), ("origin", f"http://{host}"), form) == 421
        assert status("GET", ("host", host), path="/") == 421
    assert status("POST", own, own, origin, form) == 421
    assert status("POST", origin, form) == 421
    for said in ORIGINS:
        assert status("POST", own, *([("origin", said)] if said else []), form) == 403
    assert status("POST", own, origin, form, ("sec-fetch-site", "cross-site")) == 403
    assert status("POST", own, origin, form, ("sec-fetch-site", "same-site")) == 403
    assert status("POST", own, origin, ("content-type", "text/plain")) == 415
    assert status("POST", own, origin) == 415
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"):
        assert status(method, own, origin, form) == 405
    assert status("GET", own) == 405
    big = asyncio.run(sent(yard.app, "POST", "/say", phone.own, b"x" * (MOST_BYTES + 1)))
    assert big.status == 413
    assert len(log()) == 1


@pytest.mark.parametrize("cookie", ["", "coldiron=", "coldiron=x", "coldiron=\xe9", "other=1; coldiron=AAAA"])
def test_without_a_cookie_of_this_run_nothing_of_the_job_is_shown(worker: ThreadPoolExecutor, cookie: str) -> None:
    """Every address and method: the name of the job is nowhere, no cookie is given out, nothing is entered."""
    yard = Yard(worker)
    yard.phone().look()
    stranger = Phone(yard.app, cookie)
    for path in ("/", "/say", "/in/x", "/in", "/another", "/style.css", "/none", "/../etc/passwd"):
        for method in ("GET", "HEAD", "POST"):
            answer = asyncio.run(sent(yard.app, method, path, stranger.own, b"line=none&word=x&at=1"))
            assert "Roller 4" not in answer.text
            assert "/in/" not in answer.text
            assert "set-cookie" not in dict(answer.headers)
    assert log() == []


def test_a_link_serves_once_and_wrong_ones_are_counted() -> None:
    """One phone a link, for ten minutes; after ten wrong tries nobody comes in for a minute."""
    clock = Clock()
    doors = Doors(clock)
    word = doors.link()
    assert len(word) * 6 >= 128
    cookie = doors.let_in(word)
    assert doors.knows(cookie)
    assert not doors.knows(cookie[:-1])
    assert doors.let_in(word) == ""
    late = doors.link()
    clock.now += LINK_LIVES
    assert doors.let_in(late) == ""
    for _ in range(MOST_TRIES):
        assert doors.let_in("x") == ""
    right = doors.link()
    assert doors.let_in(right) == ""
    clock.now += TRIES_WITHIN
    assert doors.let_in(right)


def test_a_link_is_used_by_a_button_and_gives_a_strict_cookie(worker: ThreadPoolExecutor) -> None:
    """Looking at it, as what previews links does, uses nothing up."""
    yard = Yard(worker)
    word = yard.doors.link()
    visitor = Phone(yard.app)
    for _ in range(3):
        assert asyncio.run(sent(yard.app, "GET", f"/in/{word}", visitor.own)).status == 200
    answer = asyncio.run(sent(yard.app, "POST", "/in", visitor.own, f"word={word}".encode()))
    cookie = dict(answer.headers)["set-cookie"]
    assert answer.status == 303
    assert {"HttpOnly", "SameSite=strict", "Path=/"} <= set(cookie.split("; "))
    assert asyncio.run(sent(yard.app, "POST", "/in", visitor.own, f"word={word}".encode())).status == 403
    friend = yard.phone()
    found = re.search(r"/in/([\w-]+)", asyncio.run(sent(yard.app, "POST", "/another", friend.own)).text)
    assert found is not None
    assert yard.doors.let_in(found[1])


def test_the_picture_of_a_link_has_its_quiet_border() -> None:
    """52 bytes are a symbol of version 4-M, 33 squares (ISO/IEC 18004, from memory), and four light ones each side."""
    rows = picture("http://192.168.1.20:8347/in/0123456789012345678901").split("\n")
    assert {len(row) for row in rows} == {4 + 33 + 4}
    assert len(rows) == 21
    assert set(rows[0] + rows[1]) == {"█"}
    assert rows[2][4:11] == " ▄▄▄▄▄ "
