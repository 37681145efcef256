"""The drawing of every scene that ships: complete, within its frame, nothing on top of anything else."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import pytest

from plusway.lessons import catalogue
from plusway.widgets.drawing.geometry import inside
from plusway.widgets.lettered import label_box
from plusway.widgets.picture import picture

NAMES = catalogue.names()


def corners(thing: dict[str, Any]) -> list[tuple[float, float]]:
    """The corners of a thing's box, turned as it is drawn."""
    w, h = (thing["w"], thing["h"]) if "w" in thing else (2 * thing["r"], 2 * thing["r"])
    a = math.radians(thing["turn"])
    return [
        (thing["x"] + x * w / 2 * math.cos(a) - y * h / 2 * math.sin(a), thing["y"] + x * w / 2 * math.sin(a) + y * h / 2 * math.cos(a))
        for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]


@pytest.mark.parametrize("name", NAMES)
def test_all_is_within_the_frame(name: str) -> None:
    """Things, arrows, ropes and pulleys lie inside the picture."""
    made = picture(catalogue.find(name))
    points = [p for t in made["things"] for p in corners(t)]
    points += [p for t in made["things"] for arrow in t["arrows"].values() for p in arrow]
    points += [p for rope in made["ropes"] for p in rope["points"]]
    points += [(p["x"], p["y"]) for p in made["pulleys"]] + [tuple(t["labelAt"]) for t in made["things"]]
    outside = [p for p in points if not (0 <= p[0] - made["left"] <= made["width"] and 0 <= p[1] - made["top"] <= made["height"])]
    assert outside == []


@pytest.mark.parametrize("name", NAMES)
def test_every_thing_has_an_arrow_for_each_direction(name: str) -> None:
    """The directions that can be chosen are those that are drawn."""
    scene = catalogue.find(name)
    assert {t["name"]: set(t["arrows"]) for t in picture(scene)["things"]} == {t: set(scene.directions(t)) for t in scene.things}


@pytest.mark.parametrize("name", NAMES)
def test_no_two_things_cover_each_other(name: str) -> None:
    """Centres are far enough apart, but for a wheel that a body carries."""
    scene = catalogue.find(name)
    carried = {frozenset((r.body, r.wheel)) for r in scene.rolling}
    for a, b in combinations(picture(scene)["things"], 2):
        if frozenset((a["name"], b["name"])) not in carried:
            assert math.hypot(a["x"] - b["x"], a["y"] - b["y"]) > 38, (a["name"], b["name"])


@pytest.mark.parametrize("name", NAMES)
def test_the_picture_is_told_in_words_without_the_forces(name: str) -> None:
    """Every thing is named; what the student is to find out is not."""
    scene = catalogue.find(name)
    says = picture(scene)["says"]
    assert all(thing.replace("-", " ").replace("_", " ") in says for thing in scene.things)
    assert scene.story.strip() in says


@pytest.mark.parametrize(("name", "says"), [
    ("stepped-wheel", "The rope T_2 can pull the anvil up and the wheel clockwise at r = 0.10 m from its axis."),
    ("crate-on-a-movable-pulley", "One rope can pull the crate up with two strands and the sack up."),
])
def test_strands_are_counted_and_placed_in_words(name: str, says: str) -> None:
    """How often a rope pulls a thing, and where on a wheel if not at its rim."""
    assert says in picture(catalogue.find(name))["says"]


@pytest.mark.parametrize("name", NAMES)
def test_no_name_stands_in_a_slope_or_in_the_table_of_a_single_body(name: str) -> None:
    """A name in the wedge would seem to be the wedge's own; below a row of bodies on one table it is clear enough."""
    scene = catalogue.find(name)
    made = picture(scene)
    wedges = [[(float(x), float(y)) for x, y in ground["points"]] for ground in made["grounds"] if ground["fill"]]
    for thing in made["things"]:
        body = scene.bodies.get(str(thing["name"]))
        alone = sum(b.moves == "level" and not b.rests_on for b in scene.bodies.values()) == 1
        if body is not None and not body.rests_on and (body.moves == "slope" or (body.moves == "level" and alone)):
            box = label_box(thing["label"], (*thing["labelAt"], thing["labelAnchor"]), size=made["size"])
            assert not any(inside(corner, wedge) for corner in box.corners for wedge in wedges)
