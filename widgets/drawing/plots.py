"""What the curves share: axes in our hand, and labels at the ends of the lines in place of a legend."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from .ink import CURVES, INK, LINES, SMALL, SOFT

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def stacked(count: int, width: float = 6.4, each: float = 2.1, share_x: bool = True) -> tuple[Figure, list[Any]]:
    """A figure with some axes, one below the other, room for labels on the right."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, each * count + 0.4), layout="constrained", facecolor="white")
    axes = figure.subplots(count, 1, sharex=share_x, squeeze=False)[:, 0]
    for one in axes:
        one.spines[["top", "right"]].set_visible(False)
        one.spines[["left", "bottom"]].set_color(SOFT)
        one.tick_params(colors=INK, labelsize=SMALL - 0.5)
        one.grid(True, color="#e4e7ea", linewidth=0.7)
        one.set_axisbelow(True)
    return figure, list(axes)


def curves(axes: Any, lines: Sequence[tuple[str, Sequence[float], Sequence[float]]], first: int = 0) -> None:
    """Draw (label, xs, ys), each in a style of its own, each labelled at its right end; curves that coincide share one label.

    NaN in ys leaves a gap.
    """
    merged: list[tuple[list[str], Sequence[float], Sequence[float]]] = []
    span = max((abs(y) for _, _, ys in lines for y in ys if y == y), default=1.0) or 1.0
    for label, xs, ys in lines:
        same = next((m for m in merged if len(m[2]) == len(ys) and all(abs(a - b) < 1e-9 * span or (a != a and b != b) for a, b in zip(m[2], ys, strict=True))), None)
        if same is not None:
            same[0].append(label)
        else:
            merged.append(([label], xs, ys))
    ends = []
    for k, (names, xs, ys) in enumerate(merged, first):
        axes.plot(xs, ys, color=CURVES[k % len(CURVES)], linestyle=LINES[k % len(LINES)], linewidth=1.9, zorder=3)
        last = next(i for i in range(len(ys) - 1, -1, -1) if ys[i] == ys[i]) if any(y == y for y in ys) else None
        if last is not None and xs[last] < xs[-1]:  # a curve that stops early is labelled where it stops
            axes.annotate(", ".join(names), (xs[last], ys[last]), xytext=(6, 0), textcoords="offset points", va="center", fontsize=SMALL, color=CURVES[k % len(CURVES)], math_fontfamily="stix")
        elif last is not None:
            ends.append((ys[last], ", ".join(names), CURVES[k % len(CURVES)]))
    _end_labels(axes, ends)


def _end_labels(axes: Any, ends: Sequence[tuple[float, str, str]]) -> None:
    """Labels right of the axes at the heights of the curves' ends, moved apart where they would cover each other."""
    if not ends:
        return
    axes.margins(y=0.12)
    low, high = axes.get_ylim()
    axes.set_ylim(low, high)
    position = axes.get_position()
    inches = axes.figure.get_size_inches()[1] * position.height * 0.85
    lines = [label.count("\n") + 1 for _, label, _ in ends]
    step = (high - low) * (SMALL * 1.45 / 72) / inches
    order = sorted(range(len(ends)), key=lambda k: ends[k][0])
    places = [ends[k][0] for k in order]
    for i in range(1, len(places)):
        places[i] = max(places[i], places[i - 1] + step * (lines[order[i]] + lines[order[i - 1]]) / 2)
    over = places[-1] - (high - step * 0.2)
    if over > 0:
        places = [p - over for p in places]
        for i in range(len(places) - 2, -1, -1):
            places[i] = min(places[i], places[i + 1] - step)
    for k, place in zip(order, places, strict=True):
        _, label, colour = ends[k]
        axes.annotate(label, (1.0, place), xycoords=("axes fraction", "data"), xytext=(7, 0), textcoords="offset points", va="center", ha="left", fontsize=SMALL, color=colour, math_fontfamily="stix", annotation_clip=False)
