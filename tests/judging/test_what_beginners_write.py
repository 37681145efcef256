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


SLEDGE, SLEDGE_LEFT = (("sledge-on-a-slanting-rope", {"sledge": way}) for way in ("right", "left"))
WELL = ("well-bucket", {"bucket": "up", "drum": "clockwise"})
RIDGE = ("two-snowy-slopes", {"wood": "upslope", "milk": "upslope"})

# (what was written, scene and directions, item, the line, kinds of its slips in the order of the line, points)
TERM_BY_TERM = [
    ("the balance across the line", SLEDGE, "sledge", "N - W = m a", ["extra-force", "extra-force", "missing-force"], 0),
    ("the same with m g", SLEDGE_LEFT, "sledge", "N - m g = m a", ["extra-force", "extra-force", "missing-force"], 0),
    ("a part across the line and the weight", SLEDGE, "sledge", "F sin(phi) - W = m a", ["sine-cosine", "extra-force"], 0),
    ("a force taken whole, and the weight", SLEDGE, "sledge", "F = m a + m g", ["unnamed", "extra-force"], 0),
    ("a force taken whole, and turned", SLEDGE_LEFT, "sledge", "F = m a", ["unnamed", "flipped-force"], 0),
    ("a turned force and one too many", SLEDGE_LEFT, "sledge", "F cos(phi) + N = m a", ["flipped-force", "extra-force"], 0),
    ("another body's angle", RIDGE, "wood", "T - m_1 g sin(theta_2) + f_1 = m_1 a_1", ["other-body"], 0),
    ("another body's coefficient", RIDGE, "wood", "T - m_1 g sin(theta_1) + mu_k_2 m_1 g cos(theta_1) = m_1 a_1", ["other-body"], 0),
    ("a hoop for a disk", WELL, "drum", "T R = M R^2 alpha", ["unnamed"], 1),
    ("a radius that is not squared", WELL, "drum", "T R = 1/2 M R alpha", ["radius"], 0),
    ("a tie that is turned, put into I alpha", WELL, "drum", "T = 1/2 M a", ["flipped-inertia"], 1),
    ("a weight on a wheel", WELL, "drum", "T R - W_1 R = I alpha", ["extra-force"], 0),
]


@pytest.mark.parametrize(("scene", "item", "line", "kinds", "points"), [x[1:] for x in TERM_BY_TERM], ids=[x[0] for x in TERM_BY_TERM])
def test_each_term_of_an_equation_is_told_for_what_it_is(scene: Any, item: str, line: str, kinds: list[str], points: int) -> None:
    step = the(scene, "equations", item, equations={item: line})
    assert [s.kind for s in step.slips] == kinds
    assert step.points == points


def test_sine_and_cosine_of_half_a_right_angle_are_no_want_of_figures() -> None:
    """At 45 degrees the exchanged line is the line itself, and says nothing of how many figures there are."""
    assert the(RIDGE, "equations", "wood", equations={"wood": "T + f_1 - W_1 sin45 = m_1 a_1"}).remarks == ()


PAINTER = ("painter-on-a-platform", {"painter": "down", "platform": "down"})
TOW = ("two-sledges-in-tow", {"second_sledge": "right", "first_sledge": "right"})
RAMP = ("hay-bale-on-ramp", {"bale": "upslope", "trough": "down"})

# (what the value is, scene and directions, symbol, the value, what is said)
SHORTCUTS = [
    ("both weights", HOIST, "T", "264.6 N", "the weights together"),
    ("the difference of the weights", HOIST, "T", "29.4 N", "the difference of W_1 and W_2"),
    ("one weight", HOIST, "T", "147 N", "That is the weight W_2"),
    ("one mass alone set moving", HOIST, "a", "2.45 m/s^2", "divided by m_1 alone"),
    ("a decimal point that slipped", HOIST, "a", "10.9 m/s^2", "a decimal point has slipped"),
    ("figures that changed places", HOIST, "T", "113 N", "Two figures"),
    ("a weight for a push", PAINTER, "P", "607.6 N", "That is the weight W_1. A push equals"),
    ("a rope forgotten", PAINTER, "P", "638.6 N", "without the tension T"),
    ("no friction", RAMP, "a", "3.5 m/s^2", "without friction"),
    ("static friction", RAMP, "a", "1.86 m/s^2", "the coefficient of static friction"),
    ("an applied force handed on whole", TOW, "T", "95 N", "That is F itself. Part of F"),
]


@pytest.mark.parametrize(("scene", "symbol", "value", "said"), [x[1:] for x in SHORTCUTS], ids=[x[0] for x in SHORTCUTS])
def test_a_result_that_a_shortcut_leads_to_is_told_as_that(scene: Any, symbol: str, value: str, said: str) -> None:
    step = the(scene, "results", symbol, results={symbol: value})
    assert step.verdict == "slip"
    assert said in words_of(step)


def test_without_what_it_is_given_a_body_is_at_rest() -> None:
    """An acceleration that the scene gives may be the condition of a limiting case."""
    assert [the(PAINTER, "sense", sense=[line]).verdict for line in ("a = 0 => T = 421.4", "a = 0 => 2T = W_1 + W_2", "a = 0 => T = 500")] == ["right", "right", "slip"]


BALE = ("hay-bale-on-ramp", {"bale": "downslope", "trough": "up"})
OF_THE_BALE = {"equations": {"bale": "m_1 g sin30 + f_1 - T = m_1 a_1", "trough": "T - 24*9.8 = 24a"}, "ties": ["a_1 = a_2 = a"]}

# (what went wrong, the lines of working, the kind of slip in the last)
WORKING = [
    ("a parenthesis dropped, two terms merged", ["T = 235.2 + 24a", "141.7 - 235.2 + 24a = 18a"], "undistributed"),
    ("the same, friction put in first", ["f_1 = 53.5", "T = 235.2 + 24a", "88.2 + 53.5 - 235.2 + 24a = 18a"], "undistributed"),
    ("all but one term moved", ["T - 141.7 = 18a"], "moved-sign"),
]


@pytest.mark.parametrize(("lines", "kind"), [x[1:] for x in WORKING], ids=[x[0] for x in WORKING])
def test_a_slip_on_the_way_is_found_though_a_stands_for_a_1(lines: list[str], kind: str) -> None:
    """The equations have a_1 or a_2, the working goes on with the a that they share."""
    step = the(BALE, "working", len(lines) - 1, working=lines, **OF_THE_BALE)
    assert [s.kind for s in step.slips] == [kind]


def test_no_parenthesis_is_blamed_that_has_no_minus_before_it() -> None:
    step = the(PAINTER, "working", equations={"painter": "m_1(g + 0.5) = T + P"}, working=["607.6 - T - P = 31"])
    assert [s.kind for s in step.slips] == ["moved-sign"]


def test_the_size_of_a_bodys_own_acceleration_follows_from_no_true_line() -> None:
    """A wrong result elsewhere doesn't make it a mark that is carried on."""
    answers = {"equations": {"parcel": "f - m g sin(theta) = m a"}, "results": {"N": "23 N", "f": "8.2 N", "a": "2.87 m/s^2"}}
    assert the(CHUTE, "results", "a", **answers).verdict == "slip"


def test_what_presses_besides_the_weight_is_named() -> None:
    step = the(SLEDGE, "working", equations={"sledge": "F cos(phi) = m a"}, working=["N = 9.8*32"])
    assert "(the force F)" in words_of(step)


def test_one_letter_for_two_accelerations_costs_once() -> None:
    """The tie that says the same is drawn from it."""
    scene = ("feed-sack", {"sack": "up", "counterweight": "up"})
    answers = {"equations": {"sack": "T - m_1 g = m_1 a", "counterweight": "T - m_2 g = m_2 a"}, "ties": ["a_1 = a_2"]}
    assert the(scene, "equations", "counterweight", **answers).points == 1
    tie = the(scene, "ties", **answers)
    assert (tie.verdict, tie.points, tie.follows_from) == ("follows", 1, ("equation: counterweight",))
    assert the(scene, "ties", ties=["a_1 = a_2"]).verdict == "slip"


def test_a_minus_before_the_one_letter_is_seen() -> None:
    """What is right but for the letter is not told that its sign is wrong."""
    scene = ("sledge-and-stone", {"sledge": "right", "stone": "up"})
    step = the(scene, "equations", "stone", equations={"sledge": "T = m_1 a", "stone": "T - m_2 g = -m_2 a"})
    assert [s.kind for s in step.slips] == ["clashing-directions"]
    assert "right if a is the acceleration of the sledge" in words_of(step)


def test_one_wrong_normal_force_costs_once_in_two_equations() -> None:
    """N = m g within the friction: every term is there, and the second body's line carries the same idea on."""
    scene = ("two-snowy-slopes", {"wood": "upslope", "milk": "downslope"})
    lines = {"wood": "T - m_1 g sin(theta_1) + mu_k_1 m_1 g = m_1 a", "milk": "m_2 g sin(theta_2) + mu_k_2 m_2 g - T = m_2 a"}
    steps = [the(scene, "equations", thing, equations=lines) for thing in lines]
    assert [[s.kind for s in step.slips] for step in steps] == [["whole-weight"], ["whole-weight"]]
    assert [step.points for step in steps] == [1, 2]


def test_a_hanging_body_that_falls_freely_earns_nothing_though_it_follows() -> None:
    scene = ("crate-on-a-movable-pulley", {"crate": "down", "sack": "up"})
    answers = {"equations": {"crate": "m_1 g = m_1 a_1"}, "results": {"a_1": "9.8 m/s^2"}}
    assert the(scene, "results", "a_1", **answers).points == 0


SLIDES = {"equations": {"parcel": "m g sin(theta) - f = m a"}}
DOWN = ("parcel-down-a-chute", {"parcel": "downslope"})

# (a line with a square root after a = 2.87 and v^2 = 2 a d, its verdict)
ROOTS = [
    ("v = sqrt(2 a d)", "right"),
    ("v = √(2*2.87*4.5)", "right"),
    ("t = (2d/a)^0.5", "right"),
    ("t = \\sqrt{2d/a}", "right"),
    ("t = v/a = (2*4.5/2.87)^(1/2)", "right"),
    ("v = 2 sqrt(a d/2)", "right"),
    ("v = sqrt(a d)", "slip"),
    ("v = sqrt(2*2.87*45)", "slip"),
    ("v = √2ad", "unread"),
]


@pytest.mark.parametrize(("line", "verdict"), ROOTS)
def test_a_square_root_is_read_and_judged(line: str, verdict: str) -> None:
    assert the(DOWN, "working", 2, working=["a = 2.87", "v^2 = 2 a d", line], **SLIDES).verdict == verdict


def test_a_speed_follows_from_the_students_own_acceleration_through_a_root() -> None:
    answers = {"equations": {"parcel": "m g sin(theta) + f = m a"}, "working": ["a = 7.80", "v = sqrt(2 a d)", "v = 8.38"]}
    assert [the(DOWN, "working", n, **answers).verdict for n in range(3)] == ["follows", "right", "follows"]


FEED = ("feed-sack", {"sack": "up", "counterweight": "down"})
POLISHER = ("polisher-pushed", {"polisher": "right"})

# (what was copied wrong, scene and directions, item, the line, what is said)
COPIED = [
    ("an angle", POLISHER, "polisher", "F cos(25) - f = m a", "gives phi = 30°"),
    ("a mass, wherever it stands", FEED, "sack", "T - 6.6*9.8 = 6.6a", "gives m_1 = 6.5 kg"),
    ("a mass, once", FEED, "sack", "T - 6.6*9.8 = 6.5a", "gives m_1 = 6.5 kg"),
    ("two figures that changed places", FEED, "sack", "T - 5.6*9.8 = 5.6a", "gives m_1 = 6.5 kg"),
]


@pytest.mark.parametrize(("scene", "item", "line", "said"), [x[1:] for x in COPIED], ids=[x[0] for x in COPIED])
def test_a_datum_that_was_copied_wrong_is_told(scene: Any, item: str, line: str, said: str) -> None:
    step = the(scene, "equations", item, equations={item: line})
    assert [s.kind for s in step.slips] == ["arithmetic"]
    assert said in words_of(step)
    assert step.points == 1


def test_a_known_weight_is_not_blamed_beside_a_number_that_was_worked_out_wrong() -> None:
    lines = {"sack": "T - m_1 g = m_1 a", "counterweight": "m_2 g - T = m_2 a"}
    step = the(FEED, "working", 1, equations=lines, working=["m_2 g - m_1 g = (m_1 + m_2) a", "88.2 - 64.7 = 15.5a"])
    assert [s.term for s in step.slips] == ["64.7"]


PULLED = ("trunk-and-movable-pulley", {"trunk": "left", "boulder": "down"})
OF_THE_TRUNK = {"equations": {"trunk": "52.9 - T = 18a_1", "boulder": "254.8 - 2T = 26a_2"}, "ties": ["a_1 = -2a_2"]}


@pytest.mark.parametrize("lines", [["T = 52.9 - 18a_1", "254.8 - 105.8 - 36a_1 = -13a_1"], ["254.8 - 2*52.9 - 18a_1 = 26a_2"]])
def test_a_parenthesis_is_missed_beside_a_tie_or_a_factor(lines: list[str]) -> None:
    """What is put in twice, with a minus before it, while the tie is used in the same line."""
    assert [s.kind for s in the(PULLED, "working", len(lines) - 1, working=lines, **OF_THE_TRUNK).slips] == ["undistributed"]


def test_a_tie_of_a_thing_with_itself_is_told() -> None:
    assert "ties a_1 to itself" in words_of(the(PULLED, "ties", ties=["a_1 = -2a_1"]))
