"""Normal force, friction, time and speed: lines that say them, slips in them, and what follows from a wrong one. Sums worked by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import judge
from plusway.autograde.judging.context import context_for
from plusway.autograde.judging.laws import wrong_laws
from plusway.autograde.judging.pieces import put_laws
from plusway.autograde.mechanics import derive, solve_at
from plusway.autograde.mechanics.worked import solution_json
from plusway.autograde.scene import load_text
from plusway.lessons.catalogue import names

PARCEL = "parcel-down-a-chute"  # 2.8 kg, 33 degrees, mu_k 0.30, 4.5 m from rest: N = 23.0, f = 6.90, a = 2.87, t = 1.77, v = 5.08
SLEDGE = "sledge-on-a-slanting-rope"  # 32 kg, 70 N at 35 degrees: N = 273
DOWN, UP = {"parcel": "downslope"}, {"parcel": "upslope"}


def steps(scene: str, positive: dict[str, str], step: str, **answers: Any) -> list[Any]:
    verdicts = judge(scene_named(scene), {"scene": scene, "directions": positive, **answers})
    return [s for s in verdicts.steps if s.step == step and s.text]


# (what is said, the positive direction, a line of working, its verdict)
LINES = [
    ("the speed in letters", DOWN, "v^2 = 2 a d", "right"),
    ("the speed from the time", DOWN, "v = a t", "right"),
    ("the distance in letters", DOWN, "d = a t^2/2", "right"),
    ("the distance from the mean speed", DOWN, "d = v t/2", "right"),
    ("the distance with figures", DOWN, "4.5 = 0.5(2.872)t^2", "right"),
    ("the half forgotten", DOWN, "d = a t^2", "slip"),
    ("the factor two forgotten", DOWN, "v^2 = a d", "slip"),
    ("the square forgotten", DOWN, "v = 2 a d", "slip"),
    ("a as a size where plus is against the motion", UP, "v^2 = 2 a d", "right"),
    ("a with its sign where plus is against the motion", UP, "v^2 = -2 a d", "right"),
    ("v with the sign of a velocity", UP, "v = a t", "right"),
    ("v as a speed, a with its sign", UP, "v = -a t", "right"),
    ("a displacement against plus", UP, "-d = a t^2/2", "right"),
    ("a negative square", DOWN, "v^2 = -2 a d", "slip"),
]


@pytest.mark.parametrize(("positive", "line", "verdict"), [x[1:] for x in LINES], ids=[x[0] for x in LINES])
def test_a_line_of_motion_is_judged(positive: dict[str, str], line: str, verdict: str) -> None:
    (step,) = steps(PARCEL, positive, "working", working=[line])
    assert step.verdict == verdict


# (what is said, scene, positive directions, line of working, kind of the slip)
WRONG_LAWS = [
    ("N is the whole weight", PARCEL, DOWN, "N = m g", "whole-weight"),
    ("N is the whole weight, in figures", PARCEL, DOWN, "N = 2.8(9.8) = 27.4", "whole-weight"),
    ("f from the whole weight", PARCEL, DOWN, "f = mu_k m g", "whole-weight"),
    ("N with sine for cosine", PARCEL, DOWN, "N = m g sin(theta)", "sine-cosine"),
    ("f with sine for cosine", PARCEL, DOWN, "f = 0.30(2.8)(9.8) sin(33)", "sine-cosine"),
    ("f with the static coefficient", PARCEL, DOWN, "f = mu_s N", "static-kinetic"),
    ("N as a mass", PARCEL, DOWN, "N = m", "mass-for-weight"),
    ("N without g", PARCEL, DOWN, "N = m cos(theta)", "mass-for-weight"),
    ("a weight without g", "feed-sack", {}, "W_1 = 6.5", "mass-for-weight"),
    ("another's weight", "feed-sack", {}, "W_1 = 9(9.8)", "other-body"),
    ("a pull up the rope that presses down", SLEDGE, {}, "N = m g + F sin(phi)", "flipped-force"),
    ("a pull up the rope forgotten", SLEDGE, {}, "N = m g", "whole-weight"),
    ("the rope's pull with cosine for sine", SLEDGE, {}, "N = m g - F cos(phi)", "sine-cosine"),
    ("the limit of a friction that holds", "chest-that-stays", {}, "f_1 = mu_s N_1", "static-kinetic"),
    ("the kinetic value of a friction that holds", "chest-that-stays", {}, "f_1 = mu_k N_1", "static-kinetic"),
    ("the weight forgotten", SLEDGE, {}, "N = -F sin(phi)", "missing-force"),
]


@pytest.mark.parametrize(("scene", "positive", "line", "kind"), [x[1:] for x in WRONG_LAWS], ids=[x[0] for x in WRONG_LAWS])
def test_a_slip_in_a_law_is_named(scene: str, positive: dict[str, str], line: str, kind: str) -> None:
    (step,) = steps(scene, positive, "working", working=[line])
    assert (step.verdict, [s.kind for s in step.slips]) == ("slip", [kind])


def test_a_tension_taken_for_a_weight_is_told_so_in_the_working_and_in_a_result() -> None:
    (line,) = steps("feed-sack", {}, "working", working=["T = m_2 g"])
    (result,) = steps("feed-sack", {}, "results", results={"T": "88.2 N"})
    for step in (line, result):
        assert "That is the weight W_2. A tension equals a body's weight only while" in step.slips[0].says
    (unknown,) = steps("feed-sack", {}, "working", working=["T = m_1 + m_2 g/2"])
    assert "That is the weight" not in unknown.slips[0].says


def test_the_angle_of_a_force_that_presses_down_may_be_its_size_or_negative() -> None:
    """85 N pressed 30 degrees into the floor: N = 14(9.8) + 85 sin(30) = 180; the scene file has phi = -30 degrees."""
    lines = ["N = m g + F sin(phi)", "N = m g - F sin(phi)", "N = m g + 85 sin(30)", "N = m g - 85 sin(30)", "N = m g + F cos(phi)"]
    found = steps("polisher-pushed", {}, "working", working=lines)
    assert [s.verdict for s in found] == ["right", "right", "right", "slip", "slip"]
    (equation,) = steps("polisher-pushed", {}, "equations", equations={"polisher": "F cos(phi) - mu_k (m g + F sin(phi)) = m a"})
    assert equation.verdict == "right"


def test_a_turned_part_of_a_tilted_force_is_told_in_the_balance_across_the_surface() -> None:
    (step,) = steps(SLEDGE, {}, "working", working=["N = m g + F sin(phi)"])
    assert "acts away from the surface" in step.slips[0].says
    assert "enters with a minus in N" in step.slips[0].says


@pytest.mark.parametrize("scene", names())
def test_every_wrong_law_given_as_a_result_is_named_by_a_kind_that_explains_it(scene: str) -> None:
    setup = derive(scene_named(scene))
    ground = context_for(scene_named(scene), setup.positive).actual
    for symbol in setup.laws:
        made = [(w.kind, float(put_laws(setup, w.value).at({**setup.given, **setup.values}))) for w in wrong_laws(setup, symbol)]
        for _, value in made:
            text, true = f"{value:.6g}", ground.numbers[symbol]
            if abs(value - true) <= 0.02 * abs(true):
                continue  # told as rounding
            (step,) = [s for s in steps(scene, dict(setup.positive), "results", results={symbol: f"{text} N"}) if s.item == symbol]
            if step.verdict == "unread":  # a letter that this class doesn't write
                continue
            fitting = {kind for kind, x in made if f"{x:.6g}" == text}
            assert step.verdict == "slip", (symbol, text)
            assert step.slips[0].kind in fitting, (symbol, text, step.slips)


# (what is said, the equation, the lines of working with their verdicts): N taken as the whole weight, 2.8(9.8) = 27.4
CHAINS = [
    (
        "the equation is right, N in the working is not",
        "m g sin(theta) - f = m a",
        [
            ("N = m g = 27.4", "slip"),
            ("f = mu_k N", "right"),
            ("f = 0.30(27.4) = 8.23", "follows"),
            ("14.94 - 8.23 = 2.8a", "follows"),
            ("a = 2.40", "follows"),
            ("t^2 = 2(4.5)/2.40", "follows"),
            ("t = 1.94", "follows"),
            ("v = 2.40(1.94) = 4.65", "follows"),
        ],
    ),
    (
        "the equation has the slip already, so the working only follows it",
        "m g sin(theta) - mu_k m g = m a",
        [("N = m g = 27.4", "follows"), ("f = 0.30(27.4) = 8.23", "follows"), ("a = 2.40", "follows"), ("v^2 = 2(2.40)(4.5)", "follows")],
    ),
    (
        "a second slip on the way is one",
        "m g sin(theta) - f = m a",
        [("N = m g = 27.4", "slip"), ("f = 0.30(27.4) = 8.23", "follows"), ("14.94 + 8.23 = 2.8a", "slip"), ("a = 8.28", "follows")],
    ),
    (
        "a time worked out wrong gives a speed that follows",
        "m g sin(theta) - f = m a",
        [("a = 2.872", "right"), ("t^2 = 4.5/2.872", "slip"), ("t = 1.252", "follows"), ("v = 2.872(1.252) = 3.60", "follows")],
    ),
]


@pytest.mark.parametrize(("equation", "lines"), [x[1:] for x in CHAINS], ids=[x[0] for x in CHAINS])
def test_what_follows_from_a_wrong_law_earns_its_marks(equation: str, lines: list[tuple[str, str]]) -> None:
    found = steps(PARCEL, DOWN, "working", equations={"parcel": equation}, working=[text for text, _ in lines])
    assert [(s.text, s.verdict) for s in found] == lines


# (what is said, directions, results, (verdict, points) of each)
RESULTS = [
    (
        "N as the whole weight costs once",
        {"N": "27.4 N", "f": "8.23 N", "a": "2.40 m/s^2", "t": "1.94 s", "v": "4.65 m/s"},
        [("slip", 0), ("follows", 1), ("follows", 1), ("follows", 1), ("follows", 1)],
    ),
    (
        "a wrong friction costs once",
        {"N": "23.0 N", "f": "9.20 N", "a": "2.05 m/s^2", "t": "2.10 s", "v": "4.30 m/s"},
        [("right", 1), ("slip", 0), ("follows", 1), ("follows", 1), ("follows", 1)],
    ),
    (
        "a wrong acceleration costs once",
        {"N": "23.0 N", "f": "6.90 N", "a": "5.34 m/s^2", "t": "1.30 s", "v": "6.93 m/s"},
        [("right", 1), ("right", 1), ("slip", 0), ("follows", 1), ("follows", 1)],
    ),
    (
        "a speed out of the blue is a slip of its own",
        {"N": "23.0 N", "f": "6.90 N", "a": "2.87 m/s^2", "t": "1.77 s", "v": "7.7 m/s"},
        [("right", 1), ("right", 1), ("right", 1), ("right", 1), ("slip", 0)],
    ),
]


@pytest.mark.parametrize(("results", "expected"), [x[1:] for x in RESULTS], ids=[x[0] for x in RESULTS])
def test_a_wrong_result_costs_once(results: dict[str, str], expected: list[tuple[str, float]]) -> None:
    found = steps(PARCEL, DOWN, "results", equations={"parcel": "m g sin(theta) - f = m a"}, results=results)
    assert [(s.verdict, s.points) for s in found] == expected


def test_a_speed_with_the_sign_of_a_velocity_is_right_and_says_so() -> None:
    found = {s.item: s for s in steps(PARCEL, UP, "results", results={"v": "-5.08 m/s"})}
    assert found["v"].verdict == "right"
    assert "a size" in found["v"].remarks[0]
    against = {s.item: s for s in steps(PARCEL, DOWN, "results", results={"v": "-5.08 m/s"})}
    assert against["v"].verdict == "slip"


def test_a_wrong_sign_is_told_with_the_direction_that_it_hangs_on() -> None:
    found = {s.item: s for s in steps(PARCEL, UP, "results", results={"a": "2.87 m/s^2"})}
    assert found["a"].slips[0].says == (
        "The size fits, but not the sign: with up the slope as plus for the parcel, a is negative, for it accelerates down the slope."
    )


@pytest.mark.parametrize("scene", [n for n in names() if any(s.kind == "normal" for s in scene_named(n).symbols.values())])
def test_whoever_takes_one_law_wrongly_and_the_rest_rightly_makes_one_slip(scene: str) -> None:
    """All results are worked out with the wrong law by solving the scene anew; in whatever order they are asked, only one is a slip."""
    setup = derive(scene_named(scene))
    shown = solution_json(scene_named(scene), setup.positive)
    for symbol in [s for s in setup.laws if setup.scene.symbols[s].kind in ("normal", "friction")]:
        for wrong in wrong_laws(setup, symbol):
            values = solve_at(replace(setup, laws={**setup.laws, symbol: wrong.value}), setup.given)
            mine, true = float(values[symbol]), float(setup.values[symbol])
            if mine < 0 or abs(mine - true) < 0.03 * abs(true):
                continue  # a surface that pulls, or a figure that rounding explains
            results = {s: f"{float(values[s]):.5g} {setup.scene.symbols[s].unit}" for s in (*setup.scene.asked, symbol) if s in values}
            if setup.size_of and not setup.shared:
                results.pop("a", None)
            found = steps(scene, dict(setup.positive), "results", equations=shown["equations"], ties=shown["ties"], results=results)
            slips = {s.item: s.slips for s in found if s.verdict not in ("right", "follows")}
            assert set(slips) == {symbol}, (wrong, slips)


# 25 kg on ice, 3 kg on the rope, 1.9 m: a = 29.4/28 = 1.05, t = sqrt(3.8/1.05) = 1.902, so that 1.9 is it to two figures
ICE = """
title = "A stone on ice"
bodies.stone = { index = 1, mass = "25 kg", moves = "level" }
bodies.lead = { index = 2, mass = "3 kg", moves = "vertical" }
ropes = [{ symbol = "T", pulls = [["stone", "right"], ["lead", "up"]] }]
ask = { values = ["a", "T", "t", "v"], motion = { distance = "1.9 m" } }
"""


def test_a_result_with_the_figures_of_a_datum_was_worked_out_all_the_same() -> None:
    steps_of = judge(load_text(ICE, name="ice"), {"scene": "ice", "results": {"a": "1.05 m/s^2", "T": "26 N", "t": "1.9 s", "v": "2.0 m/s"}}).steps
    assert [(s.verdict, s.remarks) for s in steps_of if s.step == "results"] == [("right", ())] * 4


def test_time_follows_from_an_acceleration_of_clashing_directions() -> None:
    """T = 25a, T - 29.4 = 3a with one a: a = 29.4/22 = 1.336 wrongly, and t = sqrt(3.8/1.336) = 1.686 rightly from it."""
    answers = {
        "scene": "ice",
        "directions": {"stone": "right", "lead": "up"},
        "equations": {"stone": "T = m_1 a", "lead": "T - m_2 g = m_2 a"},
        "ties": ["a_1 = a_2"],
        "results": {"a": "1.336 m/s^2", "T": "33.4 N", "t": "1.686 s"},
    }
    found = {s.item: s.verdict for s in judge(load_text(ICE, name="ice"), answers).steps if s.step == "results" and s.text}
    assert found["t"] == "follows", found


def test_values_alone_are_taken_along_the_motion() -> None:
    found = steps("crate-on-a-movable-pulley", {}, "results", results={"a_1": "0.754 m/s^2", "a_2": "1.51 m/s^2", "T": "116 N"})
    assert [s.verdict for s in found] == ["right"] * 3
