"""Deriving and solving a scene, against SymPy's Lagrange and NumPy's solve on the same system."""

from __future__ import annotations

from typing import Any

import numpy
from ratios import Ratio, side_by_side, times

from plusway.autograde.mechanics import Setup, derive, solve_at
from plusway.autograde.scene import Scene, load_text
from plusway.lessons import catalogue

SCENES = ["feed-sack", "hay-bale-on-ramp", "three-bags-compound", "crate-on-a-sledge-with-weight"]
NUMPY = "numpy.linalg.solve of the same matrices"


def row(count: int, newton_each: float = 20.0) -> Scene:
    """A row of rough bodies on a slope, towed by its first body."""
    parts = ['title = "row"', 'story = "s"', 'ask = { values = ["a_1"] }',
             "ropes = [" + ", ".join(f'{{ symbol = "T_{i}", pulls = [["b{i}", "downslope"], ["b{i + 1}", "upslope"]] }}'
                                     for i in range(1, count)) + "]",
             f'forces = [{{ symbol = "F", on = "b1", direction = "upslope", size = "{count * newton_each} N" }}]']
    for i in range(1, count + 1):
        parts += [f"[bodies.b{i}]", f"index = {i}", f'mass = "{1 + i % 3} kg"', 'moves = "slope"', 'angle = "20 deg"',
                  "friction = { kinetic = 0.1, static = 0.2 }"]
    return load_text("\n".join(parts), name="row", file="row.toml")


def matrices(setup: Setup) -> tuple[Any, Any]:
    """The same linear system as float arrays: rows are equations and ties, columns are unknowns."""
    known = {**setup.given, **{s: setup.values[s] for s in setup.laws}}
    polys = [*(e.poly for e in setup.equations.values()), *(t.poly for t in setup.ties)]
    a, b = numpy.zeros((len(polys), len(setup.unknowns))), numpy.zeros(len(polys))
    for i, poly in enumerate(polys):
        coefficients, rest = poly.linear_in(setup.unknowns)
        b[i] = -float(rest.at(known))
        for name, c in coefficients.items():
            a[i, setup.unknowns.index(name)] = float(c.at(known))
    return a, b


def lagrange() -> Any:
    """The feed sack by SymPy: Lagrange's equations with one multiplier, formed and solved."""
    import sympy
    from sympy.physics import mechanics

    q1, q2 = mechanics.dynamicsymbols("q1 q2")
    t = mechanics.dynamicsymbols._t
    m1, m2, g = sympy.Rational(13, 2), sympy.Integer(9), sympy.Rational(49, 5)
    energy = m1 * q1.diff(t) ** 2 / 2 + m2 * q2.diff(t) ** 2 / 2 - m1 * g * q1 - m2 * g * q2
    method = mechanics.LagrangesMethod(energy, [q1, q2], hol_coneqs=[q1 + q2])
    rows = [*method.form_lagranges_equations(), (q1 + q2).diff(t, 2)]
    return next(iter(sympy.linsolve(rows, [q1.diff(t, 2), q2.diff(t, 2), method.lam_vec[0]])))


def measure() -> list[Ratio]:
    """Shipped scenes derived and solved again; rows of up to 200 towed bodies, moving and held."""
    from sympy.core.cache import clear_cache

    sack = catalogue.find("feed-sack")
    assert abs(float(lagrange()[0]) - float(derive(sack).values["a_1"])) < 1e-9
    pair = side_by_side(lambda: derive(sack), lagrange, 4, before_each=clear_cache)
    rows = [times("derive feed-sack: equations, regime, exact values", *pair, "SymPy's LagrangesMethod and linsolve",
                  note="SymPy gets the coordinates and the energy ready made; its cache is emptied each time")]
    for name in SCENES:
        setup = derive(catalogue.find(name))
        a, b = matrices(setup)
        pair = side_by_side(lambda s=setup: solve_at(s, s.given), lambda a=a, b=b: numpy.linalg.solve(a, b))
        rows.append(times(f"solve {name} again, exactly", *pair, NUMPY, note="floats against fractions; the matrices are ready made"))
    for count in (10, 50, 200):
        for state, newton_each in (("moving", 20.0), ("held by friction", 10.0)):
            scene = row(count, newton_each)
            setup = derive(scene)
            assert setup.regime.moves == (state == "moving")
            a, b = matrices(setup)
            pair = side_by_side(lambda s=scene: derive(s), lambda a=a, b=b: numpy.linalg.lstsq(a, b, rcond=None), 2)
            rows.append(times(f"derive a row of {count} bodies, {state}", *pair, "numpy.linalg.lstsq of the result's matrices",
                              note="the lower bound: no equations to find, no regime"))
    return rows
