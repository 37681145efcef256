"""A thing's equation taken apart: one piece per force and one for the inertia, with the scene's laws put in.

Operators change pieces; a `Variant` is what one slip would make of the true equation.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..algebra import Poly
from ..mechanics.setup import Setup, Term
from ..scene.notation import class_letter

INERTIA = "inertia"


@dataclass(frozen=True)
class Piece:
    """symbol: the force's symbol, or "inertia". poly: signed, on the side of the forces (so inertia has a minus), in data
    and unknowns only. term: the term of the equation, None for the inertia."""

    symbol: str
    poly: Poly
    term: Term | None = None

    @property
    def whole(self) -> Poly | None:
        """An outside force that pulls at an angle, taken whole and not by its part along the line; None for any other piece."""
        flat = {s: Poly.const(1) for s in self.poly.symbols if s.startswith("cos(")}
        return self.poly.substitute(flat) if self.kind == "outside" and flat else None

    @property
    def kind(self) -> str:
        return self.term.kind if self.term else INERTIA


@dataclass(frozen=True)
class Variant:
    """What slips of `kinds` would make of the true equation: sum of pieces + delta = 0.

    touched: which pieces it changes (so that two variants can be put together where they touch different ones); -1 an added one.
    parts: the single slips of a pair, empty for a single one.
    words: fields for the message of each kind.
    """

    kinds: tuple[str, ...]
    term: str | None
    delta: Poly
    touched: frozenset[int]
    words: Mapping[str, str] = field(default_factory=dict)
    tag: str = ""
    parts: tuple[Variant, ...] = ()


def put_laws(setup: Setup, poly: Poly) -> Poly:
    """Replace every symbol that has a law (W, sliding f, N, I from a shape) by it, through all levels."""
    for _ in range(12):
        hit = {s: setup.laws[s] for s in poly.symbols if s in setup.laws}
        if not hit:
            return poly
        poly = poly.substitute(hit)
    return poly


def pieces_of(setup: Setup, thing: str) -> tuple[Piece, ...]:
    """The true equation of a thing, piece by piece."""
    equation = setup.equations[thing]
    out = [Piece(t.symbol, put_laws(setup, t.poly), t) for t in equation.terms]
    out.append(Piece(INERTIA, -put_laws(setup, equation.inertia)))
    return tuple(out)


_FORCE_WORDS = {
    "weight": "the weight",
    "tension": "the tension",
    "contact": "the push",
    "friction": "the friction",
    "rolling": "the rolling friction",
    "outside": "the force",
    "drag": "the bearing's drag",
    "normal": "the normal force",
}


def say_force(setup: Setup, symbol: str) -> str:
    """A force as said in a sentence: "the tension T"."""
    known = setup.scene.symbols.get(symbol)
    return f"{_FORCE_WORDS.get(known.kind, 'the force')} {class_letter(setup.scene, symbol)}" if known else symbol
