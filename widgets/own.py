"""A student's own numbers in the place of the true ones: what their results say of every force and acceleration.

A result that is wrong is taken at its word. What was not asked follows from the results by the equations, as far as it does; what was
asked and has no result yet stays unknown, so that nothing is given away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from ..autograde.algebra import Poly
from ..autograde.judging.context import context_for
from ..autograde.judging.evaluate import Unjudgeable
from ..autograde.judging.lines import Meaning, number_of, value_look
from ..autograde.mechanics.setup import Setup
from ..autograde.reading import Complaint, read_value
from ..autograde.scene.model import OPPOSITE, Scene

_MOTIONS = ("acceleration", "shared_acceleration", "alpha")


@dataclass(frozen=True)
class Own:
    """setup: as `derive` gives it, with values that are the student's or follow from theirs; true: with the true ones. right: whether
    every result is there and right, so that the two differ by rounding alone. typed: {symbol: value in SI, along the
    chosen directions}. verdicts: {symbol: the judge's word on it}. unread: results that give no number. missing: asked, and no result
    yet. moves: whether the numbers give every acceleration."""

    setup: Setup
    true: Setup
    right: bool
    typed: Mapping[str, Fraction]
    verdicts: Mapping[str, str]
    unread: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    moves: bool = False
    texts: Mapping[str, str] = field(default_factory=dict)


def with_equations(scene: Scene) -> tuple[str, ...]:
    """The things whose forces are part of the problem, so that there is a diagram and an equation for each."""
    return tuple(context_for(scene, {t: scene.directions(t)[0] for t in scene.things}).setup.equations)


def own_numbers(scene: Scene, answers: Mapping[str, Any], steps: Sequence[Mapping[str, Any]]) -> Own:
    """What the results in `answers` say, for the directions chosen there; steps: the judge's."""
    chosen = {t: w for t, w in (answers.get("directions") or {}).items() if t in scene.things and w in scene.directions(t)}
    setup = context_for(scene, {t: chosen.get(t, scene.directions(t)[0]) for t in scene.things}).setup
    texts = {s: t for s, t in (answers.get("results") or {}).items() if s in scene.asked}
    verdicts = {str(s["item"]): str(s["verdict"]) for s in steps if s["step"] == "results" and s["item"] in texts}
    typed, unread = {}, []
    for symbol, text in texts.items():
        value = _value(setup, symbol, text)
        if value is None or (scene.symbols[symbol].kind == "time" and value <= 0):
            unread.append(symbol)
        else:
            typed[symbol] = value
    missing = tuple(s for s in scene.asked if s not in texts)
    typed = {**typed, **_of_each(setup, typed)}
    whole = not missing and not unread and all(verdicts.get(s) == "right" for s in texts)
    values = {**setup.values, **typed} if whole else _without(setup, implied(setup, typed), [*missing, *unread])
    own = replace(setup, values=values, undetermined=())
    return Own(own, setup, whole, typed, verdicts, tuple(unread), missing, _all_move(own), texts)


def implied(setup: Setup, typed: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """What follows from the typed values and the data, equation by equation, as far as one unknown at a time can be found."""
    known = {**setup.given, **typed}
    laws = [Poly.symbol(s) - law for s, law in setup.laws.items() if s not in typed]
    ties = [tie.poly for tie in setup.ties if tie.kind != "rest"]  # whether it rests at all is for the numbers to say
    polys = [*laws, *ties, *(e.poly for e in setup.equations.values())]
    while True:
        found = next((f for poly in polys if (f := _only_unknown(poly, known))), None)
        if found is None:
            return {s: v for s, v in known.items() if s not in setup.given or s in typed}
        known[found[0]] = found[1]


def _only_unknown(poly: Poly, known: Mapping[str, Fraction]) -> tuple[str, Fraction] | None:
    open_ones = poly.symbols - known.keys()
    if len(open_ones) != 1:
        return None
    (name,) = open_ones
    try:
        parts, rest = poly.linear_in([name])
    except ValueError:
        return None
    factor = parts[name].at(known)
    return (name, -rest.at(known) / factor) if factor else None


def _value(setup: Setup, symbol: str, text: str) -> Fraction | None:
    """A result's value in SI, along the chosen directions; None where the text gives no number."""
    context = context_for(setup.scene, setup.positive)
    try:
        line = read_value(text, context.vocabulary).lines[0]
        found = number_of(line.sides[-1], value_look(context, context.actual, Meaning()), context.figures()).mid
    except (Complaint, Unjudgeable, KeyError):
        return None
    value = Fraction(found).limit_denominator(10**9)
    thing, word = setup.scene.symbols[symbol].thing, line.note.strip().lower()
    if thing is not None and word in OPPOSITE and setup.scene.symbols[symbol].kind in _MOTIONS:
        return abs(value) * (1 if word == setup.positive[thing] else -1)
    return value


def _of_each(setup: Setup, typed: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """Every body's acceleration from the one `a`, which may be given as a size."""
    a = typed.get("a")
    kind = setup.scene.symbols["a"].kind if "a" in setup.scene.symbols else ""
    if a is None or kind != "shared_acceleration":
        return {}
    if setup.shared:
        true = setup.values.get("a", Fraction(0))
        if a > 0 > true and abs(a + true) <= abs(true) / 20:
            a = -a  # the size of a motion against the plus directions
        return {"a": a, **dict.fromkeys(setup.shared, a)}
    return {symbol: factor * a for symbol, factor in setup.size_of.items()}


def _without(setup: Setup, values: dict[str, Fraction], asked: Sequence[str]) -> dict[str, Fraction]:
    """Without what was asked and has no result, also where it would follow from the others."""
    hidden = set(asked)
    kinds = {setup.scene.symbols[s].kind for s in hidden}
    if kinds & set(_MOTIONS):
        given = {s.name for s in setup.scene.symbols.values() if s.given is not None}
        hidden |= {s for s in values if s.split("_")[0] in ("a", "alpha") and s not in given}
    return {s: v for s, v in values.items() if s not in hidden}


def _all_move(setup: Setup) -> bool:
    from .drawing.course import acceleration_symbol

    known = {**setup.given, **setup.values}
    return all((s := acceleration_symbol(setup, thing)) is not None and s in known for thing in setup.scene.things)
