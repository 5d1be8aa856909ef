"""A pytest plugin: a failure is all that is wanted, so no smaller one is looked for, and none is kept for later."""

from __future__ import annotations

from hypothesis import Phase, settings


def pytest_configure() -> None:
    """The settings of `conftest.py`, with the same examples every time."""
    settings.register_profile(
        "first failure", deadline=None, derandomize=True, database=None, phases=(Phase.explicit, Phase.generate)
    )
    settings.load_profile("first failure")
