"""Every tie and every value asked of every shipped scene, for every choice of directions: right ones are right, wrong ones are told."""

from __future__ import annotations

from itertools import product

import pytest
from line_writer import figure, first_directions, in_letters, setup_of
from marked_lines import scene_named, step_of

from plusway.autograde.algebra import Poly
from plusway.autograde.judging import Step, judge
from plusway.lessons.catalogue import names

MOST_CHOICES = 8
SCENES = names()
UNITS = {"m/s^2": "cm/s^2", "N": "kN", "m/s": "cm/s", "s": "ms", "rad/s^2": "rad/s²"}
FACTORS = {"m/s^2": 100, "N": 0.001, "m/s": 100, "s": 1000, "rad/s^2": 1}
WRONG_UNIT = {"m/s^2": "N", "N": "kg", "m/s": "m/s^2", "s": "m", "rad/s^2": "m/s^2"}


def choices(scene: str) -> list[dict[str, str]]:
    """Some of the choices of positive directions, first the one along the motion."""
    s = scene_named(scene)
    every = [dict(zip(s.things, words, strict=True)) for words in product(*(s.directions(t) for t in s.things))]
    return [dict(first_directions(scene)), *every[:: max(1, len(every) // MOST_CHOICES)]]


def all_figures(x: float, figures: int) -> str:
    """A number to so many figures, zeros at the end among them: 1.30, 120, 0.0640."""
    text = f"{x:#.{figures}g}"
    return text.rstrip(".") if "e" not in text else figure(x, figures)


def tie_step(scene: str, positive: dict[str, str], line: str) -> Step:
    return step_of(judge(scene_named(scene), {"directions": positive, "ties": [line]}), "ties", 0)


def result_step(scene: str, positive: dict[str, str], symbol: str, text: str) -> Step:
    return step_of(judge(scene_named(scene), {"directions": positive, "results": {symbol: text}}), "results", symbol)


@pytest.mark.parametrize("scene", [n for n in SCENES if setup_of(n, first_directions(n)).ties])
def test_a_true_tie_is_right_and_one_with_a_turned_sign_is_told(scene: str) -> None:
    wrong = []
    for positive in choices(scene):
        setup = setup_of(scene, tuple(positive.items()))
        for tie in setup.ties:
            terms = list(tie.poly.terms.items())
            head, rest = Poly(dict(terms[:1])), Poly(dict(terms[1:]))
            for line in (
                in_letters(tie.poly) + " = 0",
                f"{in_letters(head)} = {in_letters(-rest)}",
                f"0 = {in_letters(-tie.poly)}",
            ):
                step = tie_step(scene, positive, line)
                if step.verdict != "right":
                    wrong.append((positive, line, step.verdict))
            if rest:
                line = f"{in_letters(head)} = {in_letters(rest)}"
                step = tie_step(scene, positive, line)
                kinds = [s.kind for s in step.slips]
                if step.verdict != "slip" or "flipped-tie" not in kinds:
                    wrong.append((positive, line, step.verdict, kinds))
    assert wrong == []


@pytest.mark.parametrize("scene", SCENES)
def test_a_value_asked_is_right_with_its_unit_and_told_without(scene: str) -> None:
    wrong = []
    for positive in choices(scene)[:3]:
        setup = setup_of(scene, tuple(positive.items()))
        for symbol in setup.scene.asked:
            value, unit = float(setup.values[symbol]), setup.scene.symbols[symbol].unit
            right = [f"{figure(value, n)} {unit}" for n in (3, 4, 5)]
            right += [f"{symbol} = {figure(value, 4)} {unit}", f"{figure(value * FACTORS[unit], 4)} {UNITS[unit]}"]
            told = [(figure(value, 4), "unit"), (f"{figure(value, 4)} {WRONG_UNIT[unit]}", "unit")]
            for text in right:
                step = result_step(scene, positive, symbol, text)
                if step.verdict != "right":
                    wrong.append((positive, symbol, text, step.verdict, [s.kind for s in step.slips]))
            for text, kind in told if value else ():
                step = result_step(scene, positive, symbol, text)
                if step.verdict != "slip" or [s.kind for s in step.slips] != [kind]:
                    wrong.append((positive, symbol, text, step.verdict, [s.kind for s in step.slips]))
    assert wrong == []


@pytest.mark.parametrize("factor", [1.06, 0.5, 2.0, 1.2, 10.0])
@pytest.mark.parametrize("scene", SCENES)
def test_a_wrong_value_is_never_right(scene: str, factor: float) -> None:
    positive = dict(first_directions(scene))
    setup = setup_of(scene, first_directions(scene))
    accepted = []
    for symbol in setup.scene.asked:
        text = f"{all_figures(float(setup.values[symbol]) * factor, 3)} {setup.scene.symbols[symbol].unit}"
        step = result_step(scene, positive, symbol, text)
        if setup.values[symbol] and step.verdict != "slip":
            accepted.append((symbol, text, step.verdict))
    assert accepted == []


@pytest.mark.parametrize("scene", SCENES)
def test_a_value_that_is_off_in_the_third_figure_is_off_by_rounding(scene: str) -> None:
    """Off by 0.8 in a hundred and given to four figures: the physics is right, the figure is not."""
    positive = dict(first_directions(scene))
    setup = setup_of(scene, first_directions(scene))
    told = []
    for symbol in setup.scene.asked:
        text = f"{all_figures(float(setup.values[symbol]) * 1.008, 4)} {setup.scene.symbols[symbol].unit}"
        step = result_step(scene, positive, symbol, text)
        if setup.values[symbol] and [s.kind for s in step.slips] not in (["rounding"], ["arithmetic"]):
            told.append((symbol, text, step.verdict, [s.kind for s in step.slips]))
    assert told == []
