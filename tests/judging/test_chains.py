"""Lines of working: what is drawn rightly from true lines is right, from a student's own wrong lines it follows, and a broken line is told."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from line_writer import all_equations, first_directions, in_figures, in_letters, pieces, plain, setup_of, single_slips
from marked_lines import scene_named

from plusway.autograde.algebra import Poly
from plusway.autograde.judging import Step, judge
from plusway.lessons.catalogue import names

PAIRS = [
    n
    for n in names()
    if len(setup_of(n, first_directions(n)).equations) >= 2 and setup_of(n, first_directions(n)).regime.moves
]
WEIGHTS = (Fraction(1), Fraction(-1), Fraction(2), Fraction(1, 2), Fraction(-3))


def judged(scene: str, equations: dict[str, str], working: list[str]) -> list[Step]:
    answers = {"directions": dict(first_directions(scene)), "equations": equations, "working": working}
    return [s for s in judge(scene_named(scene), answers).steps if s.step == "working"][: len(working)]


def combined(polys: list[Poly], dice: random.Random) -> Poly:
    return Poly.sum(p * dice.choice(WEIGHTS) for p in polys)


@pytest.mark.parametrize("scene", PAIRS)
def test_what_two_true_equations_make_together_is_right(scene: str) -> None:
    dice = random.Random(scene)
    setup = setup_of(scene, first_directions(scene))
    true = {t: plain(setup, Poly.sum(pieces(setup, t))) for t in setup.equations}
    own = {t: in_letters(p) + " = 0" for t, p in true.items()}
    working = []
    for _ in range(3):
        poly = combined(dice.sample(list(true.values()), 2), dice)
        working += [in_letters(poly) + " = 0", in_figures(setup, poly, 4) + " = 0"]
    assert [(s.text, s.verdict) for s in judged(scene, own, working) if s.verdict != "right"] == []


@pytest.mark.parametrize("scene", PAIRS)
def test_what_is_drawn_from_a_wrong_equation_follows(scene: str) -> None:
    """One equation carries a slip. Multiples of it, and sums with a right one, follow; the right one stays right."""
    dice = random.Random(scene)
    setup = setup_of(scene, first_directions(scene))
    true = {t: plain(setup, Poly.sum(pieces(setup, t))) for t in setup.equations}
    bodies = [t for t in true if t in setup.scene.bodies]  # forces and torques are not added
    if len(bodies) < 2:
        bodies = list(true)
    things = [t for t in bodies if single_slips(setup, t)]
    wrong_thing = dice.choice(things)
    other = dice.choice([t for t in bodies if t != wrong_thing])
    kept = ("flipped-force", "flipped-friction", "missing-force", "mass-for-weight", "flipped-inertia")
    made = dice.choice([m for m in single_slips(setup, wrong_thing) if m.kind in kept and len(m.poly.terms) > 1])
    own = {t: in_letters(p) + " = 0" for t, p in {**true, wrong_thing: made.poly}.items()}
    working = [in_letters(made.poly * 2) + " = 0", in_letters(true[other] * -1) + " = 0"]
    expected = ["follows", "right"]
    if wrong_thing in setup.scene.bodies and other in setup.scene.bodies:
        working.append(in_letters(made.poly + true[other]) + " = 0")
        expected.append("follows")
    verdicts = [s.verdict for s in judged(scene, own, working)]
    assert verdicts == expected, (made.kind, own, working)


@pytest.mark.parametrize("scene", PAIRS)
def test_a_line_broken_by_a_lost_or_turned_term_is_told_and_never_right(scene: str) -> None:
    """Each term of a true line is lost, then turned: the line has a slip that names the term, or one that does the same."""
    dice = random.Random(scene)
    setup = setup_of(scene, first_directions(scene))
    thing = dice.choice([t for t in setup.equations if len(pieces(setup, t)) > 2] or list(setup.equations))
    true = plain(setup, Poly.sum(pieces(setup, thing)))
    own = {thing: in_letters(true) + " = 0"}
    told = []
    for monomial, c in true.terms.items():
        for new in (Fraction(0), -c):
            broken = Poly({**true.terms, monomial: new})
            if len(broken.terms) < 2:
                continue
            (step,) = judged(scene, own, [in_letters(broken) + " = 0"])
            kinds = {s.kind for s in step.slips}
            expected = {"lost-term"} if not new else {"moved-sign", "undistributed"}
            if step.verdict != "slip" or not kinds & expected:
                told.append((in_letters(broken), step.verdict, kinds, expected))
    assert told == []


def test_a_wrong_line_of_working_is_never_right_whatever_stands_before_it() -> None:
    accepted = []
    for scene, thing in all_equations():
        setup = setup_of(scene, first_directions(scene))
        if not setup.regime.moves:
            continue
        true = plain(setup, Poly.sum(pieces(setup, thing)))
        dice = random.Random(scene + thing)
        made = single_slips(setup, thing)
        for m in dice.sample(made, min(3, len(made))):
            own = {thing: in_letters(true) + " = 0"}
            (step,) = judged(scene, own, [in_letters(m.poly) + " = 0"])
            if step.verdict in ("right", "follows"):
                accepted.append((scene, thing, in_letters(m.poly), m.kind, step.verdict))
    assert accepted == []


@pytest.mark.parametrize("line", ["x_1 = x_2", "s_1 = -s_2", "v1 = v2", "y_{1} = -y_{2}"])
def test_a_tie_of_displacements_or_speeds_is_told_to_be_one_of_accelerations(line: str) -> None:
    (step,) = [s for s in judge(scene_named("feed-sack"), {"scene": "feed-sack", "ties": [line]}).steps if s.step == "ties"]
    assert step.verdict == "unread"
    assert "Tie the accelerations, a_1 and so on" in step.says


# (what is said, the tie, its verdict): no direction was chosen, and no equation is there
UNCHOSEN = [
    ("a tie with a plus", "a_1 = a_2", "right"),
    ("a tie with a minus", "a_1 = -a_2", "right"),
    ("a tie with a wrong ratio", "a_1 = 2 a_2", "slip"),
]


@pytest.mark.parametrize(("tie", "verdict"), [x[1:] for x in UNCHOSEN], ids=[x[0] for x in UNCHOSEN])
def test_without_chosen_directions_a_tie_is_right_if_it_is_so_for_some(tie: str, verdict: str) -> None:
    (step,) = [s for s in judge(scene_named("feed-sack"), {"scene": "feed-sack", "ties": [tie]}).steps if s.step == "ties" and s.text]
    assert step.verdict == verdict


# (what is said, lines of working, whether the last one goes round in circles); the equations are those of the feed sack
ROUND = [
    ("an earlier line said again when another has come further", ["T = 6.5a + 63.7", "24.5 = 15.5a", "T - 63.7 = 6.5a"], True),
    ("numbers put into an equation", ["24.5 = 15.5a", "88.2 - T = 9a"], False),
    ("an earlier line said again while nothing has come further", ["T = 6.5a + 63.7", "T - 63.7 = 6.5a"], False),
    ("a value put in", ["T = 6.5a + 63.7", "a = 1.581", "T = 6.5(1.581) + 63.7"], False),
]


@pytest.mark.parametrize(("lines", "circles"), [x[1:] for x in ROUND], ids=[x[0] for x in ROUND])
def test_only_a_line_that_says_an_earlier_one_again_brings_no_unknown_nearer(lines: list[str], circles: bool) -> None:
    answers = {
        "scene": "feed-sack",
        "directions": {"sack": "up", "counterweight": "down"},
        "equations": {"sack": "T - m_1 g = m_1 a", "counterweight": "m_2 g - T = m_2 a"},
        "working": lines,
    }
    last = [s for s in judge(scene_named("feed-sack"), answers).steps if s.step == "working" and s.text][-1]
    assert last.verdict == "right"
    assert any("no unknown nearer" in remark for remark in last.remarks) == circles


def test_a_force_missing_in_a_diagram_is_asked_for_across_the_line_too() -> None:
    arrows = {"parcel": [["W", "down"], ["f", "upslope"]]}
    answers = {"scene": "parcel-down-a-chute", "directions": {"parcel": "downslope"}, "forces": arrows}
    (step,) = [s for s in judge(scene_named("parcel-down-a-chute"), answers).steps if s.step == "forces"]
    assert "across its line of motion too" in step.slips[0].why
