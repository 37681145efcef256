"""Dimensions: whether the two sides of a comparison are the same kind of quantity."""

from __future__ import annotations

import itertools
import re
from collections import Counter

from ..reading.tree import Group, Line, Name, Node, Number, Power, Product, Root, Sum, Trig
from .context import Context
from .lines import Meaning, resolve, spots

Dimension = tuple[int, int, int]  # exponents of kg, m, s
NONE: Dimension = (0, 0, 0)
_BASE: dict[str, Dimension] = {
    "kg": (1, 0, 0),
    "m": (0, 1, 0),
    "s": (0, 0, 1),
    "N": (1, 1, -2),
    "J": (1, 2, -2),
    "rad": NONE,
    "deg": NONE,
    "1": NONE,
    "": NONE,
    "W": (1, 2, -3),
    "Hz": (0, 0, -1),
}
_ATOM = re.compile(r"([A-Za-z1]+)(?:\^(-?\d+))?")


def dimension_of_unit(unit: str) -> Dimension | None:
    """Exponents of kg, m, s of a coherent unit text such as "kg m^2" or "m/s^2"; None where it is not known.

    >>> dimension_of_unit("N m")
    (1, 2, -2)
    """
    total = [0, 0, 0]
    sign = 1
    for part in re.split(r"([/ ])", unit):
        if part == "/":
            sign = -1
            continue
        if part in ("", " "):
            continue
        m = _ATOM.fullmatch(part)
        if m is None or m[1] not in _BASE:
            return None
        power = int(m[2] or 1) * sign
        total = [t + power * b for t, b in zip(total, _BASE[m[1]], strict=True)]
    return (total[0], total[1], total[2])


def dimension(node: Node, context: Context, meaning: Meaning) -> Dimension | None:
    """The dimension of a node; None where it can't be told (a number without a unit may be anything)."""
    if isinstance(node, Number):
        return dimension_of_unit(node.unit) if node.unit else None
    if isinstance(node, Name):
        try:
            return dimension_of_unit(context.scene.symbols[resolve(node.name, context, meaning)[1]].unit)
        except KeyError:
            return dimension_of_unit("N") if node.name == "T" else None
    if isinstance(node, Group):
        return dimension(node.inner, context, meaning)
    if isinstance(node, Sum):
        known = [d for _, t in node.terms if (d := dimension(t, context, meaning)) is not None]
        return known[0] if known else None
    if isinstance(node, Trig):
        return NONE
    if isinstance(node, Root):
        under = dimension(node.inner, context, meaning)
        return None if under is None or any(x % 2 for x in under) else (under[0] // 2, under[1] // 2, under[2] // 2)
    if isinstance(node, Power):
        base = dimension(node.base, context, meaning)
        return None if base is None else (base[0] * node.exponent, base[1] * node.exponent, base[2] * node.exponent)
    return _product(node, context, meaning)


def _product(node: Product, context: Context, meaning: Meaning) -> Dimension | None:
    total = [0, 0, 0]
    for how, factor in node.factors:
        d = dimension(factor, context, meaning)
        if d is None:
            if (
                isinstance(factor, Number)
                and len(node.factors) > 1
                and factor.value.denominator == 1
                and abs(factor.value) <= 4
            ):
                continue
            return None
        sign = -1 if how == "/" else 1
        total = [t + sign * x for t, x in zip(total, d, strict=True)]
    return (total[0], total[1], total[2])


FORCE: Dimension = (1, 1, -2)
ACCELERATION: Dimension = (0, 1, -2)
TORQUE: Dimension = (1, 2, -2)
WORDS = {
    FORCE: "a force",
    ACCELERATION: "an acceleration",
    (1, 0, 0): "a mass",
    (0, 1, 0): "a length",
    (0, 0, 1): "a time",
    (0, 1, -1): "a speed",
    TORQUE: "a torque",
    (0, 0, -2): "an angular acceleration",
    NONE: "a plain number",
}


def dimension_clash(line: Line, context: Context, meaning: Meaning) -> str:
    """A sentence where two neighbouring sides are different kinds of quantity, else ""."""
    sides = [dimension(s, context, meaning) for s in line.sides]
    for a, b in itertools.pairwise(sides):
        if a is not None and b is not None and a != b:
            return f"This compares {WORDS.get(a, 'one kind of quantity')} with {WORDS.get(b, 'another kind of quantity')}; only like can be compared with like."
    return ""


def unlike_terms(line: Line, context: Context, meaning: Meaning) -> tuple[str, str] | None:
    """What is said and advised where two terms of a line are different kinds of quantity, else None: the rarer one and one of the others.
    Numbers without a unit may be anything."""
    told = [(line.text[s.at[0] : s.at[1]].strip().lstrip("+-−– ").strip(), d) for s in spots(line) if s.depth == 0 and (d := dimension(s.node, context, meaning))]
    often = Counter(d for _, d in told).most_common()
    if len(often) < 2:
        return None
    odd = next((text, d) for text, d in told if d == often[-1][0])
    like = next((text, d) for text, d in told if d == often[0][0])
    if (odd[1], like[1]) == (ACCELERATION, FORCE) or (like[1], odd[1]) == (ACCELERATION, FORCE):
        bare = odd[0] if odd[1] == ACCELERATION else like[0]
        return f"“{bare}” is an acceleration where a force belongs: its mass is missing.", f"Multiply “{bare}” by the mass of the body that it belongs to."
    (a, x), (b, y) = odd, like
    part = f" For the part of {a[:-1].rstrip('_')} along the line write it times the sine or the cosine of the angle." if x == TORQUE and a[-1:] in "xy" and len(a) < 4 else ""
    says = f"“{a}” is {WORDS.get(x, 'one kind of quantity')}, “{b}” is {WORDS.get(y, 'another kind of quantity')}; only like can be added and compared."
    return says, f"Every term of this equation is {WORDS.get(y, 'of one kind')}.{part}"
