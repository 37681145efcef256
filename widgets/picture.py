"""A scene as a drawing: where each thing stands, the ropes with the pulleys they pass, and an arrow for each direction.

The result is plain JSON that `static/scenepicture.js` turns into SVG: lengths in drawing units, y downwards. Nothing in a scene file
says where things are; the layout follows from how they move and what the ropes join. It shows no force: the force diagram is the
student's to draw.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

from ..autograde.scene.model import Scene
from .layout import BOX, Layout, Point, lay_out
from .ropes import rope_paths
from .words import DIRECTION_LABELS, thing_name

_ARROW = 46.0
_SHORT = 42.0  # the reach of arrows along a surface, where bodies stand side by side
_LETTER = 7.6  # the width of a letter of a label, more or less
_RIM = 14.0

_Box = tuple[float, float, float, float]
_GAP = 14.0


@lru_cache(maxsize=64)
def _picture(scene_key: _Key) -> dict[str, Any]:
    scene = scene_key.scene
    layout = lay_out(scene)
    ropes, pulleys, brackets = rope_paths(scene, layout)
    things = [_thing(scene, layout, name) for name in scene.things]
    left, top, right, bottom = _frame(layout, things, ropes, pulleys)
    return {
        "left": left,
        "top": top,
        "width": right - left,
        "height": bottom - top,
        "title": scene.title,
        "says": in_words(scene),
        "grounds": [{"points": g.points, "fill": g.fill} for g in layout.grounds],
        "ropes": [{"points": points} for points in ropes],
        "pulleys": [{"x": x, "y": y, "r": r} for x, y, r in pulleys],
        "brackets": [{"points": points} for points in brackets],
        "things": things,
    }


def _frame(layout: Layout, things: list[dict[str, Any]], ropes: list[list[Point]], pulleys: list[tuple[float, float, float]]) -> _Box:
    """left, top, right, bottom round all that is drawn, with a margin; labels by a guess of their width."""
    points = [p for g in layout.grounds for p in g.points] + [p for rope in ropes for p in rope]
    points += [(x + d, y + e) for x, y, r in pulleys for d, e in ((-r, -r), (r, r))]
    for thing in things:
        half = max(layout.spots[thing["name"]].w, layout.spots[thing["name"]].h) * 0.62
        points += [(thing["x"] - half, thing["y"] - half), (thing["x"] + half, thing["y"] + half)]
        points += [p for arrow in thing["arrows"].values() for p in arrow]
        (x, y), wide = thing["labelAt"], len(thing["label"]) * _LETTER
        start = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[thing["labelAnchor"]]
        points += [(start, y - 14), (start + wide, y + 5)]
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
    """The drawing of a scene: left, top, width, height, title, says (the same in words), grounds, ropes, pulleys, brackets, things.

    Each thing has name, label, x, y (centre), w, h or r, turn (degrees, clockwise), and `arrows` {direction word: [x, y] points of an
    arrow, or of an arc for a wheel}.
    """
    return _picture(_Key(scene))


def in_words(scene: Scene) -> str:
    """What the drawing shows, for whoever does not see it."""
    parts = [scene.story.strip()]
    for thing in scene.things:
        parts.append(f"The {thing_name(thing)} {_stands(scene, thing)}.")
    for rope in scene.ropes:
        pulls = " and ".join(f"the {thing_name(s.thing)} {DIRECTION_LABELS[s.direction]}" for s in rope.pulls)
        parts.append(f"One rope can pull {pulls}.")
    return " ".join(p for p in parts if p)


def _stands(scene: Scene, thing: str) -> str:
    if thing in scene.wheels:
        return "turns about an axis"
    body = scene.bodies[thing]
    if body.rests_on:
        return f"lies on the {thing_name(body.rests_on)}"
    if body.moves == "slope" and body.angle:
        return f"stands on a slope of {body.angle.text} degrees"
    return {"vertical": "hangs and can move up or down", "level": "stands on a level track"}.get(body.moves, "stands on a slope")


def _thing(scene: Scene, layout: Layout, name: str) -> dict[str, Any]:
    spot = layout.spots[name]
    out: dict[str, Any] = {
        "name": name, "label": thing_name(name), "index": "" if name in layout.rollers else _index(scene, name), "x": spot.x, "y": spot.y, "turn": spot.turn,
        "labelAt": list(spot.label_at), "labelAnchor": spot.label_anchor,
    }  # fmt: skip
    if name in scene.wheels:
        out["r"] = spot.w / 2
        out["arrows"] = {"clockwise": _arc(spot.x, spot.y, spot.w / 2 + _GAP, 1), "counterclockwise": _arc(spot.x, spot.y, spot.w / 2 + _GAP, -1)}
    else:
        out["w"], out["h"] = spot.w, spot.h
        out["arrows"] = _arrows(scene, layout, name)
    return out


def _index(scene: Scene, name: str) -> str:
    index = scene.bodies[name].index if name in scene.bodies else scene.wheels[name].index
    return "" if index is None else str(index)


def _arrows(scene: Scene, layout: Layout, name: str) -> dict[str, list[Point]]:
    """Two arrows beside a body along its line, starting from a common middle."""
    spot = layout.spots[name]
    first, second = scene.directions(name)
    if scene.bodies[name].moves == "vertical":
        aside = max(BOX / 2 + _GAP + 6, len(thing_name(name)) * _LETTER / 2 + 8 if spot.label_anchor == "middle" else 0)
        x = spot.x + spot.arrow_side * aside
        return {first: [(x, spot.y - 5), (x, spot.y - 5 - _ARROW)], second: [(x, spot.y + 5), (x, spot.y + 5 + _ARROW)]}
    # Along a surface: above the body, turned with it.
    a = math.radians(spot.turn)
    along, out = (math.cos(a), math.sin(a)), (math.sin(a), -math.cos(a))
    lift = spot.h / 2 + _GAP + 4
    if layout.carries(name):
        lift = -spot.h / 2 - _GAP - 26  # below the label: above, the arrows would lie among those of the stack
    elif name in layout.rollers:
        lift = layout.spots[layout.rollers[name]].h / 2 + _GAP + 22  # above the wheel's own arcs
    mx, my = spot.x + out[0] * lift, spot.y + out[1] * lift
    forward = 1 if first == "right" or not spot.mirrored else -1

    def arrow(sign: int) -> list[Point]:
        s = sign * forward
        return [(mx + s * reach * along[0], my + s * reach * along[1]) for reach in (5, _SHORT)]

    return {first: arrow(1), second: arrow(-1)}


def _arc(x: float, y: float, r: float, sense: int) -> list[Point]:
    """An arc over the wheel's top: to the right for clockwise, to the left for counterclockwise."""
    return [(x + sense * r * math.sin(t), y - r * math.cos(t)) for t in (0.12 + k * 0.13 for k in range(9))]
