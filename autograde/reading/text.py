"""A tree -> plain text that reads back to the same tree: the scene's own names, the student's order and figures."""

from __future__ import annotations

from .tree import Group, Line, Name, Node, Number, Power, Product, Root, Sum, Trig


def to_text(what: Line | Node) -> str:
    """Plain text of a line or of a node: "T - m_1 g = m_1 a"."""
    if isinstance(what, Line):
        out = node_text(what.sides[0])
        for relation, side in zip(what.relations, what.sides[1:], strict=True):
            out += f" {relation} {node_text(side)}"
        if what.condition is not None:
            out = f"{to_text(what.condition)} => {out}"
        if what.note:
            out += f" ({what.note})"
        return f"{out}  ({what.label})" if what.label else out
    return node_text(what)


def node_text(node: Node) -> str:
    if isinstance(node, Number):
        return f"{node.text} {node.unit_text}" if node.unit_text else node.text
    if isinstance(node, Name):
        return node.name
    if isinstance(node, Sum):
        return _sum(node)
    if isinstance(node, Product):
        return _product(node)
    if isinstance(node, Power):
        return f"{node_text(node.base)}^{node.exponent}"
    if isinstance(node, Root):
        return f"sqrt({node_text(node.inner)})"
    if isinstance(node, Trig):
        return f"{node.function}({node_text(node.argument)})"
    return f"({node_text(node.inner)})"


def _sum(node: Sum) -> str:
    sign, first = node.terms[0]
    out = ("-" if sign < 0 else "") + node_text(first)
    for sign, term in node.terms[1:]:
        out += (" - " if sign < 0 else " + ") + node_text(term)
    return out


def _product(node: Product) -> str:
    out = ""
    last: tuple[str, Node] | None = None
    divided = False
    for how, factor in node.factors:
        text = node_text(factor)
        divided = divided or how == "/"
        if how:
            out += f"{' * ' if how == '*' else '/'}{text}"
        elif last is None or _may_touch(last, factor, divided):
            out += text
        else:
            out += " " + text
        last = how, factor
    return out


def _may_touch(last: tuple[str, Node], factor: Node, divided: bool) -> bool:
    """2a, 2(a + 1), R(T_1 - T_2), (a)(b) stand together; m_1 g, 1/2 m and g sin(theta) do not."""
    how, node = last
    if _like_a_label(node):
        return True
    if isinstance(factor, Group):
        return not divided or _like_a_label(factor)
    return isinstance(node, Number) and not node.unit_text and isinstance(factor, Name) and how != "/"


def _like_a_label(node: Node) -> bool:
    """(2): with white space beside it, it would be read as the number of an equation."""
    return (
        isinstance(node, Group) and isinstance(node.inner, Number) and node.inner.text.isdigit() and not node.inner.unit
    )
