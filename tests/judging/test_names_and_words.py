"""Names that would be wrong are not given, and the words fit the scene: nothing slides where it rolls, no rope is spoken of where there is none."""

from __future__ import annotations

from typing import Any

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import judge

AGREE = {"sack": "up", "counterweight": "down"}
EQUATIONS = {"sack": "T - m_1 g = m_1 a", "counterweight": "m_2 g - T = m_2 a"}


def told(scene: str, positive: dict[str, str], step: str, **answers: Any) -> list[Any]:
    verdicts = judge(scene_named(scene), {"scene": scene, "directions": positive, **answers})
    return [s for s in verdicts.steps if s.step == step and s.text]


# (what is said, a line after 88.2 - (63.7 + 6.5a) = 9a of the feed sack, the kind of its slip, the number that is blamed)
NUMBERS = [
    ("a number worked out wrong", "25.5 - 6.5a = 9a", "arithmetic", "25.5"),
    ("the same, all merged", "25.5 = 15.5a", "arithmetic", "25.5"),
    ("a coefficient worked out wrong", "24.5 = 16.5a", "arithmetic", "16.5"),
    ("a lost letter is no miscalculation", "24.5 - 6.5a = 9", "does-not-follow", None),
    ("a lost coefficient is none", "24.5 - a = 9a", "does-not-follow", None),
    ("a product that became a sum is none", "24.5 = 15.5 + a", "does-not-follow", None),
    ("a wrong number and a lost minus are two things", "25.5 + 6.5a = 9a", "does-not-follow", None),
    ("a given weight is not blamed for what happened elsewhere", "88.2 - 63.7 + 6.5 = 9a", "does-not-follow", None),
    ("a division not carried over", "T/6.5 - 63.7 = a", "does-not-follow", None),
]


@pytest.mark.parametrize(("line", "kind", "blamed"), [x[1:] for x in NUMBERS], ids=[x[0] for x in NUMBERS])
def test_only_a_number_that_was_worked_out_wrong_is_blamed(line: str, kind: str, blamed: str | None) -> None:
    *_, step = told("feed-sack", AGREE, "working", equations=EQUATIONS, working=["88.2 - (63.7 + 6.5a) = 9a", line])
    assert [(s.kind, s.term) for s in step.slips] == [(kind, blamed)]


@pytest.mark.parametrize("line", ["a = a", "T = T", "m_1 g = m_1 g"])
def test_a_line_that_says_nothing_earns_nothing(line: str) -> None:
    (step,) = told("feed-sack", AGREE, "working", working=[line])
    assert (step.verdict, step.points, step.of) == ("right", 0, 0)
    assert step.remarks == ("This says nothing: both sides are the same.",)


def test_a_value_to_a_single_figure_is_rounding_in_the_working_as_in_a_result() -> None:
    (line,) = told("feed-sack", AGREE, "working", working=["a = 2"])
    (result,) = told("feed-sack", AGREE, "results", results={"a": "2 m/s^2"})
    assert [s.kind for s in (*line.slips, *result.slips)] == ["rounding", "rounding"]


def test_a_value_to_a_single_figure_does_not_pass_for_what_follows_from_a_wrong_line() -> None:
    """T = 76.7 comes from a = 2, and 2 from it: it is the rounding all the same."""
    (result,) = told("feed-sack", AGREE, "results", equations=EQUATIONS, working=["T = 76.7"], results={"a": "2 m/s^2"})
    assert [s.kind for s in result.slips] == ["rounding"]


def test_a_line_is_said_to_come_from_what_it_looks_like() -> None:
    lines = ["24.5 = 15.5a", "a = 1.6", "T = 63.7 + 6.5*1.6", "W_1 = 63.7"]
    found = told("feed-sack", AGREE, "working", equations=EQUATIONS, working=lines)
    assert found[2].follows_from == ("equation: sack", "line 2")
    assert found[3].follows_from == ()  # a law of the scene needs no line
    lines = ["24.5 = 15.5a", "a = 1.58", "T = 63.7 + 6.5*1.58", "T = 74.0", "T = 88.2 - 9*1.58"]
    *_, again = told("feed-sack", AGREE, "working", equations=EQUATIONS, working=lines)
    assert again.follows_from == ("equation: counterweight", "line 2")  # not from T = 74.0, though that would do


def test_accelerations_of_each_thing_stand_for_the_size_that_all_share() -> None:
    both = {"sack": "up", "counterweight": "up"}
    for second, earns in (("-1.58 m/s^2", 1.0), ("1.58 m/s^2", 0.0)):
        steps = judge(scene_named("feed-sack"), {"scene": "feed-sack", "directions": both, "results": {"a_1": "1.58 m/s^2", "a_2": second}}).steps
        (size,) = [s for s in steps if s.step == "results" and s.item == "a"]
        assert (size.points, size.of) == (earns, 1.0)


def test_a_size_given_where_the_value_is_negative_is_right_and_says_so() -> None:
    (step,) = told("feed-sack", {"sack": "down", "counterweight": "up"}, "results", results={"a": "1.58 m/s^2"})
    assert step.verdict == "right"
    assert "along your plus directions a is negative" in step.remarks[0]


# (what is said, scene, positive directions, the check, its verdict, whether it is told to be the formula's alone)
LIMITS = [
    ("without a bucket the slate stays", "slate-on-bench", {"slate": "right", "bucket": "down"}, "m_2 = 0 => a = 0", "right", False),
    ("the same as a tendency", "slate-on-bench", {"slate": "right", "bucket": "down"}, "m_2 -> 0 => a -> 0", "right", False),
    ("friction starts nothing", "slate-on-bench", {"slate": "right", "bucket": "down"}, "m_2 = 0 => a = -mu_k g", "right", True),
    ("a level chute", "parcel-down-a-chute", {"parcel": "downslope"}, "theta = 0 => a = 0", "right", False),
    ("a level chute by the formula", "parcel-down-a-chute", {"parcel": "downslope"}, "theta = 0 => a = -mu_k g", "right", True),
    ("a level chute by nothing", "parcel-down-a-chute", {"parcel": "downslope"}, "theta = 0 => a = g", "slip", False),
    ("friction turns round", "hay-bale-on-ramp", {"bale": "upslope", "trough": "down"}, "m_2 = 0 => a = -g (sin(theta) - mu_k cos(theta))", "right", False),
    ("as the solution says", "hay-bale-on-ramp", {"bale": "upslope", "trough": "down"}, "m_1 >> m_2 => a = -1.93", "right", False),
    ("nothing changes sides", "feed-sack", AGREE, "m_1 = m_2 => a = 0", "right", False),
]  # fmt: skip


@pytest.mark.parametrize(("scene", "positive", "check", "verdict", "formula"), [x[1:] for x in LIMITS], ids=[x[0] for x in LIMITS])
def test_a_limiting_case_is_what_would_really_happen(scene: str, positive: dict[str, str], check: str, verdict: str, formula: bool) -> None:
    (step,) = told(scene, positive, "sense", sense=[check])
    assert (step.verdict, any("Your formula says so" in r for r in step.remarks)) == (verdict, formula)


CASK = {"small_cask": "up", "large_cask": "down", "wheel": "clockwise"}
# (what is said, scene, positive directions, the step, its item, the line, the kind, words that are said, words that are not)
WORDS = [
    ("rolling", "garden-roller", {}, "equations", "roller", "T + f = m_1 a", "flipped-friction", "Nothing slides where a wheel rolls", "sliding"),
    ("static friction", "chest-that-stays", {"chest": "upslope", "pail": "down"}, "equations", "chest", "T - m_1 g sin(theta) - f_1 = 0", "flipped-friction", "would slide without it", "against the sliding"),
    ("a carried box", "box-slides-on-a-cart", {"box": "right", "cart": "right"}, "equations", "box", "-f_1 = m_1 a_1", "flipped-inertia|flipped-friction", "against its sliding over the cart", "way the box slides;"),
    ("a bearing's drag", "grindstone-with-drag", {"bucket": "down", "stone": "clockwise"}, "equations", "stone", "R T + tau_f = I alpha", "flipped-friction", "against the turning", "slides"),
    ("a level floor", "polisher-pushed", {}, "working", 0, "N = m g", "whole-weight", "more than the weight acts across", "Split the weight"),
    ("a tilted force", "polisher-pushed", {}, "equations", "polisher", "F sin(phi) - f = m a", "sine-cosine", "Test with no tilt", "flat slope"),
    ("no rope", "box-slides-on-a-cart", {}, "ties", 0, "a_1 = a_2", "unnamed", "Nothing ties these motions", "rope says"),
    ("a heavy wheel in the ties", "cask-over-a-heavy-wheel", CASK, "ties", 0, "T_1 = T_2", "one-tension", "on the wheel both", ""),
    ("a heavy wheel in the working", "cask-over-a-heavy-wheel", CASK, "working", 0, "T_1 = T_2", "one-tension", "on the wheel both", ""),
    ("an angular acceleration for one along the line", "cask-over-a-heavy-wheel", CASK, "equations", "small_cask", "T_1 - m_1 g = m_1 alpha", "radius", "alpha stands for a_1", ""),
    ("the rope that bends round", "three-bags-compound", {}, "equations", "pulley", "T_1 = T_2", "strand-count", "the tension T_2 enters once", "T_1 enters"),
    ("another g", "feed-sack", AGREE, "equations", "sack", "T - m_1 9.81 = m_1 a", "arithmetic", "Use g = 9.8", "out again"),
    ("a force taken whole", "polisher-pushed", {}, "equations", "polisher", "F - f = m a", "unnamed", "only the part of it along the line", "none is guessed at"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("scene", "positive", "step", "item", "line", "kind", "said", "unsaid"), [x[1:] for x in WORDS], ids=[x[0] for x in WORDS]
)
def test_the_words_fit_the_scene(scene: str, positive: dict[str, str], step: str, item: Any, line: str, kind: str, said: str, unsaid: str) -> None:
    (found,) = told(scene, positive, step, **{step: [line] if isinstance(item, int) else {item: line}})
    words = " ".join(part for s in found.slips for part in (s.says, s.why, s.how))
    assert found.slips[0].kind in kind.split("|")
    assert said in words
    assert not unsaid or unsaid not in words


# (what is said, a line of working of the feed sack after its two equations, what is said of it beside its kind)
HELPED = [
    ("a tension taken for a weight", "T = m_1 g", "That is the weight W_1. A tension equals a body's weight only while"),
    ("a lost g", "a = (m_2 - m_1)/(m_1 + m_2)", "only like can be added and compared"),
    ("the right size with the wrong sign", "a = (m_1 - m_2) g/(m_1 + m_2)", "The size of a fits, but not its sign."),
]


@pytest.mark.parametrize(("line", "says"), [x[1:] for x in HELPED], ids=[x[0] for x in HELPED])
def test_what_can_be_said_of_a_wrong_line_is_said(line: str, says: str) -> None:
    (step,) = told("feed-sack", AGREE, "working", equations=EQUATIONS, working=[line])
    assert says in step.slips[0].says


CASK = {"small_cask": "up", "large_cask": "down", "wheel": "clockwise"}
# (what is said, the thing, its equation, what is said of the radius)
RADII = [
    ("left out of both torques", "wheel", "T_2 - T_1 = I alpha", "a force stands where a torque belongs: its radius is missing"),
    ("left out of one", "wheel", "T_2 R - T_1 = I alpha", "a force stands where a torque belongs: its radius is missing"),
    ("a for alpha", "wheel", "(T_2 - T_1) R = I a", "stands for alpha, which is a"),
    ("beside I alpha", "wheel", "(T_2 - T_1) R = I alpha R", "a torque as it is; a radius too many"),
    ("twice", "wheel", "(T_2 - T_1) R^2 = I alpha", "a radius stands twice in one torque"),
    ("in a body's equation", "small_cask", "T_1 R - m_1 g = m_1 a", "this body's equation is one of forces"),
    ("beside a body's weight", "small_cask", "T_1 - m_1 g R = m_1 a", "this body's equation is one of forces"),
    ("alpha for a", "small_cask", "T_1 - m_1 g = m_1 alpha", "alpha stands for a_1, which is alpha times the radius"),
]


@pytest.mark.parametrize(("thing", "line", "says"), [x[1:] for x in RADII], ids=[x[0] for x in RADII])
def test_a_radius_too_few_or_too_many_is_told_apart(thing: str, line: str, says: str) -> None:
    (step,) = told("cask-over-a-heavy-wheel", CASK, "equations", equations={thing: line})
    assert step.slips[0].kind == "radius"
    assert says in step.slips[0].says


def test_a_radius_in_a_tie_is_told_by_how_a_rim_moves() -> None:
    (step,) = told("cask-over-a-heavy-wheel", CASK, "ties", ties=["alpha = a R"])
    assert step.slips[0].kind == "radius"
    assert "so a = R alpha" in step.slips[0].why


def test_an_equation_that_nothing_explains_is_told_which_term_is_of_another_kind() -> None:
    line = "T - m_1 g sin(theta) - mu_k g cos(theta) = m_1 a"
    (step,) = told("hay-bale-on-ramp", {"bale": "upslope", "trough": "down"}, "equations", equations={"bale": line})
    assert step.slips[0].kind == "unnamed"
    assert "“mu_k g cos(theta)” is an acceleration where a force belongs: its mass is missing." in step.slips[0].says


@pytest.mark.parametrize("line", ["f_1 = mu_k N_1", "W_1 = m_1 g", "N_1 = m_1 g cos(theta)"])
def test_a_law_says_something(line: str) -> None:
    (step,) = told("hay-bale-on-ramp", {"bale": "upslope", "trough": "down"}, "working", working=[line])
    assert (step.verdict, step.remarks) == ("right", ())


# (a result of the feed sack, 1.58 m/s^2, the kind that it is told, what is said)
SIGNED = [
    ("-2 m/s^2", "unnamed", ""),
    ("-1.58 m/s^2", "unnamed", "not the sign"),
    ("-1.6 m/s^2", "unnamed", "sign"),
    ("1.61 m/s^2", "arithmetic", "your value comes from g = 10"),
]


@pytest.mark.parametrize(("value", "kind", "says"), SIGNED)
def test_a_wrong_sign_is_not_another_g(value: str, kind: str, says: str) -> None:
    (step,) = told("feed-sack", AGREE, "results", results={"a": value})
    assert step.slips[0].kind == kind
    assert says in step.slips[0].says


def test_a_negative_number_is_quoted_with_its_sign() -> None:
    (step,) = told("feed-sack", {"sack": "down", "counterweight": "up"}, "results", results={"a": "-2 m/s^2"})
    assert [s.kind for s in step.slips] == ["rounding"]
    assert "-2 is off by rounding" in step.slips[0].says
