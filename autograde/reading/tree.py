"""What the reader makes of a student's line: frozen nodes that keep the student's own order, figures and places.

Places count characters of the text as typed: `at = (first included, last not)`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

Place = tuple[int, int]


@dataclass(frozen=True)
class Number:
    """A number as typed. value: exact, in SI after its unit (500 g -> 1/2 with unit "kg"); text: the figures as typed
    ("63.7", "1.2e3", "½"); half: half a unit in the last figure, in the same scale as value (0 where exact: ½, 1/2);
    unit: the coherent SI unit text ("N", "kg", "m/s^2") or "" where none was written; unit_text as typed.
    """

    value: Fraction
    text: str
    half: Fraction
    unit: str
    unit_text: str
    at: Place


@dataclass(frozen=True)
class Name:
    """A symbol of the scene: canonical `name` ("m_1", "T", "theta"), and the text as typed ("m₁")."""

    name: str
    text: str
    at: Place


@dataclass(frozen=True)
class Sum:
    """terms: (sign, node) with sign +1 or -1, in the student's order; at least one. A leading minus is a Sum of one term.
    Each term's place *with its sign* is in `spots`.
    """

    terms: tuple[tuple[int, Node], ...]
    spots: tuple[Place, ...]
    at: Place


@dataclass(frozen=True)
class Product:
    """factors: (how, node) with how one of "*" (written times), "" (side by side), "/" (divided by); left to right."""

    factors: tuple[tuple[str, Node], ...]
    at: Place


@dataclass(frozen=True)
class Power:
    base: Node
    exponent: int  # 1..4
    at: Place


@dataclass(frozen=True)
class Trig:
    function: str  # sin, cos, tan
    argument: Node
    at: Place


@dataclass(frozen=True)
class Root:
    """A square root: of what stands under it, without the parentheses that held it together."""

    inner: Node
    at: Place


@dataclass(frozen=True)
class Group:
    """A parenthesis that the student wrote and that stays visible."""

    inner: Node
    at: Place


Node = Number | Name | Sum | Product | Power | Root | Trig | Group


def parts_of(node: Node) -> tuple[Node, ...]:
    """What a node is made of, in the student's order; () of a number and of a letter."""
    if isinstance(node, Sum):
        return tuple(term for _, term in node.terms)
    if isinstance(node, Product):
        return tuple(factor for _, factor in node.factors)
    if isinstance(node, Power):
        return (node.base,)
    if isinstance(node, Trig):
        return (node.argument,)
    return (node.inner,) if isinstance(node, (Root, Group)) else ()


@dataclass(frozen=True)
class Line:
    """sides joined by relations ("=", "<", ">", "<=", ">=", "≈", "!="); len(sides) == len(relations) + 1.

    condition: the line before "=>" in a limiting case ("m_1 = m_2 => a = 0"), else None.
    label: a trailing "(2)", note: a trailing word in parentheses such as "(up)".
    """

    sides: tuple[Node, ...]
    relations: tuple[str, ...]
    text: str
    condition: Line | None = None
    label: str = ""
    note: str = ""


@dataclass(frozen=True)
class Reading:
    """All the ways in which the text can be meant (more than one only where it is truly ambiguous, likeliest first), and
    remarks that are no complaint ("a/2g was read from left to right")."""

    lines: tuple[Line, ...]
    remarks: tuple[str, ...] = ()
