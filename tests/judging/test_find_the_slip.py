"""Find the slip: one slip is planted, the judge finds just it, later lines follow from it, and what is said teaches."""

from __future__ import annotations

import pytest
from marked_lines import scene_named
from planting_table import tried

from plusway.autograde.judging import SLIPS, judge
from plusway.autograde.judging.slipfinding import (
    NOT_PLANTED,
    Exercise,
    NoSlip,
    exercise,
    on_mending,
    on_naming,
    on_pointing,
)
from plusway.lessons.catalogue import names

KINDS = [k for k in SLIPS if k not in NOT_PLANTED]

HOMES = {
    "sine-cosine": "mine-cart", "whole-weight": "mine-cart", "flipped-friction": "slate-on-bench", "static-kinetic": "slate-on-bench",
    "one-tension": "cask-over-a-heavy-wheel", "radius": "cask-over-a-heavy-wheel", "strand-count": "crate-on-a-movable-pulley",
}  # fmt: skip
"""A scene in which the kind can happen; the others happen with the feed sack."""


def check(made: Exercise) -> None:
    """What an exercise promises: one slip, named as planned; right above it, right or following below it; a line that mends it."""
    verdicts = [s.verdict for s in made.steps]
    assert verdicts[made.at] == "slip"
    assert [s.kind for s in made.steps[made.at].slips] == [made.kind]
    assert set(verdicts[: made.at]) <= {"right"}
    assert set(verdicts[made.at + 1 :]) <= {"right", "follows"}
    assert made.lines[: made.at] == made.right[: made.at] or made.kind == "clashing-directions"
    assert made.lines[made.at].text != made.right[made.at].text
    assert [c.kind for c in made.choices].count(made.kind) == 1
    assert 2 <= len(made.choices) <= 4
    assert on_mending(made, made.right[made.at].text)[0]
    assert not on_mending(made, made.lines[made.at].text)[0]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_slip_can_be_planted(kind: str) -> None:
    """In a scene where it can happen, with the table's own name for it."""
    made = exercise(scene_named(HOMES.get(kind, "feed-sack")), kind, seed=3)
    assert made.kind == kind
    check(made)


@pytest.mark.parametrize("scene", ["feed-sack", "hay-bale-on-ramp", "two-flowerpots"])
def test_some_slips_of_a_scene(scene: str) -> None:
    """Whatever the seed draws is an exercise."""
    for seed in range(4):
        check(exercise(scene_named(scene), seed=seed))


@pytest.mark.slow
@pytest.mark.thorough
@pytest.mark.parametrize("name", names())
def test_every_scene_has_slips_to_be_found(name: str) -> None:
    """Three of its kinds, drawn by lot, two slips of each: at least half of them are found again by the judge under their own name."""
    found = list(tried(name, 1, 2, kinds=3))
    made = [m for _, m in found if m is not None]
    for m in made:
        check(m)
    assert len(made) >= len(found) / 2 > 0, [kind for kind, m in found if m is None]


def test_the_same_seed_gives_the_same_exercise() -> None:
    """And another seed another one, sooner or later."""
    scene = scene_named("feed-sack")
    assert exercise(scene, seed=5) == exercise(scene, seed=5)
    assert len({exercise(scene, seed=n).lines for n in range(6)}) > 1


@pytest.mark.parametrize(("kind", "says"), [("one-tension", "no slip of the kind"), ("whole-system", "no slip to be found"), ("nonsense", "no slip to be found")])
def test_a_slip_that_cannot_be_made_is_refused(kind: str, says: str) -> None:
    """In one line that says what there is."""
    with pytest.raises(NoSlip, match=says) as refused:
        exercise(scene_named("feed-sack"), kind)
    assert "\n" not in str(refused.value)
    assert "flipped-force" in str(refused.value)


@pytest.fixture(scope="module")
def turned() -> Exercise:
    """A weight with the wrong sign in the first equation."""
    return next(e for n in range(20) for e in [exercise(scene_named("feed-sack"), "flipped-force", n)] if e.at == 0)


def test_pointing_teaches(turned: Exercise) -> None:
    """The wrong line is met with yes; one that follows from it sends upwards; a right one says why it is right."""
    assert on_pointing(turned, 0)[0]
    follows = [s.verdict for s in turned.steps].index("follows")
    good, says = on_pointing(turned, follows)
    assert not good
    assert says.startswith("This line follows from an earlier one")
    good, says = on_pointing(turned, 1)
    assert not good
    assert "the tension T acts up and enters with a" in says


def test_naming_teaches(turned: Exercise) -> None:
    """The right name is explained; a wrong one shows how the line would look then, and that line is wrong in just that way."""
    assert on_naming(turned, "flipped-force")[0]
    for choice in turned.choices:
        if choice.kind != "flipped-force":
            good, says, looks = on_naming(turned, choice.kind)
            assert not good
            assert "different" in says
            assert looks not in ("", turned.lines[0].text)
            thing = str(turned.lines[0].item)
            equations = {str(x.item): x.text for x in turned.right if x.step == "equations"}
            answers = {"directions": dict(turned.positive), "equations": {**equations, thing: looks}}
            step = next(s for s in judge(turned.scene, answers).steps if (s.step, s.item) == ("equations", thing))
            assert [s.kind for s in step.slips] == [choice.kind]


@pytest.mark.parametrize(("text", "verdict"), [("T + = 5", "unread"), ("T = m_1 a", "slip"), ("", "blank")])
def test_mending_is_judged_as_ever(turned: Exercise, text: str, verdict: str) -> None:
    """With the judge's own words for what is still wrong."""
    good, step, says = on_mending(turned, text)
    assert (good, step.verdict, says) == (False, verdict, "")


def test_a_true_line_of_another_place_does_not_mend() -> None:
    """Copying the line above is true and no answer."""
    made = next(e for n in range(30) for e in [exercise(scene_named("feed-sack"), "moved-sign", n)] if "T" in e.lines[e.at].text)
    good, step, says = on_mending(made, "a_1 = -a_2" if made.lines[2].step == "ties" else "m_2 g - m_1 g = (m_1 + m_2) a")
    assert (good, step.verdict) == (False, "right")
    assert says.startswith("True, but")


def test_a_single_body_is_followed_through() -> None:
    """Its own acceleration is the letter a already; lines that follow from its wrong equation follow."""
    scene = scene_named("cable-reel-lifted")
    (thing,) = scene.things
    answers = {"directions": {thing: "up"}, "equations": {thing: "F + m g = m a"}, "working": ["1900 + 1617 = 165a", "a = 3517/165 = 21.3"],
               "results": {"a": "21.3 m/s^2"}}  # fmt: skip
    assert [s.verdict for s in judge(scene, answers).steps if s.text] == ["right", "slip", "follows", "follows", "follows"]


def test_a_wrong_sign_that_comes_from_an_earlier_line_follows() -> None:
    """A result of the right size and the wrong sign is drawn rightly from a flipped inertia."""
    answers = {"directions": {"sack": "up", "counterweight": "down"},
               "equations": {"sack": "m_1 g - T = m_1 a", "counterweight": "T - m_2 g = m_2 a"},
               "working": ["-24.5 = 15.5a", "a = -1.58"], "results": {"a": "-1.58 m/s^2"}}  # fmt: skip
    steps = {(s.step, s.item): s.verdict for s in judge(scene_named("feed-sack"), answers).steps}
    assert steps["results", "a"] == "follows"
