"""Numbers as a student writes them: a figure stands for every value that would round to it, so arithmetic is done on boxes.

A box is an interval of floats; exact values are boxes of no width. Every operation widens outwards by a few units in the
last place of a float, far below any figure that a student writes.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

_EPS = 1e-12


@dataclass(frozen=True, slots=True)
class Box:
    lo: float
    hi: float

    @classmethod
    def exact(cls, value: Fraction | float) -> Box:
        x = float(value)
        return cls(x, x)

    @classmethod
    def around(cls, value: Fraction | float, half: Fraction | float) -> Box:
        x, h = float(value), float(half)
        slack = _EPS * abs(x)
        return cls(x - h - slack, x + h + slack)

    @property
    def mid(self) -> float:
        return (self.lo + self.hi) / 2

    def __add__(self, other: Box) -> Box:
        return Box(self.lo + other.lo, self.hi + other.hi)

    def __sub__(self, other: Box) -> Box:
        return Box(self.lo - other.hi, self.hi - other.lo)

    def __abs__(self) -> Box:
        return self if self.lo >= 0 else -self if self.hi <= 0 else Box(0.0, max(-self.lo, self.hi))

    def __neg__(self) -> Box:
        return Box(-self.hi, -self.lo)

    def __mul__(self, other: Box) -> Box:
        if self.lo == self.hi and other.lo == other.hi:
            x = self.lo * other.lo
            return Box(x, x)
        p = (self.lo * other.lo, self.lo * other.hi, self.hi * other.lo, self.hi * other.hi)
        return Box(min(p), max(p))

    def __truediv__(self, other: Box) -> Box:
        if other.lo <= 0.0 <= other.hi:
            raise ZeroDivisionError
        return self * Box(1 / other.hi, 1 / other.lo)

    def __contains__(self, x: float) -> bool:
        slack = _EPS * max(abs(self.lo), abs(self.hi), 1e-300)
        return self.lo - slack <= x <= self.hi + slack

    def meets(self, other: Box, slack: float = 0.0) -> bool:
        """Whether the two boxes share a value, allowing `slack` in absolute terms."""
        return self.lo <= other.hi + slack and other.lo <= self.hi + slack

    @property
    def size(self) -> float:
        return max(abs(self.lo), abs(self.hi))

    def is_zero(self) -> bool:
        return self.lo == 0.0 == self.hi
