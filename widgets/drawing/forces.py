"""Force diagrams to scale: each thing by itself, with every force on it as an arrow as long as the force is large."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ...autograde.mechanics.setup import Setup
from ...autograde.mechanics.wording import rounded
from ...autograde.scene.words import DIRECTION_LABELS, thing_name
from ..layout import Layout
from .acting import Acting, acting_on, together
from .arrange import arranged
from .arrows import plus_arrow
from .canvas import Canvas, letters, plain
from .geometry import Box, Place, Point, arc, circle, turned
from .ink import EDGE, FORCE_COLOURS, INK, LABEL, SMALL, SOFT, THING, own_settings
from .record import Drawing
from .scenes import direction_vector

LONGEST = 118.0
"""The length of the largest force's arrow, in units."""

_SIDE = 13.0  # between arrows of one direction
_BOX = 48.0
_RIM = 42.0
_WIDEST = 860.0  # of a row of diagrams


def draw_forces(setup: Setup, thing: str | None = None) -> Drawing:
    """The force diagrams of all things, or of one, with the values of a Setup; KeyError for a thing that is not there.

    All arrows of a drawing have one scale, unless a thing's largest force would be shorter than an eighth of the longest arrow:
    such a thing has a scale of its own, and the drawing says so. Torques are arcs, and not to scale.
    """
    if thing is not None and thing not in setup.scene.things:
        raise KeyError(thing)
    forces = {t: acting_on(setup, t) for t in (setup.scene.things if thing is None else (thing,))}
    scales = scales_of(forces)
    layout = arranged(setup.scene).layout
    with own_settings():
        panels = [_Panel(setup, layout, name, acting, scales[name]) for name, acting in forces.items()]
        figure = _in_rows(panels, scales).finish()
    title = f"Forces: {setup.scene.title or setup.scene.name}" if thing is None else f"Forces on the {thing_name(thing)}"
    return Drawing(figure, title, forces_text(setup, forces, scales))


def scales_of(forces: Mapping[str, Sequence[Acting]]) -> dict[str, float]:
    """Units a newton for each thing; one for all that can be seen at the scale of the largest force."""
    largest = {t: max((abs(float(a.size)) for a in acting if a.size and not a.torque), default=0.0) for t, acting in forces.items()}
    most = max(largest.values(), default=0.0)
    return {t: LONGEST / (size if 0 < size < most / 8 else most or 1.0) for t, size in largest.items()}


def forces_text(setup: Setup, forces: Mapping[str, Sequence[Acting]], scales: Mapping[str, float]) -> str:
    """Every force of the diagrams with its size and direction, thing by thing."""
    said = []
    for thing, acting in forces.items():
        plus = f"positive direction {DIRECTION_LABELS[setup.positive[thing]]}"
        if not acting:
            said.append(f"On the {thing_name(thing)} ({plus}): no force to be drawn.")
            continue
        total = together(setup, thing)
        net = f" {total}." if total else ""
        said.append(f"On the {thing_name(thing)} ({plus}): {'; '.join(a.says() for a in acting)}.{net}")
    if len(set(scales.values())) > 1:
        said.append("The things are not all drawn to the same scale.")
    if any(a.torque for acting in forces.values() for a in acting):
        said.append("Torques are arcs, and not to scale.")
    return " ".join(said)


def diagram_of(setup: Setup, layout: Layout, thing: str, acting: Sequence[Acting], scale: float) -> tuple[list[Point], list[tuple[Acting, list[Point]]]]:
    """The outline of a thing round (0, 0) and the arrows of its forces, y downwards; scale in units a newton."""
    panel = _Panel(setup, layout, thing, acting, scale)
    if thing in setup.scene.wheels:
        return circle(0.0, 0.0, _RIM, 36), panel.on_wheel(0.0, 0.0)
    turn = layout.spots[thing].turn
    return turned(0.0, 0.0, _BOX, _BOX, turn), panel.on_body(0.0, 0.0, turn)


def _in_rows(panels: Sequence[_Panel], scales: Mapping[str, float]) -> Canvas:
    """The panels side by side, in as many rows as it takes, each with its caption; a bar shows the scale."""
    canvas = Canvas()
    own = len(set(scales.values())) > 1
    frames = [panel.measured() for panel in panels]
    x, y, row_high = 0.0, 0.0, 0.0
    row: list[int] = []
    rows: list[list[int]] = []
    for k, frame in enumerate(frames):
        if row and x + frame.right - frame.left > _WIDEST:
            rows.append(row)
            row, x = [], 0.0
        row.append(k)
        x += frame.right - frame.left + 30
    rows.append(row)
    for row in rows:
        top = min(frames[k].top for k in row)
        row_high = max(frames[k].bottom for k in row) - top
        x = 0.0
        for k in row:
            frame, panel = frames[k], panels[k]
            panel.draw(canvas, x - frame.left, y - top)
            panel.caption(canvas, x - frame.left, y + row_high + 14, own)
            x += frame.right - frame.left + 30
        y += row_high + (96 if own else 78)
    if not own and any(p.acting for p in panels):
        _bar(canvas, 0.0, canvas.frame.bottom + 14, next(iter(scales.values())))
    return canvas


def _bar(canvas: Canvas, x: float, y: float, scale: float) -> None:
    """A bar that shows how long a round number of newtons is."""
    newtons = round_number(64.0 / scale)
    canvas.line([(x, y), (x + newtons * scale, y)], SOFT, 1.6)
    for end in (x, x + newtons * scale):
        canvas.line([(end, y - 4), (end, y + 4)], SOFT, 1.6)
    canvas.label(f"{newtons:g} N", [(x + newtons * scale + 8, y, "left")], SMALL, SOFT)


def round_number(most: float) -> float:
    """The largest of 1, 2, 5, 10, 20 … (or 0.5, 0.2 …) that is no larger.

    >>> round_number(64.0), round_number(0.3)
    (50.0, 0.2)
    """
    power = 10.0 ** math.floor(math.log10(most))
    return max(float(f"{k * power:.6g}") for k in (1, 2, 5) if k * power <= most * 1.000001)


@dataclass(frozen=True)
class _Panel:
    """One thing with its forces."""

    setup: Setup
    layout: Layout
    name: str
    acting: Sequence[Acting]
    scale: float

    def measured(self) -> Box:
        """The frame of the diagram round the thing's centre, the caption's width included."""
        scratch = Canvas()
        self.draw(scratch, 0.0, 0.0)
        frame = scratch.frame
        self.caption(scratch, 0.0, frame.bottom + 14, True)
        wide = scratch.frame
        return Box(wide.left, frame.top, wide.right, frame.bottom)

    def draw(self, canvas: Canvas, x: float, y: float) -> None:
        spot = self.layout.spots[self.name]
        wheel = self.name in self.setup.scene.wheels
        turn = 0.0 if wheel else spot.turn
        outline = circle(x, y, _RIM, 36) if wheel else turned(x, y, _BOX, _BOX, turn)
        canvas.shape(outline, THING, EDGE, 1.6)
        if wheel:
            canvas.disk(x, y, 2.6, INK, INK, solid=False, layer=4.0)
            arrows = self.on_wheel(x, y)
        else:
            symbol = self.setup.scene.symbol_of("mass", self.name)
            if symbol and self.setup.scene.bodies[self.name].mass.value:
                canvas.label(letters(symbol), [(x, y, "center")], on=outline)
            arrows = self.on_body(x, y, turn)
        for acting, points in arrows:
            canvas.arrow(points, FORCE_COLOURS[acting.kind], 2.4, head=10)
        self._plus(canvas, x, y, turn, wheel)
        for acting, points in arrows:
            self._label(canvas, acting, points)

    def on_body(self, x: float, y: float, turn: float) -> list[tuple[Acting, list[Point]]]:
        """Arrows from the body's edge outwards; those of one direction side by side."""
        mirrored = self.layout.spots[self.name].mirrored
        groups: dict[tuple[float, float], list[Acting]] = {}
        for acting in self.acting:
            d = direction_vector(acting.direction, turn, mirrored, acting.tilt)
            groups.setdefault((round(d[0], 4), round(d[1], 4)), []).extend([acting] * acting.strands)
        out = []
        for (dx, dy), some in groups.items():
            t = math.radians(turn)
            across = max(abs(dx * math.cos(t) + dy * math.sin(t)), abs(-dx * math.sin(t) + dy * math.cos(t)))
            reach = _BOX / 2 / across
            for k, acting in enumerate(some):
                aside = (k - (len(some) - 1) / 2) * _SIDE
                sx, sy = x + dx * reach - dy * aside, y + dy * reach + dx * aside
                length = float(acting.size) * self.scale if acting.size else 30.0
                out.append((acting, [(sx, sy), (sx + dx * length, sy + dy * length)]))
        return out

    def on_wheel(self, x: float, y: float) -> list[tuple[Acting, list[Point]]]:
        """Forces along the rim where their ropes leave it; torques as arcs outside it."""
        radius = float(self.setup.scene.wheels[self.name].radius.value) or 1.0
        out: list[tuple[Acting, list[Point]]] = []
        arcs = 0
        for acting in self.acting:
            sense = 1.0 if acting.direction == "clockwise" else -1.0
            if acting.torque:
                r = _RIM + 13 + 13 * arcs
                arcs += 1
                out.append((acting, arc(x, y, r, 180 - 50 * sense, 180 + 50 * sense)))
                continue
            at = math.radians(self._place(acting, sense))
            r = _RIM * (max(0.3, min(1.0, float(acting.arm) / radius)) if acting.arm is not None else 1.0)
            sx, sy = x + r * math.sin(at), y - r * math.cos(at)
            dx, dy = sense * math.cos(at), sense * math.sin(at)
            length = float(acting.size) * self.scale if acting.size else 30.0
            out.append((acting, [(sx, sy), (sx + dx * length, sy + dy * length)]))
        return out

    def _place(self, acting: Acting, sense: float) -> float:
        """Where on the rim a force acts, in degrees from the top, clockwise."""
        scene = self.setup.scene
        for rolling in scene.rolling:
            if rolling.symbol == acting.symbol:
                return 180.0 + self.layout.spots[rolling.body].turn
        for rope in scene.ropes:
            if rope.symbol == acting.symbol:
                other = next((s for s in rope.pulls if s.thing in scene.bodies), None)
                if other is None:
                    return 0.0
                return 90.0 * sense if other.direction == "up" else self.layout.spots[other.thing].turn
        return 180.0

    def _plus(self, canvas: Canvas, x: float, y: float, turn: float, wheel: bool) -> None:
        word = self.setup.positive[self.name]
        if wheel:
            sense = 1.0 if word == "clockwise" else -1.0
            choices = [arc(x, y, _RIM + 14, m - 34 * sense, m + 34 * sense) for m in (0.0, 45.0, -45.0, 180.0)]
        else:
            dx, dy = direction_vector(word, turn, self.layout.spots[self.name].mirrored)
            far = _BOX / 2 + 26
            spread = [(sx * far, sy * far) for far in (far, far + 22, far + 40) for sx, sy in ((-1, -1), (1, -1), (-1, 1), (1, 1), (-1, 0), (1, 0))]
            if abs(dy) > 0.9:
                spread = [(s * f, 0.0) for f in (far - 4, far + 16, far + 36) for s in (-1, 1)] + spread
            choices = [[(x + a - dx * 17, y + b - dy * 17), (x + a + dx * 17, y + b + dy * 17)] for a, b in spread]
        plus_arrow(canvas, choices)

    def _label(self, canvas: Canvas, acting: Acting, points: Sequence[Point]) -> None:
        size = "" if acting.size is None else f" = {rounded(acting.size)} {acting.unit}"
        (x, y), (sx, sy) = points[-1], points[0]
        n = math.dist((x, y), (sx, sy)) or 1.0
        ux, uy = (x - sx) / n, (y - sy) / n
        mx, my = (x + sx) / 2, (y + sy) / 2
        places: list[Place] = []
        if acting.torque:
            bx, by = points[len(points) // 2]
            places += [(bx, by + d, "center") for d in (14, 26, 38, -14)]
        elif abs(uy) > 0.6:
            beyond = y + (13 if uy > 0 else -13)
            sides = [(9, "left"), (-9, "right")]
            places += [(x, beyond, "center")]
            places += [(px + d, py, a) for py, px in ((y - 4 * uy, x), (my, mx), (sy, sx)) for d, a in sides]
            places += [(x + d, beyond + e, a) for e in (0, 14, -14, 28) for d, a in ((4, "left"), (-4, "right"))]
        else:
            places += [(x + (8 if ux > 0 else -8), y, "left" if ux > 0 else "right")]
            places += [(px, py + d, "center") for px, py in ((x, y), (mx, my)) for d in (-13, 13, -26, 26)]
            places += [(x + (8 if ux > 0 else -8), y + d, "left" if ux > 0 else "right") for d in (-10, 10, -20, 20)]
        canvas.label(letters(acting.symbol) + size, places, LABEL - 1, FORCE_COLOURS[acting.kind])

    def caption(self, canvas: Canvas, x: float, y: float, own: bool) -> None:
        """The thing's name, what its forces come to, and its scale where each has its own."""
        canvas.label(plain(thing_name(self.name)), [(x, y, "center")], LABEL, INK, bold=True)
        y += 18
        net = together(self.setup, self.name)
        if net:
            canvas.label(plain(net), [(x, y, "center")], SMALL, SOFT)
            y += 20
        if own and any(not a.torque for a in self.acting):
            newtons = round_number(64.0 / self.scale)
            _bar(canvas, x - newtons * self.scale / 2 - 16, y + 2, self.scale)
