"""Worked examples of others, kept as data with their sources in tests/fixtures."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[1] / "fixtures"


def known(name: str) -> Any:
    """The examples of one file, by name."""
    return json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
