"""Finding a free place for a label or an arrow among what a picture holds already: of several places the one that covers least."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from .drawing.geometry import Box, Point, box_of, inside, line_inside

_LABEL, _LINE, _SOLID = 40.0, 6.0, 200.0  # what it costs to cover a unit of area, a unit of length, a thing
_RANK = 0.5  # a later place must be better by this


@dataclass
class Taken:
    """What a picture holds: shapes that nothing may cover, lines, and labels."""

    solids: list[list[Point]] = field(default_factory=list)
    lines: list[Sequence[Point]] = field(default_factory=list)
    labels: list[Box] = field(default_factory=list)

    def cost(self, box: Box) -> float:
        """How much a box would cover; 0: it lies free."""
        out = _LABEL * sum(box.shared(other) for other in self.labels)
        out += _LINE * sum(line_inside(box, line) for line in self.lines)
        middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
        for solid in self.solids:
            edge = line_inside(box, [*solid, solid[0]])
            if edge or inside(middle, solid):
                out += _LINE * edge + _SOLID
        return out

    def freest_box(self, boxes: Iterable[Box], margin: float = 1.5) -> int:
        """The index of the box that covers least, the first of equals; it is taken then."""
        some = list(boxes)
        best = _cheapest(self.cost(box.grown(margin)) for box in some)
        self.labels.append(some[best])
        return best

    def freest_lines(self, choices: Sequence[Sequence[Sequence[Point]]], margin: float = 6.0) -> int:
        """The index of the group of lines that lies freest; its lines are taken then."""
        best = _cheapest(sum(self.cost(box_of(line).grown(margin)) for line in lines) for lines in choices)
        self.lines += list(choices[best])
        return best


def _cheapest(costs: Iterable[float]) -> int:
    """The index of the least cost, the later ones dearer by their rank. No cost is worked out once none can be less."""
    best, least = 0, math.inf
    for k, cost in enumerate(costs):
        if cost + k * _RANK < least:
            best, least = k, cost + k * _RANK
        if least <= (k + 1) * _RANK:
            break
    return best
