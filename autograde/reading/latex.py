"""A tree -> LaTeX, for printed sheets; every letter comes from the scene, so nothing needs escaping but remarks."""

from __future__ import annotations

import re

from .greek import GREEK
from .letters import letter_and_subscript, split_number
from .signs import VULGAR
from .tree import Group, Line, Name, Node, Number, Power, Product, Root, Sum, Trig
from .units import plain_unit

_RELATIONS = {
    "=": "=", "<": "<", ">": ">", "<=": r"\le", ">=": r"\ge", "≈": r"\approx", "!=": r"\ne", "<<": r"\ll", ">>": r"\gg",
}  # fmt: skip

_LOWERED = str.maketrans("¹²³⁴⁻−", "1234--")
_VULGAR = {k: rf"\tfrac{{{v.numerator}}}{{{v.denominator}}}" for k, v in VULGAR.items()}


def to_latex(what: Line | Node) -> str:
    """LaTeX of a line or of a node, without dollar signs."""
    if not isinstance(what, Line):
        return _node(what)
    out = _node(what.sides[0])
    for relation, side in zip(what.relations, what.sides[1:], strict=True):
        out += f" {_RELATIONS[relation]} {_node(side)}"
    if what.condition is not None:
        out = rf"{to_latex(what.condition)} \Rightarrow {out}"
    if what.note:
        out += rf" \quad (\text{{{_words(what.note)}}})"
    return rf"{out} \qquad (\text{{{_words(what.label)}}})" if what.label else out


def _words(text: str) -> str:
    return "".join(c for c in text if c.isalnum() or c in " '-")


def _node(node: Node) -> str:
    if isinstance(node, Number):
        return _number(node)
    if isinstance(node, Name):
        head, _, subs = letter_and_subscript(node.name)
        letter = "\\" + head if head in GREEK else head
        below = ",".join(s if len(s) == 1 or s.isdigit() else rf"\text{{{s}}}" for s in subs)
        return f"{letter}_{{{below}}}" if below else letter
    if isinstance(node, Sum):
        sign, first = node.terms[0]
        out = ("-" if sign < 0 else "") + _node(first)
        return out + "".join((" - " if s < 0 else " + ") + _node(t) for s, t in node.terms[1:])
    if isinstance(node, Product):
        return _product(node)
    if isinstance(node, Power):
        if isinstance(node.base, Trig):
            return rf"\{node.base.function}^{{{node.exponent}}}{_argument(node.base.argument)}"
        return f"{_node(node.base)}^{{{node.exponent}}}"
    if isinstance(node, Root):
        return rf"\sqrt{{{_node(node.inner)}}}"
    if isinstance(node, Trig):
        return rf"\{node.function}{_argument(node.argument)}"
    return rf"\left({_node(node.inner)}\right)"


def _product(node: Product) -> str:
    out = ""
    only: Node | None = None
    for i, (how, factor) in enumerate(node.factors):
        if how == "/":
            top = _node(only.inner) if i == 1 and isinstance(only, Group) else out
            out = rf"\frac{{{top}}}{{{_node(factor.inner if isinstance(factor, Group) else factor)}}}"
        else:
            out += ((r" \cdot " if how else r"\,") if out else "") + _node(factor)
        only = factor
    return out


def _argument(node: Node) -> str:
    return f" {_node(node)}" if isinstance(node, (Name, Number)) else rf"\left({_node(node)}\right)"


def _number(node: Number) -> str:
    figures, ten = split_number(node.text)
    out = figures.replace(",", "{,}")
    for sign, fraction in _VULGAR.items():
        out = out.replace(sign, fraction)
    if ten is not None:
        out += rf" \times 10^{{{ten}}}"
    if node.unit == "deg":
        return out + r"^\circ"
    return rf"{out}\,\mathrm{{{_unit(node.unit_text)}}}" if node.unit_text else out


def _unit(text: str) -> str:
    text = plain_unit(text).replace("**", "^").translate(_LOWERED)
    text = re.sub(r"\^?(-?\d)", r"^{\1}", text)
    return text.replace(" ", r"\,").replace("·", r"\cdot ").replace("*", r"\cdot ")
