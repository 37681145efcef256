"""How much a side may become when it is multiplied out: bounds that are worked out before anything is."""

from __future__ import annotations

from .complaints import complain
from .tree import Name, Node, Number, Power, Product, Root, Sum, Trig

MAX_TERMS = 400
MAX_DEGREE = 16


def check_size(node: Node) -> None:
    """Refuse what would multiply out to too many terms or too high a degree (before anything is multiplied out)."""
    terms, degree = _size(node)
    if terms > MAX_TERMS or degree > MAX_DEGREE:
        raise complain("too-big", node.at)


def _size(node: Node) -> tuple[int, int]:
    """Bounds of the number of terms and of the degree."""
    if isinstance(node, Number):
        return 1, 0
    if isinstance(node, Name):
        return 1, 1
    if isinstance(node, Product):
        terms, degree = 1, 0
        for _, factor in node.factors:
            t, d = _size(factor)
            terms, degree = min(terms * t, 10**6), degree + d
        return terms, degree
    if isinstance(node, Sum):
        sizes = [_size(n) for _, n in node.terms]
        return sum(t for t, _ in sizes), max(d for _, d in sizes)
    if isinstance(node, Power):
        t, d = _size(node.base)
        return (t**node.exponent if t > 1 else 1), d * node.exponent
    if isinstance(node, Root):
        return 1, _size(node.inner)[1]
    if isinstance(node, Trig):
        _size(node.argument)
        return 1, 1
    return _size(node.inner)
