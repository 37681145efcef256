"""One wrong idea, drawn and then written, costs once: no more than it would cost in the equation alone. Sums worked by hand: a diagram is worth 1, an
error in it half of that, an equation 1 for its method and 1 for its accuracy (common practice, no source)."""

from __future__ import annotations

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import judge

SACK = {"sack": "up", "counterweight": "down"}
Arrows = dict[str, list[list[str]]]
RIGHT: Arrows = {"sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]}
WEIGHT_UP: Arrows = {**RIGHT, "sack": [["T", "up"], ["W_1", "up"]]}
NO_WEIGHT: Arrows = {**RIGHT, "sack": [["T", "up"]]}
ROPE_PUSHES: Arrows = {"sack": [["T", "down"], ["W_1", "down"]], "counterweight": [["T", "down"], ["W_2", "down"]]}

# (what is said, diagrams, the two equations, the points of the two diagrams, those of the two equations)
ONCE = [
    ("drawn alone", WEIGHT_UP, ("T - m_1 g = m_1 a", "m_2 g - T = m_2 a"), [0.5, 1], [2, 2]),
    ("written alone", RIGHT, ("T + m_1 g = m_1 a", "m_2 g - T = m_2 a"), [1, 1], [1, 2]),
    ("drawn and written", WEIGHT_UP, ("T + m_1 g = m_1 a", "m_2 g - T = m_2 a"), [0.5, 1], [1.5, 2]),
    ("a force drawn and written too few", NO_WEIGHT, ("T = m_1 a", "m_2 g - T = m_2 a"), [0.5, 1], [0.5, 2]),
    ("another slip than the one that was drawn", WEIGHT_UP, ("T - m_1 = m_1 a", "m_2 g - T = m_2 a"), [0.5, 1], [0, 2]),
    ("one idea in both diagrams and both equations", ROPE_PUSHES, ("-T - m_1 g = m_1 a", "m_2 g + T = m_2 a"), [0.5, 1], [1.5, 2]),
]


@pytest.mark.parametrize(("forces", "written", "drawn", "earned"), [x[1:] for x in ONCE], ids=[x[0] for x in ONCE])
def test_an_error_that_is_drawn_and_written_costs_once(forces: Arrows, written: tuple[str, str], drawn: list[float], earned: list[float]) -> None:
    equations = dict(zip(SACK, written, strict=True))
    found = judge(scene_named("feed-sack"), {"scene": "feed-sack", "directions": SACK, "forces": forces, "equations": equations})
    assert [s.points for s in found.steps if s.step == "forces"] == drawn
    assert [s.points for s in found.steps if s.step == "equations"] == earned
    assert all(s.points == sum(points for _, points, _ in s.marks) for s in found.steps if s.step == "equations")


CASK = {"small_cask": "up", "large_cask": "down", "wheel": "clockwise"}
# (what is said, the letters on the small cask, the large one, the wheel's two sides, what each diagram and each equation is told)
TENSIONS = [
    ("each side its own", ("T_1", "T_2", "T_1", "T_2"), ["right"] * 3),
    ("one letter without an index", ("T", "T", "T", "T"), ["one-tension"] * 3),
    ("one side's letter for both", ("T_1", "T_1", "T_1", "T_1"), ["right", "one-tension", "one-tension"]),
]


@pytest.mark.parametrize(("letters", "told"), [x[1:] for x in TENSIONS], ids=[x[0] for x in TENSIONS])
def test_one_tension_for_both_sides_of_a_wheel_is_one_slip_drawn_as_written(letters: tuple[str, ...], told: list[str]) -> None:
    small, large, left, right = letters
    answers = {
        "scene": "cask-over-a-heavy-wheel",
        "directions": CASK,
        "forces": {
            "small_cask": [[small, "up"], ["W_1", "down"]],
            "large_cask": [[large, "up"], ["W_2", "down"]],
            "wheel": [[left, "counterclockwise"], [right, "clockwise"]],
        },
        "equations": {"small_cask": f"{small} - m_1 g = m_1 a", "large_cask": f"m_2 g - {large} = m_2 a", "wheel": f"({right} - {left}) R = I alpha"},
    }
    found = judge(scene_named("cask-over-a-heavy-wheel"), answers)
    for step in ("forces", "equations"):
        assert ["+".join(s.kind for s in one.slips) or one.verdict for one in found.steps if one.step == step] == told
    lost = sum(s.of - s.points for s in found.steps if s.step in ("forces", "equations"))
    assert lost == (0 if told[0] == told[1] == "right" else 2)


REASONS = [
    ("feed-sack", SACK, "sack", [["T", "down"], ["W_1", "down"]], "A rope can only pull"),
    ("feed-sack", SACK, "sack", [["T", "up"], ["W_1", "up"]], "The earth pulls every body straight down"),
    ("two-boxes-pushed", {}, "soap", [["P", "left"], ["W_2", "down"], ["N_2", "up"]], "A contact can only push"),
]


@pytest.mark.parametrize(("scene", "positive", "thing", "arrows", "reason"), REASONS, ids=[x[4] for x in REASONS])
def test_the_reason_of_a_turned_arrow_is_what_the_force_is_not_a_sign(
    scene: str, positive: dict[str, str], thing: str, arrows: list[list[str]], reason: str
) -> None:
    found = judge(scene_named(scene), {"scene": scene, "directions": positive, "forces": {thing: arrows}})
    (step,) = [s for s in found.steps if s.step == "forces" and s.item == thing]
    assert step.slips[0].why.startswith(reason)
    assert "sign" not in step.slips[0].why


ALONG, INTO_IT = ["m_1 g sin(theta)", "downslope"], ["m_1 g cos(theta)", "into"]
# (what is said, how the weight is drawn beside T, N and f, what the diagram is told)
PARTS = [
    ("both parts", [ALONG, INTO_IT], "right"),
    ("both parts, in W and numbers", [["W_1 sin 30", "downslope"], ["W_1 cos 30", "into the surface"]], "right"),
    ("the part along the slope alone", [ALONG], "missing-force"),
    ("the whole beside its parts", [ALONG, INTO_IT, ["W_1", "down"]], "extra-force"),
    ("one part turned round", [["m_1 g sin(theta)", "upslope"], INTO_IT], "flipped-force"),
    ("sine and cosine exchanged", [["m_1 g cos(theta)", "downslope"], ["m_1 g sin(theta)", "into"]], "sine-cosine"),
    ("the parts of another body's weight", [["m_2 g sin(theta)", "downslope"], INTO_IT], "unread"),
    ("the parts with another angle", [["m_1 g sin 25", "downslope"], ["m_1 g cos 25", "into"]], "unread"),
]


@pytest.mark.parametrize(("weight", "told"), [x[1:] for x in PARTS], ids=[x[0] for x in PARTS])
def test_a_weight_on_a_slope_may_be_drawn_as_its_two_parts(weight: list[list[str]], told: str) -> None:
    arrows = [["T", "upslope"], ["N_1", "away"], ["f_1", "downslope"], *weight]
    answers = {"scene": "hay-bale-on-ramp", "directions": {"bale": "upslope", "trough": "down"}, "forces": {"bale": arrows}}
    (step,) = [s for s in judge(scene_named("hay-bale-on-ramp"), answers).steps if s.step == "forces" and s.item == "bale"]
    assert ("+".join(s.kind for s in step.slips) or step.verdict) == told


# (what is said, an arrow beside the right ones of the sack, what the diagram is told)
ABSENT = [
    ("friction on what hangs free", ["f", "down"], "extra-force"),
    ("the same with its index", ["f_1", "down"], "extra-force"),
    ("the same in words", ["friction", "up"], "extra-force"),
    ("a normal force on it", ["N_1", "up"], "extra-force"),
    ("the friction of another body", ["f_2", "up"], "unread"),
    ("no force of mechanics", ["Q", "up"], "unread"),
]


@pytest.mark.parametrize(("arrow", "told"), [x[1:] for x in ABSENT], ids=[x[0] for x in ABSENT])
def test_a_force_that_the_scene_has_not_is_one_too_many(arrow: list[str], told: str) -> None:
    answers = {"scene": "feed-sack", "directions": SACK, "forces": {"sack": [*RIGHT["sack"], arrow]}}
    (step,) = [s for s in judge(scene_named("feed-sack"), answers).steps if s.step == "forces" and s.item == "sack"]
    assert ("+".join(s.kind for s in step.slips) or step.verdict) == told
