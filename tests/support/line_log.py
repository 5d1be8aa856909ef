"""A pytest plugin: which lines of some rooms each test runs, and what it costs.

`pytest -p support.line_log` with `LINE_LOG` set to a file, beside which the costs are written, and `LINE_ROOMS` to the
rooms. What is run while tests are loaded stands under no test.
"""

from __future__ import annotations

import os
from collections.abc import Generator
from pathlib import Path

import coverage
import pytest

LOADING = ""
"""The context of what is run before the first test, or between two."""

LOG = Path(os.environ["LINE_LOG"])
ROOMS = [f"coldiron.{room}" for room in os.environ["LINE_ROOMS"].split()]
_lines = coverage.Coverage(data_file=str(LOG), source_pkgs=ROOMS, config_file=False)
_lines.set_option("run:disable_warnings", ["module-not-imported", "no-data-collected"])
_costs: dict[str, float] = {}
_failed: set[str] = set()
_lines.start()


def spent() -> float:
    """Seconds of processor that this process and those it has waited for have taken."""
    return sum(os.times()[:4])


def pytest_collection_finish() -> None:
    """All until now was loading."""
    _costs[LOADING] = spent()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """Lines run from the setup of a test to the end of it are its own."""
    before = spent()
    _lines.switch_context(item.nodeid)
    try:
        return (yield)
    finally:
        _lines.switch_context(LOADING)
        _costs[item.nodeid] = spent() - before


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """A test that fails or is skipped even now tells nothing."""
    if not report.passed:
        _failed.add(report.nodeid)


def pytest_unconfigure() -> None:
    """Write the lines by test, and the costs by test."""
    _lines.stop()
    _lines.save()
    told = [f"{cost:.3f}\t{name}\n" for name, cost in _costs.items() if name not in _failed]
    LOG.with_suffix(".costs").write_text("".join(told), encoding="utf-8")
