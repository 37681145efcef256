"""How long deriving and solving takes, against SymPy's Lagrange and NumPy's solve on the same system (no time is asserted)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy
import pytest

from plusway.autograde.mechanics import Setup, derive, solve_at
from plusway.autograde.scene import Scene, load_text
from plusway.lessons import catalogue

SCENES = ["feed-sack", "hay-bale-on-ramp", "three-bags-compound", "crate-on-a-sledge-with-weight"]


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


@pytest.mark.parametrize("name", SCENES)
def test_derive_a_shipped_scene(benchmark: Any, name: str) -> None:
    """Equations, regime and exact values."""
    scene = catalogue.find(name)
    assert benchmark(derive, scene).regime.moves


@pytest.mark.parametrize("name", SCENES)
def test_solve_again_with_other_data(benchmark: Any, name: str) -> None:
    """What the judge does a few times per file."""
    setup = derive(catalogue.find(name))
    assert set(setup.unknowns) <= set(benchmark(solve_at, setup, setup.given))


@pytest.mark.parametrize("name", SCENES)
def test_numpy_solves_the_same_matrices(benchmark: Any, name: str) -> None:
    """Floats only, without deriving anything: the lower bound."""
    setup = derive(catalogue.find(name))
    a, b = matrices(setup)
    found = benchmark(numpy.linalg.solve, a, b)
    assert found == pytest.approx([float(setup.values[s]) for s in setup.unknowns])


def test_sympy_lagrange_on_the_feed_sack(benchmark: Any) -> None:
    """Lagrange's equations with one multiplier, formed and solved."""
    import sympy
    from sympy.physics import mechanics

    def lagrange() -> Any:
        q1, q2 = mechanics.dynamicsymbols("q1 q2")
        t = mechanics.dynamicsymbols._t
        m1, m2, g = sympy.Rational(13, 2), sympy.Integer(9), sympy.Rational(49, 5)
        energy = m1 * q1.diff(t) ** 2 / 2 + m2 * q2.diff(t) ** 2 / 2 - m1 * g * q1 - m2 * g * q2
        method = mechanics.LagrangesMethod(energy, [q1, q2], hol_coneqs=[q1 + q2])
        rows = [*method.form_lagranges_equations(), (q1 + q2).diff(t, 2)]
        unknowns = [q1.diff(t, 2), q2.diff(t, 2), method.lam_vec[0]]
        return next(iter(sympy.linsolve(rows, unknowns)))

    ours = derive(catalogue.find("feed-sack"))
    assert float(benchmark(lagrange)[0]) == pytest.approx(float(ours.values["a_1"]))


@pytest.mark.parametrize("count", [2, 10, 50, 200])
@pytest.mark.parametrize(("state", "newton_each"), [("moving", 20.0), ("held", 10.0)])
def test_rows_of_towed_bodies(benchmark: Any, count: int, state: str, newton_each: float) -> None:
    """How derive grows with the row, moving and held by friction that is not settled."""
    scene = row(count, newton_each)
    setup = benchmark(derive, scene)
    assert setup.regime.moves == (state == "moving")


@pytest.mark.parametrize("count", [2, 10, 50, 200])
@pytest.mark.parametrize("solver", ["ours", "numpy"])
def test_rows_solved_again(benchmark: Any, count: int, solver: str) -> None:
    """The linear system of a moving row, exactly and in floats."""
    setup = derive(row(count))
    a, b = matrices(setup)
    ways: dict[str, Callable[[], float]] = {
        "ours": lambda: float(solve_at(setup, setup.given)["a_1"]),
        "numpy": lambda: float(numpy.linalg.solve(a, b)[0]),
    }
    assert benchmark(ways[solver]) == pytest.approx(float(setup.values["a_1"]))
