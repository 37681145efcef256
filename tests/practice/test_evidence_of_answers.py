"""What the judge's verdicts tell of the skills."""

from __future__ import annotations

from typing import Any

import pytest

from plusway.autograde.judging import SLIPS, judge
from plusway.lessons import catalogue
from plusway.lessons.practice.evidence import MOST_LINES, Evidence, new_evidence
from plusway.lessons.practice.skills import _BLAME, SKILLS, failed, skills_of, takes

FEED_SACK = {
    "directions": {"sack": "up", "counterweight": "down"},
    "forces": {"sack": [["T", "up"], ["W_1", "down"]]},
    "equations": {"sack": "T - 63.7 = 6.5a", "counterweight": "88.2 - T = 9a"},
    "ties": ["a_1 = a_2"],
    "working": ["24.5 = 15.5a", "a = 1.58"],
    "results": {"a": "1.58 m/s^2"},
    "sense": ["W_1 < T"],
}


def told(scene: str, answers: dict[str, Any], before: tuple[Evidence, ...] = (), hints: int = 0) -> list[tuple[str, str, str, str]]:
    """(step, item, skill, outcome) of the new evidence."""
    found = catalogue.find(scene)
    steps = judge(found, {"scene": scene, **answers}).to_json()["steps"]
    return [(e.step, e.item, e.skill, e.outcome) for e in new_evidence(found, steps, before, lambda step, item: hints)]


def test_right_answers_speak_for_each_skill_that_they_take() -> None:
    """An equation speaks for its kind and for keeping to the directions; the choice of a direction itself tells nothing."""
    found = told("feed-sack", FEED_SACK)
    assert ("equations", "sack", "hanging", "right") in found
    assert ("equations", "sack", "directions", "right") in found
    assert {skill for _, _, skill, _ in found} == {"forces", "hanging", "directions", "ties", "substitution", "results", "sense"}
    assert {outcome for *_, outcome in found} == {"right"}
    assert not [f for f in found if f[0] == "directions"]


@pytest.mark.parametrize(
    ("scene", "answers", "expected"),
    [
        ("feed-sack", {"directions": FEED_SACK["directions"], "equations": {"sack": "T + 63.7 = 6.5a"}}, [("hanging", "wrong")]),
        ("feed-sack", {"directions": FEED_SACK["directions"], "equations": {"sack": "T - 63.7 = -6.5a"}}, [("directions", "wrong")]),
        ("feed-sack", {"directions": {"sack": "up", "counterweight": "up"}, "ties": ["a_1 = a_2"]}, [("ties", "wrong")]),
        ("feed-sack", {"equations": {"sack": "T - ("}}, []),
        ("feed-sack", {"equations": {"sack": ""}}, []),
        ("feed-sack", {"results": {"a": "1.58"}}, [("results", "wrong")]),
    ],
)
def test_a_slip_speaks_against_the_skill_that_it_is_about(scene: str, answers: dict[str, Any], expected: list[tuple[str, str]]) -> None:
    """A named slip against its own skill, any other against the item's main skill; unread and blank lines tell nothing."""
    assert [(skill, outcome) for _, _, skill, outcome in told(scene, answers)] == expected


@pytest.mark.parametrize("kind", sorted(_BLAME))
def test_the_table_of_blame_names_real_slips_and_skills(kind: str) -> None:
    """Each kind is one of the judge's, each skill one of ours."""
    assert kind in SLIPS
    assert _BLAME[kind] in SKILLS


@pytest.mark.parametrize(
    ("taken", "kinds", "expected"),
    [
        (("slope", "friction", "directions"), ("flipped-friction",), ("friction",)),
        (("slope", "friction", "directions"), ("flipped-friction", "sine-cosine"), ("slope", "friction")),
        (("slope", "friction", "directions"), ("missing-force",), ("slope",)),
        (("hanging", "directions"), ("flipped-friction",), ("hanging",)),
        (("hanging", "directions"), (), ("hanging",)),
    ],
)
def test_blame_stays_within_the_item(taken: tuple[str, ...], kinds: tuple[str, ...], expected: tuple[str, ...]) -> None:
    """A slip never speaks against a skill that the item does not take."""
    assert failed(taken, kinds) == expected


def test_only_the_first_try_counts() -> None:
    """Mending a line adds nothing, whatever the verdict was."""
    found = catalogue.find("feed-sack")
    wrong = judge(found, {"scene": "feed-sack", "equations": {"sack": "T + 63.7 = 6.5a"}}).to_json()["steps"]
    first = new_evidence(found, wrong, ())
    right = judge(found, {"scene": "feed-sack", "equations": FEED_SACK["equations"]}).to_json()["steps"]
    assert {e.item for e in new_evidence(found, right, first)} == {"counterweight"}


def test_a_line_that_moves_down_is_not_counted_again() -> None:
    """An inserted line shifts the places; the text tells that it is the same line."""
    first = tuple(Evidence("substitution", "right", "working", "0", "24.5 = 15.5a") for _ in range(1))
    found = told("feed-sack", {**FEED_SACK, "working": ["T = 6.5a + 63.7", "24.5 = 15.5a"]}, first)
    assert [f for f in found if f[0] == "working"] == []


def test_a_long_calculation_is_no_flood_of_evidence() -> None:
    """No more than a few lines of one list count."""
    lines = ["24.5 = 15.5a", "15.5a = 24.5", "2*15.5a = 49", "3*15.5a = 73.5", "4*15.5a = 98", "a = 1.58"]
    found = told("feed-sack", {**FEED_SACK, "working": lines})
    assert len([f for f in found if f[0] == "working"]) == MOST_LINES


def test_a_right_line_after_a_hint_is_marked_as_helped() -> None:
    """A wrong one stays wrong."""
    assert {outcome for *_, outcome in told("feed-sack", {"results": {"a": "1.58 m/s^2"}}, hints=1)} == {"helped"}
    assert {outcome for *_, outcome in told("feed-sack", {"results": {"a": "1.58 kg"}}, hints=1)} == {"wrong"}


@pytest.mark.parametrize(
    ("scene", "step", "item", "expected"),
    [
        ("hay-bale-on-ramp", "equations", "bale", ("slope", "friction", "directions")),
        ("mine-cart", "equations", "cart", ("slope", "directions")),
        ("slate-on-bench", "equations", "slate", ("level", "friction", "directions")),
        ("cask-over-a-heavy-wheel", "equations", "wheel", ("wheel", "directions")),
        ("three-bags-compound", "equations", "pulley", ("movable", "directions")),
        ("crate-on-a-movable-pulley", "ties", "0", ("movable", "directions")),
        ("cask-over-a-heavy-wheel", "ties", "0", ("ties", "wheel", "directions")),
        ("feed-sack", "directions", "sack", ()),
    ],
)
def test_what_an_item_takes_follows_from_the_scene(scene: str, step: str, item: str, expected: tuple[str, ...]) -> None:
    """The main skill first."""
    assert takes(catalogue.find(scene), step, item) == expected


@pytest.mark.parametrize("scene", catalogue.names())
def test_a_scene_takes_what_its_items_take(scene: str) -> None:
    """What is counted on when a scene is chosen can show in its items."""
    found = catalogue.find(scene)
    by_items = {skill for verdict in judge(found, {}).steps for skill in takes(found, verdict.step, verdict.item)}
    assert by_items <= skills_of(found)
    assert skills_of(found) - by_items <= {"ties"}  # where two things slide on each other nothing ties them
