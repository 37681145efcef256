"""SymPy's physics.mechanics derives the same accelerations and tensions for every scene that ships.

Lagrange's method with multipliers, from the scene file alone: coordinates, kinetic energy, height as potential energy, one
holonomic constraint per rope, contact and rolling; friction and other given forces of the solved regime as generalised forces.
Only the regime and the size of sliding friction are taken from our side.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
import sympy
from sympy.physics import mechanics

from plusway.autograde.mechanics import Setup, derive
from plusway.autograde.scene import Scene
from plusway.lessons import catalogue

RATIO = {"disk": sympy.Rational(1, 2), "hoop": sympy.Integer(1), "sphere": sympy.Rational(2, 5)}


def _rational(value: Fraction) -> Any:
    return sympy.Rational(value.numerator, value.denominator)


def _sign(scene: Scene, thing: str, word: str) -> int:
    return 1 if scene.directions(thing)[0] == word else -1


def _strand_sum(scene: Scene, strands: Any, q: dict[str, Any]) -> Any:
    """The displacement along the strands: zero while the rope keeps its length."""
    total = 0
    for strand in strands:
        wheel = scene.wheels.get(strand.thing)
        arm = _rational((strand.radius or wheel.radius).value) if wheel else 1
        total += _sign(scene, strand.thing, strand.direction) * arm * q[strand.thing]
    return total


def _lagrange(setup: Setup) -> dict[str, Any]:
    """{thing: acceleration along its first direction word} and {symbol: force} by Lagrange's method."""
    scene, regime = setup.scene, setup.regime
    frame = mechanics.ReferenceFrame("N")
    point = mechanics.Point("O")
    point.set_vel(frame, 0)
    q = {t: mechanics.dynamicsymbols(f"q{i}") for i, t in enumerate(scene.things)}
    time = mechanics.dynamicsymbols._t
    g = _rational(scene.g.value)
    kinetic = potential = 0
    for name, body in scene.bodies.items():
        mass = _rational(body.mass.value)
        kinetic += mass * q[name].diff(time) ** 2 / 2
        rise = {"vertical": 1, "level": 0}.get(body.moves)
        if rise is None and body.angle is not None:
            rise = sympy.sin(_rational(body.angle.value) * sympy.pi / 180)
        potential += mass * g * rise * q[name]
    for name, wheel in scene.wheels.items():
        inertia = _rational(wheel.inertia.value) if wheel.inertia else (
            RATIO[wheel.shape] * _rational(wheel.mass.value) * _rational(wheel.radius.value) ** 2)
        kinetic += inertia * q[name].diff(time) ** 2 / 2
    constraints, symbols = [], []
    push = dict.fromkeys(scene.things, 0)
    for link in (*scene.ropes, *scene.contacts):
        held = regime.taut.get(link.symbol, regime.touching.get(link.symbol))
        strands = link.pulls if hasattr(link, "pulls") else link.pushes
        driven = all(s.thing not in _free(setup) for s in strands) or getattr(link, "hauled", None)
        if held and not driven:
            constraints.append(_strand_sum(scene, strands, q))
            symbols.append(link.symbol)
        elif held:
            for thing in q:
                push[thing] += _rational(setup.values[link.symbol]) * _strand_sum(scene, strands, q).coeff(q[thing])
    for roll in scene.rolling:
        if regime.friction[roll.symbol][0] == "holds":
            constraints.append(q[roll.body] - _rational(scene.wheels[roll.wheel].radius.value) * q[roll.wheel])
            symbols.append(roll.symbol)
        else:
            pull = _rational(setup.values[roll.symbol]) * _sign(scene, roll.body, regime.friction[roll.symbol][1])
            push[roll.body] += pull
            push[roll.wheel] -= pull * _rational(scene.wheels[roll.wheel].radius.value)
    for name, body in scene.bodies.items():
        symbol = scene.symbol_of("friction", name)
        state, word = regime.friction.get(symbol or "", ("none", None))
        if state == "holds":
            below = q[body.rests_on] if body.rests_on else 0
            constraints.append(q[name] - below)
            symbols.append(symbol)
        elif state == "slides" and word:
            pull = _rational(setup.values[symbol]) * _sign(scene, name, word)
            push[name] += pull
            if body.rests_on:
                push[body.rests_on] -= pull
    for force in scene.forces:
        size = _rational(force.size.value)
        if force.angle is not None:
            size *= sympy.cos(_rational(force.angle.value) * sympy.pi / 180)
        if force.on in scene.wheels and not force.is_torque:
            size *= _rational(scene.wheels[force.on].radius.value)
        push[force.on] += size * _sign(scene, force.on, force.direction)
    for name, wheel in scene.wheels.items():
        if wheel.drag is not None and regime.direction[name]:
            push[name] -= _rational(wheel.drag.value) * _sign(scene, name, regime.direction[name])
    for name, body in scene.bodies.items():
        if body.acceleration is not None:
            word, size = body.acceleration
            constraints.append(q[name] - _sign(scene, name, word) * _rational(size.value) * time**2 / 2)
            symbols.append(f"drive of {name}")
    # The generalised forces enter as forces on points that move with unit speed along each coordinate.
    loads = []
    for i, (thing, amount) in enumerate(push.items()):
        carrier = point.locatenew(f"P{i}", q[thing] * frame.x)
        carrier.set_vel(frame, q[thing].diff(time) * frame.x)
        loads.append((carrier, amount * frame.x))
    method = mechanics.LagrangesMethod(kinetic - potential, list(q.values()), hol_coneqs=constraints or None,
                                       forcelist=loads, frame=frame)
    equations = list(method.form_lagranges_equations())
    second = {q[t].diff(time, 2): sympy.Symbol(f"A{i}") for i, t in enumerate(q)}
    rows = [e.subs(second) for e in equations]
    rows += [c.diff(time, 2).subs(second) for c in constraints]
    multipliers = list(method.lam_vec) if constraints else []
    names = [sympy.Symbol(f"L{i}") for i in range(len(multipliers))]
    rows = [r.subs(dict(zip(multipliers, names, strict=True))) for r in rows]
    unknowns = [*second.values(), *names]
    solution = dict(zip(unknowns, next(iter(sympy.linsolve(rows, unknowns))), strict=True))
    found = {t: solution[second[q[t].diff(time, 2)]] for t in q}
    found.update({s: solution[n] for s, n in zip(symbols, names, strict=True)})
    return found


def _free(setup: Setup) -> set[str]:
    """Things whose acceleration the given ones do not settle directly or through contacts."""
    scene = setup.scene
    settled = {n for n, b in scene.bodies.items() if b.acceleration is not None}
    if settled:
        for _ in scene.contacts:
            for c in scene.contacts:
                ends = {s.thing for s in c.pushes}
                settled |= ends if ends & settled else set()
    return set(scene.things) - settled


@pytest.mark.parametrize("name", catalogue.names())
def test_lagrange_with_multipliers_gives_the_same(name: str) -> None:
    """Accelerations with their signs, and the size of every tension, contact force and holding friction."""
    setup = derive(catalogue.find(name))
    scene = setup.scene
    theirs = _lagrange(setup)
    hauled = {s.thing for r in scene.ropes if getattr(r, "hauled", None) for s in r.pulls}
    assert [t for t in hauled if abs(theirs.get(f"drive of {t}", 0)) > 1e-9] == []  # the rope is the whole drive
    for thing in scene.things:
        symbol = scene.symbol_of("alpha" if thing in scene.wheels else "acceleration", thing)
        assert symbol is not None
        ours = setup.values.get(symbol, setup.given.get(symbol))
        assert ours is not None
        assert float(theirs[thing]) == pytest.approx(float(ours), abs=1e-12)
    for symbol in (*setup.regime.taut, *setup.regime.friction, *(c.symbol for c in scene.contacts)):
        value = theirs.get(symbol)
        if value is not None and symbol in setup.values:
            assert abs(float(value)) == pytest.approx(float(setup.values[symbol]), abs=1e-9)
