"""Fitting: the acceleration from positions over time, and g, the pulley's inertia and its drag from runs. SciPy does the fitting.

    a = ((m2 - m1) g - f) / (m1 + m2 + J),   J = I / R^2 in kg,   f = tau_f / R in N

J is the mass at the rim that would be as hard to set moving as the pulley; f is the bearing's drag as a force at the rim.
The fit minimises chi^2, the sum of ((measured - model) / uncertainty)^2.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .errors import LabError
from .runs import Positions, Run, Runs

UNITS = {"g": "m/s²", "J": "kg", "f": "N", "a": "m/s²", "x0": "m", "v0": "m/s"}
TOGETHER = 0.999
"""Two quantities whose estimates are correlated like this can't be told apart by the runs."""


@dataclass(frozen=True)
class Fit:
    """A model fitted to runs. values: {symbol: (value, standard uncertainty)}, those that were fitted; chi2 over dof degrees of freedom;
    predicted: the model's a for each run. trouble: why it could not be fitted ("" where it was)."""

    name: str
    values: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    chi2: float = math.nan
    dof: int = 0
    predicted: tuple[float, ...] = ()
    trouble: str = ""

    @property
    def fits(self) -> bool:
        """Whether chi^2 is what chance would give: not above its mean by more than two of its standard deviations."""
        return not self.trouble and self.chi2 <= self.dof + 2 * math.sqrt(2 * self.dof)


@dataclass(frozen=True)
class Motion:
    """x = x0 + v0 t + a t^2 / 2 fitted to positions: a, v0, x0 with uncertainties, residuals in m, the scatter of one position in m."""

    positions: Positions
    a: tuple[float, float]
    v0: tuple[float, float]
    x0: tuple[float, float]
    residuals: tuple[float, ...]
    scatter: float


MODELS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("light pulley, no drag: g alone", ("g",)),
    ("the pulley's inertia", ("J",)),
    ("the bearing's drag", ("f",)),
    ("inertia and drag", ("J", "f")),
    ("g, inertia and drag together", ("g", "J", "f")),
)


def theory(m1: Any, m2: Any, g: Any, J: Any = 0.0, f: Any = 0.0) -> Any:
    """a in m/s^2 of the machine while it runs; numbers or arrays."""
    return ((m2 - m1) * g - f) / (m1 + m2 + J)


def fit_motion(positions: Positions) -> Motion:
    """The acceleration from positions over time. The scatter of the positions themselves gives the uncertainty.

    LabError for fewer than five positions, or where the fit fails.
    """
    if len(positions.t) < 5:
        raise LabError(f"{positions.name}: {len(positions.t)} positions; at least 5 are needed to find an acceleration and its uncertainty")

    def model(t: Any, x0: Any, v0: Any, a: Any) -> Any:
        return x0 + v0 * t + a * t * t / 2

    values, sigmas, _ = _curve_fit(model, list(positions.t), positions.x, None, (positions.x[0], 0.0, 1.0))
    fitted = [model(t, *values) for t in positions.t]
    residuals = tuple(float(x - m) for x, m in zip(positions.x, fitted, strict=True))
    scatter = math.sqrt(sum(r * r for r in residuals) / (len(residuals) - 3))
    x0, v0, a = zip(values, sigmas, strict=True)
    return Motion(positions, a, v0, x0, residuals, scatter)


def fit_machine(runs: Runs, g: float = 9.8) -> tuple[Fit, ...]:
    """Every model of MODELS, simplest first, fitted to the runs; g is the value taken where a model does not fit it.

    A model that these runs can't settle has a `trouble` that says what to measure. LabError for fewer than two runs.
    """
    if len(runs.runs) < 2:
        raise LabError(f"{runs.name}: {len(runs.runs)} pair of masses; at least two different ones are needed for a fit")
    return tuple(_fit(name, free, runs.runs, g) for name, free in MODELS)


def best(fits: Sequence[Fit]) -> Fit | None:
    """The simplest model that fits, None where none does: a better chi^2 alone is no reason for one more quantity."""
    return next((f for f in fits if f.fits), None)


def _fit(name: str, free: tuple[str, ...], runs: Sequence[Run], g: float) -> Fit:
    dof = len(runs) - len(free)
    if dof < 1:
        return Fit(name, trouble=f"needs at least {len(free) + 1} different pairs of masses")
    start = {"g": g, "J": 0.01, "f": 0.01}

    def model(masses: Any, *values: Any) -> Any:
        given = {"g": g, **dict(zip(free, values, strict=True))}
        return theory(masses[0], masses[1], **given)

    masses = [[r.m1 for r in runs], [r.m2 for r in runs]]
    try:
        values, sigmas, correlation = _curve_fit(model, masses, [r.a for r in runs], [r.sigma for r in runs], tuple(start[s] for s in free))
    except LabError as error:
        return Fit(name, trouble=str(error))
    if correlation > TOGETHER or any(not math.isfinite(s) for s in sigmas):
        return Fit(name, trouble="these runs can't tell them apart: measure with other total masses too, not only with other differences")
    predicted = tuple(float(model((r.m1, r.m2), *values)) for r in runs)
    chi2 = sum(((r.a - p) / r.sigma) ** 2 for r, p in zip(runs, predicted, strict=True))
    return Fit(name, dict(zip(free, zip(values, sigmas, strict=True), strict=True)), chi2, dof, predicted)


def _curve_fit(
    model: Callable[..., Any], x: Any, y: Sequence[float], sigma: Sequence[float] | None, start: Sequence[float]
) -> tuple[list[float], list[float], float]:
    """Values, standard uncertainties, and the largest correlation (absolute) between two of them."""
    try:
        from scipy.optimize import OptimizeWarning, curve_fit
    except ImportError:
        raise LabError("the lab needs SciPy for its fits; install it with: pip install 'plusway[lab]'") from None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", OptimizeWarning)
            found, spread = curve_fit(model, x, list(y), p0=list(start), sigma=None if sigma is None else list(sigma), absolute_sigma=sigma is not None)
    except (RuntimeError, ValueError, OptimizeWarning) as error:
        raise LabError(f"no fit was found ({error})") from None
    values, sigmas = [float(v) for v in found], [math.sqrt(float(spread[k][k])) for k in range(len(found))]
    pairs = [abs(float(spread[i][j])) / (sigmas[i] * sigmas[j]) for i in range(len(values)) for j in range(i) if sigmas[i] and sigmas[j]]
    return values, sigmas, max(pairs, default=0.0)
