"""Results as students give them: value, figures, unit, sign, direction word."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plusway.autograde.reading import Complaint, Vocabulary, read_result, to_text


@pytest.mark.parametrize(
    ("text", "value", "half", "unit"),
    [
        ("1.58 m/s^2", "1.58", "0.005", "m/s^2"),
        ("-1.58 m/s²", "-1.58", "0.005", "m/s^2"),
        ("−1.58", "-1.58", "0.005", ""),
        ("+1.58 m/s^2", "1.58", "0.005", "m/s^2"),
        ("a = 1.58 m/s^2", "1.58", "0.005", "m/s^2"),
        ("a is 1.58 m/s^2", "1.58", "0.005", "m/s^2"),
        ("a ≈ 1.58 m/s^2", "1.58", "0.005", "m/s^2"),
        ("(1.58 m/s^2)", "1.58", "0.005", "m/s^2"),
        ("1.58 m/s^2.", "1.58", "0.005", "m/s^2"),
        ("1.58m/s2", "1.58", "0.005", "m/s^2"),
        ("158 cm/s^2", "1.58", "0.005", "m/s^2"),
        ("74.0 N", "74", "0.05", "N"),
        ("74 N up", "74", "0.5", "N"),
        ("74 Newtons", "74", "0.5", "N"),
        ("about 74 N", "74", "0.5", "N"),
        ("approximately 74 N", "74", "0.5", "N"),
        ("~74 N", "74", "0.5", "N"),
        ("0.074 kN", "74", "0.5", "N"),
        ("7.4 x 10^1 N", "74", "0.5", "N"),
        ("74", "74", "0.5", ""),
        ("74 kg", "74", "0.5", "kg"),
        ("74 J", "74", "0.5", "J"),
        ("24.5/15.5", "49/31", "0", ""),
        ("24.5/15.5 m/s²", "49/31", "0", "m/s^2"),
        ("a = 24.5/15.5 = 1.58 m/s²", "1.58", "0.005", "m/s^2"),
        ("2(5+3)/4 N", "4", "0", "N"),
        ("zero", "0", "0.5", ""),
    ],
)
def test_value_and_unit(text: str, value: str, half: str, unit: str, hanging: Vocabulary) -> None:
    """The value is exact and in SI, with half a unit in its last figure."""
    got = read_result(text, hanging)
    assert (got.value, got.half, got.unit) == (Fraction(value), Fraction(half), unit)


@pytest.mark.parametrize(
    ("text", "shown"), [("g/4", "g/4"), ("3g/7", "3g/7"), ("a = 3/7 g", "3/7 g"), ("m_1 g", "m_1 g")]
)
def test_expression(text: str, shown: str, hanging: Vocabulary) -> None:
    """A result may be an expression: it has a tree and no value."""
    got = read_result(text, hanging)
    assert (got.value, to_text(got.node)) == (None, shown)


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("74 N up", "up"),
        ("74 N (upwards)", "upwards"),
        ("1.58 m/s^2 down the slope", "down the slope"),
        ("74 N ↑", "↑"),
        ("74 N", ""),
    ],
)
def test_direction_word(text: str, note: str, hanging: Vocabulary) -> None:
    """A direction word after a result is kept."""
    assert read_result(text, hanging).note == note


def test_figures_as_typed(hanging: Vocabulary) -> None:
    """Sign and figures are kept as they were typed."""
    got = read_result("a = -4.50 m/s^2", hanging)
    assert (got.text, got.symbol, got.unit_text, got.at) == ("-4.50", "a", "m/s^2", (4, 15))


def test_the_unit_that_fits_comes_first(wheel: Vocabulary) -> None:
    """Of newtons and a product with N_1 the one that fits what was asked comes first; the other is kept."""
    got = read_result("42.4 N", wheel, "N_1")
    assert (got.unit, len(got.others)) == ("N", 1)


def test_decimal_comma(vocabularies: dict[str, Vocabulary]) -> None:
    """Where the scene says so a comma is a decimal comma; elsewhere the complaint shows the point."""
    got = read_result("1,58 m/s^2", vocabularies["comma"])
    assert (got.value, got.half, got.text) == (Fraction("1.58"), Fraction("0.005"), "1,58")
    with pytest.raises(Complaint) as caught:
        read_result("1,58 m/s^2", vocabularies["hanging"])
    assert caught.value.says == "“1,58” has a comma in it. Write the number with a decimal point: 1.58."
