"""Tables of the scanner: signs and words that mean a sign, and those that are not used, with what to write instead."""

from __future__ import annotations

import re
from fractions import Fraction

from .greek import SUPERSCRIPT

VULGAR: dict[str, Fraction] = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "¼": Fraction(1, 4), "¾": Fraction(3, 4),
    "⅕": Fraction(1, 5),
    "⅖": Fraction(2, 5), "⅗": Fraction(3, 5), "⅘": Fraction(4, 5), "⅙": Fraction(1, 6), "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
LETTER = r"A-Za-zΑ-ΡΣ-Ωα-ω"
SUB = "₀-₉ₐₑₕᵢⱼₖₗₘₙₒₚᵣₛₜᵤᵥₓ"
LATEX: dict[str, str] = {
    "\\cdot": "*", "\\times": "*", "\\ast": "*", "\\div": "/", "\\le": "<=", "\\leq": "<=", "\\ge": ">=",
    "\\geq": ">=", "\\lt": "<",
    "\\gt": ">", "\\ne": "!=", "\\neq": "!=", "\\approx": "≈", "\\simeq": "≈", "\\sim": "≈", "\\frac": "frac", "\\sqrt": "root",
    "\\dfrac": "frac",
    "\\tfrac": "frac", "\\left": "", "\\right": "", "\\big": "", "\\Big": "", "\\bigl": "", "\\bigr": "",
    "\\displaystyle": "",
    "\\ll": "<<", "\\gg": ">>", "\\Rightarrow": "⇒", "\\implies": "⇒", "\\to": "≈", "\\rightarrow": "≈",
    "\\therefore": "",
}  # fmt: skip
OPS: dict[str, str] = {
    "**": "^",
    "=<": "<=",
    "==": "=",
    "~=": "≈",
    "≠": "!=",
    "≤": "<=",
    "≥": ">=",
    "≪": "<<",
    "≫": ">>",
    "->": "≈",
    "→": "≈",
    "~": "≈",
    "=>": "⇒",
}
WORD_OPS: dict[str, str] = {"times": "*", "plus": "+", "minus": "-", "equals": "=", "over": "/", "approx": "≈", "sqrt": "root"}
NOT_USED: dict[str, str] = {
    "abs": "Write the equation with the sign that you have chosen.",
    "sum": "Write every term of the sum.",
    **dict.fromkeys(("exp", "ln", "log"), "Write the equation with sums, products, powers, sin, cos and tan."),
    **dict.fromkeys(("arcsin", "arccos", "arctan", "asin", "acos", "atan"), "Write sin(theta) = ... instead."),
    **dict.fromkeys(("cot", "sec", "csc"), "Write it with sin, cos and tan."),
}  # fmt: skip
STRANGE: dict[str, str] = {
    "|": "Write the quantity without bars, with its sign.",
    "±": "Write one equation with + and one with -.",
    "∓": "Write one equation with + and one with -.",
    "∑": "Write every term of the sum.",
    "Σ": "Write every term of the sum.",
    "Δ": "Write the quantity itself.",
    "∆": "Write the quantity itself.",
    "∫": "Write the equation with sums and products.",
}

OTHER_UNITS = frozenset(
    (
        "lb",
        "lbs",
        "ft",
        "in",
        "oz",
        "mi",
        "mph",
        "kgf",
        "W",
        "Pa",
        "kPa",
        "Hz",
        "dyn",
        "kJ",
        "hp",
        "mg",
        "t",
        "ton",
        "tons",
        "rpm",
        "rev",
    )
)
PHRASE = re.compile(
    r"(?:is\s+)?(?:(?:less|smaller|lower) than or equal to|(?:greater|more|bigger|larger) than or equal to|(?:less|smaller|lower) than"
    r"|(?:greater|more|bigger|larger|higher) than|much (?:less|smaller) than|much (?:greater|larger|bigger|more) than|not equal to|equal to|the same as|approximately|about|at most|at least|equals)\b|is\b",
    re.IGNORECASE,
)
PHRASE_STARTS = frozenset(
    ("is", "much", "less", "smaller", "lower", "greater", "more", "bigger", "larger", "higher", "not", "equal", "the", "approximately",
     "about", "at", "equals")
)  # fmt: skip
SAID: dict[str, str] = {
    **{f"{w} than": "<" for w in ("less", "smaller", "lower")},
    **{f"{w} than": ">" for w in ("greater", "more", "bigger", "larger", "higher")},
    **{f"{w} than or equal to": "<=" for w in ("less", "smaller", "lower")},
    **{f"{w} than or equal to": ">=" for w in ("greater", "more", "bigger", "larger")},
    **dict.fromkeys(("much less than", "much smaller than"), "<<"),
    **dict.fromkeys(("much greater than", "much larger than", "much bigger than", "much more than"), ">>"),
    "not equal to": "!=", "equal to": "=", "the same as": "=", "equals": "=", "is": "=", "approximately": "≈", "about": "≈",
    "at most": "<=", "at least": ">=",
}  # fmt: skip
RAISED = {ord(k): v for k, v in SUPERSCRIPT.items()}
