"""Units as students write them: a piece of text after a number -> the coherent SI unit and the factor to it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

Dimension = tuple[int, int, int, int, int]  # powers of kg, m, s, rad, degree

_F = Fraction
_ATOMS: dict[str, tuple[Fraction, Dimension]] = {
    "kg": (_F(1), (1, 0, 0, 0, 0)),
    "g": (_F(1, 1000), (1, 0, 0, 0, 0)),
    "m": (_F(1), (0, 1, 0, 0, 0)),
    "cm": (_F(1, 100), (0, 1, 0, 0, 0)),
    "mm": (_F(1, 1000), (0, 1, 0, 0, 0)),
    "km": (_F(1000), (0, 1, 0, 0, 0)),
    "s": (_F(1), (0, 0, 1, 0, 0)),
    "ms": (_F(1, 1000), (0, 0, 1, 0, 0)),
    "min": (_F(60), (0, 0, 1, 0, 0)),
    "h": (_F(3600), (0, 0, 1, 0, 0)),
    "N": (_F(1), (1, 1, -2, 0, 0)),
    "kN": (_F(1000), (1, 1, -2, 0, 0)),
    "mN": (_F(1, 1000), (1, 1, -2, 0, 0)),
    "J": (_F(1), (1, 2, -2, 0, 0)),
    "rad": (_F(1), (0, 0, 0, 1, 0)),
    "°": (_F(1), (0, 0, 0, 0, 1)),
}
_WORDS: dict[str, str] = {
    "newtons": "N", "newton": "N", "Newtons": "N", "Newton": "N", "kilograms": "kg", "kilogram": "kg", "kilos": "kg",
    "kgs": "kg", "Kg": "kg",
    "grams": "g", "gram": "g", "metres": "m", "meters": "m", "metre": "m", "meter": "m", "seconds": "s",
    "second": "s", "secs": "s",
    "sec": "s", "radians": "rad", "radian": "rad", "rads": "rad", "degrees": "°", "degree": "°", "degs": "°",
    "deg": "°",
    "joules": "J", "joule": "J", "centimetres": "cm", "centimeters": "cm",
    "\\degree": "°", "^\\circ": "°", "^{\\circ}": "°", "^°": "°", "\\circ": "°",
}  # fmt: skip

# The coherent SI text of each quantity that a scene can ask for or give.
_SI: dict[Dimension, str] = {
    (1, 0, 0, 0, 0): "kg",
    (0, 1, 0, 0, 0): "m",
    (0, 2, 0, 0, 0): "m^2",
    (0, 0, 1, 0, 0): "s",
    (0, 0, 2, 0, 0): "s^2",
    (0, 1, -1, 0, 0): "m/s",
    (0, 2, -2, 0, 0): "m^2/s^2",
    (0, 1, -2, 0, 0): "m/s^2",
    (1, 1, -2, 0, 0): "N",
    (1, 1, -1, 0, 0): "N s",
    (1, 2, -2, 0, 0): "N m",
    (1, 2, 0, 0, 0): "kg m^2",
    (0, 0, 0, 1, 0): "rad",
    (0, 0, -1, 1, 0): "rad/s",
    (0, 0, -2, 1, 0): "rad/s^2",
    (0, 0, -1, 0, 0): "1/s",
    (0, 0, -2, 0, 0): "1/s^2",
    (0, 0, 0, 0, 1): "deg",
    (0, 0, -2, 0, 1): "deg/s^2",
    (0, 1, -2, 1, 0): "m/s^2",
}


@dataclass(frozen=True)
class Unit:
    """unit: coherent SI text ("m/s^2"); factor: to it; end: where the text of the unit ends."""

    unit: str
    factor: Fraction
    end: int


_LETTER = r"A-Za-zΑ-Ωα-ωµ"
_ATOM = "|".join(re.escape(a) for a in sorted((*_ATOMS, *_WORDS), key=lambda a: -len(a)))
_POWER = r"(?:\s*(?:\^|\*\*)\s*(?:\{\s*(-?\s*\d)\s*\}|\(\s*(-?\s*\d)\s*\)|(-?\d))|[ ]?(-?[¹²³⁴])|\s*(squared|cubed)\b)?"
_PIECE = re.compile(rf"({_ATOM}){_POWER}")
_JOIN = re.compile(r"\s*(?:(/|\bper\b)\s*(\()?|(\*|\.|\\cdot\b|\\,)\s*)?\s*")
_GAP = re.compile(r"(?:\s|\\,|\\;|\\ )*")
_BARE_NEGATIVE = re.compile(r"-[1-4](?![\d.])")
_BRACKET = re.compile(r"\s*\)")
_ATTACHED_TWO = re.compile(r"2(?![\d.])")
_WRAPPED = re.compile(r"\\(?:text|mathrm|rm|unit|textrm|mbox|si)\s*\{([^{}]*)\}")
_FRACTION = re.compile(r"\\[dt]?frac\{([^{}]*)\}\{((?:[^{}]|\{[^{}]*\})*)\}")
_INVERSE = re.compile(r"1\s*/\s*s\s*(\^\s*2|\*\*\s*2|\^\{2\}|²)?(?![\w^²*])")
_BOUNDARY = re.compile(rf"[{_LETTER}\d_^{{₀-₉²³⁴]|\*\*")
_STARTS = frozenset("kgmcshNJrd°^\\nKMSjDt")


def unit_at(text: str, pos: int) -> Unit | None:
    """The longest unit that starts at `pos` (white space before it is skipped), or None.

    >>> unit_at("1.58 m/s^2", 4)
    Unit(unit='m/s^2', factor=Fraction(1, 1), end=10)
    """
    gap = _GAP.match(text, pos)
    start = gap.end() if gap else pos
    if start >= len(text) or text[start] not in _STARTS:
        inverse = _INVERSE.match(text, start) if start > pos else None
        return Unit("1/s^2" if inverse.group(1) else "1/s", Fraction(1), inverse.end()) if inverse else None
    piece = text[start : start + 60]
    if piece[0] == "\\":
        return _unit_in_latex(piece, start)
    found = _unit_in(piece)
    return None if found is None else Unit(found[0], found[1], start + found[2])


def _unit_in_latex(piece: str, start: int) -> Unit | None:
    r"""\text{ m/s}^2, \frac{m}{s^2}: only what stands in the braces counts, and all of it has to be a unit."""
    plain = _WRAPPED.sub(lambda w: " " * (w.start(1) - w.start()) + w.group(1) + " ", piece)
    fraction = _FRACTION.match(plain)
    if fraction:
        top, bottom = fraction.groups()
        plain = f"{' ' * fraction.start(1)}{top}/ {bottom} {plain[fraction.end() :]}"
    body = plain.lstrip(" ")
    skipped = len(plain) - len(body)
    found = _unit_in(body)
    if found is None:
        return None
    end = skipped + found[2]
    while piece[end : end + 1] in (" ", "}") and "}" in piece[end : end + 3]:
        end += 1
    if piece.count("{", 0, end) != piece.count("}", 0, end):
        return None
    return None if fraction and end < fraction.end() else Unit(found[0], found[1], start + end)


@lru_cache(maxsize=4096)
def _unit_in(text: str) -> tuple[str, Fraction, int] | None:
    """SI text, factor and length of the longest unit at the beginning of `text`."""
    factor, dimension = Fraction(1), (0, 0, 0, 0, 0)
    pos, divide, closing, starred, count = 0, False, False, False, 0
    best: tuple[str, Fraction, int] | None = None
    while count < 5:
        piece = _PIECE.match(text, pos)
        if piece is None:
            break
        atom = _WORDS.get(piece.group(1), piece.group(1))
        power, end = _power(piece), piece.end()
        if atom == "ms" and (power < 0 or _BARE_NEGATIVE.match(text, end)):  # ms^-2 is metres per second squared
            atom, extra = "s", (0, 1, 0, 0, 0)
        else:
            extra = (0, 0, 0, 0, 0)
        if count and power == 1 and atom == "s" and _ATTACHED_TWO.match(text, end):  # m/s2
            power, end = 2, end + 1
        if (count or extra[1]) and power == 1 and _BARE_NEGATIVE.match(text, end):  # m s-2
            power, end = int(text[end : end + 2]), end + 2
        if count and (atom == "g" or (atom == "N" and starred)):
            break  # 63.7 N/g and 9.8 m/s^2 * g are about gravity, not grams
        scale, dims = _ATOMS[atom]
        sign = -power if divide else power
        factor *= scale**sign
        dimension = tuple(d + x + sign * y for d, x, y in zip(dimension, extra, dims, strict=True))  # type: ignore[assignment]
        count, pos = count + 1, end
        stop = pos
        if closing:
            bracket = _BRACKET.match(text, pos)
            if bracket:
                stop, closing = bracket.end(), False
        si = "J" if count == 1 and atom == "J" and power == 1 else _SI.get(dimension)
        ends = not piece.group(1)[-1].isalpha() and stop == piece.end()  # 30°cos
        if si and not closing and (ends or not _BOUNDARY.match(text, stop)):
            best = (si, factor, stop)
        if stop != pos:
            pos = stop
        join = _JOIN.match(text, pos)
        if join is None:
            break
        if atom == "°" and not join.group(1):
            break
        starred = join.group(3) == "*"
        if join.group(1) and not closing:
            divide, closing = True, bool(join.group(2))
        elif not closing:
            divide = False
        pos = join.end()
    return best


def _power(piece: re.Match[str]) -> int:
    for text in piece.groups()[1:]:
        if text:
            if text in ("squared", "cubed"):
                return 2 if text == "squared" else 3
            return int(text.replace(" ", "").translate(_RAISED))
    return 1


_RAISED = str.maketrans("¹²³⁴", "1234")


def plain_unit(text: str) -> str:
    r"""A unit as typed without LaTeX's commands: "\\text{ m/s}^2" -> "m/s^2"."""
    text = _FRACTION.sub(r"\1/\2", _WRAPPED.sub(r"\1", text)).replace("\\cdot", "·")
    return re.sub(r"\^\{(-?\d)\}", r"^\1", re.sub(r"\\[,;: ]", " ", text)).strip()


UNIT_WORDS = frozenset(a for a in (*_ATOMS, *_WORDS) if len(a) > 1)
