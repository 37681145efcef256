"""The layout of every picture of a scene, on the screen and in print: one pulley where the story has one, bodies in contact that touch,
ropes along a slope parallel to it, and each rope's line known by its symbol.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from ...autograde.scene.model import Rope, Scene
from ..layout import BOX, CEILING, Ground, Layout, lay_out
from ..ropes import PULLEY, Circle, rope_paths
from .geometry import Point, arc

_APART = 76.0  # two hanging bodies on one pulley
_WINCH = 12.0


@dataclass
class Plan:
    """Where all is: the spots and grounds of `layout`; each rope's lines; pulleys and what holds them; lift cars."""

    layout: Layout
    ropes: dict[str, list[list[Point]]] = field(default_factory=dict)
    pulleys: list[Circle] = field(default_factory=list)
    brackets: list[list[Point]] = field(default_factory=list)
    cars: dict[str, str] = field(default_factory=dict)  # a body drawn as a car round the one that stands in it
    steps: dict[str, list[float]] = field(default_factory=dict)  # wheel -> radii of its inner steps, in units


def arranged(scene: Scene, moved: Mapping[str, Point] | None = None) -> Plan:
    """The plan of a scene's picture; `moved` {thing: (dx, dy)} shifts things from where they start, and the ropes follow."""
    layout = lay_out(scene)
    plan = Plan(layout)
    _touching(scene, layout)
    _standing(scene, plan)
    for rope in scene.ropes:
        _side_by_side(scene, layout, rope)
    _wheels(scene, plan)
    for name, (dx, dy) in (moved or {}).items():
        spot = layout.spots[name]
        spot.x, spot.y = spot.x + dx, spot.y + dy
    for rope in scene.ropes:
        _run(scene, plan, rope)
    _ceiling(plan)
    return plan


def _move(scene: Scene, layout: Layout, name: str, dx: float, dy: float = 0.0) -> None:
    """Shift a thing, with all that hangs below it or stands on it."""
    spot = layout.spots[name]
    spot.x, spot.y = spot.x + dx, spot.y + dy
    spot.label_at = (spot.label_at[0] + dx, spot.label_at[1] + dy)
    followers = [s.thing for r in scene.ropes if any(p.thing == name and p.direction == "down" for p in r.pulls) for s in r.pulls if s.direction == "up" and s.thing != name]
    followers += [s.thing for c in scene.contacts if any(p.thing == name and p.direction == "down" for p in c.pushes) for s in c.pushes if s.direction == "up"]
    followers += [n for n, below in layout.on_top.items() if below == name]
    for follower in dict.fromkeys(followers):
        if follower in scene.bodies and follower in layout.spots:
            _move(scene, layout, follower, dx, dy)


def _touching(scene: Scene, layout: Layout) -> None:
    """Bodies that push each other along a surface stand side by side without a gap."""
    for contact in scene.contacts:
        spots = sorted((layout.spots[s.thing] for s in contact.pushes if s.thing in scene.bodies), key=lambda s: s.x)
        if len(spots) != 2 or any(s.direction in ("up", "down") for s in contact.pushes):
            continue
        first, second = spots
        t = math.radians(first.turn)
        x, y = first.x + math.cos(t) * (first.w + second.w) / 2, first.y + math.sin(t) * (first.w + second.w) / 2
        dx, dy = x - second.x, y - second.y
        for spot in layout.spots.values():
            if spot.x >= second.x and spot is not first:
                spot.x, spot.y = spot.x + dx, spot.y + dy
                spot.label_at = (spot.label_at[0] + dx, spot.label_at[1] + dy)


def _standing(scene: Scene, plan: Plan) -> None:
    """Who stands on a body that hangs: in a lift's car, or on a platform whose rope passes beside them."""
    layout = plan.layout
    for contact in scene.contacts:
        up = next((s.thing for s in contact.pushes if s.direction == "up"), None)
        down = next((s.thing for s in contact.pushes if s.direction == "down"), None)
        if up is None or down is None or up not in layout.spots or down not in layout.spots:
            continue
        hung = [r for r in scene.ropes if any(s.thing == down and s.direction == "up" for s in r.pulls)]
        if any(any(s.thing == up for s in r.pulls) for r in hung):
            above, under = layout.spots[up], layout.spots[down]
            under.x, under.w, under.h = above.x + 2 * PULLEY, 124.0, 40.0
            under.y = above.y + (above.h + under.h) / 2
        elif hung:
            plan.cars[down] = up
            under, above = layout.spots[down], layout.spots[up]
            under.w, under.h = 96.0, 40.0
            under.y = above.y + (above.h + under.h) / 2


def _upward(scene: Scene, rope: Rope) -> list[tuple[str, bool]] | None:
    """The two hanging bodies of a rope that holds just these, each with whether the rope bends round a pulley on it."""
    if any(s.direction != "up" for s in rope.pulls):
        return None
    things = list(dict.fromkeys(s.thing for s in rope.pulls))
    if len(things) != 2 or any(t not in scene.bodies for t in things):
        return None
    return [(t, sum(s.thing == t for s in rope.pulls) > 1) for t in things]


def _side_by_side(scene: Scene, layout: Layout, rope: Rope) -> None:
    """Bring the two bodies of a rope to the two sides of one pulley; one on a movable pulley stands left."""
    pair = _upward(scene, rope)
    if pair is None or any(not abs(layout.spots[t].x - layout.spots[pair[0][0]].x) > 0 for t, _ in pair[1:]):
        return
    if abs(layout.spots[pair[0][0]].x - layout.spots[pair[1][0]].x) < 3 * PULLEY or all(bent for _, bent in pair):
        return
    left, right = sorted(pair, key=lambda p: (not p[1], layout.spots[p[0]].x))
    start = min(layout.spots[t].x for t, _ in pair)
    _move(scene, layout, left[0], start - layout.spots[left[0]].x)
    far = start + _APART + (PULLEY if left[1] else 0.0)
    _move(scene, layout, right[0], far - layout.spots[right[0]].x)
    layout.spots[left[0]].arrow_side, layout.spots[right[0]].arrow_side = -1, 1
    high, low = layout.spots[left[0]], layout.spots[right[0]]
    if abs(high.y - low.y) < 20:
        _move(scene, layout, right[0], 0.0, 30.0)


def _wheels(scene: Scene, plan: Plan) -> None:
    """A rope on a step of its own hangs straight; a wheel at the top of a slope meets the rope that runs along it."""
    layout = plan.layout
    for rope in scene.ropes:
        for strand in rope.pulls:
            if strand.thing not in scene.wheels:
                continue
            hub = layout.spots[strand.thing]
            others = [s for s in rope.pulls if s.thing in scene.bodies]
            if strand.radius is not None and scene.wheels[strand.thing].radius.value:
                part = max(0.3, min(1.0, float(strand.radius.value / scene.wheels[strand.thing].radius.value)))
                plan.steps.setdefault(strand.thing, []).append(hub.w / 2 * part)
                side = 1 if strand.direction == "clockwise" else -1
                for other in others:
                    if other.direction == "up":
                        lowest = max((s.y for n, s in layout.spots.items() if n in scene.bodies and n != other.thing), default=0.0)
                        spot = layout.spots[other.thing]
                        _move(scene, layout, other.thing, hub.x + side * hub.w / 2 * part - spot.x, max(0.0, lowest + BOX + 24 - spot.y))
            for other in others:
                if other.direction == "upslope" and not layout.spots[other.thing].mirrored:
                    _onto_slope(scene, layout, strand.thing, other.thing)


def _onto_slope(scene: Scene, layout: Layout, wheel: str, body: str) -> None:
    hub, spot = layout.spots[wheel], layout.spots[body]
    head = min((p for g in layout.grounds if g.fill for p in g.points), key=lambda p: (p[1], -p[0]))
    t = math.radians(spot.turn)
    along, out = (math.cos(t), math.sin(t)), (math.sin(t), -math.cos(t))
    reach, lift = hub.w / 2 + 8, spot.h / 2 - hub.w / 2
    x, y = head[0] + along[0] * reach + out[0] * lift, head[1] + along[1] * reach + out[1] * lift
    dx, dy = x - hub.x, y - hub.y
    hub.x, hub.y, hub.label_at = x, y, (hub.label_at[0] + dx, hub.label_at[1] + dy)
    for rope in scene.ropes:
        if any(s.thing == wheel for s in rope.pulls):
            for s in rope.pulls:
                if s.direction == "up":
                    _move(scene, layout, s.thing, dx, dy)


def _run(scene: Scene, plan: Plan, rope: Rope) -> None:
    """The lines of one rope."""
    layout = plan.layout
    alone = replace(scene, ropes=(rope,))
    pair = _upward(scene, rope)
    ends = [layout.spots[s.thing] for s in rope.pulls]
    if pair is not None and not all(bent for _, bent in pair):
        _over_one(scene, plan, rope, pair)
        return
    if len(ends) == 2 and all(s.direction == "upslope" for s in rope.pulls) and ends[0].mirrored != ends[1].mirrored:
        _over_ridge(plan, rope)
        return
    if rope.hauled and len(ends) == 1 and rope.pulls[0].direction == "up":
        spot = ends[0]
        top = spot.y - spot.h / 2
        if rope.pulls[0].thing in plan.cars:
            above = layout.spots[plan.cars[rope.pulls[0].thing]]
            top = above.y - above.h / 2 - 20
        y = CEILING + 34
        plan.ropes[rope.symbol] = [[(spot.x, top), (spot.x, y), *arc(spot.x + _WINCH, y, _WINCH, -90, 60)]]
        plan.pulleys.append((spot.x + _WINCH, y, _WINCH))
        plan.brackets.append([(spot.x + _WINCH, CEILING), (spot.x + _WINCH, y)])
        return
    paths, pulleys, brackets = rope_paths(alone, layout)
    wheel = next((s for s in rope.pulls if s.thing in scene.wheels), None)
    sloped = next((s for s in rope.pulls if s.direction == "upslope"), None)
    if wheel is not None and sloped is not None and len(paths) == 1:
        hub, t = layout.spots[wheel.thing], math.radians(layout.spots[sloped.thing].turn)
        touch = (hub.x + math.sin(t) * hub.w / 2, hub.y - math.cos(t) * hub.w / 2)
        paths = [[touch, paths[0][-1]]]
    plan.ropes[rope.symbol] = paths
    plan.pulleys += [p for p in pulleys if p not in plan.pulleys]
    plan.brackets += [b for b in brackets if b not in plan.brackets]


def _over_one(scene: Scene, plan: Plan, rope: Rope, pair: list[tuple[str, bool]]) -> None:
    spots = plan.layout.spots
    (left, bent), (right, _) = sorted(pair, key=lambda p: (spots[p[0]].x, not p[1]))
    x1 = spots[left].x + (PULLEY if bent else 0.0)
    x2 = spots[right].x
    r = (x2 - x1) / 2
    x, y = x1 + r, CEILING + 24 + r
    top1 = spots[left].y - spots[left].h / 2 - (PULLEY if bent else 0.0)
    plan.ropes[rope.symbol] = [[(x1, top1), (x1, y), *arc(x, y, r, -90, 90), (x2, spots[right].y - spots[right].h / 2)]]
    plan.pulleys.append((x, y, r))
    plan.brackets.append([(x, CEILING), (x, y)])
    if bent:
        low = (spots[left].x, top1)
        plan.pulleys.append((*low, PULLEY))
        plan.ropes[rope.symbol].append([(low[0] - PULLEY, CEILING), (low[0] - PULLEY, low[1]), *arc(*low, PULLEY, -90, -270)])


def _over_ridge(plan: Plan, rope: Rope) -> None:
    """From one slope over the ridge to the other, parallel to both."""
    spots = sorted((plan.layout.spots[s.thing] for s in rope.pulls), key=lambda s: s.x)
    peak = min((p for g in plan.layout.grounds for p in g.points), key=lambda p: p[1])
    normals = [(math.sin(math.radians(s.turn)), -math.cos(math.radians(s.turn))) for s in spots]
    away = spots[0].h / 2 - PULLEY
    spread = 1 + normals[0][0] * normals[1][0] + normals[0][1] * normals[1][1]
    x = peak[0] + away * (normals[0][0] + normals[1][0]) / spread
    y = peak[1] + away * (normals[0][1] + normals[1][1]) / spread
    line: list[Point] = []
    for spot, sign in ((spots[0], 1), (spots[1], -1)):
        t = math.radians(spot.turn)
        line.append((spot.x + sign * math.cos(t) * spot.w / 2, spot.y + sign * math.sin(t) * spot.w / 2))
    plan.ropes[rope.symbol] = [[line[0], *arc(x, y, PULLEY, spots[0].turn, spots[1].turn), line[1]]]
    plan.pulleys.append((x, y, PULLEY))
    plan.brackets.append([peak, (x, y)])


def _ceiling(plan: Plan) -> None:
    """The ceiling reaches over what hangs from it, and is left out where nothing does."""
    layout = plan.layout
    held = [p[0] for line in (*plan.brackets, *(path for paths in plan.ropes.values() for path in paths)) for p in line if p[1] == CEILING]
    grounds = [g for g in layout.grounds if g.fill]
    if held:
        wide = 34.0 if grounds else 64.0
        grounds.insert(0, Ground([(min(held) - wide, CEILING), (max(held) + wide, CEILING)], False))
    layout.grounds = grounds
