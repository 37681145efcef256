"""Knowledge tracing against an independent model, a worked example, and the laws that it must keep."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.errors import PluswayError
from plusway.lessons.practice.skills import SKILLS
from plusway.lessons.practice.tracing import HELPED, RIGHT, WRONG, Parameters, after, expected, posterior, trace

CHANCES = st.fractions(min_value=0, max_value=1, max_denominator=50)
PARAMETERS = (
    st.tuples(CHANCES, CHANCES, CHANCES, CHANCES).filter(lambda t: t[2] + t[3] < 1).map(lambda t: Parameters(*t))
)
OUTCOMES = st.lists(st.sampled_from([RIGHT, WRONG, HELPED]), max_size=8)
BOTH = st.lists(st.sampled_from([RIGHT, WRONG]), max_size=8)


def forward(outcomes: Sequence[str], q: Parameters) -> list[Fraction]:
    """The oracle: the forward algorithm of a hidden Markov model with two states (unknown, known), as L. R. Rabiner, Proc. IEEE 77,
    257 (1989), writes it: a row vector of joint probabilities, times a diagonal matrix of emissions, times the matrix of transitions."""
    start = [1 - q.known, q.known]
    transitions = [[1 - q.learn, q.learn], [0, 1]]
    emissions = {RIGHT: [q.guess, 1 - q.slip], WRONG: [1 - q.guess, q.slip], HELPED: [1, 1]}
    row, out = start, [Fraction(start[1])]
    for outcome in outcomes:
        seen = [row[i] * emissions[outcome][i] for i in (0, 1)]
        row = [sum(seen[i] * transitions[i][j] for i in (0, 1)) for j in (0, 1)]
        out.append(row[1] / Fraction(sum(row)))
    return out


def possible(outcomes: Sequence[str], q: Parameters) -> bool:
    """Whether the model holds these outcomes possible at all."""
    p = q.known
    for outcome in outcomes:
        right = expected(p, q)
        if (outcome == RIGHT and right == 0) or (outcome == WRONG and right == 1):
            return False
        p = after(p, outcome, q)
    return True


@given(OUTCOMES, PARAMETERS)
def test_tracing_is_the_forward_algorithm(outcomes: list[str], parameters: Parameters) -> None:
    """Exactly, in fractions, for any parameters and any answers that they allow."""
    if possible(outcomes, parameters):
        assert list(trace(outcomes, parameters)) == forward(outcomes, parameters)


def test_an_example_worked_by_hand() -> None:
    """p(L0) 0.5, p(T) 0.1, p(G) 0.2, p(S) 0.1: right, then wrong, then right, each fraction worked out on paper."""
    parameters = Parameters(Fraction(1, 2), Fraction(1, 10), Fraction(1, 5), Fraction(1, 10))
    # right: .45/(.45+.10) = 9/11, then 9/11 + 2/11 * 1/10 = 46/55
    # wrong: .0836../(.0836..+.1309..) = 23/59, then 23/59 + 36/59 * 1/10 = 133/295
    # right: (133*9)/(133*9 + 162*2) = 1197/1521 = 133/169, then 133/169 + 36/169 * 1/10 = 683/845
    expected_values = [Fraction(1, 2), Fraction(46, 55), Fraction(133, 295), Fraction(683, 845)]
    assert list(trace([RIGHT, WRONG, RIGHT], parameters)) == expected_values


@given(CHANCES, PARAMETERS)
def test_a_right_answer_never_speaks_against_a_skill(p: Fraction, parameters: Parameters) -> None:
    """Nor a wrong one for it, before anything is learned from the occasion."""
    assert posterior(p, False, parameters) <= p <= posterior(p, True, parameters)


@given(CHANCES, PARAMETERS)
def test_on_average_an_answer_changes_nothing(p: Fraction, parameters: Parameters) -> None:
    """Bayes' rule is a martingale: weighted by how likely each answer is, p stays what it was."""
    right = expected(p, parameters)
    if 0 < right < 1:
        assert right * posterior(p, True, parameters) + (1 - right) * posterior(p, False, parameters) == p


@given(BOTH, PARAMETERS)
def test_every_value_is_a_probability(outcomes: list[str], parameters: Parameters) -> None:
    """From 0 to 1, whatever is answered."""
    assert all(0 <= p <= 1 for p in trace(outcomes, parameters))


def test_a_right_answer_after_a_hint_only_teaches() -> None:
    """It moves p by p(T), not by Bayes' rule."""
    parameters = Parameters(0.3, 0.2, 0.1, 0.1)
    assert after(0.3, HELPED, parameters) == pytest.approx(0.3 + 0.7 * 0.2)


@pytest.mark.parametrize(
    ("values", "says"),
    [((1.2, 0, 0, 0), "known is 1.2"), ((0.3, -0.1, 0, 0), "learn is -0.1"), ((0.3, 0.1, 0.6, 0.4), "must stay below 1")],
)
def test_parameters_that_make_no_sense_are_refused(values: tuple[float, float, float, float], says: str) -> None:
    """A probability is one, and a right answer must speak for the skill."""
    with pytest.raises(PluswayError, match=says):
        Parameters(*values)


def test_an_unknown_outcome_is_refused() -> None:
    """No word is taken for another."""
    with pytest.raises(PluswayError, match="no outcome"):
        after(0.5, "maybe", Parameters(0.3, 0.1, 0.1, 0.1))


@pytest.mark.parametrize("name", SKILLS)
def test_our_parameters_keep_the_usual_bounds(name: str) -> None:
    """Guess at most 0.3 and slip at most 0.1 for every skill."""
    assert SKILLS[name].parameters.guess <= 0.3
    assert SKILLS[name].parameters.slip <= 0.1
