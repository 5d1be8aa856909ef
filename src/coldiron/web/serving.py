"""The page served: a socket at one address, one thread for the job, until it is interrupted."""

from __future__ import annotations

import asyncio
import ipaddress
import socket
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import cache

import uvicorn

from coldiron.web.app import AtDesk, page_app, squares
from coldiron.web.doors import Doors

HERE = "127.0.0.1"
"""The address that no other machine can reach."""

ELSEWHERE = "192.0.2.1"
"""An address for documents (RFC 5737): a socket that is pointed there tells which address of ours it would use."""

MOST_CONNECTIONS = 64
"""At the same time; more are told to wait."""


def lan_address() -> str:
    """Return the private address of this machine on its network; empty if it has none."""
    with suppress(OSError, ValueError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        one.connect((ELSEWHERE, 9))  # of a datagram socket: nothing is sent
        found = ipaddress.ip_address(one.getsockname()[0])
        if found.is_private and not found.is_loopback and not found.is_unspecified:
            return str(found)
    return ""


def listening(address: str, port: int) -> socket.socket:
    """Return a socket that listens at one address.

    Raises:
        OSError: the port is taken, or the address is not ours.
    """
    return socket.create_server((address, port))


def picture(link: str) -> str:
    """Return the QR code of a link for a terminal, two rows of squares a line, light squares drawn."""
    rows = squares(link)
    rows += [[0] * len(rows[0])] * (len(rows) % 2)
    marks = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return "\n".join("".join(marks[bool(a), bool(b)] for a, b in zip(*pair, strict=True)) for pair in pairs)


def serve(door: socket.socket, opened: Callable[[], AtDesk], ready: Callable[[str], None]) -> None:
    """Serve the page of a job until it is interrupted.

    Args:
        door: where it listens, see `listening`.
        opened: opens the job; called once, in the thread in which all is done with it.
        ready: told the first link, once the job is open.

    Raises:
        StoreTrouble: the job cannot be had.
    """
    address, port = door.getsockname()[:2]
    names = (address, "localhost") if address == HERE else (address,)
    doors = Doors()
    with door, ThreadPoolExecutor(1, "job") as worker:
        desk = cache(opened)
        worker.submit(desk).result()
        app = page_app(desk, doors, worker, tuple(f"{name}:{port}" for name in names))
        ready(f"http://{address}:{port}/in/{doors.link()}")
        with suppress(KeyboardInterrupt):
            asyncio.run(uvicorn.Server(_config(app)).serve(sockets=[door]))


def _config(app: object) -> uvicorn.Config:
    """Settings of the server: it says nothing of itself, believes no proxy, and drops who waits too long."""
    return uvicorn.Config(
        app,  # type: ignore[arg-type] # its own names for the same three
        http="h11",
        ws="none",
        lifespan="off",
        loop="asyncio",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_CONNECTIONS,
        timeout_keep_alive=5,
        timeout_graceful_shutdown=2,
        h11_max_incomplete_event_size=16_000,
    )
