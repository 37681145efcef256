"""A datum copied wrong: the line would hold if one number, wherever it stands, were the one that the problem gives."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from ..reading.tree import Group, Line, Node, Number, Power, Product, Root, Sum, Trig, parts_of
from ..scene.model import Symbol
from ..scene.notation import class_letter
from .arithmetic import likely
from .context import Context
from .evaluate import GRAVITIES
from .says import slip
from .verdicts import Slip

MOST_TRIED = 6


def misread(line: Line, context: Context, holds: Callable[[Line], bool]) -> Slip | None:
    """The slip of a number that stands for a datum of the scene and is another; None where no single datum explains the line.

    holds: whether a line holds; it is asked of the line with the datum put in.
    """
    data = [s for s in context.scene.symbols.values() if s.given is not None and s.kind != "gravity"]
    tried: set[tuple[Fraction, bool]] = set()
    for number, angle in (x for side in line.sides for x in _numbers(side)):
        key = (number.value, angle)
        if key in tried or number.value in context.data or number.value in GRAVITIES or len(tried) >= MOST_TRIED:
            continue
        tried.add(key)
        for symbol in data:
            given = symbol.given
            is_angle = symbol.kind in ("angle", "force_angle")
            if given is None or is_angle != angle or not (angle or likely(number, float(given.value))):
                continue
            for value in (given.value, -given.value) if angle else (given.value,):
                if holds(replace(line, sides=tuple(_with(side, number.value, value, angle) for side in line.sides))):
                    return _said(context, number, symbol, angle)
    return None


def _said(context: Context, number: Number, symbol: Symbol, angle: bool) -> Slip:
    given = symbol.given
    assert given is not None
    letter = class_letter(context.scene, symbol.name)
    text, unit = (given.text.lstrip("-"), "°") if angle else (given.text, f" {given.unit}" if given.unit not in ("", "1") else "")
    wrote = f"{number.text}°" if angle else number.text
    found = slip("arithmetic", {"wrote": wrote}, number.at, number.text)
    says = f"{wrote} is no number of this problem: it gives {letter} = {text}{unit}. The rest of the line is as it should be."
    return replace(found, says=says, why="A number that is copied wrong goes through all that follows.", how=f"Write {text}{unit.strip() if angle else ''} in its place.")


def _numbers(node: Node, angle: bool = False) -> Iterator[tuple[Number, bool]]:
    """Every number of a tree, and whether it is an angle."""
    if isinstance(node, Number):
        yield node, angle
    for part in parts_of(node):
        yield from _numbers(part, angle or isinstance(node, Trig))


def _with(node: Node, old: Fraction, new: Fraction, angle: bool, within: bool = False) -> Node:
    """The tree with one number in the place of another; angle: only within a sine or cosine, or only outside of them."""
    if isinstance(node, Number):
        return replace(node, value=new, half=Fraction(0)) if node.value == old and within == angle else node
    if isinstance(node, Sum):
        return replace(node, terms=tuple((s, _with(t, old, new, angle, within)) for s, t in node.terms))
    if isinstance(node, Product):
        return replace(node, factors=tuple((h, _with(f, old, new, angle, within)) for h, f in node.factors))
    if isinstance(node, Power):
        return replace(node, base=_with(node.base, old, new, angle, within))
    if isinstance(node, Trig):
        return replace(node, argument=_with(node.argument, old, new, angle, True))
    if isinstance(node, (Group, Root)):
        return replace(node, inner=_with(node.inner, old, new, angle, within))
    return node
