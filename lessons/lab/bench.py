"""What the lab's notebook calls: each function gives a table or a plot, and a mistake in the data is one line of words, not an exception.

Numbers stay at hand: `Measured.runs`, `Fitted.fits`, `Fell.motion`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

from ...autograde.errors import PluswayError
from ...widgets.drawing import Drawing
from . import fit as fitting
from . import plan as planning
from .errors import LabError
from .figures import draw_motion, draw_runs
from .runs import RULER, TIMING, Runs, read_positions, read_runs
from .words import Page, picture_html, plus_minus

P = ParamSpec("P")
R = TypeVar("R")


class Measured(Page):
    """The runs as read, with the acceleration of each."""

    def __init__(self, runs: Runs) -> None:
        self.runs = runs
        rows = [[f"{r.m1:g}", f"{r.m2:g}", f"{r.d:g}", str(len(r.times)), plus_minus(r.t, r.t_sigma), plus_minus(r.a, r.sigma)] for r in runs.runs]
        heads = ("m1 in kg", "m2 in kg", "d in m", "repeats", "mean t in s", "a = 2d/t² in m/s²")
        super().__init__(f"Measured: {runs.name}", heads, rows, [f"Note: {r}." for r in runs.remarks])


class Fitted(Page):
    """Every model fitted to the runs, and what that says. `drawing` is the plot."""

    def __init__(self, runs: Runs, g: float) -> None:
        self.fits = fitting.fit_machine(runs, g)
        self.best = fitting.best(self.fits)
        self.drawing: Drawing = draw_runs(runs, self.fits, g)
        super().__init__(f"Models fitted to {runs.name}", ("model", "fitted", "χ²", "degrees of freedom", "fits?"), [_row(f) for f in self.fits], list(_says(self.best, self.fits, g)))

    def _repr_html_(self) -> str:
        return super()._repr_html_() + picture_html(self.drawing.svg, f"{self.drawing.title}. {self.drawing.text}")


class Fell(Page):
    """The acceleration from positions over time. `drawing` is the plot."""

    def __init__(self, motion: fitting.Motion) -> None:
        self.motion, self.drawing = motion, draw_motion(motion)
        rows = [["a", plus_minus(*motion.a, "m/s²")], ["speed at t = 0", plus_minus(*motion.v0, "m/s")], ["scatter of one position", f"{1000 * motion.scatter:.2g} mm"]]
        super().__init__(f"Fitted to {motion.positions.name}", ("quantity", "value"), rows, [f"Note: {r}." for r in motion.positions.remarks])

    def _repr_html_(self) -> str:
        return super()._repr_html_() + picture_html(self.drawing.svg, f"{self.drawing.title}. {self.drawing.text}")


def said(function: Callable[P, R]) -> Callable[P, R | Page]:
    """Make a function tell what is wrong with its data in place of raising it: a notebook's reader gets words, not a traceback."""

    @wraps(function)
    def told(*args: P.args, **kwargs: P.kwargs) -> R | Page:
        try:
            return function(*args, **kwargs)
        except PluswayError as error:
            return Page(str(error), (), ())

    return told


@said
def plan(pairs: Sequence[tuple[float, float]], distance: float, g: float = 9.8, timing: float = TIMING, ruler: float = RULER) -> Page:
    """What to expect of each pair of masses (m1, m2) in kg over a fall of `distance` in m, and how well `a` can be measured."""
    rows = [
        [f"{e.m1:g}", f"{e.m2:g}", f"{e.a:.3g}", f"{e.t:.3g}", f"{e.v:.3g}", f"{100 * e.relative:.1f} %", e.warns]
        for e in planning.plan(pairs, distance, g, timing, ruler)
    ]
    heads = ("m1 in kg", "m2 in kg", "a in m/s²", "time in s", "landing at m/s", "uncertainty of a", "take care")
    return Page(f"The ideal machine, falling {distance:g} m from rest, g = {g:g} m/s²", heads, rows, [f"Take care. {planning.CAUTION}"])


@said
def measured(source: str | Path, timing: float = TIMING, ruler: float = RULER) -> Measured:
    """Runs from a CSV file, from a table typed as text, or from "invented-runs"; timing and ruler are uncertainties in s and in m."""
    return Measured(read_runs(source, timing, ruler))


@said
def fitted(data: Any, g: float = 9.8) -> Fitted:
    """Fit g, the pulley's inertia and its drag to what `measured` gave; g is taken as known where it is not fitted."""
    if isinstance(data, Page) and not isinstance(data, Measured):
        raise LabError(f"there is nothing to fit yet: {data.caption}")
    return Fitted(data.runs if isinstance(data, Measured) else data, g)


@said
def fell(source: str | Path) -> Fell:
    """The acceleration from a photogate's positions over time: a CSV file with t and x, text, or "invented-photogate"."""
    return Fell(fitting.fit_motion(read_positions(source)))


def _row(fit: fitting.Fit) -> list[str]:
    if fit.trouble:
        return [fit.name, fit.trouble, "", "", "can't be told"]
    values = ", ".join(f"{symbol} = {plus_minus(*pair, fitting.UNITS[symbol])}" for symbol, pair in fit.values.items())
    return [fit.name, values, f"{fit.chi2:.1f}", str(fit.dof), "yes" if fit.fits else "no"]


def _says(best: fitting.Fit | None, fits: Sequence[fitting.Fit], g: float) -> list[str]:
    if best is None:
        return [
            "None of these models fits: the measurements lie further from each than their uncertainties allow. Look for a run that is off, for "
            "an uncertainty that was taken too small, or for something that no model here has in it (a swinging load, a rope that slips)."
        ]
    out = [f"The simplest model that fits is: {best.name}."]
    for symbol, (value, sigma) in best.values.items():
        if symbol == "g":
            away = abs(value - g) / sigma if sigma else 0.0
            out.append(f"It gives g = {plus_minus(value, sigma, 'm/s²')}, {away:.1f} uncertainties from {g:g} m/s².")
        elif symbol == "J":
            out.append(f"The pulley acts like {plus_minus(value, sigma, 'kg')} at the rim; its moment of inertia is that times R².")
        else:
            out.append(f"The bearing's drag acts like {plus_minus(value, sigma, 'N')} at the rim; its torque is that times R.")
        if symbol != "g" and value < -2 * sigma:
            out.append("It came out negative, which no pulley can be: check the masses (hangers included) and the distance.")
    free = next((f for f in fits if set(f.values) == {"g", "J", "f"}), None)
    if free is not None and "g" not in best.values:
        out.append(f"With g left free as well it comes out as {plus_minus(*free.values['g'], 'm/s²')}.")
    return out
