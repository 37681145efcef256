"""Reading a line, against SymPy's own parser on the same lines.

SymPy's parser is only a yardstick here, on lines of our own: it runs what it is given, so no student's text may reach it.
It gets help that a student would not give: letters declared, every product written with a star.
"""

from __future__ import annotations

from ratios import Ratio, side_by_side, times

from plusway.autograde.reading import Vocabulary, read, to_mathml
from plusway.lessons import catalogue

LINES = [
    # as a student types it, as SymPy needs it
    ("T - 63.7 = 6.5a", "T - 63.7 - 6.5*a"),
    ("m_2 g - T = m_2 a", "m_2*g - T - m_2*a"),
    ("88.2 − (6.5a + 63.7) = 9a", "88.2 - (6.5*a + 63.7) - 9*a"),
    ("a = (m_2 - m_1)g/(m_1 + m_2)", "a - (m_2 - m_1)*g/(m_1 + m_2)"),
]
PARSER = "SymPy's parse_expr"


def measure() -> list[Ratio]:
    """Each line of the table, a line with two readings, and what is shown while a line is typed."""
    import sympy
    from sympy.parsing.sympy_parser import parse_expr

    vocabulary = Vocabulary.of(catalogue.find("feed-sack"))
    letters = {name: sympy.Symbol(name) for name in ("T", "a", "g", "m_1", "m_2")}
    rows = []
    for ours, theirs in LINES:
        pair = side_by_side(lambda ours=ours: read(ours, vocabulary), lambda theirs=theirs: parse_expr(theirs, local_dict=letters))
        rows.append(times(f"read `{ours}`", *pair, PARSER, note="wanted: under 50 µs; SymPy gets every product starred"))
    pair = side_by_side(lambda: read("T = 0.5 m", vocabulary), lambda: parse_expr("T - 0.5*m_1", local_dict=letters))
    rows.append(times("read `T = 0.5 m`, which has two readings", *pair, PARSER))
    line = read(LINES[-1][0], vocabulary).lines[0]
    left = parse_expr("(m_2 - m_1)*g/(m_1 + m_2)", local_dict=letters)
    pair = side_by_side(lambda: to_mathml(line), lambda: sympy.mathml(left, printer="presentation"))
    rows.append(times("MathML of the last line", *pair, "SymPy's mathml of its right side"))
    return rows
