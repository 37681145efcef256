"""Values that a known shortcut leads to: a tension as both weights, an acceleration of one mass where all are set moving.

The shortcuts are common practice in teaching, no source; each is worked out from the scene, so that it is known with any numbers.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from ..mechanics import MechanicsError, solve_at
from ..mechanics.exact import cosine, sine
from ..mechanics.setup import Setup
from ..scene.notation import class_letter
from ..scene.words import thing_name
from .boxes import Box
from .context import Context
from .pieces import INERTIA, pieces_of, say_force
from .says import str_inertia

ALONE = "Write the equation of one body alone, with its own forces only, and take {letter} from that."
RIGHT_ANGLE = 90


@dataclass(frozen=True)
class Shortcut:
    """A wrong value (coherent unit, sign as the shortcut has it), what leads to it, and how to go on."""

    value: float
    says: str
    how: str


def shortcut(context: Context, symbol: str, value: Box) -> Shortcut | None:
    """The first shortcut that leads to this value, its sign left aside; None where none does or the value is the true one."""
    true = context.actual.numbers.get(symbol)
    if true is None or true in value:
        return None
    return next((s for s in _every(context, symbol) if s.value and abs(s.value) in abs(value)), None)


def _every(context: Context, symbol: str) -> Iterator[Shortcut]:
    kind = context.scene.symbols[symbol].kind
    if kind in ("tension", "contact"):
        yield from _from_weights(context, symbol, kind)
        yield from _from_outside(context, symbol, kind)
    if kind in ("acceleration", "shared_acceleration"):
        yield from _of_one_mass(context)
    if kind in ("tension", "contact", "acceleration", "shared_acceleration"):
        yield from _with_other_data(context, symbol)
    if kind in ("tension", "contact"):
        yield from _one_term_off(context, symbol)


def _letter(context: Context, symbol: str) -> str:
    return class_letter(context.scene, symbol)


def _from_weights(context: Context, symbol: str, kind: str) -> Iterator[Shortcut]:
    """One weight where things accelerate, all weights, the difference of two."""
    weights = context.weights
    alone = ALONE.format(letter=_letter(context, symbol))
    if context.setup.regime.moves:
        what = "A tension" if kind == "tension" else "A push"
        for name, w in weights.items():
            yield Shortcut(w, f"That is the weight {_letter(context, name)}. {what} equals a body's weight only while that body does not accelerate, and nothing else holds it.", alone)
    if len(weights) > 1:
        every = " + ".join(_letter(context, n) for n in weights)
        yield Shortcut(sum(weights.values()), f"That is {every}, the weights together. They act on different bodies, and in the equation of one body only its own stands.", alone)
    if len(weights) == 2:
        (a, x), (b, y) = weights.items()
        yield Shortcut(x - y, f"That is the difference of {_letter(context, a)} and {_letter(context, b)}: in an equation of the whole it drives the motion, and {_letter(context, symbol)} has dropped out of that.", alone)


def _from_outside(context: Context, symbol: str, kind: str) -> Iterator[Shortcut]:
    """An outside force that is handed on whole."""
    for force in context.scene.forces:
        letter = _letter(context, force.symbol)
        handed = "the rope" if kind == "tension" else "the contact"
        says = f"That is {letter} itself. Part of {letter} accelerates the body that it acts on; {handed} hands on only the rest."
        yield Shortcut(context.actual.numbers[force.symbol], says, ALONE.format(letter=_letter(context, symbol)))


def _of_one_mass(context: Context) -> Iterator[Shortcut]:
    """What is left of the forces, divided by one mass where all bodies are set moving."""
    setup = context.setup
    masses = {s.name: float(s.given.value) for s in context.scene.symbols.values() if s.kind == "mass" and s.given is not None and s.given.value}
    if len(masses) < 2 or not setup.size_of or context.scene.wheels or setup.size_of.keys() < {a for a in context.accelerations if a != "a"}:
        return
    a = abs(float(setup.values[next(iter(setup.size_of))]))
    for name, m in masses.items():
        letter = _letter(context, name)
        says = f"That is what is left of the forces, divided by {letter} alone; but the bodies are tied together, and it sets all of them moving."
        yield Shortcut(a * sum(masses.values()) / m, says, "Write each body's own equation and tie them; the masses then come together by themselves.")


def _with_other_data(context: Context, symbol: str) -> Iterator[Shortcut]:
    """The value without friction, with the static coefficient, or with sine and cosine exchanged."""
    setup, scene = context.setup, context.scene
    of = {kind: [s for s in scene.symbols.values() if s.kind == kind and s.given is not None] for kind in ("mu_k", "mu_s", "angle")}
    letter = _letter(context, symbol)
    if of["mu_k"]:
        without = {s.name: Fraction(0) for s in of["mu_k"]}
        yield from _solved(setup, symbol, without, f"That would be {letter} without friction.", "Draw the friction on each body that rubs, and write it into that body's equation.")
    static = {s.name: t.given.value for s in of["mu_k"] for t in of["mu_s"] if t.thing == s.thing and t.given is not None}
    if static:
        says = f"That would be {letter} with the coefficient of static friction; what slides has the kinetic one."
        yield from _solved(setup, symbol, static, says, "Decide first whether it slides.")
    tilted = {}
    for s in of["angle"]:
        if s.given is not None:
            other = RIGHT_ANGLE - s.given.value
            tilted.update({s.name: other, f"sin({s.name})": sine(other), f"cos({s.name})": cosine(other)})
    if tilted:
        yield from _solved(setup, symbol, tilted, f"That would be {letter} with sine and cosine exchanged.", "Test with a flat slope: at 0 degrees nothing should pull along it.")


def _solved(setup: Setup, symbol: str, other: dict[str, Fraction], says: str, how: str) -> Iterator[Shortcut]:
    name = symbol
    if symbol not in setup.values and symbol == "a" and setup.shared:
        name = next(iter(setup.shared))
    try:
        values = solve_at(setup, {**setup.given, **other})
    except (MechanicsError, ArithmeticError, ValueError):
        return
    if name in values:
        yield Shortcut(float(values[name]), says, how)


def _one_term_off(context: Context, symbol: str) -> Iterator[Shortcut]:
    """The value that one thing's equation gives, all else true, with one of its terms left out or turned."""
    values = {**context.setup.values, **context.setup.given}
    for thing in context.setup.equations:
        pieces = pieces_of(context.setup, thing)
        own = [p for p in pieces if p.symbol == symbol]
        if len(own) != 1 or not values[symbol]:
            continue
        size = float(own[0].poly.at(values) / values[symbol])
        rest = {p.symbol: (float(p.poly.at(values)), p) for p in pieces if p.symbol != symbol}
        together = sum(x for x, _ in rest.values())
        for name, (x, p) in rest.items():
            if not x or not size:
                continue
            term = str_inertia(context.setup, thing) if p.symbol == INERTIA else say_force(context.setup, name)
            where = f"the equation of the {thing_name(thing)}"
            yield Shortcut(-(together - x) / size, f"That comes from {where} without {term}.", f"Go through {where} term by term, against your diagram.")
            yield Shortcut(-(together - 2 * x) / size, f"That comes from {where} with the sign of {term} turned round.", f"Check each sign of {where} against the plus that you chose.")
