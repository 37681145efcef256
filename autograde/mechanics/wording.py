"""Numbers and polynomials as lines that the reader of students' lines can read back.

Rounding happens here and nowhere before: a number that has few figures is written in full without trailing zeros, any
other is rounded and keeps its zeros, so that the figures written say how exact it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from ..algebra import Monomial, Poly
from .linear import ONE

_BASES = ("mu", "m", "M", "I", "R", "r", "f", "F", "P", "N", "T", "W", "g", "tau", "a", "alpha")


EXACT = 5  # numbers with so many figures are written in full


def number(value: Fraction, figures: int = 4) -> str:
    """A number in full where it has at most five figures, else with so many; whole parts are never rounded away.

    >>> number(Fraction("63.70")), number(Fraction(49, 31)), number(Fraction("10483.72"))
    ('63.7', '1.581', '10484')
    """
    return _short(value) or _cut(value, figures)


def _cut(value: Fraction, figures: int) -> str:
    if not value:
        return "0"
    sign, size = ("-" if value < 0 else ""), abs(value)
    exponent = 0
    while size >= Fraction(10) ** (exponent + 1):
        exponent += 1
    while size < Fraction(10) ** exponent:
        exponent -= 1
    places = max(0, figures - 1 - exponent)
    whole = _half_up(size * 10**places)
    if places and whole >= 10**figures:
        places -= 1
        whole = _half_up(size * 10**places)
    exact = Fraction(whole, 10**places) == size
    text = f"{whole:0{places + 1}d}"
    if places:
        text = text[:-places] + "." + text[-places:]
        if exact:
            text = text.rstrip("0").rstrip(".")
    return sign + text


def _short(value: Fraction) -> str:
    """The number in full, where it is a decimal of at most `EXACT` figures, else ""."""
    if not value:
        return "0"
    scaled, places = abs(value), 0
    while scaled.denominator > 1:
        if places > 8 or (scaled.denominator % 2 and scaled.denominator % 5):
            return ""
        scaled, places = scaled * 10, places + 1
    if len(str(scaled.numerator)) > EXACT:
        return ""
    text = f"{scaled.numerator:0{places + 1}d}"
    if places:
        text = text[:-places] + "." + text[-places:]
    return ("-" if value < 0 else "") + text


def rounded(value: Fraction, figures: int = 3) -> str:
    """A result: always with its trailing zeros ("74.0", "1.20").

    >>> rounded(Fraction(74)), rounded(Fraction("0.6"))
    ('74.0', '0.600')
    """
    text = _cut(value, figures)
    if not value:
        return text
    digits = text.lstrip("-").replace(".", "").lstrip("0")
    missing = figures - len(digits)
    if missing <= 0:
        return text
    return text + ("" if "." in text else ".") + "0" * missing


def _half_up(value: Fraction) -> int:
    return int(value + Fraction(1, 2))


def joined(coefficient: str, name: str) -> str:
    """A coefficient before a letter: "6.5a", "2T", "0.0139 alpha"."""
    if coefficient == "1":
        return name
    long = len(name.split("_")[0].split("(")[0]) > 1
    return f"{coefficient} {name}" if long else f"{coefficient}{name}"


def summed(terms: Iterable[tuple[int, str]]) -> str:
    """Signed pieces as a sum: "T - 63.7", "-(6.5a + 63.7) + 88.2"; "0" for none."""
    out = ""
    for sign, text in terms:
        if out:
            out += (" - " if sign < 0 else " + ") + text
        else:
            out = ("-" if sign < 0 else "") + text
    return out or "0"


def linear(row: Mapping[str, Fraction]) -> list[tuple[int, str]]:
    """The pieces of a linear form with numbers: unknowns first, then the constant; a positive one leads."""
    pieces = [(1 if c > 0 else -1, joined(number(abs(c)), k)) for k, c in row.items() if k != ONE and c]
    constant = row.get(ONE, Fraction(0))
    if constant:
        pieces.append((1 if constant > 0 else -1, number(abs(constant))))
    return leading(pieces)


def leading(pieces: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """The same pieces with the first positive one in front, so that no sum starts with a minus without need."""
    for i, (sign, _) in enumerate(pieces):
        if sign > 0:
            return [pieces[i], *pieces[:i], *pieces[i + 1 :]]
    return pieces


def poly_pieces(poly: Poly) -> list[tuple[int, str]]:
    """A polynomial in letters: [(1, "m_1 g sin(theta)"), (-1, "2T")]."""
    return [(1 if c > 0 else -1, _monomial(m, abs(c))) for m, c in poly.terms.items()]


def poly_text(poly: Poly) -> str:
    """A polynomial in letters as a sum: "m_1 g cos(theta) - F sin(phi)"."""
    return summed(leading(poly_pieces(poly)))


def _monomial(monomial: Monomial, coefficient: Fraction) -> str:
    def rank(item: tuple[str, int]) -> tuple[int, str]:
        base = item[0].split("_")[0]
        trig = item[0].startswith(("sin(", "cos("))
        late = base in ("a", "alpha")
        return (98 if trig else 99 if late else _BASES.index(base) if base in _BASES else 50, item[0])

    factors = [s if e == 1 else f"{s}^{e}" for s, e in sorted(monomial, key=rank)]
    if not factors:
        return number(coefficient)
    body = " ".join(factors)
    if coefficient == 1:
        return body
    if coefficient.denominator in (2, 5):
        return f"{coefficient.numerator}/{coefficient.denominator} {body}"
    return joined(number(coefficient), body) if len(factors) == 1 else f"{number(coefficient)} {body}"
