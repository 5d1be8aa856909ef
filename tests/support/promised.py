"""What checks promise to settle, by a job: a cause and its victim hidden in a simulated machine, answered truly."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from coldiron import Consultation, Question
from coldiron.agenda.agenda import BEST
from coldiron.judging.composing import setup_of
from coldiron.judging.judgement import Judgement
from support.found import machine_of, mechanic
from support.mechanic import shipped

LONGEST = 60
"""Answers after which a job is left."""

PAIRS = (
    ("start_relay", "key_feed_wire.chafed", "main_link.blown"),
    ("interlocks", "key_feed_wire.chafed", "main_link.blown"),
    ("interlocks", "cab_feed.chafed", "main_link.blown"),
    ("isolator_24", "run_feed.chafed", "run_link.blown"),
    ("isolator_24", "key_feed_wire.chafed", "key_fuse.blown"),
    ("isolator_24", "switched_feed.chafed", "run_link.blown"),
    ("isolator_24", "relay_feed_wire.chafed", "key_link.blown"),
    ("jump_posts", "battery_cable.chafed", "battery_fuse.blown"),
    ("start_relay", "battery.flat", "start_relay.welded"),
)
"""Machines with a cause and a victim that hides it."""

Pair = tuple[str, str, str]


@dataclass(frozen=True)
class Promise:
    """Of one check, the share of the doubt that its page promised to settle, and what its answer settled."""

    check: str
    promised: float
    settled: float


@dataclass(frozen=True)
class Job:
    """One job up to the first repair: answers given, minutes by the book, and its promises."""

    answers: int
    minutes: float
    promises: tuple[Promise, ...]


def drawn(circuit: str, count: int, seed: int) -> list[Pair]:
    """So many causes of a machine, each with a victim that the book says it may bring."""
    links = sorted((link.cause, link.victim) for link in setup_of(shipped(), circuit).table.model.links)
    chance = random.Random(f"pairs {seed} {circuit}")  # noqa: S311 - no secret
    return [(circuit, *pair) for pair in chance.sample(links, min(count, len(links)))]


def worked(pair: Pair, seed: int, look: Callable[[Judgement, str], None] | None = None) -> Job:
    """Work a job until a repair is named; `look` is shown every check that promises something before it is done."""
    circuit, *faults = pair
    him = mechanic(circuit, faults, machine_of(seed, *faults))
    job, answers, found = Consultation(shipped()), 0, []
    while answers < LONGEST and (asked := job.next) is not None and not _is_repair(asked):
        judged = job.judged
        told = asked.kind == "check" and (asked.why or "").startswith(BEST)
        if told and judged and look:
            look(judged, asked.id)
        job, answers = job.answer(asked.id, him.answer(asked), sure=True), answers + 1
        if told and judged and job.judged and (before := doubt(judged)) > 0:
            found.append(Promise(asked.id, _promised(judged), 1 - doubt(job.judged) / before))
    return Job(answers, job.minutes, tuple(found))


def _promised(judged: Judgement) -> float:
    """The share of the doubt that the words of the page stand for."""
    return judged.settled(judged.choice.bits) if judged.choice else 0.0


def _is_repair(asked: Question) -> bool:
    return asked.kind == "repair" or asked.step in shipped().faults


def doubt(judged: Judgement) -> float:
    """Bits of doubt about what to repair first, and whether the book knows it."""
    return judged.judge.pool(judged.belief).doubt


def bands(promises: list[Promise]) -> Iterator[tuple[float, float, list[Promise]]]:
    """Promises by how much they promise: lower edge, upper edge, those between."""
    edges = (0.0, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 1.01)
    for low, high in pairwise(edges):
        if inside := [one for one in promises if low <= one.promised < high]:
            yield low, high, inside
