"""A scene as a system of coordinates and links, along the default positive directions, before anything is solved.

Every force that a rope, contact, surface or bearing exerts is one multiplier. The same row of coefficients gives its
forces and the displacements that it allows: virtual work is the whole model.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from ..algebra import Poly
from ..scene.model import OPPOSITE, Body, OutsideForce, Scene, Strand
from .errors import MechanicsError
from .exact import cosine, sine
from .letters import Letters
from .setup import Balance, Term

HOLDING_TORQUE = "tau_h"  # what a bearing's friction exerts while the wheel is at rest: at most tau_f

SHAPES = {"disk": Fraction(1, 2), "hoop": Fraction(1), "sphere": Fraction(2, 5)}


@dataclass(frozen=True)
class Part:
    """What a link does to one thing when its multiplier is positive: `direction` and `size` are for one equation."""

    thing: str
    direction: str
    size: Poly
    strands: int = 1
    other: str | None = None


@dataclass(frozen=True)
class Link:
    """One multiplier. A rope or contact is one-sided (never negative); dry friction lies between -hold and +hold while
    it sticks and is slide in size while it slides. hold None: no limit is known. law: slide as a polynomial.
    """

    symbol: str
    kind: str  # rope, contact, rolling, friction, drag
    row: Mapping[str, Fraction]
    poly_row: Mapping[str, Poly]
    parts: tuple[Part, ...]
    hold: Fraction | None = None
    slide: Fraction = Fraction(0)
    law: Poly | None = None
    hauled: bool = False

    @property
    def dry(self) -> bool:
        return self.kind in ("rolling", "friction", "drag")

    def along(self, motion: Mapping[str, Fraction]) -> Fraction:
        """The row applied to speeds or accelerations: how fast the link lengthens, parts or slips."""
        return sum((c * motion[t] for t, c in self.row.items()), Fraction(0))


@dataclass
class System:
    """Filled by `build`; read by everything after it."""

    scene: Scene
    letters: Letters
    inertia: dict[str, Fraction] = field(default_factory=dict)
    inertia_poly: dict[str, Poly] = field(default_factory=dict)
    acc: dict[str, str] = field(default_factory=dict)
    outside: dict[str, Fraction] = field(default_factory=dict)
    terms: dict[str, list[Term]] = field(default_factory=dict)
    balances: dict[str, Balance] = field(default_factory=dict)
    normal: dict[str, Fraction] = field(default_factory=dict)
    lifted: list[str] = field(default_factory=list)
    laws: dict[str, Poly] = field(default_factory=dict)
    links: list[Link] = field(default_factory=list)
    prescribed: dict[str, Fraction] = field(default_factory=dict)
    live: set[str] = field(default_factory=set)
    notes: list[str] = field(default_factory=list)

    @property
    def given(self) -> dict[str, Fraction]:
        return self.letters.given

    def sign(self, thing: str, word: str) -> int:
        """+1 where the word is the thing's default positive direction."""
        return 1 if self.scene.directions(thing)[0] == word else -1


def build(scene: Scene) -> System:
    """The system of a scene; MechanicsError where bodies that rest on one another do not fit."""
    system = System(scene, Letters(scene))
    system.given.setdefault("g", scene.g.value)
    for body in scene.bodies.values():
        _add_body(system, body)
    for name in scene.wheels:
        _add_wheel(system, name)
    for force in scene.forces:
        _add_outside(system, force)
    for name in scene.bodies:
        _normal(system, name, ())
    for rope in scene.ropes:
        _add_strands(system, rope.symbol, "rope", rope.pulls, bool(getattr(rope, "hauled", False)))
    for contact in scene.contacts:
        _add_strands(system, contact.symbol, "contact", contact.pushes, False)
    _add_surfaces(system)
    return system


def _add_body(system: System, body: Body) -> None:
    letters, name = system.letters, body.name
    m = Poly.symbol(letters.datum("mass", name, body.mass))
    system.inertia[name] = body.mass.value
    system.acc[name] = letters.name("acceleration", name)
    system.inertia_poly[name] = m * Poly.symbol(system.acc[name]) if body.mass.value else Poly()
    system.outside[name] = Fraction(0)
    system.terms[name] = []
    if body.acceleration is not None:
        word, size = body.acceleration
        system.prescribed[name] = system.sign(name, word) * size.value
    weight = m * Poly.symbol("g")
    symbol = letters.name("weight", name)
    system.laws[symbol] = weight
    if not body.mass.value:
        return
    pull = body.mass.value * system.scene.g.value
    if body.moves == "level":
        return
    if body.moves == "slope":
        angle = _angle(system, body)
        system.given[f"sin({angle})"] = sine(system.given[angle])
        system.given[f"cos({angle})"] = cosine(system.given[angle])
        weight = weight * Poly.symbol(f"sin({angle})")
        pull *= system.given[f"sin({angle})"]
    system.outside[name] -= pull
    system.terms[name].append(Term(symbol, "weight", name, "down", -1, weight))


def _angle(system: System, body: Body) -> str:
    if body.angle is None:
        raise MechanicsError(f'{body.name} moves on a slope without an angle: give it one, such as angle = "30 deg"')
    return system.letters.datum("angle", body.name, body.angle)


def _add_wheel(system: System, name: str) -> None:
    wheel, letters = system.scene.wheels[name], system.letters
    radius = Poly.symbol(letters.datum("radius", name, wheel.radius))
    inertia = letters.name("inertia", name)
    if wheel.inertia is not None:
        inertia = letters.datum("inertia", name, wheel.inertia)
        system.inertia[name] = wheel.inertia.value
    elif wheel.mass is not None and wheel.shape in SHAPES:
        factor = SHAPES[wheel.shape]
        mass = letters.datum("wheel_mass", name, wheel.mass)
        system.laws[inertia] = Poly.symbol(mass) * radius * radius * factor
        system.inertia[name] = factor * wheel.mass.value * wheel.radius.value**2
    else:
        raise MechanicsError(f"{name} has neither an inertia nor a mass with a shape (disk, hoop or sphere)")
    system.acc[name] = letters.name("alpha", name)
    system.inertia_poly[name] = Poly.symbol(inertia) * Poly.symbol(system.acc[name])
    system.outside[name] = Fraction(0)
    system.terms[name] = []
    if wheel.drag is not None and wheel.drag.value:
        drag = letters.datum("drag", name, wheel.drag)
        word = system.scene.directions(name)[0]
        system.links.append(
            Link(
                drag,
                "drag",
                {name: Fraction(1)},
                {name: Poly.const(1)},
                (Part(name, word, Poly.symbol(drag)),),
                wheel.drag.value,
                wheel.drag.value,
            )
        )


def _add_outside(system: System, force: OutsideForce) -> None:
    """A given force along the line (its component, where it is tilted), or a given torque on a wheel."""
    on, size = force.on, Poly.symbol(force.symbol)
    system.given.setdefault(force.symbol, force.size.value)
    value = force.size.value
    if on in system.scene.wheels and not force.is_torque:
        radius = system.scene.wheels[on].radius
        size = Poly.symbol(system.letters.datum("radius", on, radius)) * size
        value *= radius.value
    if force.angle is not None and force.angle.value:
        tilt = _tilt(system, force)
        size = size * Poly.symbol(f"cos({tilt})")
        value *= system.given[f"cos({tilt})"]
    sign = system.sign(on, force.direction)
    system.outside[on] += sign * value
    system.terms[on].append(Term(force.symbol, "outside", on, force.direction, sign, size))


def _tilt(system: System, force: OutsideForce) -> str:
    """The letter of a force's angle, with its sine and cosine among the data."""
    assert force.angle is not None
    name = force.angle_symbol or system.letters.datum("force_angle", force.on, force.angle, also=(force.symbol,))
    system.given.setdefault(name, force.angle.value)
    system.given[f"sin({name})"] = sine(force.angle.value)
    system.given[f"cos({name})"] = cosine(force.angle.value)
    return name


def _normal(system: System, name: str, above: tuple[str, ...]) -> Fraction | None:
    """The normal force of a body on a surface, after those of all bodies that rest on it."""
    body = system.scene.bodies[name]
    if name in system.normal or body.moves == "vertical":
        return system.normal.get(name)
    if name in above:
        raise MechanicsError(f"{name} rests on itself, by way of {', '.join(above)}")
    if body.rests_on is not None:
        lower = system.scene.bodies.get(body.rests_on)
        if (
            lower is None
            or lower.moves != body.moves
            or (lower.angle and lower.angle.value) != (body.angle and body.angle.value)
        ):
            raise MechanicsError(f"{name} rests on {body.rests_on}, so both must move along the same line")
    out, into = ("up", "down") if body.moves == "level" else ("away", "into")
    letters = system.letters
    n = letters.name("normal", name)
    weight = letters.name("weight", name)
    parts: list[tuple[str, str, int, Poly]] = []
    value = Fraction(0)
    if body.mass.value:
        press, size = system.laws[weight], body.mass.value * system.scene.g.value
        if body.moves == "slope":
            angle = _angle(system, body)
            press = press * Poly.symbol(f"cos({angle})")
            size *= system.given.setdefault(f"cos({angle})", cosine(system.given[angle]))
        parts.append((weight, "down", -1, press))
        value += size
    for force in system.scene.forces:
        if force.on == name and force.angle is not None and force.angle.value:
            tilt = _tilt(system, force)
            lift = system.given[f"sin({tilt})"]
            poly = Poly.symbol(force.symbol) * Poly.symbol(f"sin({tilt})")
            parts.append((force.symbol, force.direction, 1 if lift > 0 else -1, poly if lift > 0 else -poly))
            value -= force.size.value * lift
    for other in system.scene.bodies.values():
        if other.rests_on == name:
            upper = _normal(system, other.name, (*above, name)) or Fraction(0)
            symbol = letters.name("normal", other.name)
            parts.append((symbol, into, -1, Poly.symbol(symbol)))
            value += upper
    if value < 0:
        system.lifted.append(name)
        value = Fraction(0)
    system.normal[name] = value
    system.laws[n] = Poly.sum(p * -s for _, _, s, p in parts) if name not in system.lifted else Poly()
    system.balances[name] = Balance(name, n, system.laws[n], ((n, out, 1, Poly.symbol(n)), *parts))
    return value


def _add_strands(system: System, symbol: str, kind: str, strands: tuple[Strand, ...], hauled: bool) -> None:
    row: dict[str, Fraction] = {}
    poly_row: dict[str, Poly] = {}
    gathered: dict[tuple[str, str, Poly], int] = {}
    for strand in strands:
        arm, size = Poly.const(1), Fraction(1)
        wheel = system.scene.wheels.get(strand.thing)
        if wheel is not None:
            quantity = strand.radius or wheel.radius
            own = strand.radius is not None and strand.radius.value != wheel.radius.value
            kind_of_arm = "strand_radius" if own else "radius"
            letter = (strand.radius_symbol if own else None) or system.letters.datum(
                kind_of_arm, strand.thing, quantity
            )
            arm = Poly.symbol(letter)
            size = quantity.value
        sign = system.sign(strand.thing, strand.direction)
        row[strand.thing] = row.get(strand.thing, Fraction(0)) + sign * size
        poly_row[strand.thing] = poly_row.get(strand.thing, Poly()) + arm * sign
        key = (strand.thing, strand.direction, arm)
        gathered[key] = gathered.get(key, 0) + 1
    ends = [t for t, _, _ in gathered]
    parts = tuple(
        Part(t, w, arm * Poly.symbol(symbol) * n, n, _other(ends, t) if kind == "contact" else None)
        for (t, w, arm), n in gathered.items()
    )
    system.links.append(Link(symbol, kind, row, poly_row, parts, hauled=hauled))


def _other(ends: list[str], thing: str) -> str | None:
    others = [t for t in ends if t != thing]
    return others[0] if len(others) == 1 else None


def _add_surfaces(system: System) -> None:
    scene, letters = system.scene, system.letters
    rolling = {r.body for r in scene.rolling}
    for body in scene.bodies.values():
        if body.name in rolling or body.friction is None or body.name not in system.normal:
            continue
        hold, slide, law = _limits(system, body)
        if law is None or hold is None:
            continue
        symbol = letters.name("friction", body.name)
        row, poly_row, parts = _rubbing(system, body, symbol)
        system.links.append(Link(symbol, "friction", row, poly_row, parts, hold, slide, law))
    for roll in scene.rolling:
        body, wheel = scene.bodies[roll.body], scene.wheels[roll.wheel]
        hold, slide, law = _limits(system, body)
        if body.friction is None or body.friction.static is None:
            hold = None
        row, poly_row, parts = _rubbing(system, body, roll.symbol)
        radius = Poly.symbol(letters.datum("radius", roll.wheel, wheel.radius))
        # Rolling to the right or upslope turns the wheel clockwise; friction along the motion turns it back.
        back = OPPOSITE[scene.directions(roll.wheel)[0]]
        row[roll.wheel], poly_row[roll.wheel] = -wheel.radius.value, -radius
        parts = (*parts, Part(roll.wheel, back, radius * Poly.symbol(roll.symbol)))
        system.links.append(Link(roll.symbol, "rolling", row, poly_row, parts, hold, slide, law))


def _limits(system: System, body: Body) -> tuple[Fraction | None, Fraction, Poly | None]:
    """The largest static friction, kinetic friction, and the latter's law; a missing coefficient equals the other."""
    rough = body.friction
    kinetic, static = (rough.kinetic, rough.static) if rough else (None, None)
    if rough is None or (kinetic is None and static is None) or not any(c and c.value for c in (kinetic, static)):
        return None, Fraction(0), None
    letters, n = system.letters, system.normal[body.name]
    if static is not None:
        letters.datum("mu_s", body.name, static)
    mu = letters.datum("mu_k", body.name, kinetic) if kinetic is not None else ""
    if not mu:
        assert static is not None
        mu = letters.datum("mu_s", body.name, static)
    law = Poly.symbol(mu) * Poly.symbol(letters.name("normal", body.name))
    hold = (static or kinetic).value * n  # type: ignore[union-attr]
    return hold, system.given[mu] * n, law


def _rubbing(system: System, body: Body, symbol: str) -> tuple[dict[str, Fraction], dict[str, Poly], tuple[Part, ...]]:
    word = system.scene.directions(body.name)[0]
    size = Poly.symbol(symbol)
    row, poly_row = {body.name: Fraction(1)}, {body.name: Poly.const(1)}
    parts: tuple[Part, ...] = (Part(body.name, word, size, other=body.rests_on),)
    if body.rests_on is not None:
        row[body.rests_on], poly_row[body.rests_on] = Fraction(-1), Poly.const(-1)
        parts = (*parts, Part(body.rests_on, OPPOSITE[word], size, other=body.name))
    return row, poly_row, parts
