"""One tree printed as MathML, as spoken text, as plain text and as LaTeX, in the student's own order."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from plusway.autograde.reading import Complaint, Vocabulary, read, to_latex, to_mathml, to_speech, to_text

LINES = [
    # line, spoken, LaTeX
    ("T - m_1 g = m_1 a", "T minus m 1 g equals m 1 a", r"T - m_{1}\,g = m_{1}\,a"),
    ("m_1 a = T - m_1 g", "m 1 a equals T minus m 1 g", r"m_{1}\,a = T - m_{1}\,g"),
    (
        "2(a+1)/3",
        "2 open parenthesis a plus 1 close parenthesis over 3",
        r"\frac{2\,\left(a + 1\right)}{3}",
    ),
    ("(a+1)/2", "open parenthesis a plus 1 close parenthesis over 2", r"\frac{a + 1}{2}"),
    ("½ M R^2 α", "one half M R squared alpha", r"\tfrac{1}{2}\,M\,R^{2}\,\alpha"),
    ("f ≤ μ_s N", "f 1 is at most mu s N 1", r"f_{1} \le \mu_{s}\,N_{1}"),
    ("sin^2 θ", "sine squared of theta", r"\sin^{2} \theta"),
    ("a = √(2 g R)", "a equals square root of open parenthesis 2 g R close parenthesis", r"a = \sqrt{2\,g\,R}"),
    ("a = (g/R)^0.5", "a equals square root of open parenthesis g over R close parenthesis", r"a = \sqrt{\frac{g}{R}}"),
    ("a = \\sqrt{2}", "a equals square root of 2", r"a = \sqrt{2}"),
    ("sin(30)", "sine of 30 degrees", r"\sin 30"),
    (
        "cos(90° - θ)",
        "cosine of open parenthesis 90 degrees minus theta close parenthesis",
        r"\cos\left(90^\circ - \theta\right)",
    ),
    ("a = 1.58 m/s²", "a equals 1.58 metres per second squared", r"a = 1.58\,\mathrm{m/s^{2}}"),
    ("a = 1.58 m s⁻²", "a equals 1.58 metres per second squared", r"a = 1.58\,\mathrm{m\,s^{-2}}"),
    ("T_1 = 1.2 x 10^3 N", "T 1 equals 1.2 times 10 to the 3 newtons", r"T_{1} = 1.2 \times 10^{3}\,\mathrm{N}"),
    ("-a_1 = a_2 * 2", "minus a 1 equals a 2 times 2", r"-a_{1} = a_{2} \cdot 2"),
    ("W_1 < T_1 < W_2", "W 1 is less than T 1 is less than W 2", r"W_{1} < T_{1} < W_{2}"),
    ("if m_1 = m_2: a = 0", "if m 1 equals m 2, then a equals 0", r"m_{1} = m_{2} \Rightarrow a = 0"),
    (
        "T_1 = 5 N (up) (2)",
        "T 1 equals 5 newtons, up, equation 2",
        r"T_{1} = 5\,\mathrm{N} \quad (\text{up}) \qquad (\text{2})",
    ),
]


@pytest.mark.parametrize(("line", "spoken", "latex"), LINES)
def test_is_spoken(line: str, spoken: str, latex: str, wheel: Vocabulary) -> None:
    """The spoken text is what a teacher would say at the board."""
    assert to_speech(read(line, wheel).lines[0]) == spoken


@pytest.mark.parametrize(("line", "spoken", "latex"), LINES)
def test_is_set_in_latex(line: str, spoken: str, latex: str, wheel: Vocabulary) -> None:
    """LaTeX keeps order and parentheses, and puts divisions into fractions."""
    assert to_latex(read(line, wheel).lines[0]) == latex


@pytest.mark.parametrize(("line", "spoken", "latex"), LINES)
def test_mathml_is_well_formed_and_speaks(line: str, spoken: str, latex: str, wheel: Vocabulary) -> None:
    """MathML is well-formed XML whose alternative text is the spoken one."""
    root = ElementTree.fromstring(to_mathml(read(line, wheel).lines[0]))
    assert root.tag == "{http://www.w3.org/1998/Math/MathML}math"
    assert root.attrib["alttext"] == spoken


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("T_1 - m_1 g = m_1 a", "T1−m1g=m1a"),
        ("m_1 a = T_1 - m_1 g", "m1a=T1−m1g"),
        ("½ M R^2 α", "½MR2α"),
        ("μ_k N", "μkN1"),
        ("2(a+1)", "2(a+1)"),
        ("a ≤ g", "a≤g"),
        ("T_1 = 5 kg m^2", "T1=5kg m²"),
    ],
)
def test_mathml_keeps_the_order(line: str, shown: str, wheel: Vocabulary) -> None:
    """The letters of the MathML, read from left to right, are the student's."""
    root = ElementTree.fromstring(to_mathml(read(line, wheel).lines[0]))
    text = "".join(root.itertext()).replace("\u2062", "").replace("\u2061", "")
    assert text == shown


def test_a_division_is_a_fraction(hanging: Vocabulary) -> None:
    """All that stands before the stroke goes above the bar, without its parentheses."""
    root = ElementTree.fromstring(to_mathml(read("(m_2 - m_1)/(m_1 + m_2) g", hanging).lines[0]))
    space = "{http://www.w3.org/1998/Math/MathML}"
    (fraction,) = root.iter(f"{space}mfrac")
    top, bottom = ("".join(part.itertext()) for part in fraction)
    assert (top, bottom) == ("m2−m1", "m1+m2")


def test_markup_in_a_remark_is_text(hanging: Vocabulary) -> None:
    """What a student writes never becomes an element."""
    for line in ("T = 5 (<b>up</b>)", "T = 5 (<script>alert(1)</script>)", "T = 5 <b>", 'T = 5 ("><img src=x>)'):
        try:
            shown = to_mathml(read(line, hanging).lines[0])
        except Complaint:
            continue
        assert "<b>" not in shown
        assert "<script" not in shown
        assert "<img" not in shown


def test_a_node_prints_too(hanging: Vocabulary) -> None:
    """Messages print single terms."""
    term = read("T - m_1 g = m_1 a", hanging).lines[0].sides[1]
    assert (to_text(term), to_speech(term), to_latex(term)) == ("m_1 a", "m 1 a", r"m_{1}\,a")
    assert to_mathml(term).startswith("<math")
