"""Boxes, lines and what covers what: all that placing labels needs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Place = tuple[float, float, str]
"""x, y of a label's middle line, and how it stands to it: left, center or right."""


@dataclass(frozen=True)
class Box:
    """An upright rectangle, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        """The box with a margin all round, in its own units."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def shared(self, other: Box) -> float:
        """The area that two boxes share."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(wide, 0.0) * max(high, 0.0)

    def holds(self, point: Point) -> bool:
        """Whether a point lies in it or on its edge."""
        return self.left <= point[0] <= self.right and self.top <= point[1] <= self.bottom

    @property
    def corners(self) -> list[Point]:
        """Its corners, clockwise from the top left."""
        return [(self.left, self.top), (self.right, self.top), (self.right, self.bottom), (self.left, self.bottom)]


def round_all(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds them all."""
    some = list(boxes)
    return Box(min(b.left for b in some), min(b.top for b in some), max(b.right for b in some), max(b.bottom for b in some))


def box_of(points: Sequence[Point]) -> Box:
    """The smallest box round some points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def length_inside(box: Box, a: Point, b: Point) -> float:
    """How long a piece of the segment from a to b lies in the box (Liang and Barsky's clipping)."""
    if (a[0] < box.left and b[0] < box.left) or (a[0] > box.right and b[0] > box.right):
        return 0.0  # most lie quite beside it
    if (a[1] < box.top and b[1] < box.top) or (a[1] > box.bottom and b[1] > box.bottom):
        return 0.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    low, high = 0.0, 1.0
    for p, q in ((-dx, a[0] - box.left), (dx, box.right - a[0]), (-dy, a[1] - box.top), (dy, box.bottom - a[1])):
        if p == 0:
            if q < 0:
                return 0.0
            continue
        t = q / p
        low, high = (max(low, t), high) if p < 0 else (low, min(high, t))
    return max(0.0, high - low) * math.hypot(dx, dy)


def line_inside(box: Box, points: Sequence[Point]) -> float:
    """How much of a polyline lies in the box."""
    return sum(length_inside(box, a, b) for a, b in itertools.pairwise(points))


def inside(point: Point, polygon: Sequence[Point]) -> bool:
    """Whether a point lies in a polygon."""
    x, y = point
    found = False
    for (x1, y1), (x2, y2) in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            found = not found
    return found


def turned(x: float, y: float, w: float, h: float, degrees: float) -> list[Point]:
    """The corners of a rectangle round a centre, turned clockwise (y downwards)."""
    a = math.radians(degrees)
    return [
        (x + i * w / 2 * math.cos(a) - j * h / 2 * math.sin(a), y + i * w / 2 * math.sin(a) + j * h / 2 * math.cos(a))
        for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]


def circle(x: float, y: float, r: float, count: int = 24) -> list[Point]:
    """`count` points on a circle, evenly spaced."""
    return [(x + r * math.cos(2 * math.pi * k / count), y + r * math.sin(2 * math.pi * k / count)) for k in range(count)]


def arc(x: float, y: float, r: float, start: float, end: float, count: int = 16) -> list[Point]:
    """Points on a circle by angles from its top, in degrees, clockwise."""
    steps = [math.radians(start + (end - start) * k / count) for k in range(count + 1)]
    return [(x + r * math.sin(t), y - r * math.cos(t)) for t in steps]


def direction_vector(word: str, turn: float = 0.0, mirrored: bool = False, tilt: float = 0.0) -> Point:
    """A direction word as a unit vector on the page, y downwards; turn and mirrored say how its surface lies; tilted by some
    degrees away from the surface."""
    t, a = math.radians(turn), math.radians(tilt)
    along, out = (math.cos(t), math.sin(t)), (math.sin(t), -math.cos(t))
    forward = -1.0 if mirrored else 1.0
    dx, dy = {
        "upslope": (forward * along[0], forward * along[1]), "downslope": (-forward * along[0], -forward * along[1]),
        "away": out, "into": (-out[0], -out[1]), "up": (0.0, -1.0), "down": (0.0, 1.0), "right": (1.0, 0.0), "left": (-1.0, 0.0),
    }[word]  # fmt: skip
    return (dx * math.cos(a) + out[0] * math.sin(a), dy * math.cos(a) + out[1] * math.sin(a)) if tilt else (dx, dy)
