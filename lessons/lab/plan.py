"""Before anything hangs: what acceleration, time and speed to expect for each pair of masses, and how well they can be measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .errors import LabError
from .fit import theory
from .runs import RULER, TIMING

QUICK, FAST = 0.8, 2.0
"""Below so many seconds a time by hand means little; above so many m/s a landing is hard on floor and machine. Common practice, no source."""

CAUTION = (
    "A hanging load can fall and a thread can snap. Whatever is said here, the rules of your laboratory and the person in charge come "
    "first. Keep hands, heads and feet out from under the loads, put something soft below them, hold the heavier one until everybody is clear, catch the "
    "lighter one before it reaches the pulley, wear eye protection where your laboratory asks for it, and use no more mass than you need."
)


@dataclass(frozen=True)
class Expected:
    """One pair of masses in kg: a in m/s^2, the time t in s to fall the distance, the speed v in m/s on landing, the relative uncertainty of
    a (from the timing and the ruler), and a word of warning or ""."""

    m1: float
    m2: float
    a: float
    t: float
    v: float
    relative: float
    warns: str


def plan(pairs: Sequence[tuple[float, float]], distance: float, g: float = 9.8, timing: float = TIMING, ruler: float = RULER) -> tuple[Expected, ...]:
    """What the ideal machine does for each pair (m1, m2) of masses in kg, m2 the heavier one, falling `distance` in m from rest.

    LabError where a number can't be.
    """
    for label, value in (("distance", distance), ("g", g), ("timing", timing), ("ruler", ruler)):
        if not (math.isfinite(value) and value > 0):
            raise LabError(f"{label}: found {value}; a number above 0 would do")
    return tuple(_expected(m1, m2, distance, g, timing, ruler) for m1, m2 in pairs)


def _expected(m1: float, m2: float, distance: float, g: float, timing: float, ruler: float) -> Expected:
    if not (math.isfinite(m1) and math.isfinite(m2) and 0 < m1 < m2):
        raise LabError(f"m1 = {m1} kg, m2 = {m2} kg: two masses above 0 would do, the heavier one as m2")
    a = float(theory(m1, m2, g))
    t, v = math.sqrt(2 * distance / a), math.sqrt(2 * distance * a)
    warnings = []
    if t < QUICK:
        warnings.append("too quick to time by hand")
    if v > FAST:
        warnings.append("lands fast: less distance, or less difference")
    if m2 > 1:
        warnings.append("more than a kilogram: is it needed?")
    return Expected(m1, m2, a, t, v, math.hypot(2 * timing / t, ruler / distance), "; ".join(warnings))
