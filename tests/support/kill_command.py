"""Kills the real command at random moments while answers are typed to it, and looks what is left.

It takes any command that prints how many answers are saved. Over a pipe the answers lie ready and are taken as fast as
they can be; on a terminal they are typed key by key.
"""

from __future__ import annotations

import random
import re
import signal
import subprocess
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from support.terminal import Terminal

Log = list[str]
"""The values of a job's log, in order."""


@dataclass
class Tally:
    """What the kills came to. `progress` counts the answers saved by commands that were killed."""

    kills: int = 0
    lost: int = 0
    doubled: int = 0
    unasked: int = 0
    progress: int = 0
    before_the_first_answer: int = 0
    log: Log = field(default_factory=list)


@dataclass(frozen=True)
class Victim:
    """A command to be killed.

    `begin` starts a job, `resume` goes on with it. `count` finds the number of answers saved in what is printed;
    `answer` makes the N-th line to type, each another; `log` reads the values of the job as they are on the disk.
    """

    begin: Sequence[str]
    resume: Sequence[str]
    env: Mapping[str, str]
    count: re.Pattern[str]
    answer: Callable[[int], str]
    log: Callable[[], Log]


def acknowledged(victim: Victim, printed: str) -> int:
    """The largest number of saved answers that was printed."""
    return max((int(number) for number in victim.count.findall(printed)), default=0)


def over_a_pipe(victim: Victim, command: Sequence[str], first: int, seconds: float) -> int:
    """Run, with plenty of answers lying ready, and kill; how many answers were said to be saved."""
    process = subprocess.Popen(command, env=victim.env, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert process.stdin
    assert process.stdout
    process.stdin.write("".join(f"{victim.answer(first + number)}\n" for number in range(40)).encode())
    process.stdin.flush()
    time.sleep(seconds)
    process.send_signal(signal.SIGKILL)
    printed = process.stdout.read().decode("utf-8", "replace")
    process.stdin.close()
    process.stdout.close()
    process.wait()
    return acknowledged(victim, printed)


def on_a_terminal(victim: Victim, command: Sequence[str], first: int, seconds: float) -> int:
    """Type answers, kill between two keys or while one is worked on; how many answers the screen said were saved."""
    shown = Terminal(command, env=victim.env)
    end = time.monotonic() + seconds
    best, number = 0, 0
    keys = ""
    while time.monotonic() < end:
        if not keys:
            keys = f"{victim.answer(first + number)}\r"
            number += 1
        shown.send(keys[:3])
        keys = keys[3:]
        shown.settle(0.005)
        best = max(best, acknowledged(victim, shown.text))
    shown.process.kill(signal.SIGKILL)
    shown.settle(0.1)
    best = max(best, acknowledged(victim, shown.text))
    shown.process.close(force=True)
    return best


def run(victim: Victim, kills: int, seed: int, longest: float, *, terminal_every: int = 5) -> Tally:
    """Kill so many times, each after a random time of at most `longest` seconds, and judge what is on the disk."""
    chance = random.Random(seed)  # noqa: S311 - moments to kill at, no secret
    tally = Tally()
    typed = 0
    for number in range(kills):
        command = victim.resume if tally.log else victim.begin
        kill = on_a_terminal if number % terminal_every == terminal_every - 1 else over_a_pipe
        said = kill(victim, command, typed, longest * chance.random())
        typed += 1000
        now = victim.log()
        tally.kills += 1
        tally.lost += now[: len(tally.log)] != tally.log or len(now) < said
        tally.doubled += len(now) - len(set(now))
        beyond = now[max(said, len(tally.log)) :]  # who goes on has parked what was left without a word
        tally.unasked += sum(not value.startswith("park ") for value in beyond) > 1
        tally.progress += len(now) - len(tally.log)
        tally.before_the_first_answer += len(now) == len(tally.log)
        tally.log = now
    return tally
