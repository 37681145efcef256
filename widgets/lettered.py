"""What the picture on the screen shows beside things and ropes, as JSON: given forces and motions, angles, and letters.

A mark has kind (force, angle, motion, rope, contact), symbol (in the class's letters), points (an arrow, tail first, or an arc; [] for
a letter alone), base (the dashed line that an angle is measured from), at and anchor (where the letter stands).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from ..autograde.languages import written
from ..autograde.scene.model import Scene
from .drawing.arrange import Plan
from .drawing.geometry import Box, Place, Point
from .drawing.marks import Angle, contact_places, given_forces, given_motions, motion_places, rope_places, slope_angles
from .drawing.words import tilt_in_words
from .placing import Taken
from .words import letters

NAME = 8.4  # the width of a letter of a name, more or less, in a picture whose letters are not enlarged
_SYMBOL = 8.6
_HIGH, _DEEP = 12.0, 4.0  # of a label's letters, above and below its line
_PART = {"start": 0.0, "middle": 0.5, "end": 1.0}
_ANCHOR = {"left": "start", "center": "middle", "right": "end"}
_COLUMN, _LARGEST = 310.0, 1.8

Label = tuple[float, float, str]
"""x, y of a label's baseline, and its SVG text-anchor."""


def enlarged(wide: float) -> float:
    """By how much the letters of a picture of this width are enlarged, so that they can be read in a narrow column too.

    >>> enlarged(270.0), enlarged(372.0)
    (1.0, 1.2)
    """
    return min(_LARGEST, max(1.0, wide / _COLUMN))


def tilts(scene: Scene, thing: str) -> dict[str, dict[str, Any]]:
    """{letters: degrees, letter (of the angle), says} for the forces on a body that are given with an angle: what its force diagram needs
    to draw them slanting."""
    return {
        letters(scene, force.symbol): {
            "degrees": float(force.angle.value), "letter": letters(scene, force.angle_symbol or "phi"),
            "says": written(tilt_in_words(float(force.angle.value)), scene.decimal_comma),
        }
        for force in scene.forces
        if force.on == thing and thing in scene.bodies and force.angle is not None and force.angle.value
    }  # fmt: skip


def label_box(text: str, place: Label, letter: float = NAME, size: float = 1.0) -> Box:
    """How much room a label takes, by a guess of its width."""
    x, y, anchor = place
    wide = len(text) * letter * size
    left = x - wide * _PART[anchor]
    return Box(left, y - _HIGH * size, left + wide, y + _DEEP * size)


@dataclass
class Marks:
    """The marks of one picture. What can't lie elsewhere is taken first, then come the things' own arrows and names, then `finish`."""

    scene: Scene
    plan: Plan
    taken: Taken
    size: float
    boxes: list[Box] = field(default_factory=list)
    _open: list[tuple[dict[str, Any], list[Place]]] = field(default_factory=list)
    _done: list[dict[str, Any]] = field(default_factory=list)

    def begin(self) -> None:
        """Given forces and angles, without their letters; and the letters of contacts, which have but one good place."""
        for given in given_forces(self.scene, self.plan):
            self._draw("force", given.force.symbol, given.points, given.places)
            if given.angle is not None:
                self._angle(given.angle)
        for angle in slope_angles(self.scene, self.plan.layout):
            self._angle(angle)
        for contact in self.scene.contacts if len(self.scene.contacts) > 1 else ():
            places = contact_places(self.scene, self.plan.layout, contact)
            self._done += [self._lettered(self._mark("contact", contact.symbol), places)] if places else []

    def finish(self) -> list[dict[str, Any]]:
        """All marks, each letter where it lies freest."""
        for motion in given_motions(self.scene, self.plan.layout):
            points = motion.choices[self.taken.freest_lines([[choice] for choice in motion.choices])]
            self._open.append((self._mark("motion", motion.symbol, points), motion_places(points)))
        if len(self.scene.ropes) > 1:
            for symbol, paths in self.plan.ropes.items():
                self._open.append((self._mark("rope", symbol), rope_places(paths)))
        return [*self._done, *(self._lettered(mark, places) for mark, places in self._open)]

    def _draw(self, kind: str, symbol: str, points: list[Point], places: list[Place], base: Sequence[Point] = ()) -> None:
        self.taken.lines += [points, *([list(base)] if base else [])]
        self._open.append((self._mark(kind, symbol, points, base), places))

    def _angle(self, angle: Angle) -> None:
        self._draw("angle", angle.symbol, angle.curve, angle.places, angle.base)

    def _mark(self, kind: str, symbol: str, points: Iterable[Point] = (), base: Iterable[Point] = ()) -> dict[str, Any]:
        return {"kind": kind, "symbol": letters(self.scene, symbol), "points": list(points), "base": list(base)}

    def _lettered(self, mark: dict[str, Any], places: list[Place]) -> dict[str, Any]:
        text = _as_drawn(mark["symbol"])
        labels = [(x, y + 5 * self.size, _ANCHOR[side]) for x, y, side in places]
        boxes = [label_box(text, label, _SYMBOL, self.size) for label in labels]
        best = self.taken.freest_box(boxes)
        self.boxes.append(boxes[best])
        return {**mark, "at": list(labels[best][:2]), "anchor": labels[best][2]}


def _as_drawn(symbol: str) -> str:
    """As many letters as are drawn: "theta_1" is two."""
    stem, _, index = symbol.partition("_")
    return (stem if len(stem) < 3 else "x") + index
