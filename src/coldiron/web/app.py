"""The routes of the page: come in, look, say something, let another phone in. All are forms; no script is needed."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Executor
from functools import cache
from typing import TYPE_CHECKING, Any, Protocol
from urllib.parse import parse_qsl

import segno
from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from coldiron.jobs.trouble import StoreTrouble
from coldiron.plaintext import one_line
from coldiron.web.doors import Doors
from coldiron.web.guard import App, Guard
from coldiron.web.layout import PhonePage

if TYPE_CHECKING:
    from starlette.requests import Request

COOKIE = "coldiron"

LONGEST = 2_000
"""Characters of one text on a page, and of one entry."""

MOST_FIELDS = 100
"""Of one form."""


class AtDesk(Protocol):
    """The job as the routes see it, see `coldiron.web.desk`."""

    def look(self) -> PhonePage:
        """The page as it is now."""

    def say(self, line: str, at: str, *, ticked: int = 0) -> PhonePage:
        """Take one entry from a page, and return the page that follows."""


@cache
def templates() -> Environment:
    """Return the templates of the page: escaping always on, each text cleaned, a name that is not there an error."""
    return Environment(
        loader=PackageLoader("coldiron.web"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=lambda value: one_line(value, LONGEST) if type(value) is str else value,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page_app(desk: Callable[[], AtDesk], doors: Doors, worker: Executor, hosts: tuple[str, ...]) -> App:
    """Return the page of a job as an ASGI application.

    Args:
        desk: gives the desk; called in the thread of the worker only.
        doors: who may come in.
        worker: one thread, in which all work on the job is done.
        hosts: names and ports under which the page may be asked for.
    """
    routes = Routes(desk, doors, worker)
    table = [
        Route("/", routes.look, methods=["GET"]),
        Route("/say", routes.say, methods=["POST"]),
        Route("/in/{word}", routes.door, methods=["GET"]),
        Route("/in", routes.enter, methods=["POST"]),
        Route("/another", routes.another, methods=["POST"]),
        Route("/style.css", routes.style, methods=["GET"]),
    ]
    return Guard(Starlette(routes=table), hosts)


class Routes:
    """What answers each address. Only who has a cookie of this run sees anything of the job."""

    def __init__(self, desk: Callable[[], AtDesk], doors: Doors, worker: Executor) -> None:
        self._desk, self._doors, self._worker = desk, doors, worker

    async def look(self, request: Request) -> Response:
        """The page as it is now."""
        if not self._known(request):
            return _html("shut.html", 403)
        return await self._work(lambda desk: desk.look())

    async def say(self, request: Request) -> Response:
        """One entry. What changed the job leads to the page anew, so that loading it again enters nothing."""
        if not self._known(request):
            return _html("shut.html", 403)
        given = await _form(request)
        line = _line(given)
        one = dict(given)
        ticked = sum(name == "seen" for name, _ in given)
        return await self._work(lambda desk: desk.say(line, one.get("at", ""), ticked=ticked), came=one.get("at", ""))

    async def door(self, request: Request) -> Response:
        """The page behind a link: a button that uses it. Looking at a link uses nothing up."""
        return _html("door.html", word=request.path_params["word"])

    async def enter(self, request: Request) -> Response:
        """The link is used: a cookie for it, which no other site can send and no script can read."""
        cookie = self._doors.let_in(dict(await _form(request)).get("word", ""))
        if not cookie:
            return _html("shut.html", 429 if self._doors.closed() else 403)
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(COOKIE, cookie, httponly=True, samesite="strict", path="/")
        return answer

    async def another(self, request: Request) -> Response:
        """A link for one more phone, with its picture."""
        if not self._known(request):
            return _html("shut.html", 403)
        link = f"http://{request.headers['host']}/in/{self._doors.link()}"
        return _html("another.html", link=link, rows=squares(link))

    async def style(self, _: Request) -> Response:
        """How the page looks."""
        return Response(templates().get_template("page.css").render(), media_type="text/css")

    def _known(self, request: Request) -> bool:
        return self._doors.knows(request.cookies.get(COOKIE, ""))

    async def _work(self, deed: Callable[[AtDesk], PhonePage], came: str | None = None) -> Response:
        """Do something at the desk, in its thread, and show what follows."""

        def done() -> tuple[str, str, bool]:
            view = deed(self._desk())
            return _drawn(view), view.at, view.replied

        try:
            text, at, replied = await asyncio.get_running_loop().run_in_executor(self._worker, done)
        except StoreTrouble as trouble:
            return _html("trouble.html", 503, told=f"{trouble.sentence} {trouble.suggestion}")
        if came is not None and at != came and not replied:
            return RedirectResponse("/", status_code=303)
        return HTMLResponse(text)


def squares(link: str) -> list[list[int]]:
    """The squares of a QR code (ISO/IEC 18004) by rows, with the quiet border of four that a reader needs."""
    return [list(row) for row in segno.make(link, error="m").matrix_iter(border=4)]


async def _form(request: Request) -> list[tuple[str, str]]:
    """The fields of a form; none of one that is no form."""
    try:
        return parse_qsl((await request.body()).decode(), keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:
        return []


def _line(given: list[tuple[str, str]]) -> str:
    """What was entered, as it would be typed: ticks by commas; a word, its text, the unit that was tapped."""
    one = dict(given)
    picked = ",".join(value for name, value in given if name == "pick")
    words = (one.get("word", ""), picked or one.get("line", ""), one.get("unit", ""))
    return " ".join(" ".join(words).split())[:LONGEST]


def _html(name: str, status: int = 200, **given: Any) -> Response:
    return HTMLResponse(templates().get_template(name).render(**given), status_code=status)


def _drawn(view: PhonePage) -> str:
    """The page of a view as HTML."""
    return templates().get_template("page.html").render(**view.fields)
