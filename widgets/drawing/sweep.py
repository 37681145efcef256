"""How results depend on one datum: the scene solved anew for many of its values, and where it begins to behave in another way.

No matplotlib here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ...autograde.errors import PluswayError, UsageError
from ...autograde.mechanics import derive
from ...autograde.mechanics.agreeing import agreeing_directions
from ...autograde.mechanics.setup import Setup
from ...autograde.scene.data import with_data
from ...autograde.scene.model import Scene, Symbol
from ...autograde.scene.words import DIRECTION_LABELS, thing_name

POINTS = 61


@dataclass(frozen=True)
class Stretch:
    """Values of the datum from `low` to `high` (equal: one value alone) for which the scene behaves as `says`."""

    low: float
    high: float
    says: str


@dataclass(frozen=True)
class Sweep:
    """datum: its symbol; at: the values that were tried, in the datum's own unit, rising; curves: {symbol: one value for each of
    them, NaN where there is none}; units: {symbol: unit}; here: the scene's own value; limits: {symbol: (its value for a datum
    near 0, its value for a very large datum)}, for masses only."""

    datum: Symbol
    at: tuple[float, ...]
    curves: Mapping[str, tuple[float, ...]]
    units: Mapping[str, str]
    stretches: tuple[Stretch, ...]
    here: float
    limits: Mapping[str, tuple[float | None, float | None]]


def sweep(scene: Scene, datum: str, low: float | None = None, high: float | None = None, positive: Mapping[str, str] | None = None) -> Sweep:
    """Solve a scene for about sixty values of one of its data, from low to high in the unit of the scene file.

    positive: left out, each thing's own way of moving with the given data is positive. UsageError: no such datum; a range that is
    none. Values that the scene can't have (a kinetic coefficient above the static one) are gaps.
    """
    symbol = scene.symbols.get(datum)
    if symbol is None or symbol.given is None:
        given = ", ".join(s.name for s in scene.symbols.values() if s.given is not None)
        raise UsageError(f"{datum}: is no datum of {scene.name}; there is {given}")
    here = float(Fraction(symbol.given.text.replace(",", ".")))
    first, last = _range(symbol, here, low, high)
    solver = _Solver(scene, symbol, positive if positive is not None else agreeing_directions(scene))
    tried = sorted({float(f"{first + (last - first) * k / (POINTS - 1):.6g}") for k in range(POINTS)} | set(_telling(scene, symbol, here, first, last)))
    setups = [solver.at(x) for x in tried]
    names = _wanted(scene, setups)
    stretches, edges = _stretches(solver, tried, setups)
    samples: list[tuple[float, Setup | None]] = list(zip(tried, setups, strict=True))
    for low_side, high_side in edges:  # a jump is a jump, not a steep line
        samples += [(low_side, solver.at(low_side)), ((low_side + high_side) / 2, None), (high_side, solver.at(high_side))]
    samples.sort(key=lambda pair: pair[0])
    at = tuple(x for x, _ in samples)
    curves = {n: tuple(_value(s, n) for _, s in samples) for n in names}
    units = {n: scene.symbols[n].unit if n in scene.symbols else "m/s^2" for n in names}
    return Sweep(symbol, at, curves, units, stretches, here, _limits(solver, symbol, here, names))


def _value(setup: Setup | None, name: str) -> float:
    if setup is None or name not in setup.values or name in setup.undetermined:
        return math.nan
    return float(setup.values[name])


def _range(symbol: Symbol, here: float, low: float | None, high: float | None) -> tuple[float, float]:
    usual = {"angle": (1.0, 89.0), "force_angle": (-60.0, 80.0), "mu_k": (0.0, 1.0), "mu_s": (0.0, 1.2), "gravity": (1.6, 25.0)}.get(
        symbol.kind, (here / 10, here * 3)
    )
    first, last = low if low is not None else usual[0], high if high is not None else usual[1]
    if not (math.isfinite(first) and math.isfinite(last) and first < last):
        raise UsageError(f"{symbol.name} from {first:g} to {last:g}: give a smaller value first and a larger one after it")
    return first, last


def _telling(scene: Scene, symbol: Symbol, here: float, first: float, last: float) -> Iterable[float]:
    """Values at which something may happen: the scene's own, and where two masses or two angles are equal."""
    yield from [here] if first <= here <= last else []
    for other in scene.symbols.values():
        if other.kind == symbol.kind and other.name != symbol.name and other.given is not None and symbol.given is not None:
            same = float(other.given.value * Fraction(symbol.given.text.replace(",", ".")) / symbol.given.value) if symbol.given.value else float(other.given.value)
            if first <= same <= last:
                yield float(f"{same:.9g}")


def _unasked(scene: Scene) -> Scene:
    """The scene without its questions: with other data some may have no answer."""
    return replace(scene, asked=(), distance=None)


def _wanted(scene: Scene, setups: Sequence[Setup | None]) -> list[str]:
    """The accelerations (one letter where it does for all values tried), then the forces of ropes and contacts."""
    some = [s for s in setups if s is not None]
    known = {n for s in some for n in s.values}
    shared = scene.symbol_of("shared_acceleration", None) or "a"
    free = [n for n in (scene.symbol_of("acceleration", b) for b, body in scene.bodies.items() if body.acceleration is None) if n in known and n]
    moving = [s for s in some if s.regime.moves]
    one = shared in known and all(s.shared for s in moving) and all(shared in s.values for s in some)
    forces = [s.name for s in scene.symbols.values() if s.kind in ("tension", "contact")]
    return [*([shared] if one or not free else free), *(n for n in forces if n in known)] if some else []


class _Solver:
    def __init__(self, scene: Scene, symbol: Symbol, positive: Mapping[str, str]) -> None:
        self.scene, self.symbol, self.positive = scene, symbol, positive

    def at(self, value: float) -> Setup | None:
        """The scene with this value, or None where it has no solution."""
        assert self.symbol.given is not None
        number = f"{value:.10f}".rstrip("0").rstrip(".")
        if self.scene.decimal_comma:
            number = number.replace(".", ",")
        try:
            return derive(_unasked(with_data(self.scene, {self.symbol.name: f"{number} {self.symbol.given.unit}".strip()})), self.positive)
        except PluswayError:
            return None


def _behaviour(setup: Setup | None) -> tuple[object, ...]:
    if setup is None:
        return ()
    r = setup.regime
    return tuple(tuple(sorted((k, str(v)) for k, v in part.items())) for part in (r.direction, {k: v[0] for k, v in r.friction.items()}, r.taut, r.touching))


def _stretches(solver: _Solver, tried: list[float], setups: list[Setup | None]) -> tuple[tuple[Stretch, ...], list[tuple[float, float]]]:
    """The values of the datum from one change of behaviour to the next; a change is looked for between two values tried."""
    out: list[Stretch] = []
    edges: list[tuple[float, float]] = []
    start = 0
    low = tried[0]
    for i in range(1, len(tried) + 1):
        if i < len(tried) and _behaviour(setups[i]) == _behaviour(setups[start]):
            continue
        alone = start == i - 1 and 0 < start < len(tried) - 1
        last = i == len(tried)
        single_next = not last and (i + 1 >= len(tried) or _behaviour(setups[i + 1]) != _behaviour(setups[i]))
        if alone:
            low = high = tried[start]
        elif last:
            high = tried[-1]
        elif single_next and i + 1 < len(tried):
            high = tried[i]
        else:
            edges.append(_change(solver, tried[i - 1], tried[i], setups[i - 1]))
            high = sum(edges[-1]) / 2
        out.append(Stretch(low, high, _says(setups[start])))
        start, low = i, high
    return tuple(out), edges


def _change(solver: _Solver, low: float, high: float, before: Setup | None) -> tuple[float, float]:
    """Where the behaviour changes: the values close to either side, by halving."""
    same = _behaviour(before)
    for _ in range(14):
        middle = (low + high) / 2
        if _behaviour(solver.at(middle)) == same:
            low = middle
        else:
            high = middle
    return low, high


def _says(setup: Setup | None) -> str:
    """What the scene does, in a few words."""
    if setup is None:
        return "the scene has no such value, or no single answer"
    moving = {t: w for t, w in setup.regime.direction.items() if w and t in setup.scene.bodies and setup.scene.bodies[t].acceleration is None}
    if not moving:
        moving = {t: w for t, w in setup.regime.direction.items() if w}
    still = [t for t in setup.scene.bodies if t not in moving and setup.scene.bodies[t].acceleration is None]
    parts = [f"{thing_name(t)} {DIRECTION_LABELS[w]}" for t, w in moving.items()]
    if not moving:
        parts = ["everything stays at rest"]
    elif still:
        parts += [f"{thing_name(t)} at rest" for t in still]
    parts += [f"{s} {'holds' if state == 'holds' else 'is kinetic friction'}" for s, (state, _) in setup.regime.friction.items() if state != "none"]
    parts += [f"rope {s} is slack" for s, taut in setup.regime.taut.items() if not taut]
    parts += [f"{s} is 0: no contact" for s, on in setup.regime.touching.items() if not on]
    return ", ".join(parts)


def _limits(solver: _Solver, symbol: Symbol, here: float, names: list[str]) -> dict[str, tuple[float | None, float | None]]:
    if symbol.kind != "mass" or not here:
        return {}
    ends = [solver.at(here * factor) for factor in (1e-5, 1e5)]
    out: dict[str, tuple[float | None, float | None]] = {}
    for n in names:
        if solver.scene.symbols.get(n) is not None and solver.scene.symbols[n].kind in ("tension", "contact"):
            continue
        near, far = (float(s.values[n]) if s is not None and n in s.values else None for s in ends)
        out[n] = (near, far)
    return out


