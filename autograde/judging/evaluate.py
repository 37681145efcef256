"""A student's tree, tried on a ground: as a form in the unknowns, or as a plain number where every unknown has a value."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from ..reading.tree import Group, Name, Node, Number, Power, Product, Root, Sum, Trig, parts_of
from .boxes import Box
from .forms import CONST, ZERO, Form, Ratio, TooLarge

Look = Callable[[str], Form]

ALL_ZEROS = 18  # longer than any number that reads
GRAVITIES = (Fraction(98, 10), Fraction(981, 100), Fraction(10), Fraction(980665, 100000))
"""Values of g in use, in m/s^2: textbooks, data books, rough working; the last is conventional, ISO 80000-3 (standard acceleration of free fall)."""
FEWEST_FIGURES = 2  # of a value that is given as a result
SMALL_INTEGER = 4  # an integer up to this one that multiplies something counts strands or halves; it is exact


class Unjudgeable(ValueError):
    """The line reads, but has no meaning here (a quotient by zero, a sine of a force); `says` tells which."""

    def __init__(self, says: str) -> None:
        super().__init__(says)
        self.says = says


@dataclass(frozen=True)
class Figures:
    """How the figures of a line are taken.

    data: the numbers given in the scene, exact wherever they are met. widen: how many half units of the last figure a worked-out
    number that stands alone may be off (what multiplies keeps its own half unit). loose: how many zeros at the end of a whole number ("3450") may be mere place-holders. instead: numbers (by place) that are tried with another value. masses: whole numbers that are exact where
    they multiply, for they come of the scene's masses without any rounding: 15 for 4 + 6 + 5.
    """

    data: frozenset[Fraction]
    widen: float = 1.0
    loose: int = 0
    instead: Mapping[tuple[int, int], float] | None = None
    masses: frozenset[Fraction] = frozenset()

    def box(self, n: Number, counts: bool) -> Box:
        """The box of a number; `counts` where it multiplies something, so that a small integer is a count."""
        if self.instead and n.at in self.instead:
            return Box.exact(self.instead[n.at])
        if self.is_exact(n, counts):
            return Box.exact(n.value)
        half = float(n.half) * _placeholders(n.text, self.loose)
        return Box.around(n.value, half * (1.0 if counts else self.widen))

    def gravity(self, n: Number) -> Box:
        """The box of a number that is one of the usual values of g: 6.5*10 says g = 10, not some g that rounds to 10."""
        return Box.exact((self.instead or {}).get(n.at, float(n.value)))

    def is_exact(self, n: Number, counts: bool) -> bool:
        if n.half == 0 or n.value == 0 or n.value in self.data:
            return True
        if counts and n.value in self.masses and n.text.isdigit():
            return True
        return counts and not n.unit and n.value.denominator == 1 and abs(n.value) <= SMALL_INTEGER and n.text.isdigit()


def _placeholders(text: str, most: int) -> float:
    """10 to the number of zeros at the end of a whole number of at least three figures: 3450 may be 3447 to three figures."""
    if not text.isdigit() or len(text) < 3:
        return 1.0
    zeros = len(text) - len(text.rstrip("0"))
    return 10.0 ** min(zeros, len(text) - 2, most)


def evaluate(node: Node, look: Look, figures: Figures) -> Ratio:
    """The tree as numerator over denominator in the unknowns.

    look: symbol -> form; KeyError where there is no such symbol. Raises Unjudgeable.
    """
    try:
        return _Evaluator(look, figures).visit(node, counts=False)
    except ZeroDivisionError:
        raise Unjudgeable("This divides by zero.") from None
    except TooLarge:
        raise Unjudgeable("This multiplies out to too many terms; write it in smaller steps.") from None


@dataclass(frozen=True)
class _Evaluator:
    look: Look
    figures: Figures

    def visit(self, node: Node, counts: bool) -> Ratio:
        if isinstance(node, Number):
            return Ratio.number(self.figures.box(node, counts))
        if isinstance(node, Name):
            try:
                return Ratio.of(self.look(node.name))
            except KeyError:
                raise Unjudgeable(f"“{node.text}” has no single meaning in this scene.") from None
        if isinstance(node, Group):
            return self.visit(node.inner, counts)
        if isinstance(node, Sum):
            total: Ratio | None = None
            for sign, term in node.terms:
                part = self.visit(term, counts and len(node.terms) == 1)
                part = part if sign > 0 else -part
                total = part if total is None else total + part
            assert total is not None
            return total
        if isinstance(node, Product):
            return self.product(node)
        if isinstance(node, Power):
            base = self.visit(node.base, counts)
            out = base
            for _ in range(node.exponent - 1):
                out = out * base
            return out
        if isinstance(node, Root):
            return self.root(node)
        return self.trig(node)

    def product(self, node: Product) -> Ratio:
        total: Ratio | None = None
        weighs = len(node.factors) > 1 and not any(_is_acceleration(f) for _, f in node.factors)
        for how, factor in node.factors:
            if weighs and isinstance(factor, Number) and factor.value in GRAVITIES:
                part = Ratio.number(self.figures.gravity(factor))
            else:
                part = self.visit(factor, counts=len(node.factors) > 1)
            if total is None:
                total = part
            elif how == "/":
                total = total / part
            else:
                total = total * part
        assert total is not None
        return total

    def root(self, node: Root) -> Ratio:
        """The square root of a number; of an unknown there is none as a form."""
        under = self.visit(node.inner, counts=False)
        value = under.num.get(CONST, ZERO) / under.den[CONST] if set(under.num) <= {CONST} and set(under.den) == {CONST} else None
        if value is None:
            raise Unjudgeable("What stands under the root is not known yet; square both sides instead.")
        if value.hi < 0:
            raise Unjudgeable("What stands under the root is negative, and no number has a negative square: look at the signs in it.")
        return Ratio.number(Box(math.sqrt(max(0.0, value.lo)), math.sqrt(value.hi)))

    def trig(self, node: Trig) -> Ratio:
        angle = _angle(node.argument)
        if angle is None:
            raise Unjudgeable(f"{node.function} needs an angle: a number of degrees or the scene's own angle.")
        multiple, name, offset = angle
        if name is None:
            return Ratio.number(Box.exact(_of_degrees(node.function, float(offset))))
        try:
            sine, cosine = self._box(f"sin({name})"), self._box(f"cos({name})")
        except KeyError:
            raise Unjudgeable(f"“{name}” is not an angle here.") from None
        s0, c0 = _of_degrees("sin", float(offset)), _of_degrees("cos", float(offset))
        sin = Box.exact(sine.mid * multiple * c0 + cosine.mid * s0)
        cos = Box.exact(cosine.mid * c0 - sine.mid * multiple * s0)
        if node.function == "tan":
            return Ratio.number(sin / cos)
        return Ratio.number(sin if node.function == "sin" else cos)

    def _box(self, atom: str) -> Box:
        return self.look(atom)[CONST]


def _is_acceleration(node: Node) -> bool:
    return isinstance(node, Name) and (node.name in ("a", "alpha") or node.name.startswith(("a_", "alpha_")))


def _of_degrees(function: str, degrees: float) -> float:
    exact = {
        ("sin", 30): 0.5,
        ("cos", 60): 0.5,
        ("sin", 0): 0.0,
        ("cos", 90): 0.0,
        ("sin", 90): 1.0,
        ("cos", 0): 1.0,
        ("sin", 180): 0.0,
    }
    hit = exact.get((function, int(degrees))) if degrees == int(degrees) else None
    if hit is not None:
        return hit
    x = math.radians(degrees)
    if function == "tan":
        return math.tan(x)
    return math.sin(x) if function == "sin" else math.cos(x)


def _angle(node: Node) -> tuple[int, str | None, Fraction] | None:
    """An angle as (+1 or -1) * name + degrees, or None where it is no angle."""
    if isinstance(node, Group):
        return _angle(node.inner)
    if isinstance(node, Number):
        return None if node.unit not in ("", "deg", "°") else (1, None, node.value)
    if isinstance(node, Name):
        return (1, node.name, Fraction(0))
    if isinstance(node, Sum):
        multiple, name, offset = 1, None, Fraction(0)
        for sign, term in node.terms:
            part = _angle(term)
            if part is None or (part[1] is not None and name is not None):
                return None
            if part[1] is not None:
                multiple, name = sign * part[0], part[1]
            offset += sign * part[2]
        return (multiple, name, offset)
    return None


def numbers_in(node: Node, counts: bool = False) -> list[tuple[Number, bool]]:
    """Every number in the tree (but not those inside a sine), with whether it multiplies something."""
    if isinstance(node, Number):
        return [(node, counts)]
    if isinstance(node, Group):
        return numbers_in(node.inner, counts)
    if isinstance(node, Sum):
        return [x for _, t in node.terms for x in numbers_in(t, counts and len(node.terms) == 1)]
    if isinstance(node, Product):
        return [x for _, f in node.factors for x in numbers_in(f, len(node.factors) > 1)]
    if isinstance(node, Power):
        return numbers_in(node.base, counts)
    if isinstance(node, Root):
        return numbers_in(node.inner)
    return []


def names_in(node: Node) -> set[str]:
    """The canonical names of all symbols in the tree."""
    return {node.name} if isinstance(node, Name) else {name for part in parts_of(node) for name in names_in(part)}


def significant(n: Number) -> int:
    """Significant figures as written."""
    digits = n.text.lower().split("e")[0].replace(".", "").replace(",", "").lstrip("0")
    if n.text.isdigit() and len(digits) > 2:
        digits = digits.rstrip("0")
        return max(2, len(digits))
    return len([c for c in digits if c.isdigit()]) or 1


def has_trig_of_number(node: Node) -> bool:
    """Whether a sine or cosine of a plain number of degrees occurs: such a line belongs to the actual ground only."""
    return not names_in(node.argument) if isinstance(node, Trig) else any(has_trig_of_number(part) for part in parts_of(node))
