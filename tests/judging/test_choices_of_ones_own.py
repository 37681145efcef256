"""What a student may settle for themselves and then has to keep to: what the letter a is, and which way a holding friction is taken to act."""

from __future__ import annotations

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import Verdicts, judge

UP = {"sack": "up", "counterweight": "up"}
SACK = {"plain": "T - m_1 g = m_1 a", "turned": "T - m_1 g = -m_1 a"}
WEIGHT = {"plain": "T - m_2 g = m_2 a", "turned": "T - m_2 g = -m_2 a"}


def verdicts_of(verdicts: Verdicts, step: str) -> dict[str | int, str]:
    return {s.item: s.slips[0].kind if s.slips else s.verdict for s in verdicts.steps if s.step == step and s.text}


# (what is said, ties, the sack's and the counterweight's equation, what each is told, the points of the ties)
LETTER = [
    ("the ties say that a is the sack's", ["a_1 = a", "a_2 = -a"], ("plain", "turned"), ("right", "right"), 1),
    ("that it is the counterweight's", ["a_2 = a", "a_1 = -a"], ("turned", "plain"), ("right", "right"), 1),
    ("in one line", ["a_2 = a = -a_1"], ("turned", "plain"), ("right", "right"), 1),
    ("what they say is not kept to", ["a_1 = a", "a_2 = -a"], ("plain", "plain"), ("right", "clashing-directions"), 1),
    ("nothing says what a is", [], ("plain", "turned"), ("right", "clashing-directions"), 0),
    ("the tie is between letters with an index", ["a_1 = -a_2"], ("plain", "turned"), ("right", "clashing-directions"), 1),
]


@pytest.mark.parametrize(("ties", "written", "told", "points"), [x[1:] for x in LETTER], ids=[x[0] for x in LETTER])
def test_ties_can_say_what_the_letter_a_is(ties: list[str], written: tuple[str, str], told: tuple[str, str], points: float) -> None:
    equations = {"sack": SACK[written[0]], "counterweight": WEIGHT[written[1]]}
    found = judge(scene_named("feed-sack"), {"scene": "feed-sack", "directions": UP, "equations": equations, "ties": ties})
    assert tuple(verdicts_of(found, "equations").values()) == told
    assert sum(s.points for s in found.steps if s.step == "ties") == points


def test_two_ties_that_give_the_letter_a_two_meanings_are_no_ties() -> None:
    found = judge(scene_named("feed-sack"), {"scene": "feed-sack", "directions": UP, "ties": ["a_1 = a", "a_2 = a"]})
    assert verdicts_of(found, "ties") == {0: "right", 1: "flipped-tie"}


def test_the_working_keeps_to_what_the_ties_say_of_a() -> None:
    lines = ["T = m_1 g + m_1 a", "m_1 g + m_1 a - m_2 g = -m_2 a", "a = 1.58", "a = -1.58"]
    found = judge(scene_named("feed-sack"), {"scene": "feed-sack", "directions": UP, "ties": ["a_1 = a", "a_2 = -a"], "working": lines})
    assert list(verdicts_of(found, "working").values()) == ["right", "right", "right", "moved-sign"]


CHEST = {"chest": "upslope", "pail": "down"}
ACTS = "T - m_1 g sin(theta) + f_1 = 0"
ASSUMED = "T - m_1 g sin(theta) - f_1 = 0"
# (what is said, the chest's arrow of f, its equation, the result, what arrow, equation and result are told): f is 23.4 N up the slope
FRICTION = [
    ("as it acts", "upslope", ACTS, "23.4 N", ["right", "right", "right"]),
    ("assumed the other way and carried through", "downslope", ASSUMED, "-23.4 N", ["right", "right", "right"]),
    ("the other way in the diagram alone", "downslope", ACTS, "-23.4 N", ["flipped-friction", "right", "unnamed"]),
    ("the other way in the equation alone", "upslope", ASSUMED, "-23.4 N", ["right", "flipped-friction", "unnamed"]),
    ("the other way, and its size as if it acted so", "downslope", ASSUMED, "23.4 N", ["flipped-friction", "flipped-friction", "right"]),
]


@pytest.mark.parametrize(("arrow", "equation", "result", "told"), [x[1:] for x in FRICTION], ids=[x[0] for x in FRICTION])
def test_a_holding_friction_may_be_assumed_and_come_out_negative(arrow: str, equation: str, result: str, told: list[str]) -> None:
    arrows = [["T", "upslope"], ["W_1", "down"], ["N_1", "away"], ["f_1", arrow]]
    answers = {"scene": "chest-that-stays", "directions": CHEST, "forces": {"chest": arrows}, "equations": {"chest": equation}, "results": {"f_1": result}}
    found = judge(scene_named("chest-that-stays"), answers)
    assert [verdicts_of(found, step)[item] for step, item in (("forces", "chest"), ("equations", "chest"), ("results", "f_1"))] == told


@pytest.mark.parametrize("line", ["f_1 = -23.4", "f1 = 68.6 - 92.0 = -23.4", "f = \u221223.4 N", "F_{f,1} = -23.4"])
def test_where_the_working_has_the_minus_the_size_is_a_right_result_too(line: str) -> None:
    answers = {"scene": "chest-that-stays", "directions": CHEST, "equations": {"chest": ASSUMED}, "working": [line], "results": {"f_1": "23.4 N"}}
    found = judge(scene_named("chest-that-stays"), answers)
    assert [*verdicts_of(found, "equations").values(), *verdicts_of(found, "results").values()] == ["right", "right"]


def test_a_sliding_friction_is_not_assumed() -> None:
    answers = {"scene": "slate-on-bench", "directions": {"slate": "right"}, "equations": {"slate": "T + f_1 = m_1 a_1"}, "results": {"f_1": "-5 N"}}
    scene = scene_named("slate-on-bench")
    answers["directions"] = {t: scene.directions(t)[0] for t in scene.things}
    found = judge(scene, answers)
    assert verdicts_of(found, "equations")["slate"] == "flipped-friction"
