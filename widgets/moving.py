"""The scene's drawing in motion: how far each thing may travel in it, and how ropes and pulleys follow.

A rope's points move in proportion to the things that it joins, so one small shift of each thing tells how; the browser adds them up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from ..autograde.scene.model import Scene
from .drawing.arrange import Plan, arranged
from .drawing.geometry import Point, inside
from .drawing.scenes import direction_vector
from .picture import outline, picture, still

_TRAVELS = (52.0, 44.0, 36.0, 28.0, 20.0)  # of the thing that goes farthest, in drawing units
_LOWER = 34.0  # hanging bodies start so much lower than in the steps' picture, for the way up
_BACK = 30.0  # and those on a level stand so far back
_EDGE = 14.0


def moving_picture(scene: Scene, positive: Mapping[str, str], ways: Mapping[str, float]) -> dict[str, Any]:
    """The drawing with `along` {body: the way on the page of one unit along its positive direction}, and with `moves`
    {body: the same for each point} on whatever follows.

    ways: {body: how far it goes in m along its positive direction}. `scale` is in drawing units a metre.
    """
    start = _start(scene, positive, ways)
    plan = arranged(scene, start)
    along = {b: direction_vector(positive[b], plan.layout.spots[b].turn, plan.layout.spots[b].mirrored) for b in scene.bodies}
    farthest = max((abs(w) for w in ways.values()), default=0.0)
    scale = _travel(scene, start, along, ways, farthest) / farthest if farthest else 0.0
    base = still(plan)
    for body in scene.bodies:
        _follow(base, still(arranged(scene, _plus(start, scene, {body: along[body]}))), body)
    ends = {b: (along[b][0] * ways.get(b, 0.0) * scale, along[b][1] * ways.get(b, 0.0) * scale) for b in scene.bodies}
    things = _things(scene, plan, start)
    left, top, right, bottom = _frame(scene, plan, arranged(scene, _plus(start, scene, ends)), things, ends)
    return {
        "left": left, "top": top, "width": right - left, "height": bottom - top, "title": scene.title, **base, "things": things,
        "along": {b: list(way) for b, way in along.items()}, "scale": scale,
        "carried": {r.wheel: r.body for r in scene.rolling},
    }  # fmt: skip


def _start(scene: Scene, positive: Mapping[str, str], ways: Mapping[str, float]) -> dict[str, Point]:
    """Where things stand at first, beside where the steps' picture has them: with room for their way."""
    start: dict[str, Point] = {}
    leftwards = any(b.moves == "level" and (ways.get(n, 0.0) > 0) == (positive[n] == "left") and ways.get(n) for n, b in scene.bodies.items())
    for name, body in scene.bodies.items():
        if body.moves == "vertical":
            start[name] = (0.0, _LOWER)
        elif body.moves == "level" and leftwards:
            start[name] = (_BACK, 0.0)
    return {**start, **{r.wheel: start[r.body] for r in scene.rolling if r.body in start}}


def _plus(start: Mapping[str, Point], scene: Scene, more: Mapping[str, Point]) -> dict[str, Point]:
    out = dict(start)
    wheels = {r.body: r.wheel for r in scene.rolling}
    for name, (dx, dy) in more.items():
        for each in (name, wheels.get(name)):
            if each is not None:
                x, y = out.get(each, (0.0, 0.0))
                out[each] = (x + dx, y + dy)
    return out


def _follow(base: dict[str, Any], moved: dict[str, Any], body: str) -> None:
    """Note on each rope, bracket and pulley of `base` how it moves when `body` goes one unit."""
    for kind in ("ropes", "brackets"):
        for line, other in zip(base[kind], moved[kind], strict=True):
            steps = [[round(q[0] - p[0], 4), round(q[1] - p[1], 4)] for p, q in zip(line["points"], other["points"], strict=True)]
            if any(step != [0, 0] for step in steps):
                line.setdefault("moves", {})[body] = steps
    for pulley, other in zip(base["pulleys"], moved["pulleys"], strict=True):
        step = [round(other["x"] - pulley["x"], 4), round(other["y"] - pulley["y"], 4)]
        if step != [0, 0]:
            pulley.setdefault("moves", {})[body] = step


def _travel(scene: Scene, start: Mapping[str, Point], along: Mapping[str, Point], ways: Mapping[str, float], farthest: float) -> float:
    """The longest travel on the page at whose end nothing lies on anything that it did not touch at first."""
    before = _touching(scene, arranged(scene, start))
    for travel in _TRAVELS:
        unit = travel / farthest
        ends = {b: (along[b][0] * ways.get(b, 0.0) * unit, along[b][1] * ways.get(b, 0.0) * unit) for b in scene.bodies}
        if _touching(scene, arranged(scene, _plus(start, scene, ends))) <= before:
            return travel
    return _TRAVELS[-1]


def _touching(scene: Scene, plan: Plan) -> set[tuple[str, str]]:
    """Pairs of things, or of a thing and a pulley, that lie on each other."""
    shapes = {name: outline(scene, plan, name) for name in scene.things}
    for place, (x, y, r) in enumerate(plan.pulleys):
        shapes[f"pulley {place}"] = [(x + r * math.cos(t * math.pi / 8), y + r * math.sin(t * math.pi / 8)) for t in range(16)]
    return {(a, b) for a in scene.things for b in shapes if a != b and (_meet(shapes[a], shapes[b]) or _meet(shapes[b], shapes[a]))}


def _meet(shape: list[Point], other: list[Point]) -> bool:
    middles = [((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in zip(shape, [*shape[1:], shape[0]], strict=True)]
    return any(inside(point, other) for point in (*shape, *middles))


def _things(scene: Scene, plan: Plan, start: Mapping[str, Point]) -> list[dict[str, Any]]:
    """The things as the steps' picture has them, without arrows, at where they start."""
    out = []
    for thing in picture(scene)["things"]:
        name = str(thing["name"])
        dx, dy = start.get(name, (0.0, 0.0))
        spot = plan.layout.spots[name]
        out.append({**thing, "x": spot.x, "y": spot.y, "labelAt": [thing["labelAt"][0] + dx, thing["labelAt"][1] + dy],
                    "car": [[x + dx, y + dy] for x, y in thing["car"]], "arrows": {}})  # fmt: skip
    return out


def _frame(scene: Scene, first: Plan, last: Plan, things: list[dict[str, Any]], ends: Mapping[str, Point]) -> tuple[float, float, float, float]:
    points = [p for plan in (first, last) for name in scene.things for p in outline(scene, plan, name)]
    points += [p for plan in (first, last) for paths in plan.ropes.values() for path in paths for p in path]
    points += [p for g in first.layout.grounds for p in g.points]
    points += [(x + d, y + e) for x, y, r in first.pulleys for d, e in ((-r, -r), (r, r))]
    for thing in things:  # their names get room where the size of letters is known
        dx, dy = ends.get(str(thing["name"]), (0.0, 0.0))
        points += [(x + ex, y + ey) for ex, ey in ((0.0, 0.0), (dx, dy)) for x, y in thing["car"]]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs) - _EDGE, min(ys) - _EDGE, max(xs) + _EDGE, max(ys) + _EDGE
