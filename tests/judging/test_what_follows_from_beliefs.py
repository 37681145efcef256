"""Whoever takes one letter for two things, or friction at its limit where it holds, has other ties than the scene: what they draw from them follows.
And what is exact leaves a line no room: 15 for 4 + 6 + 5 is not some number that rounds to 15."""

from __future__ import annotations

from typing import Any

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import judge
from plusway.autograde.scene import load_text


def verdicts(scene: str, step: str, **answers: Any) -> list[str]:
    return [s.slips[0].kind if s.slips else s.verdict for s in judge(scene_named(scene), {"scene": scene, **answers}).steps if s.step == step and s.text]


CRATE = {"crate": "up", "sack": "down"}
CHEST = {"chest": "upslope", "pail": "down"}
CASK = {"small_cask": "up", "large_cask": "down", "wheel": "clockwise"}
ONE_T = {"small_cask": "T - 107.8 = 11a", "large_cask": "156.8 - T = 16a", "wheel": "(T - T) R = I alpha"}
# (what is said, the scene, answers, what the working and the results are told): each line is worked out rightly from the lines before
FOLLOWING: list[tuple[str, str, dict[str, Any], list[str], list[str]]] = [
    ("one letter a at a movable pulley", "crate-on-a-movable-pulley",
     {"directions": CRATE, "equations": {"crate": "2T - 215.6 = 22a", "sack": "137.2 - T = 14a"},
      "working": ["T = 137.2 - 14a", "274.4 - 28a - 215.6 = 22a", "58.8 = 50a", "a = 1.176", "T = 120.7"],
      "results": {"a_1": "1.18 m/s^2", "a_2": "1.18 m/s^2", "T": "121 N"}},
     ["right", *["follows"] * 4], ["follows"] * 3),
    ("the same said by a wrong tie", "crate-on-a-movable-pulley",
     {"directions": CRATE, "equations": {"crate": "2T - 215.6 = 22a_1", "sack": "137.2 - T = 14a_2"}, "ties": ["a_1 = a_2"],
      "working": ["274.4 - 28a - 215.6 = 22a", "58.8 = 50a", "a = 1.176"], "results": {"a_1": "1.18 m/s^2", "a_2": "1.18 m/s^2"}},
     ["follows"] * 3, ["follows"] * 2),
    ("friction at its limit where it holds", "chest-that-stays",
     {"directions": CHEST, "equations": {"chest": "T - 92.02 + mu_s N_1 = 20a", "pail": "68.6 - T = 7a"},
      "working": ["68.6 - 92.02 + 69.2 = 27a", "45.8 = 27a", "a = 1.70", "T = 56.7"], "results": {"T": "56.7 N"}},
     ["follows"] * 4, ["follows"]),
    ("one tension at both sides of a heavy wheel", "cask-over-a-heavy-wheel",
     {"directions": CASK, "equations": ONE_T, "working": ["156.8 - 107.8 = 27a", "a = 1.815", "T = 127.8"],
      "results": {"T_1": "128 N", "T_2": "128 N", "a": "1.81 m/s^2"}},
     ["follows"] * 3, ["follows"] * 3),
]  # fmt: skip


@pytest.mark.parametrize(("scene", "answers", "working", "results"), [x[1:] for x in FOLLOWING], ids=[x[0] for x in FOLLOWING])
def test_what_is_drawn_from_a_wrong_belief_follows(scene: str, answers: dict[str, Any], working: list[str], results: list[str]) -> None:
    assert verdicts(scene, "working", **answers) == working
    assert verdicts(scene, "results", **answers) == results


@pytest.mark.parametrize("line", ["58.8 = 36a", "a = 2.50", "T = 137.2 + 14a"])
def test_a_belief_does_not_let_through_what_does_not_follow_from_it(line: str) -> None:
    answers = {"directions": CRATE, "equations": {"crate": "2T - 215.6 = 22a", "sack": "137.2 - T = 14a"}, "working": [line]}
    assert verdicts("crate-on-a-movable-pulley", "working", **answers)[0] not in ("right", "follows")


def test_one_letter_for_two_sizes_is_told_as_that() -> None:
    answers = {"scene": "crate-on-a-movable-pulley", "directions": CRATE, "equations": {"crate": "2T - 215.6 = 22a", "sack": "137.2 - T = 14a"}}
    (step,) = [s for s in judge(scene_named("crate-on-a-movable-pulley"), answers).steps if s.item == "sack" and s.step == "equations"]
    assert step.slips[0].says.startswith("One letter a stands for the acceleration of the sack and for another one")


# (the scene, lines of working, what each is told): masses of 3.2 and 4.8 kg make 8 exactly, of 22 and 15 kg 37
EXACT = [
    ("two-boxes-pushed", ["24 = 8a", "25 = 8a", "a = 3.13"], ["right", "arithmetic", "follows"]),
    ("crate-on-a-sledge-with-weight", ["117.6 - 36.75 = 37a", "79.85 = 37a", "a = 79.85/37 = 2.16"], ["right", "arithmetic", "follows"]),
    ("crate-on-a-movable-pulley", ["50 = 50a_1"], ["arithmetic"]),
    ("feed-sack", ["24.5 = 15.5a", "25 = 15.5a", "24.5 = 16.5a"], ["right", "right", "arithmetic"]),
]


@pytest.mark.parametrize(("scene", "lines", "told"), EXACT, ids=[x[0] for x in EXACT])
def test_a_whole_number_that_masses_make_exactly_is_exact(scene: str, lines: list[str], told: list[str]) -> None:
    assert [t.replace("does-not-follow", "arithmetic") for t in verdicts(scene, "working", working=lines)] == told


SLEDGE = """title = "A light sledge"\nstory = "A sledge is pulled along the ice."\n[bodies.sledge]\nindex = 1\nmass = "1 kg"\nmoves = "level"
[bodies.dog]\nindex = 2\nmass = "20 kg"\nmoves = "level"\n[[ropes]]\nsymbol = "T"\npulls = [["sledge", "right"], ["dog", "left"]]
[[forces]]\nsymbol = "F"\non = "dog"\ndirection = "right"\nsize = "42 N"\n[ask]\nvalues = ["a", "T"]\n"""
# (the equation of a sledge of 1 kg, what it is told)
UNIT_MASS = [("T = a", "right"), ("a = T", "right"), ("T = 1a", "right"), ("T = m_1 a", "right"), ("T = -a", "slip"), ("T = 2a", "slip"), ("F - T = a", "slip")]


@pytest.mark.parametrize(("line", "verdict"), UNIT_MASS)
def test_a_mass_of_one_kilogram_may_be_left_out(line: str, verdict: str) -> None:
    answers = {"scene": "sledge", "directions": {"sledge": "right", "dog": "right"}, "equations": {"sledge": line}}
    (step,) = [s for s in judge(load_text(SLEDGE, name="sledge"), answers).steps if s.item == "sledge" and s.step == "equations"]
    assert step.verdict == verdict


# (the step, what is written, what it is told): the force presses into the surface, 30 degrees below the level
PRESSING = [
    ("equations", "F sin(30) - f = m a", ["sine-cosine"]),
    ("equations", "F sin(phi) - f = m a", ["sine-cosine"]),
    ("equations", "F cos(30) - f = m a", []),
    ("working", "N = m g + F cos(30)", ["sine-cosine"]),
    ("working", "N = m g - F sin(30)", ["flipped-force"]),
    ("working", "N = m g + F sin(30)", []),
]


@pytest.mark.parametrize(("step", "line", "kinds"), PRESSING)
def test_a_pressing_force_has_its_angle_as_a_size(step: str, line: str, kinds: list[str]) -> None:
    answers = {"directions": {"polisher": "right"}, step: {"polisher": line} if step == "equations" else [line]}
    found = [s for s in judge(scene_named("polisher-pushed"), {"scene": "polisher-pushed", **answers}).steps if s.step == step and s.text]
    assert [slip.kind for s in found for slip in s.slips] == kinds


@pytest.mark.parametrize("way", ["away", "perpendicular to slope", "perpendicular to the slope", "away from surface", "away from the surface", "out of a slope"])
def test_an_article_decides_nothing(way: str) -> None:
    arrows = [["T", "upslope"], ["N_1", way], ["W_1", "down"], ["f_1", "downslope"]]
    answers = {"directions": {"bale": "upslope", "trough": "down"}, "forces": {"bale": arrows}}
    assert verdicts("hay-bale-on-ramp", "forces", **answers) == ["right"]


def test_nought_needs_no_unit() -> None:
    assert verdicts("chest-that-stays", "results", directions=CHEST, results={"a_1": "0", "T": "68.6"}) == ["unit", "right"]


def test_an_unknown_that_drops_out_is_told_as_a_sign_that_went_wrong() -> None:
    lines = ["T = 63.7 + 6.5a", "88.2 - 6.5a - 63.7 = -6.5a"]
    answers = {"scene": "feed-sack", "directions": {"sack": "up", "counterweight": "down"}, "working": lines}
    *_, step = [s for s in judge(scene_named("feed-sack"), answers).steps if s.step == "working" and s.text]
    assert [s.kind for s in step.slips] == ["does-not-follow"]
    assert "The unknown drops out of it" in step.slips[0].says


def test_the_ratio_of_two_ropes_on_one_wheel_is_that_of_their_radii() -> None:
    """0.25 m and 0.10 m: the kettle at the rim goes 2.5 times as far as the anvil at the step."""
    answers = {"scene": "stepped-wheel", "directions": {"kettle": "up", "anvil": "down", "wheel": "clockwise"}}
    told = {}
    for tie in ("a_1 = 2.5a_2", "a_1 = a_2", "a_2 = 2.5a_1", "a_1 = 2a_2"):
        found = [s for s in judge(scene_named("stepped-wheel"), {**answers, "ties": [tie]}).steps if s.step == "ties" and s.text]
        told[tie] = sorted({slip.kind for s in found for slip in s.slips} - {"flipped-tie"})
    assert told == {"a_1 = 2.5a_2": [], "a_1 = a_2": ["radius"], "a_2 = 2.5a_1": ["radius"], "a_1 = 2a_2": ["unnamed"]}


# (the scene, directions, the step, what is written there, the kind that it is told)
LIMITS: list[tuple[str, dict[str, str], str, Any, str]] = [
    ("garden-roller", {}, "working", ["f = mu_s N"], "static-kinetic"),
    ("cheese-on-a-board", {"cheese": "right", "board": "right"}, "equations", {"board": "F - mu_s N_1 = m_2 a_2"}, "static-kinetic"),
    ("cask-over-a-heavy-wheel", CASK, "results", {"alpha": "1.58 rad/s^2"}, "radius"),
    ("cask-over-a-heavy-wheel", CASK, "results", {"alpha": "0.474 rad/s^2"}, "radius"),
    ("cask-over-a-heavy-wheel", CASK, "results", {"a": "5.27 m/s^2"}, "radius"),
    ("chest-that-stays", CHEST, "sense", ["23.4 < 69.2"], "right"),
    ("chest-that-stays", CHEST, "sense", ["23.4 < 100"], "false-sense"),
]


@pytest.mark.parametrize(("scene", "directions", "step", "written", "told"), LIMITS, ids=[f"{x[0]}: {x[3]}" for x in LIMITS])
def test_limits_of_friction_and_radii_are_named_wherever_they_stand(scene: str, directions: dict[str, str], step: str, written: Any, told: str) -> None:
    assert verdicts(scene, step, **{"directions": directions, step: written}) == [told]
