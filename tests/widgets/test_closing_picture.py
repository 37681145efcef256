"""The closing picture: given after the student's own work, made of the student's own numbers, and the same in words."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.mechanics import derive
from plusway.autograde.mechanics.agreeing import agreeing_directions
from plusway.autograde.mechanics.wording import rounded
from plusway.autograde.method import STEPS
from plusway.lessons import catalogue
from plusway.widgets import Problem
from plusway.widgets.drawing.arrange import arranged
from plusway.widgets.moving import moving_picture
from plusway.widgets.own import implied
from plusway.widgets.worked import worked_answers

DRAWN = {"worked": ["forces"]}


@pytest.fixture(autouse=True)
def _own_notebook(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """Every test has a notebook and a kernel of its own."""


def keep(widget: Any, **values: str) -> None:
    """Commit these answers in a step's widget."""
    for item, value in values.items():
        answer = widget.reply_to({"kind": "commit", "id": 1, "item": item, "value": value, "hints": 0})
        assert answer["kind"] == "committed"


def drawn(name: str = "mill-hoist", **results: str) -> tuple[Problem, dict[str, Any]]:
    """A problem with plus along the motion, its forces drawn, with these results, and what its closing picture shows."""
    problem = Problem(name, settings=DRAWN)
    keep(problem.directions(), **agreeing_directions(problem.scene))
    keep(problem.results(), **results)
    return problem, dict(problem.closing().shown)


def right_results(name: str) -> dict[str, str]:
    """The true results to three figures, with plus along the motion."""
    scene = catalogue.find(name)
    setup = derive(scene, agreeing_directions(scene))
    return {s: f"{rounded(setup.values[s])} {scene.symbols[s].unit}" for s in scene.asked}


def test_nothing_is_given_before_the_student_has_drawn() -> None:
    """Neither picture nor forces nor numbers; the words say what comes first."""
    shown = Problem("mill-hoist").closing().shown
    assert (shown["state"], shown["picture"], shown["motion"], shown["diagrams"], shown["says"]) == ("blank", {}, {}, [], [])
    assert shown["notes"][1:] == ["choose the plus direction for the grain and the stone;", "draw the forces on the grain and the stone;", "give your results."]


def test_each_step_that_is_done_is_asked_for_no_more(ask: Callable[..., Any]) -> None:
    """With directions and one diagram only the rest is named, and the picture comes with the first result."""
    problem = Problem("mill-hoist", settings={"worked": ["directions"]})
    ask(problem.forces("grain"), "commit", item="grain", value=[["T", "up"]], hints=0)
    assert problem.closing().shown["notes"][1:] == ["draw the forces on the stone;", "give your results."]
    ask(problem.forces("stone"), "commit", item="stone", value=[["T", "up"]], hints=0)
    ask(problem.results(), "commit", item="a", value="1.09 m/s^2", hints=0)
    assert problem.closing().shown["state"] == "done"


def test_it_waits_where_verdicts_wait_for_the_marking() -> None:
    """The picture tells right from wrong, so it is not in the page at all."""
    problem = Problem("mill-hoist", settings={**DRAWN, "verdicts": "after marking"})
    keep(problem.directions(), grain="up", stone="down")
    keep(problem.results(), a="1.09 m/s^2")
    shown = problem.closing().shown
    assert (shown["state"], shown["diagrams"]) == ("blank", [])
    assert "waits until they are marked" in shown["notes"][0]


def test_the_motion_is_that_of_the_students_own_numbers() -> None:
    """A right acceleration as typed, not the exact one; its time, way and speed follow from it."""
    _, shown = drawn(a="1.09 m/s^2", T="131 N")
    assert shown["notes"] == []
    assert shown["motion"]["things"] == {"grain": {"v": 0.0, "a": 1.09}, "stone": {"v": 0.0, "a": 1.09}}
    assert shown["motion"]["end"] == pytest.approx((2 / 1.09) ** 0.5)
    assert "Grain: from rest, a_1 = 1.09 m/s² with plus up. After 1.35 s it has gone 1.00 m up; its speed is then 1.48 m/s." in shown["says"]


def test_wrong_numbers_are_said_to_be_wrong_and_taken_at_their_word() -> None:
    """A tension of the stone's weight: the forces on the stone balance, which its acceleration contradicts."""
    _, shown = drawn(a="2.5 m/s^2", T="147 N")
    assert shown["notes"][0] == "a = 2.5 m/s^2 does not hold. The picture takes it at its word: see what it would mean."
    assert shown["motion"]["things"]["stone"]["a"] == 2.5
    grain, stone = shown["diagrams"]
    assert grain["says"] == ["T = 147 N up; W_1 = 118 N down.", "Together 29.4 N up. Its mass times its acceleration is 30.0 N up."]
    assert stone["says"][1] == "The forces along its line are in balance. Its mass times its acceleration is 37.5 N down."


def test_a_sign_against_the_plus_directions_moves_it_backwards() -> None:
    """-1.09 where plus goes with the motion: the grain goes down, as the number says."""
    _, shown = drawn(a="-1.09 m/s^2")
    assert shown["motion"]["things"]["grain"]["a"] == -1.09
    assert any("it has gone 1.00 m down" in text for text in shown["says"])


def test_one_size_for_accelerations_of_opposite_sign() -> None:
    """With plus up for both bodies the one a is a size: one goes along its plus, the other against."""
    problem = Problem("mill-hoist", settings=DRAWN)
    keep(problem.directions(), grain="up", stone="up")
    keep(problem.results(), a="1.09 m/s^2")
    things = problem.closing().shown["motion"]["things"]
    assert (things["grain"]["a"], things["stone"]["a"]) == (1.09, -1.09)


def test_what_was_asked_and_is_missing_is_not_given_away() -> None:
    """Without a result for T nothing tells it; without one for a nothing moves, though either follows from the other."""
    _, shown = drawn(a="1.09 m/s^2")
    assert "There is no result for T yet, so nothing that hangs on it is shown." in shown["notes"]
    assert [a["symbol"] for d in shown["diagrams"] for a in d["arrows"]] == ["W_1", "W_2"]
    assert "131" not in str(shown)
    _, shown = drawn("feed-sack", T="74.0 N")
    assert (shown["picture"], shown["says"]) == ({}, [])
    assert "1.58" not in str(shown)


@pytest.mark.parametrize("text", ["lots", "<script>alert(1)</script> N", "9" * 200, "0/0 N", "T N", "🐐"])
def test_results_that_give_no_number_are_left_out(text: str) -> None:
    """They are named, the rest is shown, and nothing breaks."""
    _, shown = drawn(a="1.09 m/s^2", T=text)
    assert shown["state"] == "done"
    assert "T" not in [a["symbol"] for d in shown["diagrams"] for a in d["arrows"] if text != "T N"]


def test_a_very_slow_motion_is_cut_and_said_to_be() -> None:
    """0.001 m/s²: the first 20 s are shown, and the words say how long it would take."""
    _, shown = drawn(a="0.001 m/s^2")
    assert shown["motion"]["end"] == 20.0
    assert any("it takes 44.7 s. The first 20.0 s are shown." in note for note in shown["notes"])


def test_a_body_that_stops_is_shown_until_it_stops() -> None:
    """What it does then is another problem, and is said to be."""
    _, shown = drawn("stone-shoved-up-a-ramp", **right_results("stone-shoved-up-a-ramp"))
    assert shown["motion"]["end"] == pytest.approx(3 / 6.40)
    assert shown["says"][-1] == "After 0.469 s it stands still for a moment. What it does then is another problem."


def test_a_scene_at_rest_stays_at_rest() -> None:
    """No time to play, and the forces all the same."""
    _, shown = drawn("chest-that-stays", **right_results("chest-that-stays"))
    assert (shown["motion"]["end"], shown["says"]) == (0.0, ["By your numbers nothing moves."])
    assert len(shown["diagrams"]) == 2


@pytest.mark.parametrize("name", catalogue.names())
def test_right_results_give_the_whole_picture_in_every_scene(name: str) -> None:
    """No remark, a motion of every thing, and every force with its size, as an arrow and in words."""
    problem, shown = drawn(name, **right_results(name))
    assert shown["notes"] == []
    assert set(shown["motion"]["things"]) == set(problem.scene.things)
    for diagram in shown["diagrams"]:
        assert all(f"{a['symbol']} = {a['size']}" in diagram["says"][0] for a in diagram["arrows"])
    lengths = {d["thing"]: {round(_length(a) / float(a["size"].split()[0]), 3) for a in d["arrows"] if a["size"].endswith(" N")} for d in shown["diagrams"]}
    for thing, scales in lengths.items():
        assert len(scales) <= 1 or max(scales) - min(scales) < 0.02 * max(scales), (thing, scales)


def _length(arrow: dict[str, Any]) -> float:
    (x, y), *_, (z, w) = arrow["points"]
    return float(((x - z) ** 2 + (y - w) ** 2) ** 0.5)


@pytest.mark.parametrize("name", catalogue.names())
def test_ropes_follow_their_bodies_all_the_way(name: str) -> None:
    """The ropes that the browser draws at the end of the way, by adding up small steps, are those of the layout there."""
    scene = catalogue.find(name)
    setup = derive(scene)
    ways = {b: float(setup.values.get(scene.symbol_of("acceleration", b) or "", Fraction(0))) for b in scene.bodies}
    made = moving_picture(scene, setup.positive, ways)
    spots = {t["name"]: (t["x"], t["y"]) for t in made["things"]}
    first = arranged(scene).layout.spots
    moved = {}
    for name_, (x, y) in spots.items():
        body = made["carried"].get(name_, name_)
        step = made["along"].get(body, (0.0, 0.0))
        far = ways.get(body, 0.0) * made["scale"]
        moved[name_] = (x - first[name_].x + step[0] * far, y - first[name_].y + step[1] * far)
    wanted = [path for paths in arranged(scene, moved).ropes.values() for path in paths]
    drawn_there = [[
        (x + sum(steps[k][0] * ways[b] * made["scale"] for b, steps in rope.get("moves", {}).items()),
         y + sum(steps[k][1] * ways[b] * made["scale"] for b, steps in rope.get("moves", {}).items()))
        for k, (x, y) in enumerate(rope["points"])] for rope in made["ropes"]]  # fmt: skip
    for ours, theirs in zip(drawn_there, wanted, strict=True):
        for (x, y), (z, w) in zip(ours, theirs, strict=True):
            assert abs(x - z) < 0.5
            assert abs(y - w) < 0.5


def test_values_follow_one_unknown_at_a_time() -> None:
    """From a tension that is wrong both accelerations follow by the equations, as inconsistent as they are."""
    setup = derive(catalogue.find("mill-hoist"))
    found = implied(setup, {"T": Fraction(147)})
    assert found["a_1"] == Fraction(147) / 12 - Fraction("9.8")
    assert found["a_2"] == -found["a_1"]


LIFTED = """
title = "Two bags over a pulley in a lift"
bodies.one = { index = 1, mass = "4 kg", moves = "vertical" }
bodies.two = { index = 2, mass = "8 kg", moves = "vertical" }
bodies.lift = { index = 3, mass = "300 kg", moves = "vertical", acceleration = ["up", "1.2 m/s^2"] }
wheels.pulley = { index = 1, radius = "0.1 m", inertia = "0.02 kg m^2" }
ropes = [
  { symbol = "T_1", pulls = [["one", "up"], ["lift", "down"], ["pulley", "counterclockwise"]] },
  { symbol = "T_2", pulls = [["two", "up"], ["lift", "down"], ["pulley", "clockwise"]] },
]
ask = { values = ["T_1", "T_2"] }
"""


@pytest.mark.parametrize(
    "scene",
    [*(name if n % 3 == 0 else pytest.param(name, marks=pytest.mark.thorough) for n, name in enumerate(catalogue.names())), LIFTED],
    ids=[*catalogue.names(), "a lift that is only driven"],
)
def test_the_picture_comes_when_every_step_is_answered(scene: str) -> None:
    """Nothing is waited for that no step lets a student answer: what is only driven has no diagram."""
    problem = Problem(scene, id="all", settings={"worked": [step for step in STEPS if step != "forces"]})
    arrows = dict(worked_answers(problem.scene, problem.answers(), "forces"))
    for thing in [v["item"] for v in problem.verdicts() if v["step"] == "forces"]:  # those that the judge asks for
        problem.forces(thing).reply_to({"kind": "commit", "id": 1, "item": thing, "value": arrows[thing], "hints": 0})
    assert problem.closing().shown["state"] == "done"


def test_a_wheel_in_a_lift_goes_where_the_lift_goes() -> None:
    """It turns too; its name keeps its place beside it."""
    problem = Problem(LIFTED, id="lifted", settings={"worked": list(STEPS)})
    picture = problem.closing().shown["picture"]
    assert picture["carried"] == {"pulley": "lift"}
    first = {t["name"]: t for t in problem.directions().shown["picture"]["things"]}["pulley"]
    now = {t["name"]: t for t in picture["things"]}["pulley"]
    assert [now["labelAt"][0] - now["x"], now["labelAt"][1] - now["y"]] == pytest.approx([first["labelAt"][0] - first["x"], first["labelAt"][1] - first["y"]])


@pytest.mark.parametrize("settings", [{"decimal_comma": True}, {"language": "fr"}])
def test_numbers_are_written_as_the_class_writes_them(settings: dict[str, Any]) -> None:
    """With decimal commas: in the motion, at the bars, on the arrows and in every sentence; results with a comma are understood."""
    problem = Problem("mill-hoist", settings={**DRAWN, **settings})
    keep(problem.directions(), grain="up", stone="down")
    keep(problem.results(), a="1,09 m/s^2", T="131 N")
    shown = problem.closing().shown
    assert shown["motion"]["things"]["grain"]["a"] == 1.09
    said = [*shown["notes"], *shown["says"], shown["motion"]["bar"]["label"], *(s for d in shown["diagrams"] for s in (*d["says"], d["bar"]["label"], *(a["size"] for a in d["arrows"])))]
    assert [text for text in said if re.search(r"\d\.\d", text)] == []
    assert "a_1 = 1,09 m/s² with plus up. After 1,35 s it has gone 1,00 m up; its speed is then 1,48 m/s." in " ".join(said)
    assert shown["decimal_comma"] is True  # the clock of the player follows it


ALL_RIGHT = {"a": "0.925 m/s^2", "T": "12.9 N", "t": "1.40 s", "v": "1.29 m/s"}


@pytest.mark.parametrize(
    ("results", "says"),
    [
        (ALL_RIGHT, "Together 1.11 N up: its mass times its acceleration. From your rounded results: together 1.14 N up. The difference is rounding only."),
        ({**ALL_RIGHT, "t": "1.5 s"}, "Together 1.11 N up: its mass times its acceleration. From your rounded results: together 1.14 N up. The difference is rounding only."),
        ({**ALL_RIGHT, "T": "12.8695 N"}, "Together 1.11 N up: its mass times its acceleration."),
        ({**ALL_RIGHT, "a": "0.925 m/s"}, "Together 1.11 N up: its mass times its acceleration. From your rounded results: together 1.14 N up. The difference is rounding only."),
        ({**ALL_RIGHT, "T": "14.2 N"}, "Together 2.44 N up. Its mass times its acceleration is 1.11 N up."),
        ({**ALL_RIGHT, "a": "1.1 m/s^2"}, "Together 1.14 N up. Its mass times its acceleration is 1.32 N up."),
    ],
    ids=["all right", "another result is wrong", "many figures", "a unit is wrong", "a wrong tension", "a wrong acceleration"],
)
def test_two_numbers_that_differ_by_rounding_are_said_to(results: dict[str, str], says: str) -> None:
    """1.20 kg: 12.9 N - 11.76 N is 1.14 N, but 1.20 kg times 0.9245 m/s2 is 1.11 N. Two numbers stand alone only where one of them is wrong."""
    _, shown = drawn("lanterns-on-a-line", **results)
    assert shown["diagrams"][0]["says"][1] == says


@pytest.mark.parametrize(
    ("a", "note"),
    [("1.09 m/s", "a = 1.09 m/s has the right number; only its unit needs mending. The picture takes it in m/s²."),
     ("1.09", "a = 1.09 has the right number; only its unit needs mending. The picture takes it in m/s²."),
     ("1.10 m/s^2", "a = 1.10 m/s^2 is right but for its rounding. The picture takes it as it stands."),
     ("1.2 m/s^2", "a = 1.2 m/s^2 does not hold. The picture takes it at its word: see what it would mean.")],
)  # fmt: skip
def test_what_alone_is_wrong_with_a_result_is_said(a: str, note: str) -> None:
    """1.089 m/s² is no 1.10, and no 1.09 m/s; but nothing else is wrong with it."""
    _, shown = drawn(a=a, T="131 N")
    assert shown["notes"] == [note]
