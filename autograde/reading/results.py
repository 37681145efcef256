"""A result such as "a = 1.58 m/s^2" or "74 N up" -> its value, figures, unit and direction word."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from .complaints import complain
from .reader import prepared, read
from .tree import Group, Line, Name, Node, Number, Place, Power, Product, Reading, Sum, Trig
from .units import unit_at
from .vocabulary import Vocabulary

_ABOUT = re.compile(
    r"\s*(?:is |it is )?(?:about|approximately|approx\.?|roughly|around|ca\.?|circa|≈|~|=)\s*", re.IGNORECASE
)
_IS = re.compile(r"(?<=[\s\w}])\s+(is|of)\s+(?=[-+\d.½⅓¼¾(]|about|approx)", re.IGNORECASE)
_ZERO = re.compile(r"\b(zero|none|nil|nothing)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Result:
    """A result as a student gave it.

    value: exact, in SI after its unit, with its sign; None where it is an expression with letters ("g/4").
    half: half a unit in the last figure, in the same scale (0 where the value was given as a fraction or a product).
    text: the figures with their sign, as typed ("-1.58"), or the expression; unit: coherent SI text, "" where none was written;
    unit_text as typed. node: the tree of the value, its unit taken off an expression. symbol: the letter before the
    equals sign,
    if any. note: a direction word ("up"). about: whether the student wrote that it is approximate.
    others: the other ways in which the text can be meant.
    """

    node: Node
    value: Fraction | None
    half: Fraction
    text: str
    unit: str
    unit_text: str
    at: Place
    symbol: str | None = None
    note: str = ""
    about: bool = False
    others: tuple[Result, ...] = ()


def read_value(text: str, vocabulary: Vocabulary) -> Reading:
    """Read a text as the value of something: "= 1.58 m/s^2", "about 74 N", "T is 74 N", "zero". Places are those of the text.

    Raises Complaint, and nothing else, for every text.
    """
    folded = prepared(text)
    about = _ABOUT.match(folded)
    hidden = list(text)
    if about and about.end() < len(text):
        hidden[: about.end()] = " " * about.end()
    for found in _IS.finditer(folded):
        hidden[found.start(1) : found.end(1)] = "= "
    for found in _ZERO.finditer(folded):
        hidden[found.start() : found.end()] = "0" + " " * (found.end() - found.start() - 1)
    return read("".join(hidden), vocabulary)


def read_result(text: str, vocabulary: Vocabulary, symbol: str | None = None) -> Result:
    """Read one result. `symbol`, where known, is what was asked for: of two readings, the one with its unit comes first.

    Raises Complaint, and nothing else, for every text.
    """
    about = _ABOUT.match(prepared(text))
    near = about is not None and "=" not in about.group()
    results = [_result(line, text, near) for line in read_value(text, vocabulary).lines]
    wanted = vocabulary.symbols[symbol].unit if symbol is not None and symbol in vocabulary.symbols else None
    results.sort(key=lambda r: _rank(r, wanted))
    return replace(results[0], others=tuple(results[1:]))


def _rank(result: Result, wanted: str | None) -> int:
    """A unit that fits comes first, then any unit but grams, then an expression."""
    if wanted and result.unit == wanted:
        return 0
    if result.unit and result.unit_text != "g":
        return 1
    return 2


def _result(line: Line, text: str, about: bool) -> Result:
    if line.condition is not None or not all(r in ("=", "≈") for r in line.relations):
        at = _whole(line)
        raise complain("no-value", at)
    first, node = _open(line.sides[0]), line.sides[-1]
    if len(line.sides) > 1 and not isinstance(first, Name):
        raise complain("no-value", _whole(line))
    name = first.name if len(line.sides) > 1 and isinstance(first, Name) else None
    about = about or "≈" in line.relations
    at = node.at
    plain, unit, unit_text = _unit_off(_open(node))
    sign, number = _signed(plain)
    if isinstance(number, Number):
        value: Fraction | None = sign * number.value
        half, figures = number.half, ("-" if sign < 0 else "") + number.text
        unit, unit_text = number.unit or unit, number.unit_text or unit_text
    else:
        value, half, figures = _value(plain), Fraction(0), text[at[0] : at[1]].strip()
    return Result(plain, value, half, figures, unit, unit_text, at, name, line.note, about)


def _whole(line: Line) -> Place:
    return line.sides[0].at[0], line.sides[-1].at[1]


def _open(node: Node) -> Node:
    while isinstance(node, Group):
        node = node.inner
    return node


def _signed(node: Node) -> tuple[int, Node]:
    sign = 1
    while True:
        node = _open(node)
        if not (isinstance(node, Sum) and len(node.terms) == 1):
            return sign, node
        sign, node = sign * node.terms[0][0], node.terms[0][1]


def _unit_off(node: Node) -> tuple[Node, str, str]:
    """3g/7 m/s^2: the unit belongs to the whole expression, not to the 7."""
    if isinstance(node, Sum) and len(node.terms) == 1:
        inner, unit, unit_text = _unit_off(node.terms[0][1])
        return replace(node, terms=((node.terms[0][0], inner),)), unit, unit_text
    if isinstance(node, Product):
        how, last = node.factors[-1]
        if isinstance(last, Number) and last.unit:
            factor = last.value and last.value / Fraction(_plain(last))
            bare = replace(
                last, value=_plain(last), half=last.half / factor if factor else last.half, unit="", unit_text=""
            )
            if all(not (isinstance(f, Number) and f.unit) for _, f in node.factors[:-1]):
                return replace(node, factors=(*node.factors[:-1], (how, bare))), last.unit, last.unit_text
    return node, "", ""


def _plain(number: Number) -> Fraction:
    """The value before its unit's factor."""
    unit = unit_at(number.unit_text, 0)
    return number.value / unit.factor if unit else number.value


def _value(node: Node) -> Fraction | None:
    """The exact value of an expression of numbers alone; None where it has letters or divides by zero."""
    if isinstance(node, Number):
        return node.value
    if isinstance(node, Group):
        return _value(node.inner)
    if isinstance(node, (Name, Trig)):
        return None
    if isinstance(node, Power):
        base = _value(node.base)
        return None if base is None else base**node.exponent
    total = Fraction(0) if isinstance(node, Sum) else Fraction(1)
    for how, part in node.terms if isinstance(node, Sum) else node.factors:
        value = _value(part)
        if value is None or (how == "/" and not value):
            return None
        total = total + int(how) * value if isinstance(node, Sum) else total / value if how == "/" else total * value
    return total
