"""Results as students give them: value, figures, unit, sign, direction word."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plusway.autograde.reading import Complaint, Vocabulary, read_value, to_text
from plusway.autograde.reading.tree import Group, Line, Node, Number, Sum


def value(line: Line) -> Node:
    """The tree of the value: the last side, its parenthesis open."""
    node = line.sides[-1]
    return node.inner if isinstance(node, Group) else node


def signed(node: Node) -> tuple[int, Number]:
    """A number and the sign before it."""
    if isinstance(node, Sum):
        ((sign, node),) = node.terms
        return sign, signed(node)[1]
    assert isinstance(node, Number)
    return 1, node


@pytest.mark.parametrize(
    ("text", "size", "half", "unit"),
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
        ("a = 24.5/15.5 = 1.58 m/s²", "1.58", "0.005", "m/s^2"),
        ("zero", "0", "0.5", ""),
    ],
)
def test_value_and_unit(text: str, size: str, half: str, unit: str, hanging: Vocabulary) -> None:
    """The value is exact and in SI, with half a unit in its last figure."""
    sign, number = signed(value(read_value(text, hanging).lines[0]))
    assert (sign * number.value, number.half, number.unit) == (Fraction(size), Fraction(half), unit)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("g/4", "g/4"),
        ("3g/7", "3g/7"),
        ("a = 3/7 g", "3/7 g"),
        ("m_1 g", "m_1 g"),
        ("24.5/15.5 m/s²", "24.5/15.5 m/s²"),
        ("2(5+3)/4 N", "2(5 + 3)/4 N"),
    ],
)
def test_expression(text: str, shown: str, hanging: Vocabulary) -> None:
    """A result may be an expression, of letters or of numbers."""
    assert to_text(value(read_value(text, hanging).lines[0])) == shown


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
    assert read_value(text, hanging).lines[0].note == note


def test_figures_as_typed(hanging: Vocabulary) -> None:
    """Sign, figures and place are kept as they were typed."""
    node = value(read_value("a = -4.50 m/s^2", hanging).lines[0])
    sign, number = signed(node)
    assert (sign, number.text, number.unit_text, node.at) == (-1, "4.50", "m/s^2", (4, 15))


def test_a_unit_that_is_a_letter_too_is_read_both_ways(wheel: Vocabulary) -> None:
    """42.4 N is newtons, or a product with N_1."""
    assert [type(value(line)).__name__ for line in read_value("42.4 N", wheel).lines] == ["Number", "Product"]


def test_decimal_comma(vocabularies: dict[str, Vocabulary]) -> None:
    """Where the scene says so a comma is a decimal comma; elsewhere the complaint shows the point."""
    _, number = signed(value(read_value("1,58 m/s^2", vocabularies["comma"]).lines[0]))
    assert (number.value, number.half, number.text) == (Fraction("1.58"), Fraction("0.005"), "1,58")
    with pytest.raises(Complaint) as caught:
        read_value("1,58 m/s^2", vocabularies["hanging"])
    assert caught.value.says == "“1,58” has a comma in it. Write the number with a decimal point: 1.58."


GROUPED = [
    # (scene, as typed, what to write instead): where both marks stand, the last one is the decimal mark
    ("hanging", "1,715 m/s^2", "1715, or 1.715 with a decimal point"),
    ("hanging", "12,500.5 N", "12500.5"),
    ("hanging", "12.500,5 N", "12500.5"),
    ("hanging", "1,250,000 N", "1250000"),
    ("comma", "12.500,5 N", "12500,5"),
    ("comma", "12,500.5 N", "12500,5"),
    ("comma", "1,250,000 N", "1250000"),
]


@pytest.mark.parametrize(("scene", "text", "instead"), GROUPED)
def test_no_number_is_grouped_by_thousands(vocabularies: dict[str, Vocabulary], scene: str, text: str, instead: str) -> None:
    """A comma or a point between figures has one meaning; the complaint shows the number as this class writes it."""
    with pytest.raises(Complaint) as caught:
        read_value(text, vocabularies[scene])
    assert caught.value.says == f"“{text.split()[0]}” is no number here: none is grouped by thousands. Write {instead}."


def test_three_decimals_after_a_comma_are_decimals_where_the_class_writes_a_comma(vocabularies: dict[str, Vocabulary]) -> None:
    """1,715 is a little less than two there, in a result as in a line."""
    _, number = signed(value(read_value("1,715 m/s^2", vocabularies["comma"]).lines[0]))
    assert number.value == Fraction("1.715")
