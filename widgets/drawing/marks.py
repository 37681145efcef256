"""What a picture shows beside the things: given forces and motions as arrows, angles as arcs, and where all their letters may stand.

Only geometry, for the screen and for print: each label comes as candidate places, best first.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

from ...autograde.scene.model import Contact, OutsideForce, Quantity, Scene
from ..layout import Ground, Layout
from .arrange import Plan
from .geometry import Place, Point, arc, direction_vector

REACH = 60.0  # the length of a given force, which is not to scale here
_ROUND = 30.0  # the radius of the arc of a force's angle
_BASE = 44.0


@dataclass(frozen=True)
class Angle:
    """An angle as an arc, with the dashed line that it is measured from ([] where that is drawn already)."""

    symbol: str
    value: Quantity
    curve: list[Point]
    base: list[Point]
    places: list[Place]


@dataclass(frozen=True)
class Given:
    """A given force as an arrow, tail first; on a wheel an arc. `angle`: how it is tilted away from the surface."""

    force: OutsideForce
    points: list[Point]
    angle: Angle | None
    places: list[Place]


@dataclass(frozen=True)
class Motion:
    """A given acceleration or starting speed of a body, with the arrows that will do, best first."""

    symbol: str
    value: Quantity
    choices: list[list[Point]]


def given_forces(scene: Scene, plan: Plan) -> list[Given]:
    return [_given(scene, plan.layout, force) for force in scene.forces]


def _given(scene: Scene, layout: Layout, force: OutsideForce) -> Given:
    spot = layout.spots[force.on]
    if force.on in scene.wheels:
        sense = 1 if force.direction == "clockwise" else -1
        points = arc(spot.x, spot.y, spot.w / 2 + 14, -50.0 * sense, 60.0 * sense)
        return Given(force, points, None, _by_arrow(points))
    degrees = float(force.angle.value) if force.angle else 0.0
    dx, dy = direction_vector(force.direction, spot.turn, spot.mirrored, degrees)
    along = direction_vector(force.direction, spot.turn, spot.mirrored)
    reach = spot.w / 2 / max(abs(math.cos(math.radians(degrees))), 0.72) if scene.bodies[force.on].moves != "vertical" else spot.h / 2
    if _presses(scene, force) or degrees < 0:  # a push comes from behind, and ends at the body
        tip = (spot.x - dx * reach, spot.y - dy * reach)
        points = [(tip[0] - dx * REACH, tip[1] - dy * REACH), tip]
    else:
        start = (spot.x + dx * reach, spot.y + dy * reach)
        points = [start, (start[0] + dx * REACH, start[1] + dy * REACH)]
    angle = _tilt(force, points[0], (dx, dy), along) if degrees and force.angle else None
    return Given(force, points, angle, _by_arrow(points))


def _presses(scene: Scene, force: OutsideForce) -> bool:
    """Whether a given force presses the body against what it touches in front."""
    return any(s.thing == force.on and s.direction != force.direction for c in scene.contacts for s in c.pushes)


def _by_arrow(points: list[Point]) -> list[Place]:
    (x, y), (bx, by) = points[-1], points[0]
    return [(x + 8, y, "left"), (x - 8, y, "right"), (bx, by - 14, "center"), (bx - 8, by, "right"), (x, y - 14, "center"),
            (bx + 14, by - 14, "center"), (x, y + 14, "center"), (x + 8, y - 14, "left")]  # fmt: skip


def _tilt(force: OutsideForce, corner: Point, way: Point, along: Point) -> Angle:
    """The angle between a force and the surface, at the force's tail."""
    assert force.angle is not None
    start, end = math.degrees(math.atan2(along[0], -along[1])), math.degrees(math.atan2(way[0], -way[1]))
    base = [corner, (corner[0] + along[0] * _BASE, corner[1] + along[1] * _BASE)]
    middle = math.radians((start + end) / 2)
    ux, uy = math.sin(middle), -math.cos(middle)
    side = "left" if ux >= 0 else "right"
    places: list[Place] = []
    for far in (_ROUND + 8, _ROUND + 16, _ROUND + 28):
        x, y = corner[0] + far * ux, corner[1] + far * uy
        places += [(x, y, side), (x, y + 8, side), (x, y - 8, side), (x, y + 16, "center")]
    x, y = corner
    beyond = base[1]
    places += [(beyond[0] + along[0] * 6, beyond[1] + along[1] * 6, side), (x + 22, y + 11, "center"), (x + 22, y + 18, "center"), (x - 22, y + 11, "center")]
    return Angle(force.angle_symbol or "phi", force.angle, arc(*corner, _ROUND, start, end), base, places)


def slope_angles(scene: Scene, layout: Layout) -> list[Angle]:
    """The angle of each slope, at its foot."""
    done: list[Ground] = []
    out = []
    for name, body in scene.bodies.items():
        ground = _under(layout, name)
        symbol = scene.symbol_of("angle", name)
        if body.angle is None or ground is None or ground in done or symbol is None:
            continue
        done.append(ground)
        foot, head, _ = ground.points
        side = 1.0 if head[0] > foot[0] else -1.0
        slant = math.degrees(math.atan2(foot[1] - head[1], abs(head[0] - foot[0])))
        r = 42.0 if slant > 18 else 66.0
        anchor = "left" if side > 0 else "right"
        inside = [(foot[0] + side * (r + d), foot[1] - up, anchor) for d in (6, 12, 24, 40, 60, 80, 100) for up in (9, 12, 15)]
        places = [*inside, (foot[0] + side * r, foot[1] + 12, anchor)]
        out.append(Angle(symbol, body.angle, arc(*foot, r, side * 90.0, side * (90.0 - slant)), [], places))
    return out


def _under(layout: Layout, name: str) -> Ground | None:
    spot = layout.spots[name]
    wedges = [g for g in layout.grounds if g.fill and len(g.points) == 3 and (g.points[1][0] < g.points[0][0]) == spot.mirrored]
    return wedges[0] if wedges else None


def given_motions(scene: Scene, layout: Layout) -> list[Motion]:
    """Starting speeds and given accelerations."""
    out = []
    for name, body in scene.bodies.items():
        given = [(body.starts, "v_0")] if body.starts is not None and body.starts[1].value else []
        given += [(body.acceleration, scene.symbol_of("acceleration", name) or "a")] if body.acceleration is not None else []
        for what, symbol in given:
            assert what is not None
            spot = layout.spots[name]
            dx, dy = direction_vector(what[0], spot.turn, spot.mirrored)
            t = math.radians(spot.turn)
            out_of = (math.sin(t), -math.cos(t))
            if body.moves == "vertical":
                centres = [(spot.x + s * (spot.w / 2 + d), spot.y) for d in (18, 34) for s in (spot.arrow_side, -spot.arrow_side)]
            else:
                centres = [(spot.x + out_of[0] * d, spot.y + out_of[1] * d) for d in (spot.h / 2 + 14, spot.h / 2 + 32, spot.h / 2 + 50)]
            out.append(Motion(symbol, what[1], [[(x - dx * 18, y - dy * 18), (x + dx * 18, y + dy * 18)] for x, y in centres]))
    return out


def motion_places(points: list[Point]) -> list[Place]:
    """Beside the arrow of a given motion."""
    (bx, by), (x, y) = points[0], points[-1]
    mx, my = (bx + x) / 2, (by + y) / 2
    return [(x + 10, y, "left"), (mx - 10, my, "right"), (mx + 10, my, "left"), (x - 10, y, "right"), (x, y - 12, "center")]


def rope_places(paths: Iterable[list[Point]]) -> list[Place]:
    """Beside a rope's longest pieces."""
    pieces = sorted(((math.dist(a, b), a, b) for path in paths for a, b in itertools.pairwise(path)), key=lambda p: -p[0])
    places: list[Place] = []
    for _, a, b in pieces[:3]:
        n = math.dist(a, b) or 1.0
        nx, ny = -(b[1] - a[1]) / n, (b[0] - a[0]) / n
        if ny > 0 or (abs(ny) < 0.01 and nx < 0):
            nx, ny = -nx, -ny
        for d in (11, -11, 15, -15):
            for part in (0.5, 0.35, 0.65, 0.2, 0.8):
                places.append((a[0] + (b[0] - a[0]) * part + nx * d, a[1] + (b[1] - a[1]) * part + ny * d, "center"))
    return places


def contact_places(scene: Scene, layout: Layout, contact: Contact) -> list[Place]:
    """Where two bodies touch: beside them, or above them where they stand side by side."""
    spots = [layout.spots[s.thing] for s in contact.pushes if s.thing in scene.bodies]
    if len(spots) != 2:
        return []
    if abs(spots[0].y - spots[1].y) < abs(spots[0].x - spots[1].x):
        x, y = (spots[0].x + spots[1].x) / 2, min(s.y - s.h / 2 for s in spots)
        below = y + max(s.h for s in spots)
        return [(x, y - 11, "center"), (x, y - 30, "center"), *((x, below + d, "center") for d in (12, 28, 44, 56))]
    upper = min(spots, key=lambda s: s.y)
    y = upper.y + upper.h / 2
    return [(upper.x + side * (upper.w / 2 + d), y - up, "center") for d in (11, 14, 22) for side in (1, -1) for up in (10, 14)]
