"""What is true of every scene, tried on random ones and on all that ship."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plusway.autograde.mechanics import Setup, derive, solve_at
from plusway.autograde.scene import Scene, load_text
from plusway.autograde.scene.model import OPPOSITE, Quantity
from plusway.lessons import catalogue

_TINY = Fraction(1, 10**40)
_masses = st.integers(1, 200).map(lambda n: f"{n / 10:.1f}")
_angles = st.integers(5, 80)
_coefficients = st.integers(0, 90).map(lambda n: n / 100)
_friction = st.tuples(_coefficients, _coefficients).map(lambda p: (min(p), max(p)))


@st.composite
def lines(draw: st.DrawFn, rough: bool = True) -> Scene:
    """Two to five bodies on one rope line: the ends hang, lie level or on slopes; bodies between are level or on slopes."""
    count = draw(st.integers(2, 5))
    text = ['title = "t"', 'story = "s"', "[ask]", 'values = ["W_1"]']
    ropes = []
    ahead = {"level": "right", "slope": "upslope", "vertical": "up"}
    moves = []
    for i in range(1, count + 1):
        kinds = ["level", "slope", "vertical"] if i in (1, count) else ["level", "slope"]
        kind = draw(st.sampled_from(kinds))
        moves.append(kind)
        text += [f"[bodies.b{i}]", f"index = {i}", f'mass = "{draw(_masses)} kg"', f'moves = "{kind}"']
        if kind == "slope":
            text.append(f'angle = "{draw(_angles)} deg"')
        if kind != "vertical" and rough and draw(st.booleans()):
            kinetic, static = draw(_friction)
            text.append(f"friction = {{ kinetic = {kinetic}, static = {static} }}")
    for i in range(1, count):
        forward = ahead[moves[i - 1]]
        back = {"level": "left", "slope": "downslope", "vertical": "up"}[moves[i]] if i < count - 1 or moves[i] == "vertical" else (
            draw(st.sampled_from(["left", "right"])) if moves[i] == "level" else "upslope")
        ropes.append(f'{{ symbol = "T_{i}", pulls = [["b{i}", "{forward}"], ["b{i + 1}", "{back}"]] }}')
    head = "\n".join(text[:2]) + f"\nropes = [{', '.join(ropes)}]\n"
    return load_text(head + "\n".join(text[2:]), name="random", file="random.toml")


def _accelerations(setup: Setup) -> dict[str, Fraction]:
    scene = setup.scene
    out = {}
    for thing in scene.things:
        symbol = scene.symbol_of("alpha" if thing in scene.wheels else "acceleration", thing)
        assert symbol is not None
        out[thing] = setup.values[symbol] if symbol in setup.values else setup.given[symbol]
    return out


def _all(setup: Setup) -> dict[str, Fraction]:
    return {**setup.given, **setup.values}


def _flips_only_itself(scene: Scene, thing: str) -> None:
    plain = derive(scene)
    turned = derive(scene, {thing: scene.directions(thing)[1]})
    a, b = _accelerations(plain), _accelerations(turned)
    assert {t: -v if t == thing else v for t, v in a.items()} == b
    moving = {scene.symbol_of(k, t) for t in scene.things for k in ("acceleration", "alpha")} | {"a"}
    assert {s: v for s, v in plain.values.items() if s not in moving} == {
        s: v for s, v in turned.values.items() if s not in moving}
    assert plain.regime == turned.regime


@settings(max_examples=80, deadline=None)
@given(scene=lines(), data=st.data())
def test_flipping_a_positive_direction_flips_exactly_that_acceleration(scene: Scene, data: st.DataObject) -> None:
    """Nothing else changes: no size, no other acceleration, nothing of the regime."""
    _flips_only_itself(scene, data.draw(st.sampled_from(scene.things)))


@pytest.mark.parametrize("name", catalogue.names())
def test_every_shipped_scene_takes_every_choice_of_directions(name: str) -> None:
    """All combinations (up to 32) satisfy their own equations and ties, with one shared a where the choice agrees."""
    scene = catalogue.find(name)
    for thing in scene.things:
        _flips_only_itself(scene, thing)
    for words in list(product(*(scene.directions(t) for t in scene.things)))[:32]:
        setup = derive(scene, dict(zip(scene.things, words, strict=True)))
        values = _all(setup)
        for poly in (*(e.poly for e in setup.equations.values()), *(t.poly for t in setup.ties)):
            assert abs(poly.at(values)) < _TINY
        assert len({values[s] for s in setup.shared}) <= 1
        assert {s for s, k in setup.size_of.items() if k < 0} == {s for s in setup.size_of if values[s] < 0} or (
            not any(values[s] for s in setup.size_of))


@settings(max_examples=80, deadline=None)
@given(scene=lines())
def test_equations_ties_and_terms_agree_with_the_values(scene: Scene) -> None:
    """Each equation is true at the values, and a term is positive exactly where its force points along the positive direction."""
    setup = derive(scene)
    if setup.undetermined:
        return
    values = _all(setup)
    for equation in setup.equations.values():
        assert abs(equation.poly.at(values)) < _TINY
        for term in equation.terms:
            assert term.size.at(values) >= 0
            if term.kind != "weight":
                assert term.sign == (1 if setup.positive[term.thing] == term.direction else -1)
    assert {s: v for s, v in solve_at(setup, setup.given).items() if abs(v - values[s]) > _TINY} == {}


@settings(max_examples=80, deadline=None)
@given(scene=lines())
def test_energy_is_kept_but_for_the_work_of_friction(scene: Scene) -> None:
    """In any short time from rest: kinetic energy gained = work of weights minus friction times the way slid."""
    setup = derive(scene)
    if setup.undetermined or not setup.regime.moves:
        return
    values, acc = _all(setup), _accelerations(setup)
    gained = sum(b.mass.value * acc[n] ** 2 for n, b in scene.bodies.items())
    weights = sum((t.sign * t.size.at(values) * acc[e.thing] for e in setup.equations.values() for t in e.terms
                   if t.kind == "weight"), Fraction(0))
    lost = Fraction(0)
    for symbol, (state, word) in setup.regime.friction.items():
        body = next(s.thing for s in scene.symbols.values() if s.name == symbol)
        if state == "slides" and word and acc[body]:
            assert setup.regime.direction[body] == OPPOSITE[word]
            lost += values[symbol] * abs(acc[body])
    assert abs(gained - (weights - lost)) < _TINY
    assert lost >= 0


@settings(max_examples=60, deadline=None)
@given(scene=lines(), factor=st.integers(2, 9))
def test_scaling_all_masses_scales_every_force_and_no_acceleration(scene: Scene, factor: int) -> None:
    """The equivalence of heavy and inert mass, for the whole apparatus."""
    def heavier(quantity: Quantity) -> Quantity:
        return Quantity(quantity.value * factor, str(float(quantity.value * factor)), "kg")

    bodies = {n: replace(b, mass=heavier(b.mass)) for n, b in scene.bodies.items()}
    symbols = {n: replace(s, given=heavier(s.given)) if s.kind == "mass" and s.given else s for n, s in scene.symbols.items()}
    light, heavy = derive(scene), derive(replace(scene, bodies=bodies, symbols=symbols))
    assert light.regime == heavy.regime
    assert _accelerations(light) == _accelerations(heavy)
    forces = {s.name for s in scene.symbols.values() if s.unit == "N"} - set(light.undetermined)
    assert {f: light.values[f] * factor for f in forces} == {f: heavy.values[f] for f in forces}


@settings(max_examples=60, deadline=None)
@given(scene=lines())
def test_the_order_of_bodies_and_ropes_in_the_file_changes_nothing(scene: Scene) -> None:
    """Bodies and ropes backwards: the same accelerations, forces and regime."""
    turned = replace(scene, bodies=dict(reversed(scene.bodies.items())), ropes=scene.ropes[::-1])
    one, two = derive(scene), derive(turned)
    assert _accelerations(one) == _accelerations(two)
    assert one.regime.friction == two.regime.friction
    shared = set(one.values) & set(two.values) - {"a"}
    assert {s: one.values[s] for s in shared} == {s: two.values[s] for s in shared}


@settings(max_examples=60, deadline=None)
@given(masses=st.lists(_masses, min_size=2, max_size=6), pull=st.integers(1, 500), mu=_friction)
def test_the_whole_row_obeys_the_second_law(masses: list[str], pull: int, mu: tuple[float, float]) -> None:
    """Momentum balance of the whole: pull minus all friction = total mass times acceleration; tensions cancel."""
    parts = ['title = "t"', 'story = "s"', "ask = { values = [\"W_1\"] }",
             "ropes = [" + ", ".join(f'{{ symbol = "T_{i}", pulls = [["b{i}", "right"], ["b{i + 1}", "left"]] }}'
                                     for i in range(1, len(masses))) + "]",
             f'forces = [{{ symbol = "F", on = "b{len(masses)}", direction = "right", size = "{pull} N" }}]']
    for i, m in enumerate(masses, 1):
        parts += [f"[bodies.b{i}]", f"index = {i}", f'mass = "{m} kg"', 'moves = "level"',
                  f"friction = {{ kinetic = {mu[0]}, static = {mu[1]} }}"]
    setup = derive(load_text("\n".join(parts), name="row", file="row.toml"))
    if setup.undetermined:
        assert not setup.regime.moves
        return
    friction = sum((setup.values[s] for s in setup.regime.friction), Fraction(0))
    total = sum((Fraction(m) for m in masses), Fraction(0))
    assert pull - friction == total * setup.values["a"]


@settings(max_examples=60, deadline=None)
@given(scene=lines())
def test_no_static_friction_exceeds_its_limit_and_no_rope_pushes(scene: Scene) -> None:
    """The rules of every regime that is found."""
    setup = derive(scene)
    values = _all(setup)
    for symbol, (state, _) in setup.regime.friction.items():
        body = next(s.thing for s in scene.symbols.values() if s.name == symbol)
        rough = scene.bodies[body or ""].friction
        if state == "holds" and symbol in values and rough is not None and rough.static is not None:
            assert values[symbol] <= rough.static.value * values[scene.symbol_of("normal", body) or ""]
    assert all(values.get(r.symbol, Fraction(0)) >= 0 for r in scene.ropes)
    assert all(values[r.symbol] == 0 for r in scene.ropes if not setup.regime.taut[r.symbol])
