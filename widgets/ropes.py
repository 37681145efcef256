"""How the ropes of a drawing run: from thing to thing over the ideal pulleys between them, which no scene file mentions."""

from __future__ import annotations

import math
from itertools import pairwise

from ..autograde.scene.model import Rope, Scene, Strand
from .layout import CEILING, Ground, Layout, Point, Spot

PULLEY = 15.0
_AXIS = CEILING + 40.0

Circle = tuple[float, float, float]


def rope_paths(scene: Scene, layout: Layout) -> tuple[list[list[Point]], list[Circle], list[list[Point]]]:
    """(polylines, pulleys as x, y, radius, brackets that hold pulleys and wheels)."""
    paths: list[list[Point]] = []
    pulleys: list[Circle] = []
    for rope in scene.ropes:
        _one_rope(scene, layout, rope, paths, pulleys)
    rounds = list(dict.fromkeys(pulleys))
    hanging_free = {(s.x, s.y - s.h / 2 - PULLEY) for s in layout.spots.values()}
    held = [(x, y) for x, y, _ in rounds if (x, y) not in hanging_free]
    carried = set(layout.rollers.values())
    held += [(layout.spots[w].x, layout.spots[w].y) for w in scene.wheels if w not in carried]
    return paths, rounds, [[_support(layout, x, y), (x, y)] for x, y in held]


def _support(layout: Layout, x: float, y: float) -> Point:
    """What a pulley is fixed to: the ceiling above it, else the nearest corner of the ground."""
    ceiling = [g.points for g in layout.grounds if not g.fill and g.points[0][0] <= x <= g.points[-1][0]]
    if ceiling:
        return (x, CEILING)
    corners = [p for g in layout.grounds if g.fill for p in g.points]
    return min(corners, key=lambda p: math.hypot(p[0] - x, p[1] - y), default=(x, CEILING))


def _one_rope(scene: Scene, layout: Layout, rope: Rope, paths: list[list[Point]], pulleys: list[Circle]) -> None:
    ends = list(rope.pulls)
    bent_over = [s.thing for s in ends if s.direction == "down" and s.thing in scene.bodies]
    if len(bent_over) == 2 and bent_over[0] == bent_over[1]:
        # The rope runs over this thing, which is a pulley itself, and hangs down on both sides.
        spot = layout.spots[bent_over[0]]
        below = [_anchor(layout, s, set()) for s in ends if s.thing != bent_over[0]]
        if len(below) == 2 and not scene.bodies[bent_over[0]].mass.value:
            (left, right), r = sorted(below), spot.w / 2
            paths.append([left, *_over(spot.x, spot.y, r, -90, 90), right])
            return
        for strand in ends:
            if strand.thing != bent_over[0]:
                x, y = _anchor(layout, strand, set())
                paths.append([(x, y), (max(spot.x - spot.w / 2 + 4, min(spot.x + spot.w / 2 - 4, x)), spot.y + spot.h / 2)])
        return
    doubled = {s.thing for s in ends if sum(o.thing == s.thing and o.direction == s.direction for o in ends) > 1 and s.thing in scene.bodies}
    for thing in doubled:
        spot = layout.spots[thing]
        pulleys.append((spot.x, spot.y - spot.h / 2 - PULLEY, PULLEY))
        # One of the two strands runs to a fixed point above.
        x = spot.x - PULLEY
        if not any(not g.fill for g in layout.grounds):
            layout.grounds.append(Ground([(x - 22, CEILING), (x + 22, CEILING)], False))
        paths.append([(x, CEILING), (x, spot.y - spot.h / 2 - PULLEY), *_under(spot.x, spot.y - spot.h / 2 - PULLEY)])
        ends = [s for n, s in enumerate(ends) if s.thing != thing or all(o.thing != thing for o in ends[:n])]
    if len(ends) == 1:
        if ends[0].thing not in doubled:
            paths.append(_to_wall(layout, ends[0], scene))
        else:
            spot = layout.spots[ends[0].thing]
            x = spot.x + PULLEY
            paths.append([(x, spot.y - spot.h / 2 - PULLEY), (x, CEILING)])
        return
    for a, b in pairwise(ends):
        paths.append(_between(scene, layout, a, b, doubled, pulleys))


def _between(scene: Scene, layout: Layout, a: Strand, b: Strand, doubled: set[str], pulleys: list[Circle]) -> list[Point]:
    if a.thing in scene.wheels or b.thing in scene.wheels:
        return _on_wheel(scene, layout, *((a, b) if a.thing in scene.wheels else (b, a)), pulleys)
    start, end = _anchor(layout, a, doubled), _anchor(layout, b, doubled)
    if a.direction == "up" and b.direction == "up":
        if start[0] > end[0]:
            start, end = end, start
        r = PULLEY
        pulleys.extend([(start[0] + r, _AXIS, r), (end[0] - r, _AXIS, r)])
        return [start, *_over(start[0] + r, _AXIS, r, -90, 0), *_over(end[0] - r, _AXIS, r, 0, 90), end]
    if {a.direction, b.direction} == {"up", "down"}:
        return [start, end]
    if "up" in (a.direction, b.direction):
        along, hang = (a, b) if b.direction == "up" else (b, a)
        return _over_corner(layout, along, hang, doubled, pulleys)
    if {a.direction, b.direction} == {"upslope"} and "top" in layout.corner:
        top = min(p[1] for g in layout.grounds for p in g.points)
        peak = next(p for g in layout.grounds for p in g.points if p[1] == top)
        lift = layout.spots[a.thing].h / 2
        pulleys.append((peak[0], peak[1] - lift + PULLEY * 0.2, PULLEY))
        return [start, *_over(peak[0], peak[1] - lift + PULLEY * 0.2, PULLEY, -35, 35), end]
    return [start, end]


def _over_corner(layout: Layout, along: Strand, hang: Strand, doubled: set[str], pulleys: list[Circle]) -> list[Point]:
    """From a body on a surface over the pulley at the surface's end, down to a hanging one."""
    spot, start, end = layout.spots[along.thing], _anchor(layout, along, doubled), _anchor(layout, hang, doubled)
    side = -1 if along.direction == "left" or spot.mirrored else 1
    slant = abs(spot.turn)
    t = math.radians(slant)
    # The pulley touches the hanging rope's line, and the line of the rope along the surface.
    cx = end[0] - side * PULLEY
    reach = (cx - start[0]) * side
    cy = start[1] - reach * math.tan(t) + PULLEY / math.cos(t)
    pulleys.append((cx, cy, PULLEY))
    return [start, *_over(cx, cy, PULLEY, -side * slant, side * 90), end]


def _on_wheel(scene: Scene, layout: Layout, wheel: Strand, other: Strand, pulleys: list[Circle]) -> list[Point]:
    """From a wheel's rim straight to a thing: down for a hanging one, along the surface for one that stands."""
    hub = layout.spots[wheel.thing]
    r = hub.w / 2 if wheel.radius is None else hub.w / 2 * _part(scene, wheel)
    side = 1 if wheel.direction == "clockwise" else -1
    if other.thing in scene.wheels:
        far = layout.spots[other.thing]
        return [(hub.x, hub.y - r), (far.x, far.y - far.w / 2)]
    end = _anchor(layout, other, set())
    if other.direction == "up":
        return [(hub.x + side * r, hub.y), (end[0], end[1])]
    return [(hub.x, hub.y - r), end]


def _part(scene: Scene, strand: Strand) -> float:
    whole = scene.wheels[strand.thing].radius.value
    return max(0.3, min(1.0, float(strand.radius.value / whole))) if strand.radius and whole else 1.0


def _to_wall(layout: Layout, strand: Strand, scene: Scene) -> list[Point]:
    start = _anchor(layout, strand, set()) if strand.thing in scene.bodies else (layout.spots[strand.thing].x, layout.spots[strand.thing].y)
    if strand.direction == "up":
        return [start, (start[0], CEILING)]
    spot = layout.spots[strand.thing]
    dx, dy = _heading(strand, spot)
    return [start, (start[0] + dx * 70, start[1] + dy * 70)]


def _anchor(layout: Layout, strand: Strand, doubled: set[str]) -> Point:
    """Where a rope holds a body: the middle of the side that faces the pull."""
    spot = layout.spots[strand.thing]
    if strand.thing in doubled:
        return (spot.x + PULLEY, spot.y - spot.h / 2 - PULLEY)
    dx, dy = _heading(strand, spot)
    return (spot.x + dx * spot.w / 2, spot.y + dy * spot.h / 2)


def _heading(strand: Strand, spot: Spot) -> Point:
    if strand.direction in ("up", "down"):
        return (0.0, -1.0 if strand.direction == "up" else 1.0)
    t = math.radians(spot.turn)
    sign = {"right": 1, "left": -1, "upslope": -1 if spot.mirrored else 1, "downslope": 1 if spot.mirrored else -1}.get(strand.direction, 1)
    return (sign * math.cos(t), sign * math.sin(t))


def _over(x: float, y: float, r: float, start: float, end: float) -> list[Point]:
    """Points on a pulley's upper side, by angles from its top, clockwise positive."""
    count = 12
    angles = [math.radians(start + (end - start) * k / count) for k in range(count + 1)]
    return [(x + r * math.sin(t), y - r * math.cos(t)) for t in angles]


def _under(x: float, y: float) -> list[Point]:
    """Points round a movable pulley's lower side, from left to right."""
    angles = [math.radians(-90 - 180 * k / 12) for k in range(13)]
    return [(x + PULLEY * math.sin(t), y - PULLEY * math.cos(t)) for t in angles]
