"""A tree -> presentation MathML, in the student's own order; every piece of text is escaped."""

from __future__ import annotations

from html import escape

from .letters import as_meant, split_number
from .speech import to_speech
from .tree import Group, Line, Name, Node, Number, Power, Product, Root, Sum, Trig
from .units import plain_unit

_RELATIONS = {"=": "=", "<": "&lt;", ">": "&gt;", "<=": "≤", ">=": "≥", "≈": "≈", "!=": "≠", "<<": "≪", ">>": "≫"}
_TIMES, _APPLY = "<mo>&#x2062;</mo>", "<mo>&#x2061;</mo>"
_SUP = str.maketrans("-1234", "⁻¹²³⁴")


def to_mathml(what: Line | Node) -> str:
    """A whole <math> element, with the spoken text as its alternative."""
    body = _line(what) if isinstance(what, Line) else _node(what)
    spoken = escape(to_speech(what), quote=True)
    return f'<math xmlns="http://www.w3.org/1998/Math/MathML" alttext="{spoken}"><mrow>{body}</mrow></math>'


def _line(line: Line) -> str:
    out = _node(line.sides[0])
    for relation, side in zip(line.relations, line.sides[1:], strict=True):
        out += f"<mo>{_RELATIONS[relation]}</mo>{_node(side)}"
    if line.condition is not None:
        out = f"{_line(line.condition)}<mo>⇒</mo>{out}"
    if line.note:
        out += f'<mspace width="0.5em"/><mtext>({escape(line.note)})</mtext>'
    if line.label:
        out += f'<mspace width="2em"/><mtext>({escape(line.label)})</mtext>'
    return out


def _node(node: Node) -> str:
    if isinstance(node, Number):
        return _number(node)
    if isinstance(node, Name):
        return _name(node)
    if isinstance(node, Sum):
        return _sum(node)
    if isinstance(node, Product):
        return _product(node)
    if isinstance(node, Power):
        return _power(node)
    if isinstance(node, Root):
        return f"<msqrt>{_node(node.inner)}</msqrt>"
    if isinstance(node, Trig):
        return f"<mi>{node.function}</mi>{_APPLY}{_argument(node.argument)}"
    return f"<mrow><mo>(</mo>{_node(node.inner)}<mo>)</mo></mrow>"


def _number(node: Number) -> str:
    mantissa, ten = split_number(node.text)
    out = f"<mn>{escape(mantissa)}</mn>"
    if ten is not None:
        out += f"<mo>×</mo><msup><mn>10</mn><mn>{escape(ten.replace('-', '−'))}</mn></msup>"
    if node.unit_text == "°" or node.unit == "deg":
        return f"<mrow>{out}<mo>°</mo></mrow>"
    if node.unit_text:
        return f'<mrow>{out}<mspace width="0.17em"/><mtext>{escape(pretty_unit(node))}</mtext></mrow>'
    return out if ten is None else f"<mrow>{out}</mrow>"


def pretty_unit(node: Number) -> str:
    """The unit as typed, with raised powers: "m/s^2" -> "m/s²"."""
    text = plain_unit(node.unit_text)
    for power in ("^-2", "^-1", "**2", "^2", "^3"):
        text = text.replace(power, power.strip("^*").translate(_SUP))
    return text.replace("*", "·")


def _name(node: Name) -> str:
    _, letter, subs = as_meant(node)
    if not subs:
        return f"<mi>{escape(letter)}</mi>"
    below = "".join(f"<mn>{s}</mn>" if s.isdigit() else f"<mi>{escape(s)}</mi>" for s in subs)
    if len(subs) > 1:
        below = f"<mrow>{below}</mrow>"
    return f"<msub><mi>{escape(letter)}</mi>{below}</msub>"


def _sum(node: Sum) -> str:
    sign, first = node.terms[0]
    out = ("<mo>−</mo>" if sign < 0 else "") + _node(first)
    for sign, term in node.terms[1:]:
        out += f"<mo>{'−' if sign < 0 else '+'}</mo>{_node(term)}"
    return f"<mrow>{out}</mrow>"


def _product(node: Product) -> str:
    """From left to right; a division puts all that stands before it over its divisor."""
    pieces: list[Node] = []
    out = ""
    for how, factor in node.factors:
        if how == "/":
            top = _bare(pieces[0]) if len(pieces) == 1 and out == _node(pieces[0]) else out
            out = f"<mfrac><mrow>{top}</mrow><mrow>{_bare(factor)}</mrow></mfrac>"
        else:
            out += (("<mo>·</mo>" if how else _TIMES) if out else "") + _node(factor)
        pieces.append(factor)
    return f"<mrow>{out}</mrow>"


def _bare(node: Node) -> str:
    """A fraction's bar holds its parts together: no parentheses there."""
    return _node(node.inner if isinstance(node, Group) else node)


def _power(node: Power) -> str:
    raised = f"<mn>{node.exponent}</mn>"
    if isinstance(node.base, Trig):
        return f"<mrow><msup><mi>{node.base.function}</mi>{raised}</msup>{_APPLY}{_argument(node.base.argument)}</mrow>"
    if isinstance(node.base, Name):
        _, letter, subs = as_meant(node.base)
        if len(subs) == 1:
            below = f"<mn>{subs[0]}</mn>" if subs[0].isdigit() else f"<mi>{escape(subs[0])}</mi>"
            return f"<msubsup><mi>{escape(letter)}</mi>{below}{raised}</msubsup>"
    return f"<msup>{_node(node.base)}{raised}</msup>"


def _argument(node: Node) -> str:
    if isinstance(node, (Name, Number)):
        return _node(node)
    return f"<mrow><mo>(</mo>{_node(node)}<mo>)</mo></mrow>"
