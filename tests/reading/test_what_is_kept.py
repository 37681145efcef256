"""What a tree keeps of the line: figures, units, places, order, labels, and remarks on what was read between the lines."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plusway.autograde.reading import Group, Name, Number, Product, Sum, Vocabulary, read


def number(text: str, vocabulary: Vocabulary) -> Number:
    """The number on the right of T = ..."""
    node = read(f"T = {text}", vocabulary).lines[0].sides[1]
    assert isinstance(node, Number)
    return node


@pytest.mark.parametrize(
    ("text", "value", "half"),
    [
        ("63.7", "63.7", "0.05"),
        ("63.70", "63.7", "0.005"),
        ("88", "88", "0.5"),
        ("0.050", "0.05", "0.0005"),
        (".5", "0.5", "0.05"),
        ("1.2e3", "1200", "50"),
        ("1.2 x 10^3", "1200", "50"),
        ("1.2×10³", "1200", "50"),
        ("1.20e-2", "0.012", "0.00005"),
        ("½", "0.5", "0"),
        ("1½", "1.5", "0"),
        ("¾", "0.75", "0"),
    ],
)
def test_figures(text: str, value: str, half: str, hanging: Vocabulary) -> None:
    """A number keeps its figures, and half a unit in the last of them."""
    got = number(text, hanging)
    assert (got.value, got.half, got.text) == (Fraction(value), Fraction(half), text)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("74 N", "74", "N"),
        ("74N", "74", "N"),
        ("0.074 kN", "74", "N"),
        ("74 newtons", "74", "N"),
        ("74 (N)", "74", "N"),
        ("6.5 kg", "6.5", "kg"),
        ("1.58 m/s^2", "1.58", "m/s^2"),
        ("1.58 m/s²", "1.58", "m/s^2"),
        ("1.58 m/s2", "1.58", "m/s^2"),
        ("1.58 m/s ²", "1.58", "m/s^2"),
        (r"1.58 \text{ m/s}²", "1.58", "m/s^2"),
        ("1.58 m/s/s", "1.58", "m/s^2"),
        ("1.58 m s^-2", "1.58", "m/s^2"),
        ("1.58 m s^{-2}", "1.58", "m/s^2"),
        ("1.58 m s⁻²", "1.58", "m/s^2"),
        ("1.58 ms^-2", "1.58", "m/s^2"),
        ("1.58ms-2", "1.58", "m/s^2"),
        ("1.58 N/kg", "1.58", "m/s^2"),
        ("158 cm/s^2", "1.58", "m/s^2"),
        ("1.58 meters per second squared", "1.58", "m/s^2"),
        ("1.58 metres per second per second", "1.58", "m/s^2"),
        (r"1.58 \mathrm{m/s^2}", "1.58", "m/s^2"),
        (r"1.58\,\text{m}/\text{s}^2", "1.58", "m/s^2"),
        (r"1.58 \frac{m}{s^2}", "1.58", "m/s^2"),
        ("3.1 m/s", "3.1", "m/s"),
        ("36 km/h", "10", "m/s"),
        ("12 cm", "0.12", "m"),
        ("1.2 s", "1.2", "s"),
        ("5 min", "300", "s"),
        ("13.2 rad/s^2", "13.2", "rad/s^2"),
        ("13.2 rad s⁻²", "13.2", "rad/s^2"),
        ("13.2 s^-2", "13.2", "1/s^2"),
        ("13.2 1/s^2", "13.2", "1/s^2"),
        ("0.03 kg m^2", "0.03", "kg m^2"),
        ("0.03 kg·m²", "0.03", "kg m^2"),
        ("0.03 kgm^2", "0.03", "kg m^2"),
        ("0.03 kg*m^2", "0.03", "kg m^2"),
        ("0.1 N m", "0.1", "N m"),
        ("0.1 N·m", "0.1", "N m"),
        ("0.1 Nm", "0.1", "N m"),
        ("5 kg m/s^2", "5", "N"),
        ("5 J", "5", "J"),
        ("30°", "30", "deg"),
        ("30 deg", "30", "deg"),
        ("30^\\circ", "30", "deg"),
        ("0.5 rad", "0.5", "rad"),
    ],
)
def test_units(text: str, value: str, unit: str, hanging: Vocabulary) -> None:
    """A unit is read in every usual spelling, and the value is in the coherent SI unit."""
    got = number(text, hanging)
    assert (got.value, got.unit) == (Fraction(value), unit)


def test_half_goes_with_the_unit(hanging: Vocabulary) -> None:
    """158 cm/s^2 is good to half a centimetre per second squared."""
    assert number("158 cm/s^2", hanging).half == Fraction(1, 200)


@pytest.mark.parametrize(
    ("line", "first", "second"),
    [
        ("T = 0.5 m", "number", "product"),
        ("T = 63.7 g", "product", "number"),
        ("m_1 = 500 g", "number", "product"),
    ],
)
def test_unit_or_letter_keeps_both_readings(line: str, first: str, second: str, hanging: Vocabulary) -> None:
    """A unit that is also a letter of the scene is read both ways, the likelier first."""
    lines = read(line, hanging).lines
    assert [type(meant.sides[1]).__name__.lower() for meant in lines] == [first, second]


def test_coefficient_before_n_is_no_newton(wheel: Vocabulary) -> None:
    """0.2 N is mu N where 0.2 is the coefficient, and 0.3 newtons would be a rare friction."""
    first, second = (meant.sides[1] for meant in read("f = 0.2 N", wheel).lines)
    assert isinstance(first, Product)
    assert isinstance(second, Number)


def test_one_letter_means_the_same_all_along_a_line(wheel: Vocabulary) -> None:
    """mu may be either coefficient, but not both in one line."""
    from plusway.autograde.reading import to_text

    assert [to_text(meant) for meant in read("mu N - mu W_1", wheel).lines] == [
        "mu_k N_1 - mu_k W_1",
        "mu_s N_1 - mu_s W_1",
    ]


def test_spots_hold_the_sign(hanging: Vocabulary) -> None:
    """Each term's spot takes its sign in, so that a message can point at "- 63.7"."""
    line = "T - 63.7 = 6.5a"
    total = read(line, hanging).lines[0].sides[0]
    assert isinstance(total, Sum)
    assert [line[a:b] for a, b in total.spots] == ["T", "- 63.7"]


def test_places_are_those_of_the_text_as_typed(hanging: Vocabulary) -> None:
    """Look-alike characters and lead words do not shift places."""
    line = "so 𝑇 − m₁g = m₁a"
    left = read(line, hanging).lines[0].sides[0]
    assert isinstance(left, Sum)
    assert [line[a:b] for a, b in left.spots] == ["𝑇", "− m₁g"]


@pytest.mark.parametrize("line", ["Т = 5а", "Τ = 5a", "𝑇 = 5𝑎", "Ｔ＝５ａ", "T\u200a=\u202f5a", "T = 5\u2009a"])
def test_look_alikes_are_the_letters_they_look_like(line: str, hanging: Vocabulary) -> None:
    """Cyrillic, Greek, italic and full-width letters and thin spaces come with pasted text."""
    meant = read(line, hanging).lines[0]
    assert meant.sides[0] == Name("T", line[0], (0, 1))
    assert isinstance(meant.sides[1], Product)


def test_a_parenthesis_stays_visible(hanging: Vocabulary) -> None:
    """2(a + 1) is a product with a group in it."""
    node = read("2(a+1)", hanging).lines[0].sides[0]
    assert isinstance(node, Product)
    assert isinstance(node.factors[1][1], Group)


@pytest.mark.parametrize(
    ("line", "label", "note"),
    [
        ("T - 63.7 = 6.5a (2)", "2", ""),
        ("T - 63.7 = 6.5a ... (ii)", "ii", ""),
        ("(1) T - 63.7 = 6.5a", "1", ""),
        ("T - 63.7 = 6.5a ③", "3", ""),
        ("T = 74 N (up)", "", "up"),
        ("T = 74 N down the slope", "", "down the slope"),
        ("T = 74 N ↑", "", "↑"),
        ("T = 74 N (to the right) (4)", "4", "to the right"),
        ("T = 2(5)", "", ""),
    ],
)
def test_labels_and_notes(line: str, label: str, note: str, hanging: Vocabulary) -> None:
    """What stands around the equation is kept apart from it."""
    meant = read(line, hanging).lines[0]
    assert (meant.label, meant.note) == (label, note)


@pytest.mark.parametrize(
    ("line", "remark"),
    [
        ("T = m a", "“m” alone may be any of the masses here: m_1 and m_2."),
        ("a = T/2g", "“/2g” was read from left to right. Write /(2g) if you mean all of it."),
        ("sack: T - W_1 = m_1 a", "“sack:” was taken as a heading."),
        ("T = W_1 (because nothing moves)", "“(because nothing moves)” was taken as a remark."),
    ],
)
def test_remarks(line: str, remark: str, hanging: Vocabulary) -> None:
    """What was read between the lines is said."""
    assert read(line, hanging).remarks == (remark,)


def test_a_letter_of_several_stays_itself(wheel: Vocabulary) -> None:
    """T in a scene of T_1 and T_2 is the name T, so that the judge can name the slip."""
    assert read("T = 5", wheel).lines[0].sides[0] == Name("T", "T", (0, 1))
    assert "T" not in wheel.symbols


def test_a_is_never_resolved(hanging: Vocabulary) -> None:
    """The one acceleration that all share keeps its own name."""
    assert read("a", hanging).lines[0].sides[0] == Name("a", "a", (0, 1))


def test_a_condition_is_a_line_of_its_own(hanging: Vocabulary) -> None:
    """A limiting case keeps its condition."""
    meant = read("m_2 >> m_1 => a ≈ g", hanging).lines[0]
    assert meant.condition is not None
    assert (meant.condition.relations, meant.relations) == ((">>",), ("≈",))
