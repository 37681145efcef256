"""One number worked out wrong: the line would hold if just one of its numbers had another value."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

from ..reading.tree import Line, Number, Place
from .context import Context
from .evaluate import numbers_in
from .forms import Form, Vector
from .says import slip
from .verdicts import Slip

Instead = Mapping[Place, float]
NEAR = 0.25
FARTHEST = 25.0  # a number that is off by more than this factor was not just worked out wrong


def suspects(line: Line, context: Context) -> list[Number]:
    """The numbers that the student worked out: not the scene's own data, not counts."""
    figures = context.figures()
    return [n for side in line.sides for n, counts in numbers_in(side) if not figures.is_exact(n, counts)]


def needed_values(number: Number, form: Callable[[Instead], Form], truth: Vector) -> list[float]:
    """The values of one number with which the line is proportional to the truth, where the line is linear in it: one for each
    other term that may set the scale, since all are rounded."""
    at = number.at
    try:
        zero, one = _mids(form({at: 1.0})), _mids(form({at: 2.0}))
    except ZeroDivisionError:
        return []
    keys = sorted(set(zero) | set(one) | set(truth))
    slope = {k: one.get(k, 0.0) - zero.get(k, 0.0) for k in keys}
    base = {k: zero.get(k, 0.0) - slope[k] for k in keys}
    moving = [k for k in keys if abs(slope[k]) > 1e-12]
    if len(moving) != 1:
        return []
    (k,) = moving
    scales = [base[f] / truth[f] for f in keys if f != k and abs(truth.get(f, 0.0)) > 1e-12 and abs(base[f]) > 1e-12]
    return list(dict.fromkeys((scale * truth.get(k, 0.0) - base[k]) / slope[k] for scale in scales))


def _mids(form: Form) -> Vector:
    return {k: c.mid for k, c in form.items()}


def plausible(number: Number, value: float) -> bool:
    """Whether a worked-out number may have been meant to be this: same sign, not absurdly far."""
    x = float(number.value)
    return value > 0 and x > 0 and 1 / FARTHEST < value / x < FARTHEST


def likely(number: Number, value: float) -> bool:
    """Whether a miscalculation easily leads from one to the other: near, off by a power of ten, digits exchanged, one digit wrong."""
    x = float(number.value)
    if not plausible(number, value):
        return False
    power = math.log10(x / value)
    if abs(x - value) <= NEAR * value or abs(power - round(power)) < 2e-3:
        return True
    decimals = len(number.text.partition(".")[2])
    wrote, meant = (f"{v:.{decimals}f}".replace(".", "") for v in (x, value))
    if len(wrote) != len(meant):
        return False
    return sorted(wrote) == sorted(meant) or sum(a != b for a, b in zip(wrote, meant, strict=True)) <= 1


def one_number(
    line: Line,
    context: Context,
    form: Callable[[Instead], Form],
    truth: Vector,
    fits: Callable[[Instead], bool],
    known: Iterable[float] = (),
    far: bool = False,
) -> Slip | None:
    """The slip where exactly one number of the line has to change, None otherwise. known: sizes that belong in the line; a
    number that is one of them is not suspected while there is another. far: the number may be far off, if it is the only odd one."""
    right = [abs(x) for x in known]
    numbers = suspects(line, context)
    odd = [n for n in numbers if not any(abs(abs(float(n.value)) - x) <= float(n.half) + 1e-9 for x in right)]
    if far and len(odd) != 1:
        return None
    near = plausible if far else likely
    for number in odd or numbers:
        if any(near(number, x) and fits({number.at: x}) for x in needed_values(number, form, truth)):
            return arithmetic_slip(number)
    return None


def arithmetic_slip(number: Number) -> Slip:
    return slip("arithmetic", {"wrote": number.text}, number.at, number.text)
