"""Polynomials as the mechanics uses them: written out, compared, split at the unknowns."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plusway.autograde.algebra import Poly

x, y = Poly.symbol("x"), Poly.symbol("y")


@pytest.mark.parametrize(("poly", "text"), [
    (Poly(), "0"), (Poly.const(-2), "-2"), (x, "x"), (-x, "-x"), (x * x * y - x, "-x + x^2*y"), (3 - x * 2, "3 - 2*x"),
    (x * Fraction(1, 2) + y, "1/2*x + y"),
])  # fmt: skip
def test_a_polynomial_writes_itself_out(poly: Poly, text: str) -> None:
    """Term by term, in the order of the alphabet, for whoever debugs."""
    assert (str(poly), repr(poly)) == (text, f"Poly({text})")


def test_equal_polynomials_are_one_in_a_set() -> None:
    """Equal means the same terms, however they were put together; nothing else is equal to a polynomial."""
    assert {x + y, y + x, (x + y) * 1} == {x + y}
    assert x - x == Poly()
    assert not x - x
    assert x != "x"


def test_what_is_linear_is_split_at_its_unknowns() -> None:
    """Each unknown gets its coefficient, and the rest is left."""
    parts, rest = (x * y * 2 + y - 7).linear_in(["x"])
    assert parts == {"x": y * 2}
    assert rest == y - 7


@pytest.mark.parametrize("poly", [x * x, x * y])
def test_what_is_not_linear_is_told(poly: Poly) -> None:
    """A product of unknowns has no coefficient."""
    with pytest.raises(ValueError, match="not linear"):
        poly.linear_in(["x", "y"])
