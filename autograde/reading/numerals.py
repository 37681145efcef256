"""Figures as typed -> the exact value, and half a unit in the last figure."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from .complaints import complain
from .tree import Place

MAX_DIGITS = 18
MAX_TEN = 30


def value_of(figures: str, at: Place, decimal_comma: bool) -> tuple[Fraction, Fraction]:
    if len(figures) <= MAX_DIGITS and figures.isascii() and figures.replace(".", "", 1).isdigit():
        return _plain(figures)
    mantissa, _, exponent = figures.lower().partition("e")
    if "," in mantissa:
        mantissa = _comma(mantissa, figures, at, decimal_comma)
    if mantissa.count(".") > 1:
        raise complain("number", at, found=figures)
    if len(mantissa) > MAX_DIGITS:
        raise complain("too-many-digits", at, found=len(mantissa), limit=MAX_DIGITS)
    power = int(exponent[:6] or 0) if exponent else 0
    if abs(power) > MAX_TEN:
        raise complain("too-large", at, found=figures)
    whole, _, decimals = mantissa.partition(".")
    scale = Fraction(10) ** (power - len(decimals)) if power else Fraction(1, 10 ** len(decimals))
    return int(whole + decimals) * scale, scale / 2


@lru_cache(maxsize=4096)
def _plain(figures: str) -> tuple[Fraction, Fraction]:
    """The value and half a unit of plain figures such as 63.7: the same few numbers stand in all lines about a scene."""
    whole, _, decimals = figures.partition(".")
    scale = 10 ** len(decimals)
    return Fraction(int(whole + decimals), scale), Fraction(1, 2 * scale)


def _comma(mantissa: str, figures: str, at: Place, decimal_comma: bool) -> str:
    """Commas in a number: decimal where the scene says so, a complaint that says what to write elsewhere."""
    if mantissa.count(",") > 1 or "." in mantissa:
        raise complain("thousands", at, found=figures, instead=_ungrouped(mantissa, "," if decimal_comma else "."))
    if decimal_comma:
        return mantissa.replace(",", ".")
    whole, _, rest = mantissa.partition(",")
    if len(rest) == 3 and whole.strip("0"):
        raise complain("thousands", at, found=figures, instead=f"{whole}{rest}, or {whole}.{rest} with a decimal point")
    raise complain("decimal-comma", at, found=figures, instead=f"{whole}.{rest}")


def _ungrouped(mantissa: str, mark: str) -> str:
    """A number without what groups its figures: of commas and points the last one, where it stands alone of its kind, is the decimal mark."""
    last = max(",.", key=mantissa.rfind)
    whole, _, decimals = mantissa.rpartition(last) if mantissa.count(last) == 1 else (mantissa, "", "")
    return whole.replace(",", "").replace(".", "") + (mark + decimals if decimals else "")
