"""Numbers, powers of ten and units as students type them; several readings where a letter may be a unit, likeliest first."""

from __future__ import annotations

from collections.abc import Callable

import pytest

HANGING: list[tuple[str, ...]] = [
    ("63.7 N - T = 6.5 kg * a", "63.7 N - T = 6.5 kg * a"),
    ("a = 24.5/15.5 = 1.58 m/s²", "a = 24.5/15.5 = 1.58 m/s²"),
    ("a=24.5 N/15.5 kg=1.58m/s^2", "a = 24.5 N/15.5 kg = 1.58 m/s^2"),
    ("T = 74.0 (N)", "T = 74.0 N"),
    ("T = 74.0 [N]", "T = 74.0 N"),
    ("T = 74.0 newtons", "T = 74.0 newtons"),
    ("T=1.2e3", "T = 1.2e3"),
    ("T = 1.2E3 N", "T = 1.2E3 N"),
    ("T = 1.2 x 10^3 N", "T = 1.2 x 10^3 N"),
    ("T = 1.2×10^3", "T = 1.2×10^3"),
    ("T = 1.2*10^3", "T = 1.2*10^3"),
    ("T = 1.2·10³ N", "T = 1.2·10³ N"),
    (r"T = 1.2 \times 10^{3}", r"T = 1.2 \times 10^{3}"),
    ("a = 5.0e-2", "a = 5.0e-2"),
    ("a = 1.2 x 10^-2", "a = 1.2 x 10^-2"),
    ("T = .5 a", "T = .5a"),
    ("T = 5. a", "T = 5a"),
    ("a = 1.58 m s^-2", "a = 1.58 m s^-2"),
    ("a = 1.58 ms^-2", "a = 1.58 ms^-2"),
    ("a = 1.58 m s⁻²", "a = 1.58 m s⁻²"),
    ("a = 1.58 m·s⁻²", "a = 1.58 m·s⁻²"),
    ("a = 1.58 m/s/s", "a = 1.58 m/s/s"),
    ("a = 1.58 m/s2", "a = 1.58 m/s2"),
    ("a = 1.58 ms-2", "a = 1.58 ms-2"),
    ("a = 1.58 m/(s^2)", "a = 1.58 m/(s^2)"),
    ("a = 1.58 m/s**2", "a = 1.58 m/s**2"),
    (r"a = 1.58 \text{ m/s}^2", r"a = 1.58 \text{ m/s}^2"),
    ("a = 1.58 N/kg", "a = 1.58 N/kg"),
    ("a = 1.58 meters per second squared", "a = 1.58 meters per second squared"),
    ("a = 158 cm/s^2", "a = 158 cm/s^2"),
    ("m_1 = 500 g", "m_1 = 500 g", "m_1 = 500g"),
    ("T = 63.7 g", "T = 63.7g", "T = 63.7 g"),
    ("T = 0.5 m", "T = 0.5 m", "T = 0.5m"),
    ("6.5 * 9.8 N", "6.5 * 9.8 N"),
    ("(9 kg)(9.8 m/s^2) - T = (9 kg) a", "(9 kg)(9.8 m/s^2) - T = (9 kg) a"),
    ("9 kg × 9.8 m/s² − T = 9 kg × a", "9 kg * 9.8 m/s² - T = 9 kg * a"),
    ("W_1 = 6.5 kg * 9.8 m/s^2 = 63.7 N", "W_1 = 6.5 kg * 9.8 m/s^2 = 63.7 N"),
    ("T = 7.4 x 10 N", "T = 7.4 * 10 N"),
    ("5kg a = 3", "5 kg a = 3"),
    ("T - 6.5 kg a = 63.7 N", "T - 6.5 kg a = 63.7 N"),
    ("T=74N", "T = 74 N"),
    ("T = 0.5 m a", "T = 0.5m a", "T = 0.5 m a"),
    (r"a = 1.58 \frac{m}{s^2}", r"a = 1.58 \frac{m}{s^2}"),
    (r"a = 1.58 \mathrm{m/s^2}", r"a = 1.58 \mathrm{m/s^2}"),
    (r"a = 1.58\,\mathrm{m}/\mathrm{s}^2", r"a = 1.58 \,\mathrm{m}/\mathrm{s}^2"),
    (r"T = 74\text{ N}", r"T = 74 \text{ N}"),
    ("T = 63.7 + 6.5(1.58) = 74.0 N", "T = 63.7 + 6.5(1.58) = 74.0 N"),
    ("T = 63.7+6.5×1.58=74.0N", "T = 63.7 + 6.5 * 1.58 = 74.0 N"),
    ("T=m1(g+a)=6.5(9.8+1.58)=74.0N", "T = m_1(g + a) = 6.5(9.8 + 1.58) = 74.0 N"),
    ("T = 6.5 g + 6.5 a", "T = 6.5g + 6.5a", "T = 6.5 g + 6.5a"),
    (r"a = \frac{24.5}{15.5} = 1.58\ \text{m/s}^2", r"a = 24.5/15.5 = 1.58 \ \text{m/s}^2"),
    ("T = (63.7 + 6.5 a) N", "T = (63.7 + 6.5a)"),
    ("T = 63.7 N + 6.5 kg a", "T = 63.7 N + 6.5 kg a"),
    ("T = 63.7 N + (6.5 kg)(1.58 m/s^2)", "T = 63.7 N + (6.5 kg)(1.58 m/s^2)"),
    ("T = 63.7N+6.5kg·1.58m/s²", "T = 63.7 N + 6.5 kg * 1.58 m/s²"),
    ("a = 24.5 N/(15.5 kg)", "a = 24.5 N/(15.5 kg)"),
    ("a=2.5/15.5g", "a = 2.5/15.5 g"),
    ("a = 2.5/15.5 g", "a = 2.5/15.5 g"),
    ("a= 0.161g", "a = 0.161g"),
    ("T = 6.5a N", "T = 6.5a"),
]

COMMA: list[tuple[str, ...]] = [
    ("T - 63,7 = 6,5a", "T - 63,7 = 6,5a"),
    ("a = 1,58 m/s²", "a = 1,58 m/s²"),
    ("T - 63.7 = 6.5a", "T - 63.7 = 6.5a"),
]


@pytest.mark.parametrize(("line", "expected"), [(line, expected) for line, *expected in HANGING])
def test_numbers_and_units_are_read(line: str, expected: list[str], reads_as: Callable[[str, str, list[str]], None]) -> None:
    """A unit stays with its number, however it is written; m and g are units only where they may be."""
    reads_as("hanging", line, expected)


@pytest.mark.parametrize(("line", "expected"), [(line, expected) for line, *expected in COMMA])
def test_a_decimal_comma_is_read_where_the_class_writes_one(line: str, expected: list[str], reads_as: Callable[[str, str, list[str]], None]) -> None:
    """Figures stay as written, and a point is still a decimal mark."""
    reads_as("comma", line, expected)
