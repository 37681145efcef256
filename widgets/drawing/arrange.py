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
from .lifts import Lift, lift_of

_APART = 76.0  # two hanging bodies on one pulley
_WIDEST = 110.0  # over one pulley; over two, when they are farther apart
_WINCH = 12.0
_SLAB = 40.0  # the height of a lift's floor
_BESIDE = 40.0  # room in a lift's car on both sides, for arrows


@dataclass
class Plan:
    """Where all is: the spots and grounds of `layout`; each rope's lines; pulleys and what holds them; lift cars."""

    layout: Layout
    ropes: dict[str, list[list[Point]]] = field(default_factory=dict)
    pulleys: list[Circle] = field(default_factory=list)
    brackets: list[list[Point]] = field(default_factory=list)
    cars: dict[str, float] = field(default_factory=dict)  # a body drawn as the floor of a lift's car: how high its roof is above it
    steps: dict[str, list[float]] = field(default_factory=dict)  # wheel -> radii of its inner steps, in units

    def car(self, name: str) -> list[Point]:
        """The frame of a lift's car, from its floor over its roof to its floor; [] for what is none."""
        if name not in self.cars:
            return []
        spot = self.layout.spots[name]
        left, right, floor = spot.x - spot.w / 2, spot.x + spot.w / 2, spot.y - spot.h / 2
        return [(left, floor), (left, floor - self.cars[name]), (right, floor - self.cars[name]), (right, floor)]

    def top(self, name: str) -> float:
        """How high a thing, or the car that it is drawn as, reaches."""
        spot = self.layout.spots[name]
        return spot.y - spot.h / 2 - self.cars.get(name, 0.0)


def arranged(scene: Scene, moved: Mapping[str, Point] | None = None) -> Plan:
    """The plan of a scene's picture; `moved` {thing: (dx, dy)} shifts things from where they start, and the ropes follow."""
    lift = lift_of(scene)
    if lift is not None:
        return _with_lift(scene, lift, moved or {})
    plan = _placed(scene)
    _shift(plan, moved or {})
    _rope(scene, plan)
    return plan


def _placed(scene: Scene) -> Plan:
    """Where things stand, without ropes."""
    layout = lay_out(scene)
    plan = Plan(layout)
    _touching(scene, layout)
    _standing(scene, plan)
    for rope in scene.ropes:
        _side_by_side(scene, layout, rope)
    _wheels(scene, plan)
    return plan


def _shift(plan: Plan, moved: Mapping[str, Point]) -> None:
    for name, (dx, dy) in moved.items():
        spot = plan.layout.spots.get(name)
        if spot is not None:
            spot.x, spot.y = spot.x + dx, spot.y + dy


def _rope(scene: Scene, plan: Plan) -> None:
    for rope in scene.ropes:
        _run(scene, plan, rope)
    _ceiling(plan)


def _with_lift(scene: Scene, lift: Lift, moved: Mapping[str, Point]) -> Plan:
    """A lift as a car; what hangs in it has the car's roof for a ceiling, and wheels in it go where it goes."""
    held = _placed(lift.inside).layout.spots.values()
    left, right, low = min(s.x - s.w / 2 for s in held), max(s.x + s.w / 2 for s in held), max(s.y + s.h / 2 for s in held)
    plan = _placed(lift.outside)
    spot = plan.layout.spots[lift.name]
    spot.w, spot.h, plan.cars[lift.name] = right - left + 2 * _BESIDE, _SLAB, low - CEILING + 44.0
    spot.y += plan.cars[lift.name]
    for other in plan.layout.spots.values():  # what hangs beside it keeps clear of the car
        aside = math.copysign(spot.w / 2 + 10, other.x - spot.x) if other is not spot else 0.0
        other.x, other.label_at = other.x + aside, (other.label_at[0] + aside, other.label_at[1])
    spot.label_at, spot.label_anchor = (spot.x, spot.y + _SLAB / 2 + 20), "middle"
    _shift(plan, {n: step for n, step in moved.items() if n not in lift.inside.things})
    _rope(lift.outside, plan)
    dx, dy = moved.get(lift.name, (0.0, 0.0))
    inner = arranged(lift.inside, {n: (x - dx, y - dy) for n, (x, y) in moved.items() if n in lift.inside.bodies})
    _take_in(plan, inner, spot.x - (left + right) / 2, plan.top(lift.name) - CEILING)
    plan.ropes = {rope.symbol: plan.ropes[rope.symbol] for rope in scene.ropes}
    return plan


def _take_in(plan: Plan, inner: Plan, dx: float, dy: float) -> None:
    """All of another plan but its ceiling, shifted."""

    def shifted(points: list[Point]) -> list[Point]:
        return [(x + dx, y + dy) for x, y in points]

    for name, spot in inner.layout.spots.items():
        at = (spot.label_at[0] + dx, spot.label_at[1] + dy)
        plan.layout.spots[name] = replace(spot, x=spot.x + dx, y=spot.y + dy, label_at=at)
    plan.ropes.update({symbol: [shifted(path) for path in paths] for symbol, paths in inner.ropes.items()})
    plan.pulleys += [(x + dx, y + dy, r) for x, y, r in inner.pulleys]
    plan.brackets += [shifted(line) for line in inner.brackets]
    plan.steps.update(inner.steps)


def is_pulley(scene: Scene, name: str) -> bool:
    """A massless body that a rope hangs over is drawn as the pulley that it is."""
    body = scene.bodies.get(name)
    return body is not None and not body.mass.value and any(sum(s.thing == name and s.direction == "down" for s in r.pulls) > 1 for r in scene.ropes)


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
            under, above = layout.spots[down], layout.spots[up]
            _move(scene, layout, down, 0.0, 84.0)  # room for the hoisting rope
            plan.cars[down] = above.h + 70
            under.w, under.h = above.w + 2 * _BESIDE, _SLAB
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
        top = plan.top(rope.pulls[0].thing)
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
    wide = x2 - x1 > _WIDEST
    r = PULLEY if wide else (x2 - x1) / 2
    y = CEILING + 24 + r
    top1 = plan.top(left) - (PULLEY if bent else 0.0)
    over = [*arc(x1 + r, y, r, -90, 0), *arc(x2 - r, y, r, 0, 90)] if wide else arc(x1 + r, y, r, -90, 90)
    plan.ropes[rope.symbol] = [[(x1, top1), (x1, y), *over, (x2, plan.top(right))]]
    for x in (x1 + r, x2 - r) if wide else (x1 + r,):
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
