"""Sines, cosines and square roots as fractions: exact where they are rational, else right to 60 decimal places."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import isqrt

PLACES = 60
_SCALE = 10**PLACES

# Niven's theorem: these are the only rational sines of whole fractions of a turn.
_RATIONAL_SINES = {
    Fraction(0): Fraction(0),
    Fraction(30): Fraction(1, 2),
    Fraction(90): Fraction(1),
    Fraction(150): Fraction(1, 2),
    Fraction(180): Fraction(0),
    Fraction(210): Fraction(-1, 2),
    Fraction(270): Fraction(-1),
    Fraction(330): Fraction(-1, 2),
}


@lru_cache(maxsize=1024)
def sine(degrees: Fraction) -> Fraction:
    """The sine of an angle in degrees.

    >>> sine(Fraction(30)), float(sine(Fraction(37)))
    (Fraction(1, 2), 0.6018150231520483)
    """
    turn = degrees % 360
    if turn in _RATIONAL_SINES:
        return _RATIONAL_SINES[turn]
    import mpmath  # lazily: most scenes have no slope

    with mpmath.workdps(PLACES + 15):
        value = mpmath.sin(mpmath.mpf(turn.numerator) / turn.denominator * mpmath.pi / 180)
        return Fraction(int(mpmath.nint(value * _SCALE)), _SCALE)


def cosine(degrees: Fraction) -> Fraction:
    """The cosine of an angle in degrees."""
    return sine(degrees + 90)


def root(value: Fraction) -> Fraction:
    """The square root of a number that is not negative: exact for squares of fractions.

    >>> root(Fraction(9, 4))
    Fraction(3, 2)
    """
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom)
    return Fraction(isqrt(value.numerator * _SCALE * _SCALE // value.denominator), _SCALE)
