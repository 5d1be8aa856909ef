"""The store agrees with a plain list, whatever is done in whatever order, over reopenings and from two windows."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

from coldiron.jobs.log import Entry
from coldiron.jobs.store import Store, open_store
from coldiron.jobs.trouble import Conflict

TEXT = st.text(st.characters(codec="utf-8"), max_size=8)
ENTRIES = st.lists(st.builds(Entry, TEXT, TEXT, TEXT), min_size=1, max_size=3)


class StoreAgainstList(RuleBasedStateMachine):
    """`model` holds each job's entries in a list; two windows work on the same file."""

    jobs = Bundle("jobs")

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.model: dict[int, list[Entry]] = {}
        self.remarks: dict[int, str] = {}
        self.windows: list[Store] = []

    @initialize()
    def open_windows(self) -> None:
        self.windows = [open_store(self.folder / "jobs"), open_store(self.folder / "jobs")]

    @rule(target=jobs, window=st.integers(0, 1), name=TEXT)
    def create(self, window: int, name: str) -> int:
        job = self.windows[window].create(name, "hash", "0")
        assert job.id not in self.model
        self.model[job.id] = []
        self.remarks[job.id] = ""
        return job.id

    @rule(window=st.integers(0, 1), job=jobs, entries=ENTRIES)
    def append(self, window: int, job: int, entries: list[Entry]) -> None:
        events = self.windows[window].append_all(job, len(self.model[job]), entries)
        self.model[job] += entries
        assert events[-1].seq == len(self.model[job])

    @rule(window=st.integers(0, 1), job=jobs, entries=ENTRIES, off=st.integers(-3, 3).filter(bool))
    def append_with_the_wrong_number(self, window: int, job: int, entries: list[Entry], off: int) -> None:
        with pytest.raises(Conflict) as caught:
            self.windows[window].append_all(job, len(self.model[job]) + off, entries)
        assert caught.value.latest == len(self.model[job])

    @rule(window=st.integers(0, 1), job=jobs, text=TEXT)
    def remark(self, window: int, job: int, text: str) -> None:
        self.windows[window].remark(job, "", text)
        self.remarks[job] = text

    @rule(window=st.integers(0, 1))
    def reopen(self, window: int) -> None:
        self.windows[window].close()
        self.windows[window] = open_store(self.folder / "jobs")

    @rule()
    def leave_and_come_back(self) -> None:
        for store in self.windows:
            store.close()
        self.open_windows()

    @invariant()
    def both_windows_see_the_list(self) -> None:
        for store in self.windows:
            listed = {job.id: (job.answers, job.summary) for job in store.jobs()}
            assert listed == {job: (len(entries), self.remarks[job]) for job, entries in self.model.items()}
            for job, entries in self.model.items():
                events = store.events(job)
                assert [Entry(*event[1:4]) for event in events] == entries
                assert [event.seq for event in events] == list(range(1, len(entries) + 1))

    def teardown(self) -> None:
        for store in self.windows:
            store.close()
        shutil.rmtree(self.folder)


TestStoreAgainstList = StoreAgainstList.TestCase
TestStoreAgainstList.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
