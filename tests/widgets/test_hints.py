"""The hints of every step in every scene that ships: they speak of what the scene has, and of nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from plusway.autograde.method import STEPS
from plusway.autograde.scene.model import Scene
from plusway.lessons import catalogue
from plusway.widgets.hints import hints_for

NAMES = catalogue.names()


def all_hints(scene: Scene) -> Iterator[tuple[str, str]]:
    """(step and thing, hint) for each level of each step."""
    for step in STEPS:
        for item in scene.things if step in ("forces", "equations") else scene.asked if step == "results" else (None,):
            for hint in hints_for(scene, {"directions": {t: scene.directions(t)[0] for t in scene.things}}, step, item):
                yield f"{step} {item or ''}".strip(), hint


def speaking_of(scene: Scene, words: str, *without: str) -> list[tuple[str, str]]:
    """The hints that have one of these words in them, but not in these phrases."""
    found = []
    for where, hint in all_hints(scene):
        text = hint
        for phrase in without:
            text = text.replace(phrase, "")
        if re.search(rf"\b(?:{words})\b", text, re.IGNORECASE):
            found.append((where, hint))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_no_hint_speaks_of_what_is_not_there(name: str) -> None:
    """Ropes and tensions, contacts, wheels and torques, friction, slopes: only where the scene has them."""
    scene = catalogue.find(name)
    if not scene.ropes:
        assert speaking_of(scene, "ropes?|tensions?|strands?") == []
    if not scene.wheels:
        assert speaking_of(scene, "wheels?|rim|torques?|angular|inertia times its own angular") == []
    rough = any(b.friction and (b.friction.kinetic or b.friction.static) for b in scene.bodies.values()) or any(w.drag for w in scene.wheels.values())
    if not rough and not scene.rolling:
        assert speaking_of(scene, "friction|rough") == []
    if all(b.moves == "vertical" for b in scene.bodies.values()):
        assert speaking_of(scene, "surface|level|slope") == []
    if not any(b.moves == "slope" for b in scene.bodies.values()):
        assert speaking_of(scene, "slope") == []
    if not scene.contacts and not any(b.rests_on for b in scene.bodies.values()):
        assert speaking_of(scene, "bodies touch|body that it touches") == []


@pytest.mark.parametrize("name", [n for n in NAMES if len(catalogue.find(n).things) == 1])
def test_where_one_thing_moves_alone_nothing_is_substituted(name: str) -> None:
    """One equation: no two unknowns, no other equation, no other thing."""
    scene = catalogue.find(name)
    fitting = ("accelerations of two things", "turns out the other way", "between two forces", "with each other")
    assert speaking_of(scene, "unknowns|two|both|others?|each thing|neighbours|parentheses|equations", *fitting) == []


@pytest.mark.parametrize(
    ("name", "how"),
    [
        ("feed-sack", "Solve one equation for the tension T, put that whole expression, in parentheses, into the other, then collect"),
        ("two-kegs-class-letters", "Solve one equation for the tension T, put"),
        ("two-boxes-pushed", "Solve one equation for the push P, put"),
        ("melon-down-the-hill", "Solve one equation for the friction f, put"),
        ("garden-roller", "only one of T and f stands"),
        ("cask-over-a-heavy-wheel", "only one of T_1 and T_2 stands"),
        ("three-planters-pushed", "only one of P_1 and P_2 stands"),
        ("lamp-in-the-lift", "The acceleration is given: put it, with its sign, into each equation. Solve the equation in which it is the only unknown force, for the tension T_2"),
        ("passenger-on-a-scale", "in which it is the only unknown force, for the push P, put that whole expression, in parentheses, into the other, then solve for what is left"),
        ("painter-on-a-platform", "Solve one equation for the tension T, put"),
        ("box-slides-on-a-cart", "Where there is friction, find the normal force first. Put the friction"),
        ("polisher-pushed", "Where there is friction, find the normal force first. Put what is given into the equation"),
        ("tea-trolley", "Put what is given into the equation, with its signs, and solve it for the acceleration."),
    ],
)  # fmt: skip
def test_the_working_is_told_as_this_scene_has_it(name: str, how: str) -> None:
    """By the letter of the force that is to be put in, or without any where there is none."""
    assert how in hints_for(catalogue.find(name), {}, "working", None)[2]


@pytest.mark.parametrize(
    ("name", "thing", "how"),
    [
        ("crate-on-a-movable-pulley", "crate", "one pull for each side of a rope that bends round its pulley: two sides, two pulls"),
        ("crate-on-a-movable-pulley", "sack", "one pull for every rope that ends on it"),
        ("three-bags-compound", "pulley", "It has no mass, so no weight acts on it. Draw one pull for every rope that ends on it and one pull for each side"),
        ("anchor-on-a-light-block", "block", "one pull for every rope that ends on it and one pull for each side of a rope that bends round its pulley"),
        ("stepped-wheel", "wheel", "Draw one pull for every rope that leaves its rim."),
        ("grindstone-with-drag", "stone", "and the friction torque of its bearing"),
        ("crate-on-a-sledge-with-weight", "crate", "a push of the sledge below it"),
        ("crate-on-a-sledge-with-weight", "sledge", "a push of what lies on it"),
        ("garden-roller", "roller", "the friction where its wheel meets the ground"),
        ("passenger-on-a-scale", "passenger", "Draw its weight and a push for every body that it touches."),
    ],
)
def test_a_diagram_is_told_by_what_acts_there(name: str, thing: str, how: str) -> None:
    """A rope that bends round a movable pulley pulls with both its sides, and ends elsewhere."""
    hint = hints_for(catalogue.find(name), {}, "forces", thing)[2]
    assert how in hint
    pulls = [s.direction for rope in catalogue.find(name).ropes for s in rope.pulls if s.thing == thing]
    assert ("bends round" in hint) is (any(pulls.count(word) > 1 for word in pulls) and thing not in catalogue.find(name).wheels)


@pytest.mark.parametrize("name", NAMES)
def test_each_level_says_something_else(name: str) -> None:
    """Three whole sentences, or more, for every step, and never the same twice."""
    scene = catalogue.find(name)
    said = list(all_hints(scene))
    for start in range(0, len(said), 3):
        three = [hint for _, hint in said[start : start + 3]]
        assert len(set(three)) == 3
        assert all(re.fullmatch(r"[A-Z].*[.?]", hint) for hint in three)
