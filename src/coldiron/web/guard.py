"""What stands before every route: hosts and origins that are allowed, sizes and times, and headers on every answer.

A page of somebody else in the same browser can send requests here, and can give its own name our address. So the host
is looked at before anything else, and nothing is taken from a page that is not ours (Fetch: `Origin`,
Fetch Metadata: `Sec-Fetch-Site`).
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

MOST_BYTES = 64_000
"""Of what one form may send."""

MOST_SECONDS = 10.0
"""In which it must have come."""

METHODS = ("GET", "HEAD", "POST")

HEADERS = (
    (
        b"content-security-policy",
        b"default-src 'none'; style-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'",
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"same-origin"),  # with `no-referrer` a browser would send `Origin: null` with our own forms
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
    (b"cache-control", b"no-store"),
)
"""On every answer, refusals included."""


class Guard:
    """Lets through to `app` what comes to one of `hosts` (name and port), and writes from its own pages only."""

    def __init__(self, app: App, hosts: tuple[str, ...]) -> None:
        self._app = app
        self._hosts = frozenset(host.encode("ascii") for host in hosts)

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Look at one request; anything that is no request of the web is not served."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        refused = self._refused(scope)
        if refused:
            await _answer(_with_headers(send), *refused)
            return
        body = await _whole(receive) if scope["method"] == "POST" else b""
        if body is None:
            await _answer(_with_headers(send), 413, "That is too long, or it came too slowly.")
            return
        await self._app(scope, _given(body), _with_headers(send))

    def _refused(self, scope: Message) -> tuple[int, str] | None:
        """The status and the words of a refusal; None if it may go on."""
        headers: list[tuple[bytes, bytes]] = scope["headers"]
        hosts = [value for name, value in headers if name == b"host"]
        if len(hosts) != 1 or hosts[0] not in self._hosts:
            return 421, "This is not the address of this page. Use the link that the terminal shows."
        if scope["method"] not in METHODS:
            return 405, "That is not done here."
        if scope["method"] != "POST":
            return None
        origins = [value for name, value in headers if name == b"origin"]
        sites = [value for name, value in headers if name == b"sec-fetch-site"]
        if origins != [b"http://" + hosts[0]] or any(site != b"same-origin" for site in sites):
            return 403, "That came from another page. Nothing was taken."
        kinds = [value.partition(b";")[0].strip() for name, value in headers if name == b"content-type"]
        return None if kinds == [b"application/x-www-form-urlencoded"] else (415, "Only the forms of this page serve.")


async def _whole(receive: Receive) -> bytes | None:
    """What a form has sent; None if it is too long, or does not come to its end in time."""
    body = b""
    try:
        async with asyncio.timeout(MOST_SECONDS):
            while True:
                message = await receive()
                if message["type"] != "http.request":
                    return None
                body += bytes(message.get("body", b""))
                if len(body) > MOST_BYTES:
                    return None
                if not message.get("more_body", False):
                    return body
    except TimeoutError:
        return None


def _given(body: bytes) -> Receive:
    async def receive() -> Message:
        return {"type": "http.request", "body": body, "more_body": False}

    return receive


def _with_headers(send: Send) -> Send:
    """What sends an answer with the headers that are on all of them."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            ours = {name for name, _ in HEADERS}
            message["headers"] = [one for one in message.get("headers", []) if one[0] not in ours] + list(HEADERS)
        await send(message)

    return sending


async def _answer(send: Send, status: int, words: str) -> None:
    body = words.encode()
    kind = (b"content-type", b"text/plain; charset=utf-8")
    length = (b"content-length", str(len(body)).encode())
    await send({"type": "http.response.start", "status": status, "headers": [kind, length]})
    await send({"type": "http.response.body", "body": body})
