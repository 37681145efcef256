"""How a scene moves: position, speed and energy of its things over time, phase by phase. No matplotlib here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from ...autograde.mechanics import derive
from ...autograde.mechanics.errors import MechanicsError
from ...autograde.mechanics.setup import Setup
from ...autograde.mechanics.wording import rounded

_STEADY = 1e-12


@dataclass(frozen=True)
class Phase:
    """A stretch of time with constant accelerations. Along the positive directions: {thing: x and v at its start, a};
    `setup` gives the forces."""

    start: float
    end: float
    x: Mapping[str, float]
    v: Mapping[str, float]
    a: Mapping[str, float]
    setup: Setup

    def position(self, thing: str, t: float) -> float:
        """Where a thing is at time t (s), along its positive direction from where it was at the start: m, of a wheel rad."""
        s = t - self.start
        return self.x[thing] + self.v[thing] * s + self.a[thing] * s * s / 2

    def speed(self, thing: str, t: float) -> float:
        """Its speed at time t (s) along its positive direction: m/s, of a wheel rad/s."""
        return self.v[thing] + self.a[thing] * (t - self.start)


@dataclass(frozen=True)
class Energy:
    """In J, all zero at the start but `kinetic`: height is that of the weights; friction is what has become heat; supplied is the
    work of given forces and of whatever reels a rope or drives a thing whose acceleration is given."""

    kinetic: float
    height: float
    friction: float
    supplied: float


@dataclass(frozen=True)
class Course:
    """The phases of a motion. `stops`: words on why it ends or changes."""

    phases: tuple[Phase, ...]
    stops: tuple[str, ...] = ()

    @property
    def end(self) -> float:
        """When the last phase ends, in s."""
        return self.phases[-1].end

    @property
    def moves(self) -> bool:
        """Whether anything ever moves."""
        return any(p.v[t] or p.a[t] for p in self.phases for t in p.x)

    def at(self, t: float) -> Phase:
        """The phase at a time."""
        return next((p for p in self.phases if t <= p.end), self.phases[-1])

    def energy(self, t: float) -> Energy:
        """Energies at a time; kinetic + height + friction = kinetic at the start + supplied."""
        first = self.phases[0]
        kinetic = _kinetic(first.setup, first.v)
        height = friction = 0.0
        for phase in self.phases:
            until = min(t, phase.end)
            if until <= phase.start and phase is not first:
                break
            way = {thing: phase.position(thing, until) - phase.x[thing] for thing in phase.x}
            height -= _work(phase.setup, way, ("weight",))
            friction -= _work(phase.setup, way, ("friction", "rolling", "drag"))
        phase = self.at(t)
        now = _kinetic(phase.setup, {thing: phase.speed(thing, t) for thing in phase.x})
        return Energy(now, height, friction, now - kinetic + height + friction)


def course_of(setup: Setup, duration: float | None = None) -> Course:
    """The motion from the start that the scene gives (or from rest), for a duration in s.

    Left out: until the distance that is asked for is covered; else until everything that moves has covered about a metre, or, where
    things come to rest, half as long again. Where all stop at the same time it goes on with what they do next; where one stops
    before the others the course ends there.
    """
    scene = setup.scene
    a = _accelerations(setup)
    v = _starting(setup)
    whole = duration if duration is not None else _sensible(setup, v, a)
    halts = sorted({-v[t] / a[t] for t in v if v[t] * a[t] < 0})
    moving = [t for t in v if v[t]]
    zero = dict.fromkeys(scene.things, 0.0)
    if not halts or halts[0] >= whole:
        return Course((Phase(0.0, whole, zero, v, a, setup),))
    first = Phase(0.0, halts[0], zero, v, a, setup)
    if any(not v[t] * a[t] < 0 or abs(-v[t] / a[t] - halts[0]) > 1e-9 for t in moving):
        slow = min(moving, key=lambda t: -v[t] / a[t] if v[t] * a[t] < 0 else float("inf"))
        return Course((first,), (f"{slow} stops after {_figures(halts[0])} s; what follows is another problem",))
    still = replace(scene, bodies={n: replace(b, starts=None) for n, b in scene.bodies.items()}, asked=(), distance=None)
    try:
        then = derive(still, setup.positive)
    except MechanicsError:
        return Course((first,), (f"everything stops after {_figures(halts[0])} s",))
    x = {t: first.position(t, halts[0]) for t in scene.things}
    second = Phase(halts[0], whole, x, zero, _accelerations(then), then)
    after = "and moves back" if any(second.a.values()) else "and stays at rest"
    return Course((first, second), (f"everything stops after {_figures(halts[0])} s {after}",))


def _figures(value: float) -> str:
    return rounded(Fraction(value))


def _accelerations(setup: Setup) -> dict[str, float]:
    """{thing: acceleration along its positive direction}."""
    scene, values = setup.scene, {**setup.given, **setup.values}
    out = {}
    for thing in scene.things:
        symbol = acceleration_symbol(setup, thing)
        out[thing] = float(values.get(symbol, 0)) if symbol else 0.0
    return out


def acceleration_symbol(setup: Setup, thing: str) -> str | None:
    """The letter of a thing's acceleration; a massless pulley's too, which the scene does not give one."""
    found = setup.scene.symbol_of("alpha" if thing in setup.scene.wheels else "acceleration", thing)
    equation = setup.equations.get(thing)
    if found is None and equation is not None:
        found = next((s for s in equation.inertia.symbols if s.split("_")[0] in ("a", "alpha")), None)
    return found


def _starting(setup: Setup) -> dict[str, float]:
    """{thing: speed at the start}, given for one thing and carried on by the ties."""
    scene = setup.scene
    speed = dict.fromkeys(scene.things, 0.0)
    known: dict[str, float] = {}
    for name, body in scene.bodies.items():
        if body.starts is not None:
            symbol = acceleration_symbol(setup, name)
            sign = 1.0 if body.starts[0] == setup.positive[name] else -1.0
            known[symbol or name] = speed[name] = sign * float(body.starts[1].value)
    if not any(known.values()):
        return speed
    names = {acceleration_symbol(setup, t): t for t in scene.things}
    given = {s: float(v) for s, v in setup.given.items()}
    for _ in scene.things:  # a tie between accelerations holds between speeds too, as long as it has no constant
        for tie in setup.ties:
            parts: dict[str, float] = {}
            for monomial, c in tie.poly.terms.items():
                symbols = [s for s, _ in monomial if s in names]
                factor = float(c)
                for s, power in monomial:
                    factor *= 1.0 if s in names else given.get(s, 0.0) ** power
                if len(symbols) == 1:
                    parts[symbols[0]] = parts.get(symbols[0], 0.0) + factor
            unknown = [s for s in parts if s not in known]
            if len(unknown) == 1 and parts[unknown[0]]:
                known[unknown[0]] = -sum(c * known[s] for s, c in parts.items() if s in known) / parts[unknown[0]]
    for symbol, value in known.items():
        if symbol in names:
            speed[names[symbol]] = value
    return speed


def _sensible(setup: Setup, v: Mapping[str, float], a: Mapping[str, float]) -> float:
    """A time in which there is something to see."""
    time = setup.scene.symbol_of("time", None) or next((s.name for s in setup.scene.symbols.values() if s.kind == "time"), "t")
    if setup.scene.distance is not None and time in setup.values:
        return float(setup.values[time])
    halts = [-v[t] / a[t] for t in v if v[t] * a[t] < 0]
    if halts:
        return 1.6 * max(halts)
    bodies = [t for t in setup.scene.bodies if abs(a[t]) > _STEADY or v[t]]
    if not bodies:
        return 1.0
    fast = max(bodies, key=lambda t: abs(a[t]) + abs(v[t]))
    if abs(a[fast]) < _STEADY:
        return 1.0 / abs(v[fast])
    square = v[fast] ** 2 + 2 * abs(a[fast])
    return float((square**0.5 - abs(v[fast])) / abs(a[fast]))


def _kinetic(setup: Setup, v: Mapping[str, float]) -> float:
    values = {s: float(x) for s, x in {**setup.given, **setup.values}.items()}
    out = 0.0
    for thing, speed in v.items():
        if thing in setup.scene.bodies:
            inertia = float(setup.scene.bodies[thing].mass.value)
        else:
            symbol = setup.scene.symbol_of("inertia", thing)
            inertia = values.get(symbol, 0.0) if symbol else _inertia(setup, thing, values)
        out += inertia * speed * speed / 2
    return out


def _inertia(setup: Setup, wheel: str, values: Mapping[str, float]) -> float:
    """A wheel's inertia where it has no letter of its own: the factor before its angular acceleration."""
    equation = setup.equations.get(wheel)
    out = 0.0
    for monomial, c in equation.inertia.terms.items() if equation else ():
        part = float(c)
        for symbol, power in monomial:
            part *= 1.0 if symbol.split("_")[0] == "alpha" else values[symbol] ** power
        out += part
    return out


def _work(setup: Setup, way: Mapping[str, float], kinds: tuple[str, ...]) -> float:
    """The work of forces of some kinds while each thing goes its way along its positive direction (a wheel: radians)."""
    values = {**setup.given, **setup.values}
    out = 0.0
    for thing, s in way.items():
        equation = setup.equations.get(thing)
        for term in equation.terms if equation else ():
            if term.kind in kinds and s and term.size.symbols <= values.keys():
                out += term.sign * float(term.size.at(values)) * s
        if equation is None and "weight" in kinds and s and setup.scene.bodies.get(thing) is not None:
            body = setup.scene.bodies[thing]
            if body.moves == "vertical":
                up = 1.0 if setup.positive[thing] == "up" else -1.0
                out -= float(body.mass.value * setup.scene.g.value) * up * s
    return out
