"""Sense checks and limiting cases line by line: what is true and tests something, what is true and says nothing, what is false."""

from __future__ import annotations

import pytest

from plusway.autograde.judging import judge
from plusway.autograde.scene import load_text
from plusway.lessons.catalogue import find

DIRECTIONS = {"feed-sack": {"sack": "up", "counterweight": "down"}, "hay-bale-on-ramp": {"bale": "upslope", "trough": "down"},
              "grindstone-with-drag": {"bucket": "down", "stone": "clockwise"}, "lamp-in-the-lift": {"lift": "up", "lamp": "up"}}
ANOTHER = "In that limiting case the result is another one"
NOTHING, FALSE, LIKE = "says nothing about this scene", "not true here", "only like can be compared with like"

# m_1 = 6.5 kg, m_2 = 9 kg: a = 1.58 m/s^2, T = 74.0 N, between the weights 63.7 N and 88.2 N
CASES = [
    ("feed-sack", "a <= g", "right", ""),
    ("feed-sack", "a >= 0", "right", ""),
    ("feed-sack", "T >= W_1", "right", ""),
    ("feed-sack", "T > m_1 a", "right", ""),
    ("feed-sack", "63.7 < 74.0 < 88.2", "right", ""),
    ("feed-sack", "88.2 - 63.7 = 15.5(1.581)", "right", ""),
    ("feed-sack", "1 < 2", "slip", NOTHING),
    ("feed-sack", "2 = 2", "slip", NOTHING),
    ("feed-sack", "T - T < 1", "slip", NOTHING),
    ("feed-sack", "a = 1.58 m/s^2", "slip", "only says a result again"),
    ("feed-sack", "74.0 N = T", "slip", "only says a result again"),
    ("feed-sack", "a = (m_2 - m_1) g/(m_1 + m_2)", "right", ""),
    ("feed-sack", "T << W_2", "slip", FALSE),
    ("feed-sack", "W_2 >> a", "slip", LIKE),
    ("feed-sack", "|a| < g", "right", ""),
    ("feed-sack", "T > W_1 and T < W_2", "right", ""),
    ("feed-sack", "W1 < T; T < W2", "right", ""),
    ("feed-sack", "T > W_1 and T > W_2", "slip", FALSE),
    ("feed-sack", "T > W_1 and the rest", "unread", "two statements"),
    ("feed-sack", "m_1 very large => a = -g", "right", ""),
    ("feed-sack", "if m_2 is tiny, a = -g", "right", ""),
    ("feed-sack", "m_1 becomes light => a = -g", "slip", "In that limiting case the result is another one"),
    ("feed-sack", "if m_1 = m_2: a = 0", "right", ""),
    ("feed-sack", "m_1 = m_2 => T = m_1 g", "right", ""),
    ("feed-sack", "m_2 >> m_1 => a = g", "right", ""),
    ("feed-sack", "m_1 = 0 => a = g", "right", ""),
    ("feed-sack", "m_1 = 0 => T = 0", "right", ""),
    ("feed-sack", "m_1 = m_2 => a = g", "slip", "In that limiting case the result is another one"),
    ("feed-sack", "m_1 < m_2 < 9 => a = 0", "unread", "Give one condition"),
    ("feed-sack", "T = 74 => a = 0", "unread", "about the data"),
    ("feed-sack", "m_1 + m_2 = 0 => a = 0", "unread", "about the data"),
    ("feed-sack", "(T - W_1)/0 > 1", "unread", "divides by zero"),
    ("feed-sack", "N_3 < 2", "unread", "The letters here are"),
    ("hay-bale-on-ramp", "f_1 < N_1", "right", ""),
    ("hay-bale-on-ramp", "f_1 <= mu_k N_1", "right", ""),
    ("hay-bale-on-ramp", "theta = 90 => N_1 = 0", "right", ""),
    ("hay-bale-on-ramp", "theta = 0 => N_1 = W_1", "right", ""),
    ("hay-bale-on-ramp", "mu_k = 0 => f_1 = 0", "right", ""),
    ("hay-bale-on-ramp", "m_1 >> m_2 => a < 0", "right", ""),
    ("feed-sack", "m_1 = m_2 => T = 88.2", "right", ""),
    ("feed-sack", "m_1 = m_2 => T = 63.7", "slip", ANOTHER),
    ("feed-sack", "m_1 = 9 kg => a = 0", "right", ""),
    ("feed-sack", "m_1 = 9 => a = g", "slip", ANOTHER),
    ("feed-sack", "m_9 = 9 => a = g", "unread", "There is no m_9 here"),
    # 24.5 N on 2.5 kg and a disk of 15 kg: 24.5/10 without the drag of 0.60 N m, which holds a bucket that is next to nothing
    ("grindstone-with-drag", "tau_f = 0 => a = 2.45", "right", ""),
    ("grindstone-with-drag", "tau_f = 0 => a = m_1 g/(m_1 + M/2)", "right", ""),
    ("grindstone-with-drag", "tau_f = 0 => T = 18.4", "right", ""),
    ("grindstone-with-drag", "tau_f = 0 => a < g/2", "right", ""),
    ("grindstone-with-drag", "tau_f = 0 => a = 2.15", "slip", ANOTHER),  # that is a with the drag
    ("grindstone-with-drag", "tau_f = 0 => T = 24.5", "slip", ANOTHER),
    ("grindstone-with-drag", "tau_f = 0 => a > g/2", "slip", ANOTHER),
    ("grindstone-with-drag", "tau_f = 0 => a = m_1 g/(m_1 + M)", "slip", ANOTHER),
    ("grindstone-with-drag", "m_1 = 0 => a = 0", "right", ""),
    ("grindstone-with-drag", "m_1 = 0 => T = 0", "right", ""),
    ("grindstone-with-drag", "m_1 = 0 => a = -tau_f R/I", "right", "moving as it does here"),
    ("grindstone-with-drag", "m_1 = 0 => a = g", "slip", "the bearing's drag holds it all at rest"),
    ("grindstone-with-drag", "m_1 = 0 => a = -1", "slip", "the bearing's drag holds it all at rest"),
    # 2.5 kg in a lift
    ("lamp-in-the-lift", "a_1 = 0 => T_2 = 24.5", "right", ""),
    ("lamp-in-the-lift", "a_1 = 0 => T_2 = W_2", "right", ""),
    ("lamp-in-the-lift", "a_1 = 0 => T_2 = 28.5", "slip", ANOTHER),
]  # fmt: skip


@pytest.mark.parametrize(("scene", "line", "verdict", "says"), CASES, ids=[f"{scene}: {line}" for scene, line, _, _ in CASES])
def test_a_check_is_judged_by_what_it_says_of_the_scene(scene: str, line: str, verdict: str, says: str) -> None:
    """A true check that some result could have failed is right; all else is told why not."""
    steps = judge(find(scene), {"scene": scene, "directions": DIRECTIONS[scene], "sense": [line]}).steps
    (step,) = [s for s in steps if s.step == "sense"]
    said = " ".join([step.says, *(slip.says for slip in step.slips), *step.remarks])
    assert (step.verdict, says in said) == (verdict, True), said


HOOP = """
title = "t"
story = "s"
ask = { values = ["a"] }
bodies = { bucket = { index = 1, mass = "1.5 kg", moves = "vertical" } }
wheels = { hoop = { index = 2, radius = "0.25 m", mass = "2 kg", shape = "hoop", drag = "0.6 N m" } }
ropes = [{ symbol = "T", pulls = [["bucket", "up"], ["hoop", "clockwise"]] }]
"""
LIFT = """
title = "t"
story = "s"
g = "9.81 m/s^2"
ask = { values = ["T"] }
ropes = [{ symbol = "T", pulls = [["brass", "up"], ["lead", "up"], ["lift", "down"], ["lift", "down"]] }]
[bodies]
brass = { index = 1, mass = "2 kg", moves = "vertical" }
lead = { index = 2, mass = "3 kg", moves = "vertical" }
lift = { index = 3, mass = "400 kg", moves = "vertical", acceleration = ["up", "1.5 m/s^2"] }
"""
DOWN = {"bucket": "down", "hoop": "clockwise", "lead": "down"}

# by hand: 14.7 N on 1.5 kg and a hoop of 2 kg, 14.7/3.5 = 4.2 without drag; drag alone takes 0.6/0.25 = 2.4 N.
# two equal weights ride with the lift at 1.5 m/s^2; in a lift at rest a = 9.81/5 = 1.96, T = 2(9.81 + 1.962) = 23.5
OWN = [
    (HOOP, "tau_f = 0 => a = 4.2", "right"),
    (HOOP, "tau_f = 0 => alpha = 16.8", "right"),
    (HOOP, "tau_f = 0 => T = 8.4", "right"),
    (HOOP, "tau_f = 0 => a = m_1 g/(m_1 + M)", "right"),
    (HOOP, "M = 0 => T = 2.4", "right"),
    (HOOP, "M = 0 => T = tau_f/R", "right"),
    (HOOP, "m_1 = 0 => a = 0", "right"),
    (HOOP, "tau_f = 0 => a = 3.5", "slip"),
    (HOOP, "tau_f = 0 => T = 14.7", "slip"),
    (HOOP, "M = 0 => T = 0", "slip"),
    (HOOP, "m_1 = 0 => a = 9.8", "slip"),
    # in letters it has to be true whatever the data are, not only because bucket and hoop are of equal mass
    (HOOP.replace("1.5 kg", "2 kg"), "tau_f = 0 => a = m_1 g/(m_1 + M)", "right"),
    (HOOP.replace("1.5 kg", "2 kg"), "tau_f = 0 => a = M g/(m_1 + M)", "slip"),
    (LIFT, "m_1 = m_2 => a_1 = 1.5", "right"),
    (LIFT, "m_1 = m_2 => a_2 = -1.5", "right"),
    (LIFT, "m_1 = m_2 => T = m_1(g + 1.5)", "right"),
    (LIFT, "m_1 = m_2 => a_1 = a_3", "right"),
    (LIFT, "a_3 = 0 => a_1 = 1.96", "right"),
    (LIFT, "a_3 = 0 => T = 23.5", "right"),
    (LIFT, "m_1 = m_2 => a_1 = 0", "slip"),
    (LIFT, "m_1 = m_2 => T = m_1 g", "slip"),
    (LIFT, "a_3 = 0 => a_1 = 3.76", "slip"),
    (LIFT, "a_3 = 0 => T = 27.1", "slip"),
]


@pytest.mark.parametrize(("text", "line", "verdict"), OWN, ids=[line for _, line, _ in OWN])
def test_a_limiting_case_in_figures_is_one_of_these_data(text: str, line: str, verdict: str) -> None:
    """With a bearing's drag or a given acceleration too, a conclusion may be written in letters or in this scene's figures."""
    scene = load_text(text, name="own", file="own.toml")
    paper = {"scene": "own", "directions": {t: DOWN.get(t, "up") for t in scene.things}, "sense": [line]}
    (step,) = [s for s in judge(scene, paper).steps if s.step == "sense"]
    assert (step.verdict, [s.kind for s in step.slips]) == (verdict, [] if verdict == "right" else ["false-sense"]), step


# a thing, its arrows, the verdict, the kind of the first slip and what is said of it
ARROWS = [
    ("feed-sack", "sack", [["T", "up"], ["m_1 g", "down"]], "right", "", ""),
    ("feed-sack", "sack", [["T", "up"], ["W_1", "down"], ["m_1 a", "up"]], "slip", "extra-force", "what the forces add up to, not a force"),
    ("hay-bale-on-ramp", "bale", [["T", "upslope"], ["N_1", "away"], ["m_1 g", "down"], ["mu_k N_1", "downslope"]], "right", "", ""),
    ("hay-bale-on-ramp", "bale", [["T", "upslope"], ["N_1", "up"], ["W_1", "down"], ["f_1", "downslope"]], "slip", "flipped-force", "does not act up on the bale: it acts away from the surface"),
    ("slate-on-bench", "slate", [["T", "right"], ["N_1", "up"], ["W_1", "down"], ["f_1", "left"]], "right", "", ""),
    ("hay-bale-on-ramp", "bale", [["m_9 g", "down"]], "unread", "", "names no force of this problem"),
    ("cask-over-a-heavy-wheel", "wheel", [["T", "clockwise"]], "slip", "one-tension", "a different tension on each side"),
]  # fmt: skip


@pytest.mark.parametrize(("scene", "thing", "arrows", "verdict", "kind", "says"), ARROWS)
def test_a_force_may_be_named_by_what_it_equals(scene: str, thing: str, arrows: list[list[str]], verdict: str, kind: str, says: str) -> None:
    """m g is the weight, mu_k N the friction; m a is no force, and on a wheel with inertia there are two tensions."""
    steps = judge(find(scene), {"scene": scene, "directions": DIRECTIONS.get(scene, {}), "forces": {thing: arrows}}).steps
    (step,) = [s for s in steps if s.step == "forces" and s.item == thing]
    said = " ".join([step.says, *(slip.says for slip in step.slips)])
    assert (step.verdict, step.slips[0].kind if step.slips else "", says in said) == (verdict, kind, True), said


def test_a_check_that_holds_for_the_size_alone_says_so() -> None:
    """With plus up the chute a parcel without friction has a = -g sin(theta): the size is g sin(theta)."""
    lines = ["mu_k = 0 => a = g sin(theta)", "mu_k = 0 => a = -g sin(theta)", "mu_k = 0 => a = g cos(theta)"]
    steps = judge(find("parcel-down-a-chute"), {"scene": "parcel-down-a-chute", "directions": {"parcel": "upslope"}, "sense": lines}).steps
    found = [s for s in steps if s.step == "sense"]
    assert [s.verdict for s in found] == ["right", "right", "slip"]
    assert ["of the size" in "".join(s.remarks) for s in found] == [True, False, False]
