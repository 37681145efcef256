"""Plots with error bars, each with a text that says the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...widgets.drawing import Drawing
from ...widgets.drawing.ink import CURVES, INK, SMALL, SOFT, own_settings
from ...widgets.drawing.plots import stacked
from .fit import Fit, Motion, theory
from .runs import Run, Runs
from .words import plus_minus

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_runs(runs: Runs, fits: Sequence[Fit], g: float) -> Drawing:
    """Above: measured a with error bars against (m2 - m1)/(m1 + m2), with the ideal machine's straight line and what each fitted model gives for
    the same masses. Below: how far the measurements lie from each model, in units of their uncertainty."""
    shown = [f for f in fits if not f.trouble][-1:] if not any(f.fits for f in fits) else [next(f for f in fits if f.fits)]
    drives, measured, sigmas = [r.drive for r in runs.runs], [r.a for r in runs.runs], [r.sigma for r in runs.runs]
    with own_settings():
        figure, (above, below) = stacked(2, each=2.6)
        end = 1.08 * max(drives)
        above.plot([0, end], [0, g * end], color=SOFT, linestyle=(0, (6, 2.5)), linewidth=1.5, label=f"light pulley, no drag, g = {g:g}")
        for k, fit in enumerate(shown):
            above.plot(drives, fit.predicted, linestyle="none", marker="x", markersize=8, color=CURVES[1 + k], label=f"fitted: {fit.name}")
        above.errorbar(drives, measured, yerr=sigmas, fmt="o", markersize=4.5, color=INK, markerfacecolor="white", capsize=3, label="measured")
        _dress(above, "acceleration, m/s²")
        below.axhline(0, color=SOFT, linewidth=0.9)
        ideal = [(r.a - float(theory(r.m1, r.m2, g))) / r.sigma for r in runs.runs]
        below.plot(drives, ideal, linestyle="none", marker="s", markersize=5, color=SOFT, markerfacecolor="none", label="from the light pulley without drag")
        for k, fit in enumerate(shown):
            off = _off(runs.runs, fit)
            below.errorbar(drives, off, yerr=[1.0] * len(off), fmt="x", color=CURVES[1 + k], capsize=3, label=f"from the fit: {fit.name}")
        _dress(below, "measured − model,\nin uncertainties")
        below.set_xlabel("(m₂ − m₁) / (m₁ + m₂)", fontsize=SMALL)
        below.set_xlim(0, end)
    return Drawing(figure, f"Accelerations of {runs.name} with error bars", _runs_text(runs, shown, g))


def draw_motion(motion: Motion) -> Drawing:
    """Above: positions over time with the fitted parabola. Below: the residuals with the scatter as error bars."""
    t, x = motion.positions.t, motion.positions.x
    with own_settings():
        figure, (above, below) = stacked(2, each=2.4)
        steps = [t[0] + (t[-1] - t[0]) * k / 100 for k in range(101)]
        above.plot(steps, [motion.x0[0] + motion.v0[0] * s + motion.a[0] * s * s / 2 for s in steps], color=CURVES[1], linewidth=1.5, label="fitted")
        above.errorbar(t, x, yerr=motion.scatter, fmt="o", markersize=4, color=INK, markerfacecolor="white", capsize=2, label="measured")
        _dress(above, "position, m")
        below.axhline(0, color=SOFT, linewidth=0.9)
        below.errorbar(t, [1000 * r for r in motion.residuals], yerr=1000 * motion.scatter, fmt="o", markersize=4, color=INK, markerfacecolor="white", capsize=2)
        below.set_ylabel("measured − fitted, mm", fontsize=SMALL)
        below.set_xlabel("time, s", fontsize=SMALL)
    rows = "; ".join(f"{s:.3f} s: {p:.4f} m, {1000 * r:+.1f} mm from the fit" for s, p, r in zip(t, x, motion.residuals, strict=True))
    return Drawing(figure, f"Positions of {motion.positions.name} over time", f"The fitted a is {plus_minus(*motion.a, 'm/s²')}. Time, position and distance from the fit: {rows}.")


def _dress(axes: Axes, label: str) -> None:
    axes.set_ylabel(label, fontsize=SMALL)
    axes.margins(y=0.12)
    axes.legend(fontsize=SMALL - 1, frameon=False)


def _off(runs: Sequence[Run], fit: Fit) -> list[float]:
    return [(r.a - p) / r.sigma for r, p in zip(runs, fit.predicted, strict=True)]


def _runs_text(runs: Runs, shown: Sequence[Fit], g: float) -> str:
    parts = []
    offs: list[Any] = [_off(runs.runs, fit) for fit in shown]
    for k, r in enumerate(runs.runs):
        ideal = float(theory(r.m1, r.m2, g))
        more = "".join(f", {off[k]:+.1f} uncertainties from the fit ({fit.name})" for fit, off in zip(shown, offs, strict=True))
        parts.append(f"m1 {r.m1:g} kg, m2 {r.m2:g} kg: {plus_minus(r.a, r.sigma, 'm/s²')}; light pulley without drag: {ideal:.3g} m/s²{more}")
    return "Measured accelerations. " + ". ".join(parts) + "."
