"""Writes lines as a student might: true equations rearranged, and equations with slips, made without the judge's own operators.

A slip here is made on the terms of the scene's equation (which force, which sign, which law), so that finding it again is a test
of the judge and not of the way in which the line was made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations

from marked_lines import scene_named

from plusway.autograde.algebra import Poly
from plusway.autograde.mechanics import derive
from plusway.autograde.mechanics.setup import Setup
from plusway.lessons.catalogue import names

ONE = Poly.const(1)


@cache
def setup_of(scene: str, directions: tuple[tuple[str, str], ...]) -> Setup:
    return derive(scene_named(scene), dict(directions))


def first_directions(scene: str) -> tuple[tuple[str, str], ...]:
    """Positive directions along the motion where there is one."""
    s = scene_named(scene)
    free = derive(s)
    return tuple((t, free.regime.direction.get(t) or s.directions(t)[0]) for t in s.things)


def all_equations() -> list[tuple[str, str]]:
    """Every shipped scene with every thing that has an equation."""
    return [(n, t) for n in names() for t in setup_of(n, first_directions(n)).equations]


# writing -------------------------------------------------------------------------------------------------------------


def plain(setup: Setup, poly: Poly) -> Poly:
    """Every law put in: data and unknowns only."""
    for _ in range(12):
        hit = {s: setup.laws[s] for s in poly.symbols if s in setup.laws}
        if not hit:
            return poly
        poly = poly.substitute(hit)
    raise AssertionError("laws that go round in a circle")


def pieces(setup: Setup, thing: str) -> list[Poly]:
    """The signed forces and, last, minus the inertia: they add up to zero."""
    equation = setup.equations[thing]
    return [*(t.poly for t in equation.terms), -equation.inertia]


def figure(x: float, figures: int) -> str:
    """A number to so many significant figures, never in powers of ten."""
    text = f"{x:.{figures}g}"
    return text if "e" not in text else f"{float(text):.10f}".rstrip("0").rstrip(".")


def _letters(monomial: tuple[tuple[str, int], ...]) -> str:
    def order(part: tuple[str, int]) -> tuple[bool, bool, str]:
        return (
            part[0].startswith("a") and not part[0].startswith("alpha"),
            part[0].startswith(("sin", "cos")),
            part[0],
        )

    return " ".join(f"{s}^{e}" if e > 1 else s for s, e in sorted(monomial, key=order))


def in_letters(poly: Poly) -> str:
    """A polynomial as a student writes it, data as letters."""
    out = ""
    for m, c in poly.terms.items():
        size, letters = abs(c), _letters(m)
        number = "" if size == 1 and letters else str(size.numerator)
        text = " ".join(x for x in (number, letters) if x) + ("" if size.denominator == 1 else f"/{size.denominator}")
        out += f"{' - ' if c < 0 else ' + '}{text}" if out else f"{'-' if c < 0 else ''}{text}"
    return out or "0"


def figures_of(setup: Setup, poly: Poly) -> dict[tuple[tuple[str, int], ...], float]:
    """The coefficient of every monomial in unknowns, data put in, laws put in."""
    open_symbols = {
        "T",
        *setup.unknowns,
        *(s.name for s in setup.scene.symbols.values() if s.kind in ("acceleration", "alpha")),
    }
    total: dict[tuple[tuple[str, int], ...], Fraction] = {}
    for m, c in plain(setup, poly).terms.items():
        kept = tuple((s, e) for s, e in m if s in open_symbols and s not in setup.given)
        for s, e in m:
            if (s, e) not in kept:
                c = c * Fraction(setup.given[s]) ** e
        total[kept] = total.get(kept, Fraction(0)) + c
    return {m: float(c) for m, c in total.items() if c}


def in_figures(setup: Setup, poly: Poly, figures: int = 3) -> str:
    """A polynomial with the data put in and every number worked out to so many figures."""
    out = ""
    for m, x in sorted(figures_of(setup, poly).items(), key=lambda item: item[0] == ()):
        letters = _letters(m)
        number = figure(abs(x), figures)
        text = letters if number == "1" and letters else f"{number} {letters}".strip()
        out += f"{' - ' if x < 0 else ' + '}{text}" if out else f"{'-' if x < 0 else ''}{text}"
    return out or "0"


# slips ---------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Made:
    """One slip made on purpose: its kind, which pieces it changes, the pieces after it."""

    kind: str
    touched: frozenset[int]
    pieces: tuple[Poly, ...]

    @property
    def poly(self) -> Poly:
        return Poly.sum(self.pieces)


def _symbols(setup: Setup, kind: str) -> list[str]:
    return [s.name for s in setup.scene.symbols.values() if s.kind == kind]


def _put(poly: Poly, pairs: Mapping[str, Poly]) -> Poly:
    return poly.substitute(dict(pairs))


def single_slips(setup: Setup, thing: str) -> list[Made]:
    """One slip of each kind wherever it can be made in a thing's equation."""
    true = tuple(plain(setup, p) for p in pieces(setup, thing))
    made = []
    for kind, n, new in _changes(setup, thing, true):
        if n < len(true) and new != true[n]:
            made.append(Made(kind, frozenset({n}), (*true[:n], new, *true[n + 1 :])))
        elif n == len(true) and new:
            made.append(Made(kind, frozenset({n}), (*true, new)))
    return made


def _changes(setup: Setup, thing: str, true: tuple[Poly, ...]) -> Iterator[tuple[str, int, Poly]]:
    equation = setup.equations[thing]
    scene = setup.scene
    last = len(true) - 1
    body = thing in scene.bodies
    mass = scene.symbol_of("mass", thing) if body else None
    if true[last]:
        yield "flipped-inertia", last, -true[last]
    for n, term in enumerate(equation.terms):
        p = true[n]
        rubs = term.kind in ("friction", "rolling", "drag")
        yield "flipped-friction" if rubs else "flipped-force", n, -p
        yield "missing-force", n, Poly()
        if term.kind == "weight":
            yield "mass-for-weight", n, _put(p, {"g": ONE})
            yield "whole-weight", n, _put(p, {s: ONE for s in p.symbols if s.startswith("sin(")})
        if term.kind == "friction" and setup.regime.friction[term.symbol][0] == "slides":
            yield "mass-for-weight", n, _put(p, {"g": ONE})
            yield "whole-weight", n, _put(p, {s: ONE for s in p.symbols if s.startswith("cos(")})
            for s in [s for s in p.symbols if s.startswith("mu_k") and "mu_s" + s[4:] in scene.symbols]:
                yield "static-kinetic", n, _put(p, {s: Poly.symbol("mu_s" + s[4:])})
        swap = {
            s: Poly.symbol(("cos" if s.startswith("sin") else "sin") + s[3:])
            for s in p.symbols
            if s.startswith(("sin(", "cos("))
        }
        yield "sine-cosine", n, _put(p, swap)
        if term.kind == "tension" and not body:
            yield (
                "radius",
                n,
                _put(p, dict.fromkeys([*_symbols(setup, "radius"), *_symbols(setup, "strand_radius")], ONE)),
            )
        if term.kind == "tension" and any(len({x.thing for x in r.pulls}) < len(r.pulls) for r in scene.ropes):
            yield (
                "strand-count",
                n,
                Poly({m: c * (2 if term.strands == 1 else Fraction(1, 2)) for m, c in p.terms.items()}),
            )
        if term.kind == "tension":
            for wheel in [w for w in scene.wheels if w in setup.equations]:
                sides = {t.symbol for t in setup.equations[wheel].terms if t.kind == "tension"}
                for other in sides - {term.symbol} if term.symbol in sides else ():
                    yield "one-tension", n, _put(p, {term.symbol: Poly.symbol(other)})
    if body and mass and true[last]:
        others = [
            m for m in _symbols(setup, "mass") if m != mass and scene.bodies[scene.symbols[m].thing or ""].mass.value
        ]
        yield "weight-for-mass", last, true[last] * Poly.symbol("g")
        for other in others:
            yield "other-body", last, _put(true[last], {mass: Poly.symbol(other)})
        for n, term in enumerate(equation.terms):
            if term.kind == "weight" and others:
                yield "total-mass", n, _put(true[n], {mass: Poly.sum(Poly.symbol(s) for s in (mass, *others))})
                for other in others:
                    yield "total-mass", n, _put(true[n], {mass: Poly.symbol(mass) + Poly.symbol(other)})
                    yield "other-body", n, _put(true[n], {mass: Poly.symbol(other)})
        if others:
            yield "total-mass", last, _put(true[last], {mass: Poly.sum(Poly.symbol(s) for s in (mass, *others))})
        for other in others:
            for sign in (1, -1):
                yield "extra-force", last + 1, Poly.symbol(other) * Poly.symbol("g") * sign


def double_slips(made: list[Made], true: tuple[Poly, ...]) -> Iterator[tuple[Made, Made, Poly]]:
    """Two slips in different pieces of one equation."""
    for a, b in combinations(made, 2):
        if not a.touched & b.touched:
            changed = [*true, Poly()]
            for m in (a, b):
                (n,) = m.touched
                changed[n] = m.pieces[n]
            yield a, b, Poly.sum(changed)
