"""A phone at the page of a job: requests handed to the application in this process, and what its forms send."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterable, MutableMapping
from concurrent.futures import Executor
from functools import cache
from typing import Any, NamedTuple
from urllib.parse import urlencode

from coldiron import Consultation
from coldiron.screens.driver import JobDriver
from coldiron.screens.saving import SavedJob, new_job
from coldiron.web.app import page_app
from coldiron.web.desk import Desk, KeptJob
from coldiron.web.doors import Doors
from coldiron.web.guard import App
from support.mechanic import shipped

HOST = "127.0.0.1:8347"

FORM = "application/x-www-form-urlencoded"


class Answer(NamedTuple):
    """What came back."""

    status: int
    headers: list[tuple[str, str]]
    text: str


class Clock:
    """Seconds that go on only when told to."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        """The seconds."""
        return self.now


async def sent(app: App, method: str, path: str, headers: Iterable[tuple[str, str]], body: bytes = b"") -> Answer:
    """One request, and its answer."""
    raw = [(name.encode(), value.encode("latin-1")) for name, value in headers]
    scope: MutableMapping[str, Any] = {"type": "http", "method": method, "path": path, "headers": raw}
    scope.update(
        {"query_string": b"", "http_version": "1.1", "scheme": "http", "root_path": "", "raw_path": path.encode()}
    )
    got: list[MutableMapping[str, Any]] = []

    async def receive() -> MutableMapping[str, Any]:
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: MutableMapping[str, Any]) -> None:
        got.append(message)

    await app(scope, receive, send)
    found = [(name.decode(), value.decode("latin-1")) for name, value in got[0]["headers"]]
    return Answer(got[0]["status"], found, b"".join(one.get("body", b"") for one in got[1:]).decode())


class Yard:
    """The page of a job of that name, and who may come in; `saved` is what it keeps the job with."""

    def __init__(self, worker: Executor, name: str = "Roller 4", job: SavedJob | None = None) -> None:
        self.clock, self.doors = Clock(), Doors()
        self.saved = job or new_job(name, shipped(), None)
        self.driver = JobDriver(self.saved.title, Consultation(shipped()))
        desk = cache(lambda: Desk(KeptJob(self.saved, self.driver), self.clock))
        self.app = page_app(desk, self.doors, worker, (HOST, "localhost:8347"))

    def phone(self) -> Phone:
        """A phone that is in."""
        return Phone(self.app, f"coldiron={self.doors.let_in(self.doors.link())}")


class Phone:
    """One that remembers the page it shows."""

    def __init__(self, app: App, cookie: str = "") -> None:
        self._app = app
        self.own = [("host", HOST), ("origin", f"http://{HOST}"), ("content-type", FORM), ("cookie", cookie)]
        self.page = ""

    @property
    def at(self) -> str:
        """The mark of the page it shows."""
        found = re.search(r'name="at" value="([^"]*)"', self.page)
        return found[1] if found else ""

    def look(self) -> str:
        """Load the page anew."""
        self.page = asyncio.run(sent(self._app, "GET", "/", self.own)).text
        return self.page

    async def tap(self, **fields: str | list[str]) -> Answer:
        """Send a form of the page it shows."""
        body = urlencode({"at": self.at} | fields, doseq=True).encode()
        return await sent(self._app, "POST", "/say", self.own, body)

    def say(self, **fields: str | list[str]) -> str:
        """Send a form, go where it leads, and give the page."""
        answer = asyncio.run(self.tap(**fields))
        self.page = answer.text
        return self.look() if answer.status == 303 else self.page
