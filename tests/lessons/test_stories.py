"""What the stories of the shipped scenes tell, where the student has nothing else to go by."""

from __future__ import annotations

import pytest

from plusway.lessons import catalogue

SAID = {"left": "to the left", "right": "to the right", "up": "up", "down": "down", "upslope": "up"}


@pytest.mark.parametrize("name", catalogue.names())
def test_a_story_says_which_way_an_outside_force_acts(name: str) -> None:
    """Forces are not drawn before the student draws them, so the direction of a given one stands in the story."""
    scene = catalogue.find(name)
    for force in scene.forces:
        if force.direction in SAID:
            assert SAID[force.direction] in scene.story


@pytest.mark.parametrize("name", catalogue.names())
def test_a_story_says_to_which_side_a_level_rope_to_a_hanging_body_runs(name: str) -> None:
    """Left or right, for each rope that a level body is drawn by over a pulley."""
    scene = catalogue.find(name)
    level = {thing for thing, body in scene.bodies.items() if body.moves == "level"}
    for rope in scene.ropes:
        if any(word in ("up", "clockwise", "counterclockwise") for word in (strand.direction for strand in rope.pulls)):
            for word in (strand.direction for strand in rope.pulls if strand.thing in level):
                assert f"to the {word}" in scene.story or f"on the {word}" in scene.story
