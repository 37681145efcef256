"""Where the things of a scene stand in its drawing: from how they move and which ropes and contacts join them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from ..autograde.scene.model import Scene

Point = tuple[float, float]

BOX = 54.0
_AXLE = 16.0  # a body that rolls is drawn as the box of its axle
WHEEL = 64.0
_STEP = 118.0
_MARGIN = 84.0
CEILING = 26.0


@dataclass
class Spot:
    """A thing's centre, size and turn (degrees, clockwise); where its label stands; the side of its arrows (-1 left, 1 right);
    mirrored: on a slope that falls to the right, so that upslope points left."""

    x: float
    y: float
    w: float = BOX
    h: float = BOX
    turn: float = 0.0
    label_at: Point = (0.0, 0.0)
    label_anchor: str = "middle"
    arrow_side: int = -1
    mirrored: bool = False


@dataclass(frozen=True)
class Ground:
    """A line to stand on or hang from (open), or a filled wedge or table."""

    points: list[Point]
    fill: bool


@dataclass
class Layout:
    width: float = 0.0
    height: float = 0.0
    spots: dict[str, Spot] = field(default_factory=dict)
    grounds: list[Ground] = field(default_factory=list)
    on_top: dict[str, str] = field(default_factory=dict)
    rollers: dict[str, str] = field(default_factory=dict)  # a body that rolls on a wheel -> the wheel
    corner: dict[str, Point] = field(default_factory=dict)  # "right"/"left": where a rope leaves the surface over a pulley

    def carries(self, name: str) -> int:
        """How many bodies are stacked above this one."""
        above = [n for n, below in self.on_top.items() if below == name]
        return max((1 + self.carries(n) for n in above), default=0)


def lay_out(scene: Scene) -> Layout:
    """Positions for every thing of the scene."""
    layout = Layout()
    layout.on_top = {n: b.rests_on for n, b in scene.bodies.items() if b.rests_on}
    surface = _in_order(scene, [n for n, b in scene.bodies.items() if b.moves != "vertical" and not b.rests_on])
    hanging = [n for n, b in scene.bodies.items() if b.moves == "vertical"]
    carried = {r.wheel: r.body for r in scene.rolling}
    layout.rollers = {r.body: r.wheel for r in scene.rolling}
    axles = [w for w in scene.wheels if w not in carried]
    if surface:
        _with_surface(scene, layout, surface, hanging, axles)
    else:
        _under_a_ceiling(scene, layout, hanging, axles)
    for wheel, body in carried.items():
        spot = layout.spots[body]
        t = math.radians(spot.turn)
        rise = (WHEEL - BOX) / 2  # the wheel stands on the ground, not the box
        x, y = spot.x + rise * math.sin(t), spot.y - rise * math.cos(t)
        layout.spots[wheel] = Spot(x, y, WHEEL, WHEEL, label_at=(x + WHEEL / 2 + 14, y + 2), label_anchor="start")
        spot.x, spot.y, spot.w, spot.h = x, y, _AXLE, _AXLE
    for name, below in layout.on_top.items():
        under = layout.spots[below]
        a = math.radians(under.turn)
        spot = Spot(under.x + BOX * math.sin(a), under.y - BOX * math.cos(a), BOX * 0.8, BOX * 0.8, under.turn, mirrored=under.mirrored)
        spot.label_at, spot.label_anchor = (spot.x + BOX * 0.7, spot.y), "start"
        layout.spots[name] = spot
    return layout


def _in_order(scene: Scene, names: list[str]) -> list[str]:
    """Bodies on surfaces from left to right: whoever is pulled right, or pushed left, by a partner stands left of it."""
    left_of: list[tuple[str, str]] = []
    for rope in scene.ropes:
        ends = {s.direction: s.thing for s in rope.pulls if s.thing in names}
        for forward, back in (("right", "left"), ("upslope", "downslope")):
            if forward in ends and back in ends:
                left_of.append((ends[forward], ends[back]))
    for contact in scene.contacts:
        ends = {s.direction: s.thing for s in contact.pushes if s.thing in names}
        for forward, back in (("right", "left"), ("upslope", "downslope")):
            if forward in ends and back in ends:
                left_of.append((ends[back], ends[forward]))
    order = list(names)
    for _ in names:
        for a, b in left_of:
            if order.index(a) > order.index(b):
                order.remove(a)
                order.insert(order.index(b), a)
    return order


def _under_a_ceiling(scene: Scene, layout: Layout, hanging: list[str], axles: list[str]) -> None:
    """Everything hangs: wheels in the place of pulleys, bodies in a row at heights of their own."""
    columns = _columns(scene, hanging, axles)
    width = 2 * _MARGIN + (max(columns.values(), default=0.0)) + 20
    layout.width, layout.height = max(width, 300.0), 300.0
    shift = (layout.width - max(columns.values(), default=0.0)) / 2
    layout.grounds.append(Ground([(24.0, CEILING), (layout.width - 24.0, CEILING)], False))
    hung = 0
    for name, x in columns.items():
        if name in scene.wheels:
            layout.spots[name] = Spot(x + shift, CEILING + 66, WHEEL, WHEEL, label_at=(x + shift + WHEEL / 2 + 14, CEILING + 72), label_anchor="start")
        else:
            y = 176.0 + 30.0 * (hung % 2)
            hung += 1
            spot = Spot(x + shift, y, arrow_side=-1 if x + shift <= layout.width / 2 else 1)
            spot.label_at = (spot.x, y + BOX / 2 + 20)
            layout.spots[name] = spot
    _hang_below(scene, layout, hanging)


def _hang_below(scene: Scene, layout: Layout, hanging: list[str]) -> None:
    """What is pulled up by something above it that is pulled down hangs below that thing; what is pushed up stands on it."""
    below: dict[str, list[str]] = {}
    for rope in scene.ropes:
        ends = [s for s in rope.pulls if s.thing in hanging]
        for upper in {s.thing for s in ends if s.direction == "down"}:
            lower = [s.thing for s in ends if s.direction == "up" and s.thing != upper]
            below.setdefault(upper, []).extend(lower)
    for upper, lower in below.items():
        over = layout.spots[upper]
        for place, name in enumerate(dict.fromkeys(lower)):
            x = over.x + (place - (len(lower) - 1) / 2) * (BOX + 10)
            layout.spots[name] = Spot(x, over.y + BOX + 62.0, label_at=(x, over.y + 1.5 * BOX + 82.0), arrow_side=-1 if x < over.x else 1)
        if lower:
            over.label_at, over.label_anchor = (over.x + BOX / 2 + 10, over.y + 5), "start"
            over.arrow_side = -1
    for contact in scene.contacts:
        up = [s.thing for s in contact.pushes if s.direction == "up" and s.thing in hanging]
        down = [s.thing for s in contact.pushes if s.direction == "down" and s.thing in hanging]
        if up and down:
            under = layout.spots[down[0]]
            beyond = under.x + BOX / 2 + 36  # beyond the arrows of the upper one
            layout.spots[up[0]] = Spot(under.x, under.y - BOX, label_at=(beyond, under.y - BOX + 5), label_anchor="start", arrow_side=1)
            under.label_at, under.label_anchor, under.arrow_side = (beyond, under.y + 5), "start", -1


def _columns(scene: Scene, hanging: list[str], axles: list[str]) -> dict[str, float]:
    """x of each column; bodies whose rope runs over a wheel hang from that wheel's rims."""
    out: dict[str, float] = {}
    x = 0.0
    for wheel in axles:
        sides = {-1: [n for n in _tied(scene, wheel, "counterclockwise") if n in hanging],
                 1: [n for n in _tied(scene, wheel, "clockwise") if n in hanging]}  # fmt: skip
        axis = x + (WHEEL / 2 if sides[-1] else 0.0)
        out[wheel] = axis
        for side, names in sides.items():
            for name in names:
                out.setdefault(name, axis + side * WHEEL / 2)
        x = axis + _STEP
    for name in hanging:
        if name not in out:
            out[name] = x
            x += _STEP
    low = min(out.values(), default=0.0)
    return {name: value - low for name, value in out.items()}


def _tied(scene: Scene, wheel: str, sense: str) -> list[str]:
    """Things on the far ends of the ropes that pull the wheel in that sense."""
    out = []
    for rope in scene.ropes:
        if any(s.thing == wheel and s.direction == sense for s in rope.pulls):
            out += [s.thing for s in rope.pulls if s.thing != wheel]
    return out


def _with_surface(scene: Scene, layout: Layout, surface: list[str], hanging: list[str], axles: list[str]) -> None:
    """A table or slopes, with what hangs beside them."""
    left_slope = [n for n in surface if scene.bodies[n].moves == "slope"]
    level = [n for n in surface if scene.bodies[n].moves == "level"]
    right_slope: list[str] = []
    if not level and len({_angle(scene, n) for n in left_slope}) > 1:
        right_slope, left_slope = left_slope[1:], left_slope[:1]
    to_left = [n for n in hanging if _pulled(scene, n, level, "left")]
    to_right = [n for n in hanging if n not in to_left]
    start = 40.0 + (110.0 if to_left else 0.0)
    y = 150.0
    if left_slope:
        end, top = _slope(scene, layout, left_slope, start, 1)
        y = top
        if right_slope:
            end, _ = _slope(scene, layout, right_slope, end, -1)
    else:
        end = start + 44.0 + len(level) * (BOX + 52.0) + (40.0 if to_right or axles else 0.0)
        y = 110.0
    if level:
        begin = start if not left_slope else end
        if left_slope:
            end = begin + 30.0 + len(level) * (BOX + 52.0) + 20.0
        _table(layout, level, begin, end, y, 170.0 if hanging else 64.0)
    layout.corner = {"right": (end, y), "left": (start, y)}
    if right_slope:
        layout.corner["right"] = layout.corner["top"] = (layout.spots[right_slope[0]].x, y)
    x = end + BOX / 2 + 10.0
    for wheel in axles:
        layout.spots[wheel] = Spot(end + WHEEL / 2 + 4, y - BOX / 2 + WHEEL / 2, WHEEL, WHEEL, label_at=(end + WHEEL + 18, y - BOX / 2 + WHEEL / 2 + 4), label_anchor="start")
        x = end + WHEEL + 4
    hang = max(y + 96.0, 190.0)
    for place, name in enumerate(to_right):
        spot = Spot(x + place * _STEP, hang, arrow_side=1)
        spot.label_at = (spot.x, spot.y + BOX / 2 + 20)
        layout.spots[name] = spot
    for place, name in enumerate(to_left):
        spot = Spot(start - BOX / 2 - 10.0 - place * _STEP, hang, arrow_side=-1)
        spot.label_at = (spot.x, spot.y + BOX / 2 + 20)
        layout.spots[name] = spot
    far = max((s.x + s.w / 2 for s in layout.spots.values()), default=end)
    layout.width = max(end, far) + (60.0 if to_right else 40.0)
    layout.height = max([320.0 if hanging else 0.0, *(p[1] + 30 for g in layout.grounds for p in g.points)])


def _table(layout: Layout, level: list[str], begin: float, end: float, y: float, deep: float) -> None:
    layout.grounds.append(Ground([(begin, y), (end, y), (end, y + deep), (begin, y + deep)], True))
    for place, name in enumerate(level):
        spot = Spot(begin + 50.0 + place * (BOX + 52.0), y - BOX / 2)
        spot.label_at = (spot.x, y + 22.0)
        layout.spots[name] = spot


def _slope(scene: Scene, layout: Layout, names: list[str], start: float, side: int) -> tuple[float, float]:
    """A wedge that rises (side 1) or falls (-1) to the right, with its bodies; returns the x where it ends and its top's y."""
    angle = min(max(_angle(scene, names[0]), 12.0), 55.0)  # drawn no flatter and no steeper than can be read
    a = math.radians(angle)
    length = 100.0 + len(names) * (BOX + 44.0)
    if layout.grounds and side < 0:
        top = min(p[1] for p in layout.grounds[-1].points)
        rise = max(p[1] for p in layout.grounds[-1].points) - top
        length = rise / math.sin(a)
    rise, run = length * math.sin(a), length * math.cos(a)
    base, top = 90.0 + rise, 90.0
    foot, head = ((start, base), (start + run, top)) if side > 0 else ((start + run, base), (start, top))
    layout.grounds.append(Ground([foot, head, (head[0], base)], True))
    for place, name in enumerate(names):
        at = (0.42 + 0.36 * place / max(len(names) - 1, 1)) if len(names) > 1 else 0.5
        px, py = foot[0] + (head[0] - foot[0]) * at, foot[1] + (head[1] - foot[1]) * at
        turn = -angle * side
        t = math.radians(turn)
        spot = Spot(px + math.sin(t) * BOX / 2, py - math.cos(t) * BOX / 2, turn=turn, mirrored=side < 0)
        spot.label_at = (px - math.sin(t) * 26 , py + math.cos(t) * 26 + 4)
        spot.label_anchor = "start" if side > 0 else "end"
        layout.spots[name] = spot
    return start + run, top


def _angle(scene: Scene, name: str) -> float:
    angle: Any = scene.bodies[name].angle
    return float(angle.value) if angle else 30.0


def _pulled(scene: Scene, hanging: str, level: list[str], direction: str) -> bool:
    """Whether the rope on this hanging body pulls a level one in that direction."""
    return any(
        any(s.thing == hanging for s in rope.pulls) and any(s.thing in level and s.direction == direction for s in rope.pulls)
        for rope in scene.ropes
    )
