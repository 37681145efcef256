"""Bayesian knowledge tracing: from what a learner got right and wrong, how likely it is that a skill is known.

The model of A. T. Corbett and J. R. Anderson, "Knowledge tracing: modeling the acquisition of procedural knowledge", User Modeling
and User-Adapted Interaction 4, 253-278 (1995), with their four parameters for each skill:

    p(L0)  the skill is known before the first occasion
    p(T)   an occasion to use it makes an unknown skill a known one
    p(G)   a guess: the answer is right though the skill is not known
    p(S)   a slip: the answer is wrong though the skill is known

After an answer, Bayes' rule, and then the chance that this very occasion has taught the skill:

    p(L | right) = p(L) (1 - p(S)) / (p(L) (1 - p(S)) + (1 - p(L)) p(G))
    p(L | wrong) = p(L) p(S)       / (p(L) p(S)       + (1 - p(L)) (1 - p(G)))
    p(L) next    = p(L | answer) + (1 - p(L | answer)) p(T)

Nothing is forgotten in this model. Which skills there are, the values of their parameters, and what an answer after a hint counts for
are ours (`skills.py`, and `HELPED` below). Everything here works with floats and with fractions alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from fractions import Fraction

from ...autograde.errors import PluswayError

Chance = float | Fraction

RIGHT, WRONG, HELPED = "right", "wrong", "helped"
"""What one occasion tells. HELPED, a right answer after a hint, says nothing of what was known before, but may have taught it."""

MASTERED = 0.95
"""From here on a skill counts as known: the criterion of Corbett and Anderson (1995)."""


@dataclass(frozen=True)
class Parameters:
    """known: p(L0), learn: p(T), guess: p(G), slip: p(S), each from 0 to 1.

    PluswayError where one is no probability, or where guess + slip >= 1: a right answer would then speak against the skill.
    """

    known: Chance
    learn: Chance
    guess: Chance
    slip: Chance

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if not 0 <= value <= 1:
                raise PluswayError(f"knowledge tracing: {field.name} is {value!s:.30}; a number from 0 to 1 would do")
        if self.guess + self.slip >= 1:
            raise PluswayError("knowledge tracing: guess and slip together must stay below 1, or a right answer would speak against the skill")


def expected(p: Chance, parameters: Parameters) -> Chance:
    """How likely the next answer is right."""
    return p * (1 - parameters.slip) + (1 - p) * parameters.guess


def posterior(p: Chance, right: bool, parameters: Parameters) -> Chance:
    """p(L | answer): Bayes' rule alone. An answer that the model holds impossible leaves p as it is."""
    by_skill = p * (1 - parameters.slip if right else parameters.slip)
    in_all = by_skill + (1 - p) * (parameters.guess if right else 1 - parameters.guess)
    return by_skill / in_all if in_all else p


def after(p: Chance, outcome: str, parameters: Parameters) -> Chance:
    """p(L) after one occasion: RIGHT, WRONG or HELPED."""
    if outcome not in (RIGHT, WRONG, HELPED):
        raise PluswayError(f"knowledge tracing: {outcome!r:.30} is no outcome; there are {RIGHT}, {WRONG}, {HELPED}")
    told = p if outcome == HELPED else posterior(p, outcome == RIGHT, parameters)
    return told + (1 - told) * parameters.learn


def trace(outcomes: Iterable[str], parameters: Parameters) -> Iterator[Chance]:
    """p(L) before the first occasion, and after each.

    >>> example = Parameters(Fraction(1, 2), Fraction(1, 10), Fraction(1, 5), Fraction(1, 10))
    >>> [str(p) for p in trace([RIGHT, WRONG], example)]
    ['1/2', '46/55', '133/295']
    """
    p = parameters.known
    yield p
    for outcome in outcomes:
        p = after(p, outcome, parameters)
        yield p
