"""What holds for all tests."""

from __future__ import annotations

import os
import shutil
import tempfile

import pytest  # noqa: TC002 - its options are named in annotations that pytest reads
from hypothesis import settings

from support.sizes import THOROUGH

# Laws are tested here, not times; a busy machine must not fail them. Everyone's own runs look for new examples; the
# thorough run judges a change, so it looks at the same ones each time.
settings.register_profile("coldiron", deadline=None, derandomize=THOROUGH)
settings.load_profile("coldiron")

SLOW = {"book", "outside", "yard", "foreign"}
"""Folders whose tests work jobs on whole machines, hundreds of them."""

# No test reads or writes what the user keeps. Workers of one run share the folder of the process that started them, and
# so do the runs that `mutants.py` starts.
os.environ.pop("COLDIRON_BOOK", None)
_OWN = not os.environ.keys() & {"PYTEST_XDIST_WORKER", "RUN_OF_MUTANTS"}
if _OWN:
    _FOLDER = tempfile.mkdtemp(prefix="coldiron-tests-")
    os.environ["COLDIRON_CACHE"] = os.path.join(_FOLDER, "cache")  # noqa: PTH118 - a text is wanted
    os.environ["COLDIRON_HOME"] = os.path.join(_FOLDER, "home")  # noqa: PTH118 - likewise


def pytest_addoption(parser: pytest.Parser) -> None:
    """Recorded consultations are written anew only when it is asked for."""
    parser.addoption(
        "--update-recordings", action="store_true", help="record the consultations of transcripts_demo anew"
    )


def pytest_unconfigure() -> None:
    """Take the folder away again."""
    if _OWN:
        shutil.rmtree(_FOLDER, ignore_errors=True)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The slow tests go over the same lines thousands of times: the others are enough to count which are reached."""
    for item in items:
        if item.get_closest_marker("slow") or item.path.parent.name in SLOW:
            item.add_marker("no_cover")
