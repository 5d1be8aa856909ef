"""The collector rests where it is asked to, and is left as it was."""

from __future__ import annotations

import gc

import pytest

from coldiron.garbage import Resting


@pytest.mark.parametrize("running", [True, False])
def test_the_collector_is_left_as_it_was(running: bool) -> None:  # noqa: FBT001 - a parameter of the test
    """Also where what was done meanwhile fails."""
    before = gc.isenabled()
    try:
        (gc.enable if running else gc.disable)()
        with Resting():
            assert not gc.isenabled()
        assert gc.isenabled() is running
        with pytest.raises(ZeroDivisionError), Resting():
            1 / 0  # noqa: B018 - what fails meanwhile
        assert gc.isenabled() is running
    finally:
        (gc.enable if before else gc.disable)()
