"""The distance of `[ask.motion]`: time and speed at its end, with constant acceleration."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from .exact import root


def covering(distance: Fraction, start: Fraction, acceleration: Fraction) -> tuple[Fraction, Fraction] | None:
    """Time and speed at the end of a distance along the motion (start >= 0), or None where it is never reached.

    >>> covering(Fraction(9), Fraction(0), Fraction(2))
    (Fraction(3, 1), Fraction(6, 1))
    """
    square = start * start + 2 * acceleration * distance
    if square < 0 or (not start and acceleration <= 0):
        return None
    end = root(square)
    if not acceleration:
        return distance / start, start
    return 2 * distance / (start + end), end


@dataclass(frozen=True)
class Covered:
    """Which acceleration (its letter) covers the distance, how fast it starts (m/s, along its motion), whether it gains speed
    (+1) or loses it (-1), and the letters of distance, time and speed."""

    acceleration: str
    start: Fraction
    gains: int
    distance: str
    time: str
    speed: str

    def values(self, known: Mapping[str, Fraction]) -> dict[str, Fraction]:
        """{time: s, speed: m/s} where `known` has the distance and the acceleration (of either sign); {} where it is never reached."""
        reached = covering(known[self.distance], self.start, self.gains * abs(known[self.acceleration]))
        return dict(zip((self.time, self.speed), reached, strict=True)) if reached else {}
