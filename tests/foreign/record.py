"""A machine of a file: what it is, its elements, how things stand, its faults and events."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from foreign.elements import AnyElement, Key, NotNegative, Positive, Share, Strict

Does = Literal[
    "normal",
    "dead",
    "part_dead",
    "weak",
    "silent",
    "click",
    "clunk",
    "chatter",
    "slow",
    "dies",
    "spins",
    "turns_itself",
    "cranks_no_run",
    "dies_at_release",
    "will_not_stop",
    "flat_later",
]
"""What a machine does, as its owner would say it; README.md tells them."""

Act = Literal["charge", "renew", "clean", "tighten", "mend", "adjust", "set_right", "fit_fuse", "remove", "thaw"]
"""What mends a fault."""

Size = float | tuple[float, float]


class Change(Strict):
    """A field of an element becomes another: one figure, or [mild, severe]; `open` cuts the element."""

    of: str
    what: str = ""
    to: Size | str | None = None
    open: bool = False


class Added(Strict):
    """A path that should not be there, in ohms from mild to severe."""

    a: str
    b: str
    ohm: Size


class Fault(Strict):
    """One way in which this machine fails.

    `weight` is calls in a thousand; `does` what it may be told as, all that the solver must come to; `victims` are
    faults that it brings with it; `book` is false for what no book of such machines is likely to know. `looks`,
    `smells`, `feels` and `hears` are what is found at a part: sentences by trade part.
    """

    name: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    words: str
    part: str
    weight: Positive
    mends: tuple[Act, ...]
    does: tuple[Does, ...]
    change: tuple[Change, ...] = ()
    add: tuple[Added, ...] = ()
    stands: Mapping[str, str] = Field(default_factory=dict)
    victims: tuple[str, ...] = ()
    shows_when: Literal["", "shaken", "wet", "warm", "cold", "now_and_then"] = ""
    book: bool = True
    looks: Mapping[str, str] = Field(default_factory=dict)
    smells: Mapping[str, str] = Field(default_factory=dict)
    feels: Mapping[str, str] = Field(default_factory=dict)
    hears: Mapping[str, str] = Field(default_factory=dict)
    story: tuple[str, ...] = ()


class Event(Strict):
    """Something that happened to the machine and hurt several parts at once: faults by name."""

    name: str
    words: str
    weight: Positive
    faults: tuple[str, ...]
    story: tuple[str, ...] = ()


class Seen(Strict):
    """What an owner or an eye can say of the machine; the values are in README.md."""

    owner_calls_it: str
    start_way: Literal[
        "key",
        "relay",
        "relay_one_switch",
        "relay_switches",
        "coded_key",
        "tracker",
        "controller",
        "set_controller",
        "series",
    ]
    interlocks: tuple[Literal["neutral", "seat", "brake", "lock", "clutch", "pto", "arm_bar"], ...] = ()
    isolator: Literal["none", "plus", "minus"] = "none"
    jump_posts: bool = False
    electronic: bool = False
    coded_key: bool = False
    tracker: bool = False
    stop: Literal["none", "one_winding", "two_windings", "fed_to_stop"] = "none"
    cold: Literal["none", "glow", "heater"] = "none"
    tap_12v: bool = False
    generating_set: bool = False


class Runs(Strict):
    """What must be for the engine to fire at START, or to run on at ON: volts at least, or at most, between points."""

    plus: str
    minus: str
    at: Key
    least: float = -1e9
    most: float = 1e9


class Healthy(Strict):
    """What the machine must read when nothing is wrong, each [from, to], and where the figures are from."""

    crank_volts: tuple[float, float]
    crank_amps: tuple[float, float]
    rest_ma: tuple[float, float] = (0.0, 60.0)
    volts: Mapping[str, tuple[float, float]] = Field(default_factory=dict)
    source: str


class Machine(Strict):
    """A whole machine. `stands` is every setting with its normal value; a job draws from `air_c` and `charge`."""

    name: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    says: str
    volts: Literal[12, 24]
    air_c: tuple[float, float]
    charge: tuple[Share, Share] = (0.85, 1.0)
    oil_thin: Annotated[float, Field(ge=0.5, le=2.0)] = 1.0
    reference: str = "battery_minus"
    stands: Mapping[str, str] = Field(default_factory=dict)
    elements: tuple[AnyElement, ...]
    seen: Seen
    runs: tuple[Runs, ...] = ()
    healthy: Healthy
    faults: tuple[Fault, ...]
    events: tuple[Event, ...] = ()
    source: str
    slow_below: NotNegative = 0.75
