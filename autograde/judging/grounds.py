"""Grounds: places where a line is tried. A ground gives every datum of the scene a value, and so every unknown its solution.

The *actual* ground has the scene's own data; the *generic* ones have other data, drawn once, exact, with the same regime. A line
in symbols must hold on all of them (two polynomials that agree at random rational points are the same); a line with the scene's
figures in it can only be held against the actual one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from ..algebra import Poly
from ..mechanics import solve_at
from ..mechanics.setup import Setup, Tie
from .forms import CONST, Key

FLOAT_ZERO = 1e-12


@dataclass(frozen=True)
class Ground:
    """One assignment of data, what it makes of the unknowns, and how accelerations depend on each other there."""

    setup: Setup
    given: Mapping[str, Fraction]
    values: Mapping[str, Fraction]
    actual: bool
    _cache: dict[str, dict[Key, float]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def numbers(self) -> dict[str, float]:
        """Every datum and every value as floats; data first."""
        out = {k: float(v) for k, v in self.values.items()}
        out.update({k: float(v) for k, v in self.given.items()})
        return out

    @cached_property
    def accelerations(self) -> dict[str, dict[Key, float]]:
        """Each acceleration as a form in the independent ones (the ties used up); held things have none."""
        return _independent(self)

    @cached_property
    def tied(self) -> dict[str, dict[Key, float]]:
        """Each acceleration in the independent ones by the ties alone, given accelerations and rest left aside."""
        return _eliminate(self.setup, self.given, list(acceleration_symbols(self.setup)), {})

    def form_of(self, symbol: str) -> dict[Key, float]:
        """A symbol as a form in the reduced unknowns, its law put in; KeyError where the scene has no such symbol."""
        hit = self._cache.get(symbol)
        if hit is None:
            hit = self._cache[symbol] = self._form_of(symbol)
        return hit

    def _form_of(self, symbol: str) -> dict[Key, float]:
        if symbol in self.accelerations:
            return self.accelerations[symbol]
        law = self.setup.laws.get(symbol)
        if law is not None:
            return self.form(law)
        if symbol in self.setup.unknowns:
            return {(symbol,): 1.0}
        if symbol in self.given:
            return {CONST: float(self.given[symbol])}
        if symbol in self.values:
            return {CONST: float(self.values[symbol])}
        if symbol == "T":
            return {("T",): 1.0}  # one letter for several tensions: an unknown that the scene does not have
        raise KeyError(symbol)

    def form(self, poly: Poly) -> dict[Key, float]:
        """A polynomial as a form in the reduced unknowns."""
        total: dict[Key, float] = {}
        for monomial, c in poly.terms.items():
            part: dict[Key, float] = {CONST: float(c)}
            for s, e in monomial:
                factor = self.form_of(s)
                for _ in range(e):
                    part = _times(part, factor)
            for k, x in part.items():
                total[k] = total.get(k, 0.0) + x
        return total


def _times(a: dict[Key, float], b: dict[Key, float]) -> dict[Key, float]:
    out: dict[Key, float] = {}
    for ka, ca in a.items():
        for kb, cb in b.items():
            k = tuple(sorted(ka + kb)) if ka and kb else ka or kb
            out[k] = out.get(k, 0.0) + ca * cb
    return out


def acceleration_symbols(setup: Setup) -> tuple[str, ...]:
    """Every acceleration and angular acceleration of the scene's things, in the order of the file."""
    return tuple(s.name for s in setup.scene.symbols.values() if s.kind in ("acceleration", "alpha"))


def _independent(ground: Ground) -> dict[str, dict[Key, float]]:
    """Eliminate accelerations by the ties: all but the independent ones become forms in those (at rest too: zero is their value)."""
    setup = ground.setup
    names = list(acceleration_symbols(setup))
    known: dict[str, float] = {}
    for thing, body in setup.scene.bodies.items():
        name = setup.scene.symbol_of("acceleration", thing)
        if name and body.acceleration is not None:
            known[name] = float(ground.given.get(name, ground.values.get(name, Fraction(0))))
    return _eliminate(setup, ground.given, names, known)


def ties_motions(tie: Tie, accelerations: Iterable[str]) -> bool:
    """Whether a tie joins two motions; that something stays at rest (a_1 = 0) is a result, not a tie."""
    return tie.kind != "rest" or len(tie.poly.symbols & set(accelerations)) > 1


def _eliminate(
    setup: Setup, given: Mapping[str, Fraction], names: list[str], known: Mapping[str, float]
) -> dict[str, dict[Key, float]]:
    rows: list[dict[str, float]] = []
    data = {k: v for k, v in given.items() if k not in names}
    for tie in setup.ties:
        if not ties_motions(tie, names):
            continue
        parts, rest = tie.poly.linear_in(names)
        row = {n: float(c.at(data)) for n, c in parts.items()}
        row[""] = float(rest.at(data)) if rest else 0.0  # "" is the constant
        rows.append(row)
    for n, x in known.items():
        rows.append({n: 1.0, "": -x})
    solved: dict[str, dict[str, float]] = {}
    for row in rows:
        current = dict(row)
        for n in list(current):
            if n in solved:
                c = current.pop(n)
                for k, x in solved[n].items():
                    current[k] = current.get(k, 0.0) + c * x
        candidates = [n for n in names if abs(current.get(n, 0.0)) > FLOAT_ZERO]
        if not candidates:
            continue
        pivot = candidates[-1]
        c = current.pop(pivot)
        expression = {k: -x / c for k, x in current.items() if abs(x) > FLOAT_ZERO}
        for other in solved.values():
            if pivot in other:
                factor = other.pop(pivot)
                for k, x in expression.items():
                    other[k] = other.get(k, 0.0) + factor * x
        solved[pivot] = expression
    return {n: ({(k,) if k else CONST: x for k, x in solved[n].items()} if n in solved else {(n,): 1.0}) for n in names}


def _draw(label: str, low: int, high: int, parts: int) -> Fraction:
    """A rational between low and high, always the same for the same label (no generator whose stream may change)."""
    number = int.from_bytes(hashlib.sha256(label.encode()).digest()[:6], "big")
    return low + Fraction(number % ((high - low) * parts), parts)


def generic_data(setup: Setup, number: int) -> dict[str, Fraction]:
    """Other data for the same letters: exact rationals; sine and cosine on the unit circle."""
    out: dict[str, Fraction] = {}
    for name, value in setup.given.items():
        if "(" in name or name == "":
            continue
        if value == 0:
            out[name] = Fraction(0)  # a massless movable pulley stays massless
            continue
        drawn = _draw(f"{number}/{name}", 2, 9, 97)
        if name.startswith("mu"):
            drawn = drawn / 20
        out[name] = -drawn if value < 0 else drawn
    for name in setup.given:
        if name.startswith(("sin(", "cos(")):
            argument = name[4:-1]
            half = _draw(f"{number}/{argument}", 2, 8, 89) / 16
            out[f"sin({argument})"] = 2 * half / (1 + half * half)
            out[f"cos({argument})"] = (1 - half * half) / (1 + half * half)
    return out


def grounds(setup: Setup, generic: int = 2) -> tuple[Ground, ...]:
    """The actual ground first, then the generic ones that the scene allows."""
    out = [Ground(setup, setup.given, setup.values, actual=True)]
    for number in range(generic):
        data = generic_data(setup, number)
        try:
            values = solve_at(setup, data)
        except (ZeroDivisionError, ValueError, KeyError):
            continue
        if setup.covered is not None:  # not reached with these data: a time and a speed that fit nothing
            values.setdefault(setup.covered.time, Fraction(7, 3))
            values.setdefault(setup.covered.speed, Fraction(5, 7))
        out.append(Ground(setup, data, values, actual=False))
    return tuple(out)
