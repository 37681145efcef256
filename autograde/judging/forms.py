"""A line of mechanics as a form in the unknowns: {monomial of unknowns: coefficient}, the coefficients boxes.

A quotient keeps numerator and denominator apart, so that dividing by an unknown never hides it: multiplying an equation
through by an unknown gives a form that is not linear any more, and so not the same equation.
"""

from __future__ import annotations

from dataclasses import dataclass

from .boxes import Box

Key = tuple[str, ...]  # sorted names of unknowns, repeated for powers; () is the constant
CONST: Key = ()
ONE = Box(1.0, 1.0)
ZERO = Box(0.0, 0.0)
MOST_TERMS = 400


class TooLarge(ValueError):
    """The line multiplies out to more terms than any line of this course needs."""


Form = dict[Key, Box]


Vector = dict[Key, float]  # the same with plain numbers


def plus(a: Vector, b: Vector, factor: float = 1.0) -> Vector:
    """a + factor * b."""
    out = dict(a)
    for k, x in b.items():
        out[k] = out.get(k, 0.0) + factor * x
    return out


def add(a: Form, b: Form) -> Form:
    out = dict(a)
    for k, c in b.items():
        out[k] = out[k] + c if k in out else c
    return out


def negate(a: Form) -> Form:
    return {k: -c for k, c in a.items()}


def multiply(a: Form, b: Form) -> Form:
    if len(a) * len(b) > MOST_TERMS:
        raise TooLarge
    if len(b) == 1 and CONST in b:
        c = b[CONST]
        return {k: x * c for k, x in a.items()}
    out: Form = {}
    for ka, ca in a.items():
        for kb, cb in b.items():
            k = tuple(sorted(ka + kb)) if ka and kb else ka or kb
            c = ca * cb
            out[k] = out[k] + c if k in out else c
    return out


@dataclass(frozen=True, slots=True)
class Ratio:
    """num / den."""

    num: Form
    den: Form

    @classmethod
    def of(cls, form: Form) -> Ratio:
        return cls(form, {CONST: ONE})

    @classmethod
    def number(cls, box: Box) -> Ratio:
        return cls({CONST: box}, {CONST: ONE})

    @property
    def plain(self) -> bool:
        return self.den == {CONST: ONE}

    def __add__(self, other: Ratio) -> Ratio:
        if self.plain and other.plain:
            return Ratio(add(self.num, other.num), self.den)
        if self.den == other.den:
            return Ratio(add(self.num, other.num), self.den)
        return Ratio(add(multiply(self.num, other.den), multiply(other.num, self.den)), multiply(self.den, other.den))

    def __neg__(self) -> Ratio:
        return Ratio(negate(self.num), self.den)

    def __sub__(self, other: Ratio) -> Ratio:
        return self + (-other)

    def __mul__(self, other: Ratio) -> Ratio:
        return Ratio(multiply(self.num, other.num), multiply(self.den, other.den))

    def __truediv__(self, other: Ratio) -> Ratio:
        if other.plain and len(other.num) == 1 and CONST in other.num:
            c = other.num[CONST]
            return Ratio({k: x / c for k, x in self.num.items()}, self.den)
        if all(c.is_zero() for c in other.num.values()):
            raise ZeroDivisionError
        return Ratio(multiply(self.num, other.den), multiply(self.den, other.num))


def same_up_to_scale(form: Form, truth: dict[Key, float], slack: float = 1e-9) -> bool:
    """Whether scale_between finds one.

    >>> same_up_to_scale({("T",): Box(2, 2), (): Box(-4, -4)}, {("T",): -1.0, (): 2.0})
    True
    """
    return scale_between(form, truth, slack) is not None


def scale_between(form: Form, truth: dict[Key, float], slack: float = 1e-9) -> tuple[float, float] | None:
    """The scales k != 0 that put k * truth inside the form's boxes, coefficient by coefficient: lowest and highest; None if none."""
    biggest = max((abs(v) for v in truth.values()), default=0.0)
    if biggest == 0.0:
        return None
    low, high = -float("inf"), float("inf")
    largest = max((c.size for c in form.values()), default=0.0)
    if largest == 0.0:
        return None
    strong = False
    for k in form.keys() | truth.keys():
        c = form.get(k, ZERO)
        v = truth.get(k, 0.0)
        give = slack * max(c.size, 1e-3 * largest)
        if abs(v) <= 1e-12 * biggest:
            if not (c.lo - give - 1e-9 * largest <= 0.0 <= c.hi + give + 1e-9 * largest):
                return None
            continue
        a, b = (c.lo - give) / v, (c.hi + give) / v
        if a > b:
            a, b = b, a
        low, high = max(low, a), min(high, b)
        if low > high:
            return None
        if k and (c.lo > 0 or c.hi < 0):
            strong = True
    if low <= 0.0 <= high and not strong:
        return None
    return (low, high) if high != 0.0 or low != 0.0 else None
