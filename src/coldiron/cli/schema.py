"""`coldiron schema`: print the JSON schema of scripts and their events."""

from __future__ import annotations

from pathlib import Path

from coldiron import screens
from coldiron.cli.exits import DONE
from coldiron.terminal import record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Container


def arguments(parser: argparse.ArgumentParser, _: Container[str]) -> None:
    """Say what runs; this command takes no arguments."""
    parser.set_defaults(run=_run)


def _run(_: argparse.Namespace) -> int:
    published = Path(screens.__path__[0], "script_schema.json")
    for line in published.read_text(encoding="utf-8").splitlines():
        record(line)
    return DONE
