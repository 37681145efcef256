"""A sheet to draw on in units of 1/96 inch, y downwards, whose frame is set last, round all that has been drawn.

Labels are placed where they cover neither each other nor a line: each comes with candidate places, best first.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from .geometry import Box, Place, Point, box_of, inside, line_inside, round_all
from .ink import EDGE, INK, LABEL, PAPER

if TYPE_CHECKING:
    from matplotlib.figure import Figure

UNITS = 96.0
_GREEK = ("alpha", "beta", "gamma", "delta", "theta", "phi", "mu", "tau", "omega")


def letters(symbol: str) -> str:
    """A symbol as matplotlib's mathematics: "mu_k1" -> "$\\mu_{k1}$"; what is no symbol is shown as it is."""
    base, _, below = symbol.partition("_")
    if not re.fullmatch(r"[A-Za-z]+(_[A-Za-z0-9_]+)?", symbol):
        return plain(symbol)
    head = f"\\{base}" if base in _GREEK else base if len(base) == 1 else f"\\mathrm{{{base}}}"
    below = below.replace("_", "")
    return f"${head}_{{\\mathrm{{{below}}}}}$" if below else f"${head}$"


def plain(text: str) -> str:
    """A text that is not mathematics, whatever is in it."""
    return text.replace("\\", "\N{REVERSE SOLIDUS}").replace("$", r"\$")


@lru_cache(maxsize=4096)
def measured(text: str, size: float, bold: bool = False) -> tuple[float, float]:
    """Width and height of a text in units, as matplotlib sets it."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(1, 1), dpi=UNITS)
    canvas = FigureCanvasAgg(figure)
    artist = figure.text(0, 0, text, fontsize=size, fontweight="bold" if bold else "normal", math_fontfamily="stix")
    extent = artist.get_window_extent(canvas.get_renderer())  # type: ignore[no-untyped-call]
    return float(extent.width), float(extent.height)


class Canvas:
    """Draws lines, boxes, circles, arrows and labels; `finish` sets the frame and gives the figure."""

    def __init__(self) -> None:
        from matplotlib.figure import Figure

        self.figure: Figure = Figure(figsize=(1, 1), dpi=UNITS, facecolor=PAPER)
        self.axes: Any = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.axes.set_axis_off()
        self.bounds: list[Box] = []
        self.labels: list[Box] = []
        self.lines: list[list[Point]] = []  # what a label should not cross
        self.solids: list[list[Point]] = []  # what a label should not lie on

    # -- shapes -------------------------------------------------------------------------------------------------------

    def line(self, points: Sequence[Point], colour: str = EDGE, width: float = 1.4, style: Any = "-", *, blocks: bool = True, layer: float = 2.0) -> None:
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        self.axes.plot(xs, ys, color=colour, linewidth=width, linestyle=style, zorder=layer, solid_capstyle="round", solid_joinstyle="round", dash_capstyle="butt")
        self.bounds.append(box_of(points).grown(width))
        if blocks:
            self.lines.append(list(points))

    def shape(self, points: Sequence[Point], fill: str, edge: str | None = EDGE, width: float = 1.4, *, blocks: bool = True, layer: float = 3.0) -> None:
        from matplotlib.patches import Polygon

        self.axes.add_patch(Polygon(list(points), closed=True, facecolor=fill, edgecolor=edge or "none", linewidth=width if edge else 0, zorder=layer, joinstyle="round"))
        self.bounds.append(box_of(points).grown(width))
        if blocks:
            self.solids.append(list(points))

    def disk(self, x: float, y: float, r: float, fill: str, edge: str = EDGE, width: float = 1.4, *, solid: bool = True, layer: float = 3.0) -> None:
        from matplotlib.patches import Circle

        self.axes.add_patch(Circle((x, y), r, facecolor=fill, edgecolor=edge, linewidth=width, zorder=layer))
        self.bounds.append(Box(x - r, y - r, x + r, y + r).grown(width))
        if solid:
            self.solids.append([(x + r * math.cos(t / 3), y + r * math.sin(t / 3)) for t in range(19)])

    def arrow(self, points: Sequence[Point], colour: str = INK, width: float = 2.0, style: Any = "-", head: float = 9.0) -> None:
        """A polyline with a head whose tip is the last point: an arrow is exactly as long as it is drawn."""
        (x, y), (px, py) = points[-1], points[-2]
        whole = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
        size = min(head, max(whole * 0.6, 3.5))
        length = math.dist((x, y), (px, py)) or 1.0
        ux, uy = (x - px) / length, (y - py) / length
        neck = (x - ux * size * 0.8, y - uy * size * 0.8)
        kept = [p for p in points[:-1] if math.dist(p, (x, y)) > size * 0.8] or [points[0]]
        if math.dist(kept[-1], neck) > 0.5:
            self.line([*kept, neck], colour, width, style, blocks=False, layer=5.0)
        from matplotlib.patches import Polygon

        base = (x - ux * size, y - uy * size)
        tip = [(x, y), (base[0] - uy * size * 0.42, base[1] + ux * size * 0.42), neck, (base[0] + uy * size * 0.42, base[1] - ux * size * 0.42)]
        self.axes.add_patch(Polygon(tip, closed=True, facecolor=colour, edgecolor="none", zorder=5.1))
        self.bounds.append(box_of([*points, *tip]).grown(1))
        self.lines.append(list(points))
        self.solids.append(tip)

    # -- labels -------------------------------------------------------------------------------------------------------

    def label(self, text: str, places: Sequence[Place], size: float = LABEL, colour: str = INK, *, bold: bool = False, on: Sequence[Point] | None = None, halo: bool = False, margin: float = 1.5) -> Box:
        """Set a text at the first place where it covers nothing, or else where it covers least.

        on: the shape that the label belongs on, which it may cover. margin: what is kept clear round it.
        """
        wide, high = measured(text, size, bold)
        best: tuple[float, Place, Box] | None = None
        for rank, (x, y, anchor) in enumerate(places):
            left = x - wide * {"left": 0.0, "center": 0.5, "right": 1.0}[anchor]
            box = Box(left, y - high / 2, left + wide, y + high / 2)
            cost = self._cost(box.grown(margin), on)
            if best is None or cost + rank * 0.01 < best[0]:
                best = (cost + rank * 0.01, (x, y, anchor), box)
            if cost == 0:
                break
        assert best is not None
        _, (x, y, anchor), box = best
        artist = self.axes.text(x, y, text, fontsize=size, color=colour, ha=anchor, va="center", zorder=8.0, fontweight="bold" if bold else "normal", math_fontfamily="stix")
        if halo:
            from matplotlib.patheffects import withStroke

            artist.set_path_effects([withStroke(linewidth=3.0, foreground=PAPER)])
        self.labels.append(box)
        self.bounds.append(box)
        return box

    def crossing(self, points: Sequence[Point]) -> float:
        """How much of what is drawn already a line would cross or come close to; 0: it lies free."""
        some = [p for a, b in itertools.pairwise(points) for p in (a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), b)]
        return sum(self._cost(Box(x - 7, y - 7, x + 7, y + 7), None) for x, y in some)

    def _cost(self, box: Box, on: Sequence[Point] | None) -> float:
        cost = 40.0 * sum(box.shared(other) for other in self.labels)
        cost += 6.0 * sum(line_inside(box, line) for line in self.lines)
        for solid in self.solids:
            if on is not None and list(on) == solid:
                continue
            edge = line_inside(box, [*solid, solid[0]])
            if edge or inside(((box.left + box.right) / 2, (box.top + box.bottom) / 2), solid):
                cost += 6.0 * edge + 200.0
        return cost

    # -- frame --------------------------------------------------------------------------------------------------------

    @property
    def frame(self) -> Box:
        return round_all(self.bounds)

    def finish(self, margin: float = 14.0) -> Figure:
        frame = self.frame.grown(margin)
        self.axes.set_xlim(frame.left, frame.right)
        self.axes.set_ylim(frame.bottom, frame.top)
        self.figure.set_size_inches((frame.right - frame.left) / UNITS, (frame.bottom - frame.top) / UNITS)
        return self.figure
