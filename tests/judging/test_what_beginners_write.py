"""Lines that beginners wrote in trials, with what they should be told. The sentences are ours; that these errors are made is common
practice, no source."""

from __future__ import annotations

from typing import Any

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import judge

HOIST = ("mill-hoist", {"grain": "up", "stone": "up"})
CHUTE = ("parcel-down-a-chute", {"parcel": "upslope"})

# (what was written, scene and directions, step, item, the line, kinds of its slips, what is said, what is not)
EQUATIONS = [
    ("another body's weight and no m a", HOIST, "grain", "T = 15g", ["unnamed"], ["no m_1 a_1", "belongs to the stone"], ["falls"]),
    ("the friction as large as the weight's part", CHUTE, "parcel", "f = m g sin(theta)", ["unnamed"], ["no m a", "balance"], ["falls"]),
    ("a rope counted twice", HOIST, "grain", "2T - 12g = 12a_1", ["strand-count"], ["Count the strands"], []),
    ("the whole system, turned round", HOIST, "grain", "12g - 15g = 27a", ["whole-system", "flipped-inertia"], ["whole system", "turned round"], ["That is true"]),
    ("another value of g", HOIST, "grain", "T - 12*9.81 = 12a_1", ["arithmetic"], ["g = 9.81 m/s^2", "gives g = 9.8 m/s^2"], ["A number is worked out wrong"]),
    ("g where the weight's part belongs", CHUTE, "parcel", "f - g sin(theta) = m a", ["unnamed"], ["its mass is missing"], ["no one or two"]),
    ("a where m a belongs", CHUTE, "parcel", "f - m g sin(theta) = a", ["unnamed"], ["“a” is an acceleration"], ["no one or two"]),
    ("W x for the part along x", CHUTE, "parcel", "mu_k N - Wx = m a", ["unnamed"], ["only like can be added", "sine or the cosine"], []),
]


def the(scene: tuple[str, dict[str, str]], step: str, item: str | int = 0, **answers: Any) -> Any:
    name, positive = scene
    return next(s for s in judge(scene_named(name), {"scene": name, "directions": positive, **answers}).steps if (s.step, s.item) == (step, item))


def words_of(step: Any) -> str:
    return " ".join([step.says, *step.remarks, *(f"{s.says} {s.how}" for s in step.slips)])


@pytest.mark.parametrize(("scene", "item", "line", "kinds", "said", "unsaid"), [x[1:] for x in EQUATIONS], ids=[x[0] for x in EQUATIONS])
def test_an_equation_is_told_what_is_wrong_with_it(scene: Any, item: str, line: str, kinds: list[str], said: list[str], unsaid: list[str]) -> None:
    step = the(scene, "equations", item, equations={item: line})
    assert [s.kind for s in step.slips] == kinds
    words = words_of(step)
    assert [x for x in said if x not in words] == []
    assert [x for x in unsaid if x in words] == []


# (what was written, scene and directions, the check, its verdict)
CHECKS = [
    ("two consequences of one condition", HOIST, "m_1 = m_2 => a = 0, T = W_1", "right"),
    ("the same in words", HOIST, "if m_1 = m_2, a = 0 and T = W_1", "right"),
    ("the condition last", HOIST, "a = 0, T = W_1 if m_1 = m_2", "right"),
    ("one of two consequences is wrong", HOIST, "m_1 = m_2 => a = 0, T = 2W_1", "slip"),
    ("that friction cannot hold it", CHUTE, "tan(theta) > mu_s", "right"),
    ("that friction could hold it", CHUTE, "mu_s > tan(theta)", "slip"),
    ("coefficients alone say nothing of the scene", CHUTE, "mu_s > mu_k", "slip"),
]


@pytest.mark.parametrize(("scene", "line", "verdict"), [x[1:] for x in CHECKS], ids=[x[0] for x in CHECKS])
def test_a_check_is_read_as_it_is_meant(scene: Any, line: str, verdict: str) -> None:
    assert the(scene, "sense", sense=[line]).verdict == verdict
