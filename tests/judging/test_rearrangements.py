"""A true equation stays right however it is written: sides swapped, terms moved, scaled, factored, letters mixed with figures."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import hypothesis.strategies as st
from hypothesis import HealthCheck, given, settings
from line_writer import all_equations, figure, figures_of, in_letters, plain, setup_of
from marked_lines import scene_named, step_of

from plusway.autograde.algebra import Poly
from plusway.autograde.judging import judge
from plusway.autograde.mechanics.setup import Setup

EQUATIONS = all_equations()
SCALES = (Fraction(1), Fraction(-1), Fraction(2), Fraction(1, 2), Fraction(-3), Fraction(10), Fraction(1, 10))


def _sum(terms: list[tuple[int, str]]) -> str:
    """Signed texts as one side of a line."""
    out = ""
    for sign, text in terms:
        out += f"{' - ' if sign < 0 else ' + '}{text}" if out else f"{'-' if sign < 0 else ''}{text}"
    return out or "0"


def no_tens(x: float, figures: int) -> str:
    """To so many figures, but no whole number rounded to tens: zeros that hold a place have lines of their own in the corpus."""
    return figure(x, max(figures, len(str(int(x)))))


def _term(setup: Setup, poly: Poly, style: str, figures: int, shared: bool) -> list[tuple[int, str]]:
    """One term of the equation as signed texts: by its letter, its law put in, or its figures."""
    if style == "figures":
        parts = figures_of(setup, poly)
        texts = [
            (1 if x > 0 else -1, f"{no_tens(abs(x), figures)} {' '.join(s for s, _ in m)}".strip())
            for m, x in parts.items()
        ]
    else:
        written = plain(setup, poly) if style == "law" else poly
        texts = [(1 if c > 0 else -1, in_letters(Poly({m: abs(c)}))) for m, c in written.terms.items()]
    if shared:
        plus = {name for name, sign in setup.shared.items() if sign > 0}
        texts = [(s, " ".join("a" if word in plus else word for word in t.split(" "))) for s, t in texts]
    return texts


@st.composite
def rearranged(draw: st.DrawFn) -> tuple[str, str, dict[str, str], str]:
    """(scene, thing, positive directions, a true line of that thing)."""
    scene, thing = draw(st.sampled_from(EQUATIONS))
    s = scene_named(scene)
    positive = {t: draw(st.sampled_from(s.directions(t))) for t in s.things}
    setup = setup_of(scene, tuple(positive.items()))
    equation = setup.equations[thing]
    scale = draw(st.sampled_from(SCALES))
    shared = bool(setup.shared) and draw(st.booleans())
    figures = draw(st.sampled_from((3, 4)))
    sides: tuple[list[Any], list[Any]] = ([], [])
    for poly in [*(t.poly for t in equation.terms), -equation.inertia]:
        if not poly:
            continue
        style = draw(st.sampled_from(("letter", "law", "figures")))
        side = draw(st.sampled_from((0, 1)))
        for sign, text in _term(setup, poly * scale, style, figures, shared):
            sides[side].append((sign if side == 0 else -sign, text))
    texts = [_sum(draw(st.permutations(terms))) for terms in sides]
    bare = any(t != "0" and not any(c.isalpha() for c in t) and " " not in t for t in texts)
    worded = texts[1] == "I alpha"  # "R (I alpha)" would be R with a note in words behind it
    if draw(st.booleans()) and not bare and not worded:  # "g (22)" would be a line with the label 22
        factor = draw(st.sampled_from(("2", "-", "m_1 ", "g ", "R ", "½ ", "-3")))
        letter = factor.strip()
        if letter.isidentifier() and letter not in s.symbols:
            factor = "2"
        texts = [f"{factor}({t})" if t != "0" else t for t in texts]
    dash = draw(st.sampled_from(("-", "−", "- ")))
    texts = [dash + t[1:] if t[0] == "-" else t for t in texts]
    return scene, thing, positive, f"{texts[0]} = {texts[1]}"


@given(rearranged())
@settings(max_examples=500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_a_true_equation_is_right_in_any_form(case: tuple[str, str, dict[str, str], str]) -> None:
    scene, thing, positive, line = case
    step = step_of(judge(scene_named(scene), {"directions": positive, "equations": {thing: line}}), "equations", thing)
    assert (step.verdict, [s.kind for s in step.slips]) == ("right", []), line


@given(rearranged())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_a_true_equation_is_right_as_a_line_of_working_too(case: tuple[str, str, dict[str, str], str]) -> None:
    scene, _, positive, line = case
    step = step_of(judge(scene_named(scene), {"directions": positive, "working": [line]}), "working", 0)
    assert (step.verdict, [s.kind for s in step.slips]) == ("right", []), line


@given(rearranged())
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_full_marks_for_a_true_equation(case: tuple[str, str, dict[str, str], str]) -> None:
    scene, thing, positive, line = case
    step = step_of(judge(scene_named(scene), {"directions": positive, "equations": {thing: line}}), "equations", thing)
    assert step.points == step.of > 0
