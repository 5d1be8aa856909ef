"""What a machine of a file is made of: batteries, wires, switches, relays, starters and what else is between points."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Share = Annotated[float, Field(ge=0, le=1)]
Key = Literal["off", "heat", "on", "start"]
Standing = Annotated[str, Field(pattern=r"^[a-z0-9_]+=[a-z0-9_]+$")]


class Strict(BaseModel):
    """A record of a file: what it does not know is a mistake."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Element(Strict):
    """What all elements have.

    `part` is the trade part it belongs to; its own id if left out. `keys` and `only` are when it is there: at these key
    positions, and while all these settings stand so.
    """

    id: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    part: str = ""
    words: str = ""
    keys: tuple[Key, ...] = ()
    only: tuple[Standing, ...] = ()


class Battery(Element):
    """Lead-acid, 12 V unless it says otherwise; `cca` amps at -18 C, `age` a factor on its inner ohms."""

    kind: Literal["battery"]
    plus: str
    minus: str
    cca: Positive
    ah: Positive
    charge: Share = 1.0
    age: Positive = 1.0
    cells: int = 6
    lost_cells: NotNegative = 0.0
    turned: Literal[0, 1] = 0
    opens_above: Positive = 1e9


class Two(Element):
    """Something between two points."""

    a: str
    b: str


class Wire(Two):
    """Copper of so many square millimeters and meters; `j` milliohms of its joints, `mohm` what was added."""

    kind: Literal["wire"]
    mm2: Positive
    m: Positive
    j: NotNegative = 0.0
    mohm: NotNegative = 0.0


class Resistor(Two):
    """A joint, a fuse, a contact of a switch, in milliohms."""

    kind: Literal["joint", "fuse", "switch"]
    mohm: Positive
    amp: Positive = 1e9


class Load(Two):
    """Something that draws, in ohms."""

    kind: Literal["load"]
    ohm: Positive


class Lamp(Two):
    """A filament of so many watts at `volts`; `seen` says which lamp of the machine it is."""

    kind: Literal["lamp"]
    watts: Positive
    volts: Positive
    seen: Literal["", "dash", "clock", "work", "charge", "engine", "glow"] = ""
    bright: Share = 0.75
    dim: Share = 0.25


class Diode(Two):
    """Lets current from a to b."""

    kind: Literal["diode"]
    drop: Positive = 0.7
    mohm: Positive = 20.0


class Alternator(Element):
    """Standing still it leaks through `leak_ohm`; running it holds `charge_volts`."""

    kind: Literal["alternator"]
    out: str
    case: str
    leak_ohm: Positive = 20_000.0
    charge_volts: NotNegative = 14.3
    mohm: Positive = 20.0


class Relay(Element):
    """`contact` closes once the coil has `pull` volts and opens below `hold`; `rest` is closed without coil volts."""

    kind: Literal["relay"]
    coil: tuple[str, str]
    ohm: Positive
    contact: tuple[str, str]
    mohm: Positive
    pull: Positive
    hold: Positive
    rest: tuple[str, str] | None = None
    ms: Positive = 12.0
    heard: Literal["", "small", "big"] = "small"
    stuck: Literal["", "open", "closed"] = ""


class Need(Strict):
    """So many volts between two points; a driver that works lets go below `hold`."""

    plus: str
    minus: str
    volts: Positive
    hold: NotNegative = 0.0


class Driver(Two):
    """An output of a controller: closes from a to b while all it needs is there."""

    kind: Literal["driver"]
    mohm: Positive
    needs: tuple[Need, ...] = ()
    ms: Positive = 100.0
    stuck: Literal["", "open", "closed"] = ""


class Starter(Element):
    """Solenoid with two windings (ohms) and a motor.

    `pull` is volts at S that pull the plunger in, `hold` those that keep it. The motor: ohms of armature and field, and
    what it does on a healthy machine at 20 C: `crank_amps` at `crank_volts`, `rpm` of the engine. `drag` is a factor on
    the torque the engine asks for.
    """

    kind: Literal["starter"]
    stud: str
    s: str
    motor: str
    case: str
    pull_in: Positive
    hold_in: Positive
    pull: Positive
    hold: Positive
    contact_mohm: Positive
    armature_mohm: Positive
    crank_amps: Positive
    crank_volts: Positive
    rpm: Positive = 200.0
    free_amps: Positive = 90.0
    drag: Positive = 1.0
    slips: Literal[0, 1] = 0
    stuck: Literal["", "open", "closed"] = ""
    ms: Positive = 35.0


Any_ = Battery | Wire | Resistor | Load | Lamp | Diode | Alternator | Relay | Driver | Starter
AnyElement = Annotated[Any_, Field(discriminator="kind")]
