"""A tree -> text to be read aloud: "T minus m 1 g equals m 1 a"."""

from __future__ import annotations

from .letters import as_meant, split_number
from .tree import Line, Name, Node, Number, Power, Product, Root, Sum, Trig
from .units import plain_unit

_RELATIONS = {
    "=": "equals", "<": "is less than", ">": "is greater than", "<=": "is at most", ">=": "is at least",
    "≈": "is about",
    "!=": "is not equal to", "<<": "is much less than", ">>": "is much greater than",
}  # fmt: skip
_POWERS = {1: "to the first", 2: "squared", 3: "cubed", 4: "to the fourth"}
_FUNCTIONS = {"sin": "sine", "cos": "cosine", "tan": "tangent"}
_UNITS = {
    "N": "newtons", "kg": "kilograms", "m": "metres", "s": "seconds", "m/s": "metres per second",
    "m/s^2": "metres per second squared",
    "m^2": "square metres", "s^2": "seconds squared", "m^2/s^2": "square metres per second squared",
    "N s": "newton seconds",
    "N m": "newton metres", "J": "joules", "kg m^2": "kilogram metres squared", "rad": "radians",
    "rad/s": "radians per second",
    "rad/s^2": "radians per second squared", "1/s": "per second", "1/s^2": "per second squared", "deg": "degrees",
    "deg/s^2": "degrees per second squared",
}  # fmt: skip
_TYPED = {
    "g": "grams",
    "cm": "centimetres",
    "mm": "millimetres",
    "km": "kilometres",
    "kN": "kilonewtons",
    "min": "minutes",
}
_VULGAR = {
    "½": "one half", "⅓": "one third", "⅔": "two thirds", "¼": "one quarter", "¾": "three quarters", "⅕": "one fifth",
    "⅖": "two fifths",
    "⅗": "three fifths", "⅘": "four fifths", "⅙": "one sixth", "⅛": "one eighth", "⅜": "three eighths",
    "⅝": "five eighths",
    "⅞": "seven eighths",
}  # fmt: skip


def to_speech(what: Line | Node) -> str:
    """Spoken text of a line or of a node."""
    if not isinstance(what, Line):
        return _say(what)
    out = _say(what.sides[0])
    for relation, side in zip(what.relations, what.sides[1:], strict=True):
        out += f" {_RELATIONS[relation]} {_say(side)}"
    if what.condition is not None:
        out = f"if {to_speech(what.condition)}, then {out}"
    if what.note:
        out += f", {what.note}"
    return f"{out}, equation {what.label}" if what.label else out


def _say(node: Node) -> str:
    if isinstance(node, Number):
        return _number(node)
    if isinstance(node, Name):
        head, _, subs = as_meant(node)
        return " ".join((head, *subs))
    if isinstance(node, Sum):
        sign, first = node.terms[0]
        out = ("minus " if sign < 0 else "") + _say(first)
        for sign, term in node.terms[1:]:
            out += (" minus " if sign < 0 else " plus ") + _say(term)
        return out
    if isinstance(node, Product):
        words = []
        for i, (how, factor) in enumerate(node.factors):
            words += [{"*": "times", "/": "over"}[how]] if how and i else []
            words.append(_say(factor))
        return " ".join(words)
    if isinstance(node, Power):
        if isinstance(node.base, Trig):
            return f"{_FUNCTIONS[node.base.function]} {_POWERS[node.exponent]} of {_argument(node.base.argument)}"
        return f"{_say(node.base)} {_POWERS[node.exponent]}"
    if isinstance(node, Root):
        under = _say(node.inner)
        return f"square root of {under}" if isinstance(node.inner, (Name, Number)) else f"square root of open parenthesis {under} close parenthesis"
    if isinstance(node, Trig):
        return f"{_FUNCTIONS[node.function]} of {_argument(node.argument)}"
    return f"open parenthesis {_say(node.inner)} close parenthesis"


def _argument(node: Node) -> str:
    if isinstance(node, Number) and not node.unit:
        return f"{_number(node)} degrees"
    if isinstance(node, (Name, Number)):
        return _say(node)
    return f"open parenthesis {_say(node)} close parenthesis"


def _number(node: Number) -> str:
    figures, ten = split_number(node.text)
    for sign, words in _VULGAR.items():
        if figures.endswith(sign):
            whole = figures[: -len(sign)]
            figures = f"{whole} and {words}" if whole else words
    out = figures.replace(",", " comma ") if "," in figures else figures
    if ten is not None:
        out += f" times 10 to the {'minus ' if ten.startswith('-') else ''}{ten.lstrip('-')}"
    if node.unit:
        out += " " + (_TYPED.get(plain_unit(node.unit_text)) or _UNITS.get(node.unit) or node.unit_text)
    return out
