"""What can be said of one line of working by itself: that it says nothing, that its value is too coarse, that it has another g."""

from __future__ import annotations

from fractions import Fraction

from ..mechanics import MechanicsError, solve_at
from ..reading.tree import Line
from .arithmetic import suspects
from .chain import raw_look
from .context import Context
from .evaluate import FEWEST_FIGURES, GRAVITIES, Unjudgeable, significant
from .grounds import Ground
from .lines import (
    Meaning,
    difference,
    equalities,
    holds_at,
    is_symbolic,
    lonely_name,
    lonely_number,
    number_of,
    resolve,
    value_look,
)
from .says import slip
from .verdicts import Slip

ONE_FIGURE = 5e-3  # how far a value with a single figure may be from the true one


def says_nothing(context: Context, line: Line, meaning: Meaning) -> bool:
    """Whether both sides are the same whatever the values: a = a."""
    if not is_symbolic(line) or _is_law(context, line, meaning):
        return False
    try:
        forms = [difference(p, raw_look(context, meaning), context.figures(0.0)) for p in equalities(line)]
    except (Unjudgeable, KeyError):
        return False
    return bool(forms) and all(c.is_zero() for form in forms for c in form.values())


def _is_law(context: Context, line: Line, meaning: Meaning) -> bool:
    """Whether a letter with a law is given by other letters: f = mu_k N, W_1 = m_1 g."""
    for n, side in enumerate(line.sides):
        name = lonely_name(side)
        others = [x for k, x in enumerate(line.sides) if k != n]
        if name is None or any(lonely_name(x) is not None for x in others):
            continue
        try:
            if resolve(name.name, context, meaning)[1] in context.setup.laws:
                return True
        except KeyError:
            continue
    return False


def coarse(context: Context, line: Line, meaning: Meaning) -> Slip | None:
    """The slip in a value given to a single figure that is far from the true one: a = 2 for 1.58."""
    name, number = lonely_name(line.sides[0]), lonely_number(line.sides[-1])
    if name is None or number is None or significant(number) >= FEWEST_FIGURES:
        return None
    true = number_of(line.sides[0], value_look(context, context.actual, meaning), context.figures()).mid
    if abs(abs(float(number.value)) - abs(true)) <= ONE_FIGURE * abs(true):
        return None
    return slip("rounding", {"wrote": number.text}, number.at, name.name)


def other_g(context: Context, line: Line, meaning: Meaning, kept: dict[Fraction, Ground]) -> Fraction | None:
    """Another value of g with which the line holds, all the rest being as it is; it has to have worked-out numbers for that.
    kept: what each g makes of the scene, for the next line."""
    if is_symbolic(line) or not suspects(line, context):
        return None
    setup, given = context.setup, context.setup.given
    for g in GRAVITIES:
        if g == given.get("g"):
            continue
        if g not in kept:
            try:
                data = {**given, "g": g}
                kept[g] = Ground(setup, data, solve_at(setup, data), actual=False)
            except (MechanicsError, ValueError, ZeroDivisionError):
                continue
        try:
            if holds_at(line, value_look(context, kept[g], meaning), context.figures()):
                return g
        except (KeyError, Unjudgeable):
            continue
    return None
