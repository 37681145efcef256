"""What a scene is, once it has been read: frozen records, no behaviour beyond look-ups.

A *thing* is a body or a wheel: whatever has one coordinate. Every thing's coordinate has two direction words;
the first of each pair in `DIRECTIONS` is the one that counts as positive when nobody has chosen.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

DIRECTIONS: dict[str, tuple[str, str]] = {
    "vertical": ("up", "down"),
    "level": ("right", "left"),
    "slope": ("upslope", "downslope"),
    "wheel": ("clockwise", "counterclockwise"),
}

OPPOSITE: dict[str, str] = {a: b for pair in DIRECTIONS.values() for a, b in (pair, pair[::-1])}


@dataclass(frozen=True)
class Quantity:
    """A number with a unit, as written in the scene file.

    `value` is exact and in the coherent SI unit (degrees stay degrees); `text` is the number as written ("6.50"),
    `unit` the unit as written ("kg").
    """

    value: Fraction
    text: str
    unit: str


@dataclass(frozen=True)
class Friction:
    """Coefficients of dry friction; either may be missing."""

    kinetic: Quantity | None = None
    static: Quantity | None = None


@dataclass(frozen=True)
class Body:
    """A body that moves along one line. `moves` is vertical, level or slope; `angle` (degrees) goes with slope.

    `rests_on` names another body that carries this one in place of the ground: its surface gives N and friction
    (plusway's own extension of the scene file, for stacked bodies).
    """

    name: str
    index: int | None
    mass: Quantity
    moves: str
    angle: Quantity | None = None
    friction: Friction | None = None
    acceleration: tuple[str, Quantity] | None = None
    starts: tuple[str, Quantity] | None = None
    rests_on: str | None = None


@dataclass(frozen=True)
class Wheel:
    """A wheel that turns about one axis: `radius` in m, and `inertia` (kg m^2) or `mass` with `shape`."""

    name: str
    index: int | None
    radius: Quantity
    inertia: Quantity | None = None
    mass: Quantity | None = None
    shape: str | None = None
    drag: Quantity | None = None


@dataclass(frozen=True)
class Strand:
    """One end or bend of a rope on a thing, with the direction in which it pulls (or a contact pushes) the thing.

    `radius` only on wheels, and only where the strand does not act at the rim; its letter: `radius_symbol`.
    """

    thing: str
    direction: str
    radius: Quantity | None = None
    radius_symbol: str | None = None


@dataclass(frozen=True)
class Rope:
    """`hauled`: somebody or something reels the rope in or out, so its length is not kept (no tie follows from it)."""

    symbol: str
    pulls: tuple[Strand, ...]
    hauled: bool = False


@dataclass(frozen=True)
class Contact:
    """A place where things push on each other with one force. symbol: its letter, in N; pushes: every thing with the direction in which it is pushed."""

    symbol: str
    pushes: tuple[Strand, ...]


@dataclass(frozen=True)
class Rolling:
    """`wheel` is carried by `body` and rolls without slipping; `symbol` is the friction force that makes it turn.

    Convention: rolling to the right, and rolling upslope, turn the wheel clockwise.
    """

    body: str
    wheel: str
    symbol: str


@dataclass(frozen=True)
class OutsideForce:
    """A given force. `angle` (degrees) tilts it away from the surface, negative into it; `angle_symbol` names it.

    On a wheel: a force at the rim, or a torque where the unit of `size` is one of torque (`is_torque`).
    """

    symbol: str
    on: str
    direction: str
    size: Quantity
    angle: Quantity | None = None
    angle_symbol: str | None = None

    @property
    def is_torque(self) -> bool:
        """Whether its size is a torque, in N m."""
        return " " in self.size.unit


@dataclass(frozen=True)
class Symbol:
    """One letter of the scene: its canonical name ("m_1", "T", "mu_k", "theta", "alpha"), what it stands for, and its
    given value where it has one.

    kind: mass, weight, acceleration, normal, friction, tension, contact, rolling, outside, angle, force_angle, mu_k,
    mu_s, radius, strand_radius, inertia, wheel_mass, alpha, drag, gravity, time, speed, distance, shared_acceleration.
    thing: the body or wheel it belongs to (a rolling force: the body), or None.
    unit: coherent SI unit as written on screen ("m/s^2", "1").
    """

    name: str
    kind: str
    thing: str | None
    unit: str
    given: Quantity | None = None


@dataclass(frozen=True)
class Scene:
    """One problem. `name` as it is found by; g in m/s^2; `distance` (m) where time and speed are asked; `symbols` {canonical name: what it stands for}; `notation` the class's
    letters {weight, normal, friction, inertia: letter}; `digest` a fingerprint of what it says."""

    name: str
    title: str
    story: str
    g: Quantity
    bodies: dict[str, Body]
    wheels: dict[str, Wheel]
    ropes: tuple[Rope, ...]
    contacts: tuple[Contact, ...]
    rolling: tuple[Rolling, ...]
    forces: tuple[OutsideForce, ...]
    asked: tuple[str, ...]
    distance: Quantity | None
    symbols: dict[str, Symbol] = field(default_factory=dict)
    notation: dict[str, str] = field(default_factory=dict)
    decimal_comma: bool = False
    digest: str = ""
    topic: str = ""
    file: str = field(default="", compare=False)  # what messages call the file that it came from

    @property
    def things(self) -> tuple[str, ...]:
        """Names of all that has a coordinate: bodies, then wheels, in the order of the file."""
        return (*self.bodies, *self.wheels)

    def directions(self, thing: str) -> tuple[str, str]:
        """The two direction words of a thing, the default positive one first."""
        return DIRECTIONS[self.bodies[thing].moves if thing in self.bodies else "wheel"]

    def symbol_of(self, kind: str, thing: str | None) -> str | None:
        """The name of the symbol of that kind that belongs to that thing, or None.

        Bodies on slopes of one angle share the symbol `theta`; it is found for each of them.
        """
        for s in self.symbols.values():
            if s.kind == kind and s.thing == thing:
                return s.name
        if kind == "angle" and thing in self.bodies and self.bodies[thing].angle is not None:
            return self.symbol_of(kind, None)
        return None
