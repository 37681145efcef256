"""A scene as a picture: what stands or hangs where, the ropes over their pulleys, the letters and the given values."""

from __future__ import annotations

import math
from collections.abc import Mapping

from ...autograde.scene.model import Scene
from ...autograde.scene.words import thing_name
from ..layout import Spot
from .arrange import arranged, is_pulley
from .arrows import plus_arrow
from .canvas import Canvas, letters, plain
from .geometry import Place, Point, arc, circle, direction_vector, turned
from .ink import EDGE, GROUND, INK, PAPER, ROPE, SMALL, SOFT, THING, TOUCH, own_settings
from .lifts import wheel_in
from .marks import Angle, contact_places, given_forces, given_motions, motion_places, rope_places, slope_angles
from .record import Drawing
from .words import scene_text, shown, wheel_data

__all__ = ["direction_vector", "draw_scene"]


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
        for angle in slope_angles(self.scene, self.layout):
            self._angle(angle)
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

    def outline(self, name: str) -> list[Point]:
        spot = self.layout.spots[name]
        if name in self.scene.wheels or is_pulley(self.scene, name):
            return circle(spot.x, spot.y, spot.w / 2, 36)
        return turned(spot.x, spot.y, spot.w, spot.h, spot.turn)

    def _thing(self, name: str) -> None:
        spot, canvas = self.layout.spots[name], self.canvas
        body = self.scene.bodies.get(name)
        if name in self.layout.rollers:
            return
        outline = self.outline(name)
        if name in self.plan.cars:
            canvas.line(self.plan.car(name), EDGE, 1.6)
        massless = body is not None and not body.mass.value
        canvas.shape(outline, PAPER if massless else THING, EDGE, 1.6)
        for r in self.plan.steps.get(name, []):
            canvas.disk(spot.x, spot.y, r, THING, EDGE, 1.2, solid=False, layer=3.2)
        if body is None or is_pulley(self.scene, name):
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
        if name in self.scene.bodies and self.scene.bodies[name].moves == "slope":  # not in the slope, which would seem to be called so
            downhill, lean = 1 if spot.mirrored else -1, 12 * abs(math.sin(math.radians(spot.turn)))
            places[:0] = [(spot.x + downhill * (r + 8 + lean), spot.y + e, "left" if downhill > 0 else "right") for e in (20, 10, 30)]
        standing = name in self.scene.bodies and self.scene.bodies[name].moves == "level" and name not in self.layout.on_top
        below = [(spot.x, spot.y + spot.h / 2 + d, "center") for d in ((14, 22, 30, 40, 50) if standing else (14, 22, 30))]
        below[1:1] = [(spot.x + aside, spot.y + spot.h / 2 + 14, "center") for aside in (-8, 8, -16, 16)]
        beside = [p for d in (10, 18, 40, 48, 60) for p in ((spot.x + r + d, spot.y, "left"), (spot.x - r - d, spot.y, "right"))]
        lift = wheel_in(self.scene, name)
        if lift:  # beside the car
            car = self.layout.spots[lift]
            beside += [(car.x + car.w / 2 + 10, spot.y, "left"), (car.x - car.w / 2 - 10, spot.y, "right")]
        shifted = [(px, py + dy, a) for dy in (-14, 14, -28, 28) for px, py, a in beside]
        self.canvas.label(text, [*places, *below, *beside, *shifted, (spot.x, spot.y - spot.h / 2 - 14, "center"), (x, y + 12, anchor), (x, y + 26, anchor)], SMALL + 0.5, SOFT, margin=3.0)

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
                aside = [(s * (spot.w / 2 + d), e) for d in (18, 26, 40, 54) for s in (spot.arrow_side, -spot.arrow_side) for e in (0.0, 16.0, -16.0)]
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
        for given in given_forces(self.scene, self.plan):
            self.canvas.arrow(given.points, INK, 2.4, head=11)
            if given.angle is not None:
                self._angle(given.angle)
            text = letters(given.force.symbol) + (f" = {plain(shown(given.force.size))}" if self.values else "")
            self.canvas.label(text, given.places)

    def _angle(self, angle: Angle) -> None:
        if angle.base:
            self.canvas.line(angle.base, SOFT, 0.9, (0, (4, 3)))
        self.canvas.line(angle.curve, SOFT, 1.0)
        text = f"{letters(angle.symbol)} = {plain(shown(angle.value))}" if self.values else letters(angle.symbol)
        self.canvas.label(text, angle.places, SMALL)

    def _given_motion(self) -> None:
        """Starting speeds and given accelerations as slender dashed arrows with their values."""
        for motion in given_motions(self.scene, self.layout):
            points = min(motion.choices, key=self.canvas.crossing)
            self.canvas.arrow(points, INK, 1.4, (0, (4, 2)))
            text = f"{letters(motion.symbol)} = {plain(shown(motion.value))}" if self.values else letters(motion.symbol)
            self.canvas.label(text, motion_places(points), SMALL)

    def _rope_letters(self) -> None:
        for symbol, paths in self.plan.ropes.items():
            self.canvas.label(letters(symbol), rope_places(paths), SMALL + 2, ROPE)

    def _contact_letters(self) -> None:
        for contact in self.scene.contacts:
            places = contact_places(self.scene, self.layout, contact)
            if places:
                self.canvas.label(letters(contact.symbol), places, SMALL + 2, TOUCH)


def _typeset(datum: str) -> str:
    """ "R = 0.40 m" with its letter as mathematics."""
    symbol, equals, value = datum.partition(" = ")
    return letters(symbol) + equals + plain(value)
