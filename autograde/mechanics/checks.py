"""What comes after the results: sense, limiting cases, time and speed, and energy as a second way to the speed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from ..scene.model import Body, Quantity, Scene
from ..scene.words import thing_name, way
from .derive import derive
from .errors import MechanicsError
from .setup import Setup
from .steps import WorkedLine, WorkedStep, math, words
from .wording import leading, number, rounded, summed

_ZERO = Fraction(0)
HANGS = "What hangs and accelerates upwards is pulled by more than its weight, and downwards by less."
AT_REST = "What hangs at rest is pulled by just its weight."
HELD_BACK = "What is held back gains speed more slowly than in free fall."
AGREES = "The whole agrees with its parts."
PUT_BACK = "Put the results back into each equation: both sides agree."


def acceleration_of(setup: Setup, thing: str) -> Fraction:
    """Along the thing's positive direction, whether solved or given."""
    scene = setup.scene
    kind = "alpha" if thing in scene.wheels else "acceleration"
    symbol = scene.symbol_of(kind, thing)
    if symbol is None:
        index = (scene.bodies.get(thing) or scene.wheels[thing]).index
        symbol = ("a" if thing in scene.bodies else "alpha") + (f"_{index}" if index is not None else "")
    return setup.values[symbol] if symbol in setup.values else setup.given[symbol]


def sense_step(setup: Setup) -> WorkedStep:
    """Comparisons that are true, say something about this scene and can be seen without solving it."""
    lines: list[WorkedLine] = []
    for thing, e in setup.equations.items():
        kinds = [t.kind for t in e.terms]
        if thing not in setup.scene.bodies or sorted(kinds) != ["tension", "weight"]:
            continue
        if setup.scene.bodies[thing].moves != "vertical":
            continue
        rope = next(t for t in e.terms if t.kind == "tension")
        weight = next(t for t in e.terms if t.kind == "weight")
        pull = rope.symbol if rope.strands == 1 else f"{rope.strands}{rope.symbol}"
        # By their sizes: a rope that pulls nothing bears less than the weight, whichever way all goes.
        sizes_of = {**setup.given, **setup.values}
        if rope.direction != "up" or rope.symbol not in sizes_of or weight.symbol not in sizes_of:
            continue
        pulled, heavy = rope.strands * sizes_of[rope.symbol], sizes_of[weight.symbol]
        relation = "=" if pulled == heavy else ">" if pulled > heavy else "<"
        lines.append(math(f"{pull} {relation} {weight.symbol}"))
    said = [HANGS if any("=" not in x.text for x in lines) else AT_REST] if lines else []
    sizes = {abs(acceleration_of(setup, b)) for b in setup.scene.bodies}
    shown = next((s.name for s in setup.scene.symbols.values() if s.kind == "shared_acceleration"), "a")
    if (
        setup.size_of
        and len(sizes) == 1
        and shown in setup.values
        and 0 < abs(setup.values[shown]) < setup.scene.g.value
    ):
        lines.append(math(f"{'-' if setup.values[shown] < 0 else ''}{shown} < g"))
        said.append(HELD_BACK)
    whole = _whole(setup)
    if whole:
        lines.append(whole)
        said.append(AGREES)
    return WorkedStep("sense", "Does it make sense?", " ".join(said) or PUT_BACK, tuple(lines))


def _whole(setup: Setup) -> WorkedLine | None:
    """The equation of the whole along the line of the ropes, where all bodies share a and inner forces cancel."""
    bodies = [b for b in setup.equations if b in setup.scene.bodies]
    if len(setup.shared) < 2 or len(bodies) != len(setup.equations) or len(bodies) != len(setup.scene.bodies):
        return None
    net = _ZERO
    values = {**setup.given, **setup.values}
    if any(s not in values for e in setup.equations.values() for s in e.poly.symbols):
        return None
    pieces: list[tuple[int, str]] = []
    for e in setup.equations.values():
        for term in e.terms:
            if term.kind in ("weight", "outside") or (term.kind in ("friction", "rolling") and term.other is None):
                size = term.size.at(values)
                net += term.sign * size
                pieces.append((term.sign, number(size)))
    mass = sum((setup.scene.bodies[b].mass.value for b in bodies), _ZERO)
    first = acceleration_of(setup, bodies[0])
    if not pieces or net != mass * first:
        return None
    value = number(first)
    return math(f"{summed(leading(pieces))} = {number(mass)}({value})")


def limit_step(setup: Setup) -> WorkedStep | None:
    """Equal masses, and one mass much larger than the rest, worked out for this very scene."""
    scene = setup.scene
    free = [b for b in scene.bodies.values() if b.mass.value and b.acceleration is None]
    # A rolling body's mass is its wheel's too, so it cannot be changed alone.
    if len(free) != 2 or scene.rolling or any(b.starts for b in scene.bodies.values()):
        return None
    letter = next((s.name for s in scene.symbols.values() if s.kind == "shared_acceleration"), "a")
    first, second = free
    lines: list[WorkedLine] = []
    m = {b.name: scene.symbol_of("mass", b.name) or f"m_{b.index}" for b in free}
    if first.mass.value != second.mass.value:
        lines += _equal_masses(setup, m, letter)
    for body in free:
        big = _at(setup, {body.name: Fraction(10) ** 9 * max(first.mass.value, second.mass.value)})
        if big is not None and letter in big.values:
            lines.append(
                words(
                    f"if {m[body.name]} were much larger than all else: {letter} would come close to "
                    f"{_ending(big, big.values[letter])}"
                )
            )
    return (
        WorkedStep("limits", "Limiting cases", "A formula that is right stays right at its ends.", tuple(lines))
        if lines
        else None
    )


def _equal_masses(setup: Setup, m: Mapping[str, str], letter: str) -> list[WorkedLine]:
    """What happens where both masses are equal; it is said at which mass, unless it is the same for every one."""
    (one, first), (two, second) = m.items()
    own = [setup.scene.bodies[name].mass.value for name in (two, one)]
    found = [_at(setup, {one: mass, two: mass}) for mass in (*own, 3 * max(own), min(own) / 3)]
    equal = found[0]
    if equal is None or letter not in equal.values:
        return []
    value = equal.values[letter]
    for_all = all(e is not None and letter in e.values and abs(e.values[letter] - value) < Fraction(1, 10**9) for e in found)
    if for_all and not value:
        return [math(f"{first} = {second} => {letter} = 0")]
    what = f"{first} were equal to {second}, whatever it is" if for_all else f"{first} and {second} were both {number(own[0])} kg"
    return [words(f"if {what}: {letter} = {_ending(equal, value)}")]


def _ending(setup: Setup, value: Fraction) -> str:
    """An acceleration with the way in which the first moving body then goes."""
    if abs(value) < Fraction(1, 10**6):
        return "0"
    moving = [(t, w) for t, w in setup.regime.direction.items() if w and t in setup.scene.bodies]
    return f"{rounded(value)} m/s^2" + (f" ({thing_name(moving[0][0])} {way(moving[0][1])})" if moving else "")


def _at(setup: Setup, masses: Mapping[str, Fraction]) -> Setup | None:
    """The same scene with other masses, or None where it then has no unique solution."""
    scene = setup.scene
    bodies = {
        n: replace(b, mass=Quantity(masses[n], str(masses[n]), "kg")) if n in masses else b
        for n, b in scene.bodies.items()
    }
    symbols = {
        s.name: replace(s, given=bodies[s.thing].mass) if s.thing in masses and s.thing and s.kind == "mass" else s
        for s in scene.symbols.values()
    }
    try:
        return derive(replace(scene, bodies=bodies, symbols=symbols, asked=(), distance=None), setup.positive)
    except MechanicsError:
        return None


def _lead(setup: Setup) -> Body | None:
    return next((b for b in setup.scene.bodies.values() if acceleration_of(setup, b.name) or _start(b)), None)


def _start(body: Body) -> Fraction:
    return body.starts[1].value if body.starts is not None else _ZERO


def _letter(scene: Scene, kind: str, usual: str) -> str:
    return next((s.name for s in scene.symbols.values() if s.kind == kind), usual)


def motion_step(setup: Setup) -> WorkedStep | None:
    """Time and speed over the distance asked for, with constant acceleration."""
    scene = setup.scene
    t, v = _letter(scene, "time", "t"), _letter(scene, "speed", "v")
    lead = _lead(setup)
    if scene.distance is None or v not in setup.values or lead is None:
        return None
    d, a, start = scene.distance.value, abs(acceleration_of(setup, lead.name)), _start(lead)
    shown, slow = number(a), start and setup.values[v] < start
    lines = []
    if not start:
        lines += [
            f"{number(d)} = 0.5({shown}){t}^2",
            f"{t} = {rounded(setup.values[t])}",
            f"{v} = {shown}({number(setup.values[t])}) = {rounded(setup.values[v])}",
        ]
    else:
        sign = "-" if slow else "+"
        lines += [
            f"{v}^2 = {number(start)}^2 {sign} 2({shown})({number(d)})",
            f"{v} = {rounded(setup.values[v])}",
            f"{t} = {number(d)}/(0.5({number(start)} + {number(setup.values[v])})) = {rounded(setup.values[t])}",
        ]
    what = f"{lead.name} covers {number(d)} m " + (f"starting with {number(start)} m/s" if start else "from rest")
    return WorkedStep("motion", "Time and speed", f"{what}, with constant acceleration.", tuple(math(x) for x in lines))


def energy_steps(setup: Setup) -> list[WorkedStep]:
    """The energy balance over the same distance: a second way to the same speed."""
    scene, lead = setup.scene, _lead(setup)
    v = _letter(scene, "speed", "v")
    if scene.distance is None or v not in setup.values or lead is None or _start(lead):
        return []
    a = abs(acceleration_of(setup, lead.name))
    values = {**setup.given, **setup.values}
    if set(setup.equations) != set(scene.things) or any(
        t.symbol not in values for e in setup.equations.values() for t in e.terms
    ):
        return []
    pieces: list[tuple[int, str]] = []
    work, moving = _ZERO, _ZERO
    for thing, e in setup.equations.items():
        ratio = acceleration_of(setup, thing) / a
        inertia = scene.bodies[thing].mass.value if thing in scene.bodies else _inertia(setup, thing)
        moving += inertia * ratio * ratio
        for term in e.terms:
            if (
                term.kind in ("tension", "contact")
                or not ratio
                or (term.kind == "rolling" and _rolls(setup, term.symbol))
            ):
                continue
            force, way = term.size.at(values), ratio * scene.distance.value
            done = term.sign * force * way
            work += done
            if done:
                pieces.append((1 if done > 0 else -1, f"{number(force)}({number(abs(way))})"))
    kinetic = moving / 2
    if not pieces or kinetic * setup.values[v] ** 2 - work > abs(work) / 10**12:
        return []
    lines = [
        math(f"{summed(leading(pieces))} = {number(work)}"),
        math(f"{number(work)} = {number(kinetic)}{v}^2"),
        math(f"{v} = {rounded(setup.values[v])}"),
    ]
    return [
        WorkedStep(
            "energy",
            "Energy, as a second way to the speed",
            "The work of weights, outside forces and friction, in J, becomes kinetic energy; inner forces do no work "
            "on the whole.",
            tuple(lines),
        )
    ]


def _rolls(setup: Setup, symbol: str) -> bool:
    return setup.regime.friction.get(symbol, ("", None))[0] == "holds"


def _inertia(setup: Setup, wheel: str) -> Fraction:
    e = setup.equations[wheel]
    values = {**setup.given, **setup.values}
    known = {s: values[s] for s in e.inertia.symbols if not s.startswith("alpha")}
    return e.inertia.at({**known, **{s: Fraction(1) for s in e.inertia.symbols if s.startswith("alpha")}})
