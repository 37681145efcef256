"""How long reading a line takes, against SymPy's own parser on the same lines.

SymPy's parser is only a yardstick here, on lines of our own: it runs what it is given, so no student's text may reach it.
It gets help that a student would not give: letters declared, every product written with a star.
"""

from __future__ import annotations

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from plusway.autograde.reading import Vocabulary, read, to_mathml
from plusway.lessons import catalogue

LINES = [
    # as a student types it, as SymPy needs it
    ("T - 63.7 = 6.5a", "T - 63.7 - 6.5*a"),
    ("m_2 g - T = m_2 a", "m_2*g - T - m_2*a"),
    ("88.2 − (6.5a + 63.7) = 9a", "88.2 - (6.5*a + 63.7) - 9*a"),
    ("a = (m_2 - m_1)g/(m_1 + m_2)", "a - (m_2 - m_1)*g/(m_1 + m_2)"),
]


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return Vocabulary.of(catalogue.find("feed-sack"))


@pytest.mark.parametrize("line", [ours for ours, _ in LINES])
def test_read(benchmark: BenchmarkFixture, vocabulary: Vocabulary, line: str) -> None:
    """Our reader: 50 µs wanted for an ordinary line."""
    assert benchmark(read, line, vocabulary).lines


@pytest.mark.parametrize("line", [theirs for _, theirs in LINES])
def test_sympy(benchmark: BenchmarkFixture, line: str) -> None:
    """SymPy's parse_expr on the same line, as one expression."""
    import sympy
    from sympy.parsing.sympy_parser import parse_expr

    letters = {name: sympy.Symbol(name) for name in ("T", "a", "g", "m_1", "m_2")}
    assert benchmark(parse_expr, line, local_dict=letters) is not None


def test_unit_or_letter(benchmark: BenchmarkFixture, vocabulary: Vocabulary) -> None:
    """A line with two readings is parsed twice."""
    assert len(benchmark(read, "T = 0.5 m", vocabulary).lines) == 2


def test_mathml(benchmark: BenchmarkFixture, vocabulary: Vocabulary) -> None:
    """Printing what is shown under the line while it is typed."""
    line = read("a = (m_2 - m_1)g/(m_1 + m_2)", vocabulary).lines[0]
    assert benchmark(to_mathml, line)


def test_vocabulary(benchmark: BenchmarkFixture) -> None:
    """The vocabulary of a scene, made once for each scene."""
    assert benchmark(Vocabulary.of, catalogue.find("feed-sack")).symbols
