"""The arrow with a plus: which way is positive."""

from __future__ import annotations

import math
from collections.abc import Sequence

from .canvas import Canvas
from .geometry import Point
from .ink import PLUS


def plus_arrow(canvas: Canvas, choices: Sequence[list[Point]]) -> None:
    """An arrow with a plus at its head, at whichever of these places lies freest."""
    points = min(choices, key=lambda c: canvas.crossing(_with_plus(c)))
    canvas.arrow(points, PLUS, 2.0)
    (x, y), (ux, uy) = points[-1], heading(points)
    canvas.label("+", [(x + ux * 9, y + uy * 9, "center"), (x - uy * 10, y + ux * 10, "center"), (x + uy * 10, y - ux * 10, "center")], 13, PLUS, bold=True)


def heading(points: Sequence[Point]) -> Point:
    """The unit vector along the last piece of a polyline."""
    (x, y), (px, py) = points[-1], points[-2]
    n = math.dist((x, y), (px, py)) or 1.0
    return ((x - px) / n, (y - py) / n)


def _with_plus(points: list[Point]) -> list[Point]:
    """An arrow's points and a little beyond its head, where its plus stands."""
    (x, y), (ux, uy) = points[-1], heading(points)
    return [*points, (x + ux * 14, y + uy * 14)]
