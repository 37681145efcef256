"""A scene as a drawing: where each thing stands, the ropes with the pulleys they pass, and an arrow for each direction.

The result is plain JSON that `static/scenepicture.js` turns into SVG: lengths in drawing units, y downwards. Nothing in a scene file
says where things are; the layout (`drawing/arrange.py`, the one of the printed pictures too) follows from how they move and what the
ropes join. Of forces it shows only those that are given: the force diagram is the student's to draw.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

from ..autograde.languages import written
from ..autograde.reading.greek import GREEK
from ..autograde.scene.model import Scene
from ..autograde.scene.words import DIRECTION_LABELS, thing_name
from .drawing.arrange import Plan, arranged, is_pulley
from .drawing.geometry import circle, inside, turned
from .drawing.lifts import lift_of, wheel_in
from .drawing.words import shown, strands
from .layout import Point, Spot
from .lettered import Label, Marks, enlarged, label_box
from .placing import Taken
from .words import letters

_ARROW = 46.0
_SHORT = 42.0  # the reach of arrows along a surface, where bodies stand side by side
_RIM = 14.0
_HEAD = 7.0  # half the width of an arrow's head
_GAP = 14.0


@lru_cache(maxsize=64)
def _picture(scene_key: _Key) -> dict[str, Any]:
    scene = scene_key.scene
    plan = arranged(scene)
    size = enlarged(_width(plan))
    made = _drawn(scene, plan, size)
    wanted = enlarged(made["width"])
    # Long names make it wider than the things are; a little smaller than wanted will do.
    return {**(_drawn(scene, plan, wanted) if size < 0.85 * wanted else made), "title": scene.title, "says": in_words(scene)}


def _drawn(scene: Scene, plan: Plan, size: float) -> dict[str, Any]:
    """The picture with letters of this size."""
    taken = Taken(
        solids=[outline(scene, plan, name) for name in scene.things],
        lines=[*(path for paths in plan.ropes.values() for path in paths), *plan.brackets, *([*g.points, *g.points[: g.fill]] for g in plan.layout.grounds)],
    )
    taken.lines += [plan.car(name) for name in plan.cars]
    taken.solids += [circle(x, y, r) for x, y, r in plan.pulleys]
    lettering = Marks(scene, plan, taken, size)
    lettering.begin()
    arrows = {name: _freest_arrows(scene, plan, name, taken) for name in scene.things}
    things = [_thing(scene, plan, name, arrows[name], _label(scene, plan, name, taken, size)) for name in scene.things]
    marks = lettering.finish()
    left, top, right, bottom = _frame(plan, things, size, [*(p for m in marks for p in m["points"]), *(c for box in lettering.boxes for c in box.corners)])
    return {"left": left, "top": top, "width": right - left, "height": bottom - top, "size": size, **still(plan), "things": things, "marks": marks}


def still(plan: Plan) -> dict[str, Any]:
    """Grounds, ropes, pulleys, brackets as JSON."""
    return {
        "grounds": [{"points": g.points, "fill": g.fill} for g in plan.layout.grounds],
        "ropes": [{"points": points} for paths in plan.ropes.values() for points in paths],
        "pulleys": [{"x": x, "y": y, "r": r} for x, y, r in plan.pulleys],
        "brackets": [{"points": points} for points in plan.brackets],
    }


def outline(scene: Scene, plan: Plan, name: str) -> list[Point]:
    """The edge of a thing."""
    spot = plan.layout.spots[name]
    return circle(spot.x, spot.y, spot.w / 2) if name in scene.wheels or is_pulley(scene, name) else turned(spot.x, spot.y, spot.w, spot.h, spot.turn)


def _width(plan: Plan) -> float:
    """The width of the picture, more or less: of all that is there before anything has a label."""
    xs = [p[0] for g in plan.layout.grounds for p in g.points] + [p[0] for paths in plan.ropes.values() for rope in paths for p in rope]
    xs += [spot.x + side * (spot.w / 2 + _GAP) for spot in plan.layout.spots.values() for side in (-1, 1)]
    return max(xs) - min(xs) + 2 * _RIM


def _frame(plan: Plan, things: list[dict[str, Any]], size: float, more: list[Point]) -> tuple[float, float, float, float]:
    """left, top, right, bottom round all that is drawn, with a margin; labels by a guess of their width."""
    points = [p for g in plan.layout.grounds for p in g.points] + [p for paths in plan.ropes.values() for rope in paths for p in rope] + more
    points += [(x + d, y + e) for x, y, r in plan.pulleys for d, e in ((-r, -r), (r, r))]
    for thing in things:
        spot = plan.layout.spots[thing["name"]]
        half = max(spot.w, spot.h) * 0.62
        points += [(spot.x - half, spot.y - half), (spot.x + half, spot.y + half)]
        points += [p for arrow in thing["arrows"].values() for p in arrow] + thing["car"]
        points += label_box(thing["label"], (*thing["labelAt"], thing["labelAnchor"]), size=size).corners
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs) - _RIM, min(ys) - _RIM, max(xs) + _RIM, max(ys) + _RIM


class _Key:
    """Scenes hold dicts, so they are remembered by their digest."""

    def __init__(self, scene: Scene) -> None:
        self.scene, self._id = scene, (scene.name, scene.digest)

    def __hash__(self) -> int:
        return hash(self._id)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self._id == other._id and bool(self._id[1])


def picture(scene: Scene) -> dict[str, Any]:
    """The drawing of a scene: left, top, width, height, title, says (the same in words), size (by how much its letters are enlarged),
    grounds, ropes, pulleys, brackets, things, marks (see `lettered`).

    Each thing has name, label, x, y (centre), w, h or r, pulley (a massless one, drawn as a circle), turn (degrees, clockwise), car (the frame of a lift round who stands in it,
    [] else), steps (radii of a wheel's inner steps), and `arrows` {direction word: [x, y] points of an arrow, or of an arc for a wheel}.
    """
    return _picture(_Key(scene))


def in_words(scene: Scene) -> str:
    """What the drawing shows, for whoever does not see it."""
    parts = [f"The {thing_name(thing)} {_stands(scene, thing)}.{_given_motion(scene, thing)}" for thing in scene.things]
    for rope in scene.ropes:
        parts.append(f"{f'The rope {letters(scene, rope.symbol)}' if len(scene.ropes) > 1 else 'One rope'} can pull {strands(rope.pulls)}.")
    if len(scene.contacts) > 1:
        parts += [f"{letters(scene, c.symbol)} stands where {' and '.join(f'the {thing_name(s.thing)}' for s in c.pushes)} touch." for c in scene.contacts]
    for force in scene.forces:
        tilt = ""
        if force.angle is not None and force.angle_symbol:
            tilt = f"; it is tilted by {_greek(letters(scene, force.angle_symbol))} = {shown(force.angle)} {'away from' if force.angle.value >= 0 else 'into'} the surface"
        kind = "torque" if force.is_torque else "force"
        parts.append(f"The given {kind} {letters(scene, force.symbol)} acts on the {thing_name(force.on)}, {DIRECTION_LABELS[force.direction]}{tilt}.")
    return " ".join(p for p in (scene.story.strip(), written(" ".join(parts), scene.decimal_comma)) if p)


def _stands(scene: Scene, thing: str) -> str:
    if thing in scene.wheels:
        carrier = next((r.body for r in scene.rolling if r.wheel == thing), None)
        holder = wheel_in(scene, thing)
        return f"rolls along with the {thing_name(carrier)}" if carrier else f"turns about an axis{f' in the {thing_name(holder)}' if holder else ''}"
    body = scene.bodies[thing]
    if body.rests_on:
        return f"lies on the {thing_name(body.rests_on)}"
    if body.moves == "slope" and body.angle:
        symbol = scene.symbol_of("angle", thing)
        return f"stands on a slope of {f'{_greek(letters(scene, symbol))} = ' if symbol else ''}{body.angle.text} degrees"
    under = next((s.thing for c in scene.contacts for s in c.pushes if s.direction == "down" and any(o.thing == thing and o.direction == "up" for o in c.pushes)), None)
    if under is not None:
        return f"stands on the {thing_name(under)}"
    lift = lift_of(scene)
    if lift is not None and thing in lift.inside.bodies:
        return f"hangs in the {thing_name(lift.name)}"
    return {"vertical": "hangs and can move up or down", "level": "stands on a level track"}.get(body.moves, "stands on a slope")


def _given_motion(scene: Scene, thing: str) -> str:
    body = scene.bodies.get(thing)
    out = ""
    if body is not None and body.starts is not None and body.starts[1].value:
        out += f" At the start it moves {DIRECTION_LABELS[body.starts[0]]} with {shown(body.starts[1])}."
    if body is not None and body.acceleration is not None:
        out += f" Its acceleration is given: {shown(body.acceleration[1])} {DIRECTION_LABELS[body.acceleration[0]]}."
    return out


def _greek(symbol: str) -> str:
    """ "theta_1" -> "θ_1" """
    stem, underscore, index = symbol.partition("_")
    return GREEK.get(stem, stem) + underscore + index


def _thing(scene: Scene, plan: Plan, name: str, arrows: dict[str, list[Point]], label: Label) -> dict[str, Any]:
    layout = plan.layout
    spot = layout.spots[name]
    out: dict[str, Any] = {
        "name": name, "label": thing_name(name), "index": "" if name in layout.rollers else _index(scene, name), "x": spot.x, "y": spot.y, "turn": spot.turn,
        "labelAt": list(label[:2]), "labelAnchor": label[2], "car": plan.car(name), "steps": plan.steps.get(name, []), "arrows": arrows,
    }  # fmt: skip
    if name in scene.wheels:
        out["r"] = spot.w / 2
    else:
        out["w"], out["h"], out["pulley"] = spot.w, spot.h, is_pulley(scene, name)
    return out


def _index(scene: Scene, name: str) -> str:
    """The number in a thing's letters; a wheel that is alone has letters without one."""
    if name in scene.wheels and "_" not in (scene.symbol_of("radius", name) or ""):
        return ""
    index = scene.bodies[name].index if name in scene.bodies else scene.wheels[name].index
    return "" if index is None else str(index)


# --- arrows ------------------------------------------------------------------------------------------------------------


def _freest_arrows(scene: Scene, plan: Plan, name: str, taken: Taken) -> dict[str, list[Point]]:
    """The two arrows of a thing's directions, where they cover least."""
    spot = plan.layout.spots[name]
    if name in scene.wheels:
        choices = [{"clockwise": _arc(spot, r, at, 1), "counterclockwise": _arc(spot, r, at, -1)} for r in (_GAP, _GAP + 10) for at in (0.0, math.pi)]
    elif scene.bodies[name].moves == "vertical":
        half = spot.w / 2
        sides = (spot.arrow_side, -spot.arrow_side)
        choices = [_upright(scene, name, spot.x + side * (half + d), spot.y - lift) for lift in (0, 34) for d in (_GAP + 6, _GAP + 16, _GAP + 30) for side in sides]
    else:
        lift = spot.h / 2 + _GAP + 4
        if name in plan.layout.rollers:
            lift = plan.layout.spots[plan.layout.rollers[name]].h / 2 + _GAP + 22  # above the wheel's own arcs
        choices = [_along(scene, spot, name, d) for d in (lift, lift + 12, lift + 26, -spot.h / 2 - _GAP - 26, -spot.h / 2 - _GAP - 6)]
        choices[3:3] = [_along(scene, spot, name, lift + d) for d in (40, 54)] if len(scene.contacts) > 1 else []
    best = choices[taken.freest_lines([list(choice.values()) for choice in choices])]
    taken.lines += [_head(points) for points in best.values()]
    return best


def _head(points: list[Point]) -> list[Point]:
    """The head of an arrow, which goes beyond its last point."""
    (x, y), (px, py) = points[-1], points[-2]
    n = math.dist((x, y), (px, py)) or 1.0
    ux, uy = (x - px) / n * _HEAD, (y - py) / n * _HEAD
    return [(x - uy, y + ux), (x + 1.8 * ux, y + 1.8 * uy), (x + uy, y - ux)]


def _upright(scene: Scene, name: str, x: float, y: float) -> dict[str, list[Point]]:
    first, second = scene.directions(name)
    return {first: [(x, y - 5), (x, y - 5 - _ARROW)], second: [(x, y + 5), (x, y + 5 + _ARROW)]}


def _along(scene: Scene, spot: Spot, name: str, lift: float) -> dict[str, list[Point]]:
    """Beside a body on a surface, turned with it; both from a common middle."""
    first, second = scene.directions(name)
    a = math.radians(spot.turn)
    along, out = (math.cos(a), math.sin(a)), (math.sin(a), -math.cos(a))
    mx, my = spot.x + out[0] * lift, spot.y + out[1] * lift
    forward = 1 if first == "right" or not spot.mirrored else -1

    def arrow(sign: int) -> list[Point]:
        s = sign * forward
        return [(mx + s * reach * along[0], my + s * reach * along[1]) for reach in (5, _SHORT)]

    return {first: arrow(1), second: arrow(-1)}


def _arc(spot: Spot, gap: float, at: float, sense: int) -> list[Point]:
    """An arc outside the wheel, from its top (at 0) or its foot (at pi) on in the sense of the turning."""
    r = spot.w / 2 + gap
    return [(spot.x + r * math.sin(at + sense * t), spot.y - r * math.cos(at + sense * t)) for t in (0.12 + k * 0.13 for k in range(9))]


# --- labels ------------------------------------------------------------------------------------------------------------


def _label(scene: Scene, plan: Plan, name: str, taken: Taken, size: float) -> Label:
    """Where a thing's name stands: below it, beside it, or wherever it covers least."""
    spot = plan.layout.spots[name]
    half, low = spot.w / 2, spot.h / 2
    if name in plan.layout.rollers:
        half = plan.layout.spots[plan.layout.rollers[name]].w / 2
    a = abs(math.sin(math.radians(spot.turn)))
    places: list[Label] = [(*spot.label_at, spot.label_anchor), (spot.x, spot.y + low + 20, "middle"), (spot.x, spot.y + low + 44 + 12 * size, "middle")]
    places[2:2] = [(spot.x + aside, spot.y + low + 20, "middle") for aside in (-12, 12)]
    for d in (10, 20, 44, 62):
        side = half + d + a * 12
        places += [(spot.x + s * side, spot.y + e, "start" if s > 0 else "end") for e in (5, 24, -16) for s in (-spot.arrow_side, spot.arrow_side)]
    places += [(spot.x, spot.y - low - 10, "middle"), (spot.label_at[0], spot.label_at[1] + 24, spot.label_anchor)]
    if _would_name_its_ground(scene, plan, name):
        downhill = 1 if spot.mirrored else -1
        sides, heights = ((downhill,), (24, 12, 36)) if spot.turn else ((-1, 1), (20, 5))
        beside: list[Label] = [(spot.x + s * (half + 10 + a * 12), spot.y + e, "start" if s > 0 else "end") for s in sides for e in heights]
        above: list[Label] = [(spot.x + aside, spot.y - low - rise, "middle") for rise in (46, 58) for aside in (0, -downhill * 24)]
        places = [*beside, *above, *places]
    text = thing_name(name)
    return places[taken.freest_box((label_box(text, place, size=size) for place in places), margin=3.0)]


def _would_name_its_ground(scene: Scene, plan: Plan, name: str) -> bool:
    """Whether a name below its body would stand in a slope, or in a table under that body alone, and seem to be its name."""
    body = scene.bodies.get(name)
    if body is None or body.moves == "vertical":
        return False
    grounds = [g for g in plan.layout.grounds if g.fill and inside(plan.layout.spots[name].label_at, g.points)]
    beside = [n for n, b in scene.bodies.items() if b.moves == "level" and not b.rests_on]
    return bool(grounds) and (body.moves == "slope" or len(beside) == 1)
