"""Sparse polynomials over the rationals in named symbols: all the algebra that mechanics and judging share.

A monomial is a sorted tuple of (symbol, exponent). Trigonometric atoms are symbols too: "sin(theta)", "cos(theta)".

>>> m, g, T = Poly.symbol("m_1"), Poly.symbol("g"), Poly.symbol("T")
>>> str(T - m * g)
'T - g*m_1'
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction

Monomial = tuple[tuple[str, int], ...]
Number = int | Fraction
Values = Mapping[str, Fraction]


class Poly:
    """An immutable polynomial; `terms` maps a monomial to its non-zero coefficient."""

    __slots__ = ("terms",)

    def __init__(self, terms: Mapping[Monomial, Fraction] | None = None) -> None:
        self.terms: dict[Monomial, Fraction] = {m: c for m, c in (terms or {}).items() if c}

    @classmethod
    def symbol(cls, name: str) -> Poly:
        """The polynomial that is one letter."""
        return cls({((name, 1),): Fraction(1)})

    @classmethod
    def const(cls, value: Number) -> Poly:
        """The polynomial that is one number."""
        return cls({(): Fraction(value)})

    @classmethod
    def sum(cls, items: Iterable[Poly]) -> Poly:
        """The sum of any number of polynomials."""
        total: dict[Monomial, Fraction] = {}
        for item in items:
            for m, c in item.terms.items():
                total[m] = total.get(m, Fraction(0)) + c
        return cls(total)

    def __add__(self, other: Poly | Number) -> Poly:
        return Poly.sum((self, _poly(other)))

    def __sub__(self, other: Poly | Number) -> Poly:
        return Poly.sum((self, -_poly(other)))

    def __neg__(self) -> Poly:
        return Poly({m: -c for m, c in self.terms.items()})

    def __mul__(self, other: Poly | Number) -> Poly:
        other = _poly(other)
        total: dict[Monomial, Fraction] = {}
        for m1, c1 in self.terms.items():
            for m2, c2 in other.terms.items():
                m = _join(m1, m2)
                total[m] = total.get(m, Fraction(0)) + c1 * c2
        return Poly(total)

    __radd__ = __add__
    __rmul__ = __mul__

    def __rsub__(self, other: Number) -> Poly:
        return _poly(other) - self

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Poly) and self.terms == other.terms

    def __hash__(self) -> int:
        return hash(frozenset(self.terms.items()))

    def __bool__(self) -> bool:
        return bool(self.terms)

    def __repr__(self) -> str:
        return f"Poly({self})"

    def __str__(self) -> str:
        if not self.terms:
            return "0"
        out = ""
        for m, c in sorted(self.terms.items(), key=lambda t: t[0]):
            body = "*".join(s if e == 1 else f"{s}^{e}" for s, e in m)
            size = abs(c)
            text = body if body and size == 1 else f"{size}*{body}" if body else f"{size}"
            out += (" - " if c < 0 else " + ") + text if out else ("-" if c < 0 else "") + text
        return out

    @property
    def symbols(self) -> frozenset[str]:
        """The letters that occur."""
        return frozenset(s for m in self.terms for s, _ in m)

    def linear_in(self, unknowns: Iterable[str]) -> tuple[dict[str, Poly], Poly]:
        """Split into {unknown: coefficient} and the rest; ValueError where a term is not linear in the unknowns."""
        names = set(unknowns)
        parts: dict[str, dict[Monomial, Fraction]] = {}
        rest: dict[Monomial, Fraction] = {}
        for m, c in self.terms.items():
            hit = [(s, e) for s, e in m if s in names]
            if not hit:
                rest[m] = c
            elif len(hit) == 1 and hit[0][1] == 1:
                name = hit[0][0]
                parts.setdefault(name, {})[tuple(x for x in m if x[0] != name)] = c
            else:
                raise ValueError(f"not linear: {hit}")
        return {s: Poly(p) for s, p in parts.items()}, Poly(rest)

    def at(self, values: Values) -> Fraction:
        """The exact value where every symbol has one; KeyError names one that has none."""
        total = Fraction(0)
        for m, c in self.terms.items():
            for s, e in m:
                c = c * values[s] ** e
            total += c
        return total

    def substitute(self, replacements: Mapping[str, Poly]) -> Poly:
        """Replace symbols by polynomials, all at once."""
        if not self.symbols & replacements.keys():
            return self
        total = []
        for m, c in self.terms.items():
            term = Poly.const(c)
            for s, e in m:
                factor = replacements.get(s)
                if factor is None:
                    term = term * Poly({((s, e),): Fraction(1)})
                else:
                    for _ in range(e):
                        term = term * factor
            total.append(term)
        return Poly.sum(total)

    def map(self, change: Callable[[str], str]) -> Poly:
        """Rename symbols."""
        return self.substitute({s: Poly.symbol(change(s)) for s in self.symbols})


def _poly(x: Poly | Number) -> Poly:
    return x if isinstance(x, Poly) else Poly.const(x)


def _join(a: Monomial, b: Monomial) -> Monomial:
    if not a or not b:
        return a or b
    powers = dict(a)
    for s, e in b:
        powers[s] = powers.get(s, 0) + e
    return tuple(sorted(powers.items()))
