"""One number worked out wrong: the line would hold if just one of its numbers had another value."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

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


def needed_value(line: Line, number: Number, form: Callable[[Instead], Form], truth: Vector) -> float | None:
    """The value of one number with which the line is proportional to the truth, where the line is linear in it."""
    at = number.at
    try:
        zero, one = _mids(form({at: 1.0})), _mids(form({at: 2.0}))
    except ZeroDivisionError:
        return None
    keys = sorted(set(zero) | set(one) | set(truth))
    slope = {k: one.get(k, 0.0) - zero.get(k, 0.0) for k in keys}
    base = {k: zero.get(k, 0.0) - slope[k] for k in keys}
    moving = [k for k in keys if abs(slope[k]) > 1e-12]
    fixed = [k for k in keys if k not in moving]
    if len(moving) != 1:
        return None
    scale = None
    for k in fixed:
        v = truth.get(k, 0.0)
        if abs(v) > 1e-12 and abs(base[k]) > 1e-12:
            scale = base[k] / v
            break
    if scale is None:
        return None
    k = moving[0]
    value = (scale * truth.get(k, 0.0) - base[k]) / slope[k]
    return value


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
    line: Line, context: Context, form: Callable[[Instead], Form], truth: Vector, fits: Callable[[Instead], bool]
) -> Slip | None:
    """The slip where exactly one number of the line has to change, None otherwise."""
    for number in suspects(line, context):
        value = needed_value(line, number, form, truth)
        if value is not None and likely(number, value) and fits({number.at: value}):
            return arithmetic_slip(number)
    return None


def arithmetic_slip(number: Number) -> Slip:
    return slip("arithmetic", {"wrote": number.text}, number.at, number.text)
