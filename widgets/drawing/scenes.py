"""A scene as a picture: what stands or hangs where, the ropes over their pulleys, the letters and the given values."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

from ...autograde.scene.model import Scene
from ..layout import Ground, Spot
from ..words import thing_name
from .arrange import arranged
from .arrows import plus_arrow
from .canvas import Canvas, Place, letters, plain
from .geometry import Point, arc, circle, turned
from .ink import EDGE, GROUND, INK, PAPER, ROPE, SMALL, SOFT, THING, TOUCH, own_settings
from .record import Drawing
from .words import scene_text, shown, wheel_data

_ARROW = 60.0  # the length of a given force, which is not to scale here


def draw_scene(scene: Scene, positive: Mapping[str, str] | None = None, *, values: bool = True) -> Drawing:
    """The picture of a scene.

    positive: {thing: direction word} to be shown as arrows with a plus; left out: none is shown. values: write masses, angles
    and given forces into the picture, and not only their letters.
    """
    with own_settings():
        canvas = Canvas()
        _Sketch(scene, canvas, values).all(positive or {})
        figure = canvas.finish()
    return Drawing(figure, scene.title or scene.name, scene_text(scene, positive or {}, values=values))


def direction_vector(word: str, turn: float = 0.0, mirrored: bool = False, tilt: float = 0.0) -> Point:
    """A direction word as a unit vector on the page, y downwards; turn and mirrored say how its surface lies; tilted by some
    degrees away from the surface."""
    t, a = math.radians(turn), math.radians(tilt)
    along, out = (math.cos(t), math.sin(t)), (math.sin(t), -math.cos(t))
    forward = -1.0 if mirrored else 1.0
    dx, dy = {
        "upslope": (forward * along[0], forward * along[1]), "downslope": (-forward * along[0], -forward * along[1]),
        "away": out, "into": (-out[0], -out[1]), "up": (0.0, -1.0), "down": (0.0, 1.0), "right": (1.0, 0.0), "left": (-1.0, 0.0),
    }[word]  # fmt: skip
    return (dx * math.cos(a) + out[0] * math.sin(a), dy * math.cos(a) + out[1] * math.sin(a)) if tilt else (dx, dy)


class _Sketch:
    """Draws one scene on one canvas."""

    def __init__(self, scene: Scene, canvas: Canvas, values: bool) -> None:
        self.scene, self.canvas, self.values = scene, canvas, values
        self.plan = arranged(scene)
        self.layout = self.plan.layout

    def all(self, positive: Mapping[str, str]) -> None:
        self._grounds()
        for bracket in self.plan.brackets:
            self.canvas.line(bracket, EDGE, 3.0, layer=1.5)
        for paths in self.plan.ropes.values():
            for path in paths:
                self.canvas.line(path, ROPE, 1.8)
        for x, y, r in self.plan.pulleys:
            self._pulley(x, y, r)
        for name in (*self.scene.wheels, *self.scene.bodies):
            self._thing(name)
        self._contact_letters()
        self._outside()
        self._given_motion()
        for thing, word in positive.items():
            self._plus(thing, word)
        self._angles()
        for name in self.scene.things:
            self._name(name)
        self._rope_letters()

    # -- what stands still --------------------------------------------------------------------------------------------

    def _grounds(self) -> None:
        wedges = [g for g in self.layout.grounds if g.fill and len(g.points) == 3]
        for ground in self.layout.grounds:
            if not ground.fill:
                self._hatched(ground.points[0], ground.points[-1])
                continue
            self.canvas.shape(ground.points, GROUND, None, blocks=False, layer=0.5)
            if len(ground.points) == 3:
                foot, head, below = ground.points
                self.canvas.line([below, foot, head] if len(wedges) > 1 else [foot, head, below, foot])
            else:
                self.canvas.line([ground.points[3], *ground.points[:3]])
        for name, body in self.scene.bodies.items():
            if body.moves != "vertical" and not body.rests_on and body.friction is not None and (body.friction.kinetic or body.friction.static):
                self._rough(self.layout.spots[name])

    def _hatched(self, a: Point, b: Point) -> None:
        self.canvas.line([a, b], EDGE, 1.8)
        count = int(math.dist(a, b) // 11)
        for k in range(count):
            x, y = a[0] + (b[0] - a[0]) * (k + 0.5) / count, a[1] + (b[1] - a[1]) * (k + 0.5) / count
            self.canvas.line([(x - 3, y), (x + 4, y - 7)], EDGE, 0.9, blocks=False)

    def _rough(self, spot: Spot) -> None:
        """Short strokes under a body on a rough surface."""
        t = math.radians(spot.turn)
        along, out = (math.cos(t), math.sin(t)), (math.sin(t), -math.cos(t))
        deep = max(spot.h / 2, 0.0) if spot.h > 20 else 32.0
        for k in range(-4, 5):
            x, y = spot.x + along[0] * k * 7 - out[0] * deep, spot.y + along[1] * k * 7 - out[1] * deep
            end = (x - along[0] * 4 - out[0] * 6, y - along[1] * 4 - out[1] * 6)
            self.canvas.line([(x, y), end], EDGE, 0.9, blocks=k in (-4, 4))

    def _pulley(self, x: float, y: float, r: float) -> None:
        for spot in self.layout.spots.values():
            if abs(spot.x - x) < 1 and 0 < spot.y - y < spot.h / 2 + r + 4:  # a movable pulley, joined to the body below it
                self.canvas.line([(x, y), (x, spot.y - spot.h / 2)], EDGE, 3.0, layer=3.5)
        self.canvas.disk(x, y, r, PAPER, EDGE, 1.6)
        self.canvas.disk(x, y, 2.2, INK, INK, solid=False, layer=4.0)

    # -- things -------------------------------------------------------------------------------------------------------

    def _is_pulley(self, name: str) -> bool:
        """A massless body that a rope hangs over is drawn as the pulley that it is."""
        body = self.scene.bodies.get(name)
        return body is not None and not body.mass.value and any(sum(s.thing == name and s.direction == "down" for s in r.pulls) > 1 for r in self.scene.ropes)

    def outline(self, name: str) -> list[Point]:
        spot = self.layout.spots[name]
        if name in self.scene.wheels or self._is_pulley(name):
            return circle(spot.x, spot.y, spot.w / 2, 36)
        return turned(spot.x, spot.y, spot.w, spot.h, spot.turn)

    def _thing(self, name: str) -> None:
        spot, canvas = self.layout.spots[name], self.canvas
        body = self.scene.bodies.get(name)
        if name in self.layout.rollers:
            return
        outline = self.outline(name)
        if name in self.plan.cars:
            above = self.layout.spots[self.plan.cars[name]]
            left, right, top = spot.x - spot.w / 2, spot.x + spot.w / 2, above.y - above.h / 2 - 20
            canvas.line([(left, spot.y - spot.h / 2), (left, top), (right, top), (right, spot.y - spot.h / 2)], EDGE, 1.6)
        massless = body is not None and not body.mass.value
        canvas.shape(outline, PAPER if massless else THING, EDGE, 1.6)
        for r in self.plan.steps.get(name, []):
            canvas.disk(spot.x, spot.y, r, THING, EDGE, 1.2, solid=False, layer=3.2)
        if body is None or self._is_pulley(name):
            canvas.disk(spot.x, spot.y, 2.6, INK, INK, solid=False, layer=4.0)
            return
        symbol = self.scene.symbol_of("mass", name)
        if symbol is None or massless:
            return
        if not self.values:
            canvas.label(letters(symbol), [(spot.x, spot.y, "center")], on=outline)
        elif spot.h < 48 and spot.w > 80:
            canvas.label(f"{letters(symbol)} = {plain(shown(body.mass))}", [(spot.x, spot.y, "center")], SMALL + 0.5, on=outline)
        else:
            small = spot.h < 48
            canvas.label(letters(symbol), [(spot.x, spot.y - (9 if small else 10), "center")], SMALL + 0.5 if small else SMALL + 2, on=outline)
            canvas.label(plain(shown(body.mass)), [(spot.x, spot.y + (9 if small else 11), "center")], SMALL - 1.5 if small else SMALL, on=outline)

    def _name(self, name: str) -> None:
        spot = self.layout.spots[name]
        x, y = spot.label_at
        anchor = {"start": "left", "middle": "center", "end": "right"}[spot.label_anchor]
        text = plain(thing_name(name))
        if name in self.scene.wheels:
            data = wheel_data(self.scene, name, self.values)
            rider = next((b for b, w in self.layout.rollers.items() if w == name), None)
            mass = self.scene.symbol_of("mass", rider) if rider else None
            if rider and mass:
                text = plain(thing_name(rider)) + ", " + text
                data.insert(0, f"{mass} = {shown(self.scene.bodies[rider].mass)}" if self.values else mass)
            text += "".join("\n" + _typeset(datum) for datum in data)
        elif name in self.layout.rollers:
            return  # named with its wheel
        r = spot.w / 2
        places: list[Place] = [(x, y - 4, anchor)]
        standing = name in self.scene.bodies and self.scene.bodies[name].moves == "level" and name not in self.layout.on_top
        below = [(spot.x, spot.y + spot.h / 2 + d, "center") for d in ((14, 22, 30, 40, 50) if standing else (14, 22, 30))]
        beside = [p for d in (10, 18, 40, 48, 60) for p in ((spot.x + r + d, spot.y, "left"), (spot.x - r - d, spot.y, "right"))]
        shifted = [(px, py + dy, a) for dy in (-14, 14, -28, 28) for px, py, a in beside]
        self.canvas.label(text, [*places, *below, *beside, *shifted, (spot.x, spot.y - spot.h / 2 - 14, "center"), (x, y + 12, anchor), (x, y + 26, anchor)], SMALL + 0.5, SOFT)

    # -- arrows -------------------------------------------------------------------------------------------------------

    def _plus(self, thing: str, word: str) -> None:
        spot = self.layout.spots[thing]
        choices: list[list[Point]] = []
        if thing in self.scene.wheels:
            sense = 1 if word == "clockwise" else -1
            for middle in (0, 50, -50, 180):
                choices.append(arc(spot.x, spot.y, spot.w / 2 + 12, middle - 36.0 * sense, middle + 36.0 * sense))
        else:
            dx, dy = direction_vector(word, spot.turn, spot.mirrored)
            t = math.radians(spot.turn)
            out = (math.sin(t), -math.cos(t))
            if self.scene.bodies[thing].moves == "vertical":
                half = max([spot.w / 2, *(self.layout.spots[c].w / 2 for c, inside in self.plan.cars.items() if inside == thing)])
                aside = [(s * (half + d), e) for d in (18, 26, 40, 54) for s in (spot.arrow_side, -spot.arrow_side) for e in (0.0, 16.0, -16.0)]
                centres = [(spot.x + a, spot.y + e) for a, e in aside]
            else:
                high = 32.0 if thing in self.layout.rollers else spot.h / 2
                touching = any(s.thing == thing for c in self.scene.contacts for s in c.pushes)
                lifts = (high + 32, high + 50) if touching or thing in self.layout.rollers else (high + 16, high + 30, -high - 16, -high - 46)
                centres = [(spot.x + out[0] * d, spot.y + out[1] * d) for d in lifts]
                centres += [(spot.x + s * (high + 34) * math.cos(t) + out[0] * d, spot.y + s * (high + 34) * math.sin(t) + out[1] * d) for s in (-1, 1) for d in (0, 14)]
            reach = 15.0 if self.scene.bodies[thing].moves == "level" else 20.0
            choices = [[(x - dx * reach, y - dy * reach), (x + dx * reach, y + dy * reach)] for x, y in centres]
        plus_arrow(self.canvas, choices)

    def _outside(self) -> None:
        for force in self.scene.forces:
            spot = self.layout.spots[force.on]
            if force.on in self.scene.wheels:
                sense = 1 if force.direction == "clockwise" else -1
                points = arc(spot.x, spot.y, spot.w / 2 + 14, -50.0 * sense, 60.0 * sense)
            else:
                degrees = float(force.angle.value) if force.angle else 0.0
                dx, dy = direction_vector(force.direction, spot.turn, spot.mirrored, degrees)
                lx, ly = direction_vector(force.direction, spot.turn, spot.mirrored)
                reach = spot.w / 2 / max(abs(math.cos(math.radians(degrees))), 0.72) if self.scene.bodies[force.on].moves != "vertical" else spot.h / 2
                if self._pushed(force.on, force.direction) or degrees < 0:  # a push comes from behind, and ends at the body
                    tip = (spot.x - dx * reach, spot.y - dy * reach)
                    points = [(tip[0] - dx * _ARROW, tip[1] - dy * _ARROW), tip]
                    corner, ways = points[0], (dx, dy, lx, ly)
                else:
                    start = (spot.x + dx * reach, spot.y + dy * reach)
                    points = [start, (start[0] + dx * _ARROW, start[1] + dy * _ARROW)]
                    corner, ways = start, (dx, dy, lx, ly)
                if degrees:
                    self._tilt(corner, ways, force.angle_symbol or "", f"{shown(force.angle)}" if force.angle else "")
            self.canvas.arrow(points, INK, 2.4, head=11)
            text = letters(force.symbol) + (f" = {plain(shown(force.size))}" if self.values else "")
            (x, y), (bx, by) = points[-1], points[0]
            self.canvas.label(text, [(x + 8, y, "left"), (x - 8, y, "right"), (bx, by - 14, "center"), (bx - 8, by, "right"), (x, y - 14, "center"), (bx + 14, by - 14, "center"), (x, y + 14, "center"), (x + 8, y - 14, "left")])

    def _pushed(self, body: str, word: str) -> bool:
        """Whether a given force presses the body against what it touches in front."""
        return any(s.thing == body and s.direction not in (word,) for c in self.scene.contacts for s in c.pushes)

    def _tilt(self, corner: Point, ways: tuple[float, float, float, float], symbol: str, value: str) -> None:
        """The angle between a force and the surface, at a corner."""
        dx, dy, lx, ly = ways
        self.canvas.line([corner, (corner[0] + lx * 44, corner[1] + ly * 44)], SOFT, 0.9, (0, (4, 3)))
        a, b = math.degrees(math.atan2(lx, -ly)), math.degrees(math.atan2(dx, -dy))
        curve = arc(*corner, 30.0, a, b)
        self.canvas.line(curve, SOFT, 1.0)
        self._angle_label(corner, (a + b) / 2, symbol, value, 30.0)

    def _angle_label(self, corner: Point, middle: float, symbol: str, value: str, r: float) -> None:
        text = f"{letters(symbol)} = {plain(value)}" if self.values else letters(symbol)
        places: list[Place] = []
        for far in (r + 8, r + 16, r + 28):
            x, y = corner[0] + far * math.sin(math.radians(middle)), corner[1] - far * math.cos(math.radians(middle))
            right = math.sin(math.radians(middle)) >= 0
            places += [(x, y, "left" if right else "right"), (x, y + 8, "left" if right else "right"), (x, y - 8, "left" if right else "right"), (x, y + 16, "center")]
        x, y = corner
        places += [(x + 22, y + 11, "center"), (x + 22, y + 18, "center"), (x - 22, y + 11, "center")]
        self.canvas.label(text, places, SMALL)

    def _given_motion(self) -> None:
        """Starting speeds and given accelerations as slender dashed arrows with their values."""
        for name, body in self.scene.bodies.items():
            given = [(body.starts, "v_0")] if body.starts is not None and body.starts[1].value else []
            given += [(body.acceleration, self.scene.symbol_of("acceleration", name) or "a")] if body.acceleration is not None else []
            for what, symbol in given:
                assert what is not None
                spot = self.layout.spots[name]
                dx, dy = direction_vector(what[0], spot.turn, spot.mirrored)
                t = math.radians(spot.turn)
                out = (math.sin(t), -math.cos(t))
                if body.moves == "vertical":
                    centres = [(spot.x + s * (spot.w / 2 + d), spot.y) for d in (18, 34) for s in (spot.arrow_side, -spot.arrow_side)]
                else:
                    centres = [(spot.x + out[0] * d, spot.y + out[1] * d) for d in (spot.h / 2 + 14, spot.h / 2 + 32)]
                choices = [[(x - dx * 18, y - dy * 18), (x + dx * 18, y + dy * 18)] for x, y in centres]
                points = min(choices, key=self.canvas.crossing)
                self.canvas.arrow(points, INK, 1.4, (0, (4, 2)))
                x, y = points[-1]
                mx, my = (points[0][0] + x) / 2, (points[0][1] + y) / 2
                text = f"{letters(symbol)} = {plain(shown(what[1]))}" if self.values else letters(symbol)
                self.canvas.label(text, [(x + 10, y, "left"), (mx - 10, my, "right"), (mx + 10, my, "left"), (x - 10, y, "right"), (x, y - 12, "center")], SMALL)

    def _angles(self) -> None:
        """The angle of each slope, at its foot."""
        done: list[Ground] = []
        for name, body in self.scene.bodies.items():
            ground = self._under(name)
            symbol = self.scene.symbol_of("angle", name)
            if body.angle is None or ground is None or ground in done or symbol is None:
                continue
            done.append(ground)
            foot, head, _ = ground.points
            side = 1.0 if head[0] > foot[0] else -1.0
            slant = math.degrees(math.atan2(foot[1] - head[1], abs(head[0] - foot[0])))
            r = 42.0 if slant > 18 else 66.0
            self.canvas.line(arc(*foot, r, side * 90.0, side * (90.0 - slant)), SOFT, 1.0)
            text = f"{letters(symbol)} = {plain(shown(body.angle))}" if self.values else letters(symbol)
            anchor = "left" if side > 0 else "right"
            inside = [(foot[0] + side * (r + d), foot[1] - up, anchor) for d in (6, 12, 24, 40, 60, 80) for up in (9, 12)]
            self.canvas.label(text, [*inside, (foot[0] + side * r, foot[1] + 12, anchor)], SMALL)

    def _under(self, name: str) -> Ground | None:
        spot = self.layout.spots[name]
        wedges = [g for g in self.layout.grounds if g.fill and len(g.points) == 3 and (g.points[1][0] < g.points[0][0]) == spot.mirrored]
        return wedges[0] if wedges else None

    def _rope_letters(self) -> None:
        for symbol, paths in self.plan.ropes.items():
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
            self.canvas.label(letters(symbol), places, SMALL + 2, ROPE)

    def _contact_letters(self) -> None:
        for contact in self.scene.contacts:
            spots = [self.layout.spots[s.thing] for s in contact.pushes if s.thing in self.scene.bodies]
            if len(spots) == 2:
                flat = abs(spots[0].y - spots[1].y) < abs(spots[0].x - spots[1].x)
                if flat:
                    x, y = (spots[0].x + spots[1].x) / 2, min(s.y - s.h / 2 for s in spots)
                    places = [(x, y - 11, "center"), (x, y - 30, "center"), (x, y + spots[0].h + 12, "center"), (x, y + spots[0].h + 28, "center")]
                else:
                    upper = min(spots, key=lambda s: s.y)
                    y = upper.y + upper.h / 2
                    places = [(upper.x + side * (upper.w / 2 + d), y - up, "center") for d in (11, 14, 22) for side in (1, -1) for up in (10, 14)]
                self.canvas.label(letters(contact.symbol), places, SMALL + 2, TOUCH)


def _typeset(datum: str) -> str:
    """ "R = 0.40 m" with its letter as mathematics."""
    symbol, equals, value = datum.partition(" = ")
    return letters(symbol) + equals + plain(value)
