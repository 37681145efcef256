"""What single slips make of a law that is put in: N from the balance across the line, f from its coefficient and N, W from the mass.

A line or a result that gives such a letter a wrong value is set against each of them, as an equation of motion is against its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations

from ..algebra import Poly
from ..mechanics.setup import Balance, Setup
from ..reading.tree import Line
from ..scene.notation import class_letter
from ..scene.words import thing_name
from .boxes import Box
from .context import Context
from .evaluate import Unjudgeable
from .grounds import Ground
from .lines import Meaning, lonely_name, number_of, places_for, resolve, value_look
from .operators.change import ONE, letter_of, symbols_of
from .operators.sizes import trig_swaps
from .pieces import put_laws, say_force
from .says import across_words, either, force_words, slip
from .slips import SLIPS
from .verdicts import Slip

NEAR = 1e-9


@dataclass(frozen=True)
class Wrong:
    """One slip in a law: its kind, the wrong value, fields for the message."""

    kind: str
    value: Poly
    words: Mapping[str, str] = field(default_factory=dict)


def wrong_laws(setup: Setup, symbol: str) -> list[Wrong]:
    """Every single slip in the law of a letter, as what it would make of the letter; none that comes to the true value."""
    known = setup.scene.symbols.get(symbol)
    if known is None or known.thing is None:
        return []
    if known.kind in ("friction", "rolling") and setup.regime.friction.get(symbol, ("", None))[0] == "holds":
        return list(_limits(setup, known.thing))
    law = setup.laws.get(symbol)
    kinds = {"weight": _of_weight, "normal": _of_normal, "friction": _of_friction}
    make = kinds.get(known.kind)
    true = put_laws(setup, law) if law is not None else Poly()
    if make is None or not true:
        return []
    return [w for w in make(setup, known.thing, symbol) if put_laws(setup, w.value) != true]


def _limits(setup: Setup, thing: str) -> Iterator[Wrong]:
    """The limits of a friction that merely holds, taken for the friction itself."""
    normal = letter_of(setup, "normal", thing)
    for coefficient in [*symbols_of(setup, "mu_s"), *symbols_of(setup, "mu_k")]:
        if normal and setup.scene.symbols[coefficient].thing in (None, thing):
            yield Wrong("static-kinetic", Poly.symbol(coefficient) * Poly.symbol(normal), {"other": "it holds, so friction is less than its limit"})


def _of_weight(setup: Setup, thing: str, symbol: str) -> Iterator[Wrong]:
    yield from _masses(setup, thing, setup.laws[symbol])


def _masses(setup: Setup, thing: str, law: Poly) -> Iterator[Wrong]:
    """g left out, another body's mass, the mass of several."""
    mass = letter_of(setup, "mass", thing)
    yield Wrong("mass-for-weight", law.substitute({"g": ONE}), {"weighs": "a weight is a force, mass times g"})
    if mass is None:
        return
    others = [m for m in symbols_of(setup, "mass") if m != mass]
    for other in others:
        name = f"the {thing_name(setup.scene.symbols[other].thing or '')} ({other})"
        yield Wrong("other-body", law.substitute({mass: Poly.symbol(other)}), {"other": name})
    for size in range(1, min(len(others), 2) + 1):
        for group in combinations(others, size):
            yield Wrong("total-mass", law.substitute({mass: Poly.sum(map(Poly.symbol, (mass, *group)))}))


def _of_normal(setup: Setup, thing: str, symbol: str) -> Iterator[Wrong]:
    balance = setup.balances.get(thing)
    law = put_laws(setup, setup.laws[symbol])
    weight = letter_of(setup, "weight", thing)
    if balance is None or weight is None:
        return
    plain = put_laws(setup, Poly.symbol(weight))
    besides = [say_force(setup, name) for name, *_ in balance.terms if name not in (weight, symbol)]
    yield Wrong("whole-weight", plain, {"force": " and ".join(besides)} if besides else {})
    yield Wrong("whole-weight", law.substitute(dict.fromkeys(_of_slope(setup, law), ONE)))
    yield Wrong("mass-for-weight", plain.substitute({"g": ONE}), {"weighs": "a normal force is a force, in newtons"})
    yield from _masses(setup, thing, law)
    yield from _turned(setup, thing, law, balance)
    for swapped in trig_swaps(setup, law):
        yield Wrong("sine-cosine", swapped)


def _of_slope(setup: Setup, law: Poly) -> list[str]:
    return [s for s in law.symbols if s.startswith(("sin(", "cos(")) and setup.scene.symbols[s[4:-1]].kind == "angle"]


def _turned(setup: Setup, thing: str, law: Poly, balance: Balance) -> Iterator[Wrong]:
    """One force of the balance across the line turned, left out, or with sine and cosine exchanged."""
    others = [t for t in balance.terms if t[0] != balance.symbol]
    for name, _, sign, size in others:
        part = put_laws(setup, size) * -sign
        for swapped in trig_swaps(setup, part):
            yield Wrong("sine-cosine", law - part + swapped, {"force": say_force(setup, name)})
        if len(others) > 1:
            words = across_words(setup, thing, name)
            yield Wrong("flipped-force", law - part * 2, words)
            yield Wrong("missing-force", law - part, words)


def _of_friction(setup: Setup, _thing: str, symbol: str) -> Iterator[Wrong]:
    law = setup.laws[symbol]
    normals = [s for s in law.symbols if setup.scene.symbols[s].kind == "normal"] if law else []
    for coefficient in [s for s in law.symbols if s.startswith("mu_k")]:
        limit = "mu_s" + coefficient[4:]
        if limit in setup.scene.symbols:
            yield Wrong("static-kinetic", law.substitute({coefficient: Poly.symbol(limit)}), {"other": "it slides, so mu_k counts"})
    for normal in normals:
        for w in wrong_laws(setup, normal):
            yield Wrong(w.kind, law.substitute({normal: w.value}), w.words)


def law_slip(context: Context, line: Line, meaning: Meaning) -> Slip | None:
    """The slip in a line that gives a letter with a law a value, N = m g; None where the line is no such, or no slip explains it."""
    name = next(filter(None, map(lonely_name, line.sides)), None)
    if name is None or any(r not in ("=", "≈") for r in line.relations):
        return None
    try:
        _, symbol = resolve(name.name, context, meaning)
    except KeyError:
        return None
    others = [side for side in line.sides if lonely_name(side) is not name]
    figures = context.figures()

    def fits(wrong: Wrong) -> bool:
        try:
            return any(
                all(
                    number_of(side, value_look(context, g, meaning), figures).meets(Box.exact(_at(context, g, wrong)), NEAR * abs(_at(context, g, wrong)))
                    for _, g in places
                    for side in others
                )
                for places in places_for(line, context)
            )
        except (KeyError, Unjudgeable):
            return False

    return _named(context, symbol, fits, (0, len(line.text)))


def tensions_slip(context: Context, line: Line) -> Slip | None:
    """The slip in T_1 = T_2 where the two ropes pull at the two sides of one wheel with inertia; None for any other line."""
    names = [lonely_name(side) for side in line.sides]
    if len(names) != 2 or None in names or line.relations[0] not in ("=", "≈"):
        return None
    pair = {n.name for n in names if n is not None}
    for wheel in context.scene.wheels:
        equation = context.setup.equations.get(wheel)
        if equation is not None and len(pair) == 2 and pair <= {t.symbol for t in equation.terms if t.kind == "tension"}:
            return slip("one-tension", force_words(context.setup, wheel, min(pair)), (0, len(line.text)), min(pair))
    return None


def balance_said(context: Context, symbol: str, value: Box) -> str:
    """What is wrong with a tension that is taken for a weight where things accelerate; "" where it is not."""
    known = context.scene.symbols.get(symbol)
    if known is None or known.kind != "tension" or not context.setup.regime.moves:
        return ""
    name = next((name for name, weight in context.weights.items() if weight in value), None)
    if name is None:
        return ""
    return f"That is the weight {class_letter(context.scene, name)}. A tension equals a body's weight only while that body does not accelerate."


def value_slip(context: Context, symbol: str, value: Box, at: tuple[int, int]) -> Slip | None:
    """The slip in the law of a letter that gives it this value; None where no single one does."""
    return _named(context, symbol, lambda w: _at(context, context.actual, w) in value, at)


def _at(context: Context, ground: Ground, wrong: Wrong) -> float:
    form = ground.form(put_laws(context.setup, wrong.value))
    total = 0.0
    for key, x in form.items():
        for name in key:
            x *= ground.numbers[name]
        total += x
    return total


def _named(context: Context, symbol: str, fits: Callable[[Wrong], bool], at: tuple[int, int]) -> Slip | None:
    hits = sorted(filter(fits, wrong_laws(context.setup, symbol)), key=lambda w: (w.kind != "whole-weight", SLIPS[w.kind].rank))
    if not hits:
        return None
    best = hits[0]
    thing = context.scene.symbols[symbol].thing or ""
    words = {**force_words(context.setup, thing, symbol), **best.words}
    found = slip(best.kind, words, at, symbol)
    rival = next((w.kind for w in hits if w.kind != best.kind), None)
    if rival is None or best.kind == "whole-weight":  # N = m g is that, whatever else would explain it
        return found
    return either(found, rival)
