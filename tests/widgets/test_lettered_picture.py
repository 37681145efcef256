"""What is given stands in the scene's picture with its letter, and in its words: angles, forces, motions, and which rope is which."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import pytest

from plusway.lessons import catalogue
from plusway.widgets.drawing.geometry import Box
from plusway.widgets.lettered import label_box
from plusway.widgets.picture import picture

NAMES = catalogue.names()
COLUMN = 270  # CSS pixels that a picture has in a page 320 wide


def marks(name: str, kind: str) -> list[dict[str, Any]]:
    return [m for m in picture(catalogue.find(name))["marks"] if m["kind"] == kind]


def slant(points: list[tuple[float, float]]) -> float:
    """By how many degrees an arrow rises."""
    (x, y), (z, w) = points[0], points[-1]
    return math.degrees(math.atan2(y - w, z - x))


@pytest.mark.parametrize(
    ("name", "rises", "words"),
    [
        ("sledge-on-a-slanting-rope", 35, "The given force F acts on the sledge, right; it is tilted by φ = 35° away from the surface."),
        ("polisher-pushed", -30, "The given force F acts on the polisher, right; it is tilted by φ = −30° into the surface."),
        ("two-sledges-in-tow", 15, "The given force F acts on the first sledge, right; it is tilted by φ = 15° away from the surface."),
        ("three-laundry-carts", 0, "The given force F acts on the first cart, right."),
    ],
)
def test_a_given_force_slants_as_its_angle_says(name: str, rises: int, words: str) -> None:
    """The arrow, its angle with the letter phi from a dashed line along the surface, and the same in words."""
    (force,) = marks(name, "force")
    assert (force["symbol"], round(slant(force["points"]), 6)) == ("F", rises)
    assert [(m["symbol"], bool(m["base"])) for m in marks(name, "angle")] == ([("phi", True)] if rises else [])
    assert words in picture(catalogue.find(name))["says"]


@pytest.mark.parametrize(
    ("name", "symbols", "words"),
    [
        ("mine-cart", ["theta"], "stands on a slope of θ = 25 degrees"),
        ("two-roof-crates", ["theta_1", "theta_2"], "stands on a slope of θ_1 = 40 degrees"),
        ("wagons-and-counterweight", ["theta"], "stands on a slope of θ = 12 degrees"),
    ],
)
def test_the_angle_of_a_slope_has_its_letter(name: str, symbols: list[str], words: str) -> None:
    """One for each slope, not one for each body on it."""
    assert [m["symbol"] for m in marks(name, "angle")] == symbols
    assert words in picture(catalogue.find(name))["says"]


@pytest.mark.parametrize("name", NAMES)
def test_of_several_ropes_each_has_its_letter(name: str) -> None:
    """Beside it and in the words; a rope that is alone needs none."""
    scene = catalogue.find(name)
    wanted = [r.symbol for r in scene.ropes] if len(scene.ropes) > 1 else []
    assert [m["symbol"] for m in marks(name, "rope")] == wanted
    assert all(f"The rope {symbol} can pull" in picture(scene)["says"] for symbol in wanted)


def test_a_rope_is_called_as_the_class_calls_it() -> None:
    """Contacts and angles too: where three planters push, P_1 and P_2 stand where they touch."""
    assert [m["symbol"] for m in marks("three-planters-pushed", "contact")] == ["P_1", "P_2"]
    assert "P_1 stands where the fern and the rose touch." in picture(catalogue.find("three-planters-pushed"))["says"]


@pytest.mark.parametrize(
    ("name", "symbol", "rises", "words"),
    [
        ("lamp-in-the-lift", "a_1", -90, "Its acceleration is given: 0.80 m/s² down."),
        ("passenger-on-a-scale", "a_1", 90, "Its acceleration is given: 1.2 m/s² up."),
        ("stone-shoved-up-a-ramp", "v_0", 22, "At the start it moves up the slope with 3.0 m/s."),
    ],
)
def test_a_given_motion_is_an_arrow(name: str, symbol: str, rises: int, words: str) -> None:
    """With its letter; in words with its size, too."""
    (mark,) = marks(name, "motion")
    assert (mark["symbol"], round(slant(mark["points"]), 6)) == (symbol, rises)
    assert words in picture(catalogue.find(name))["says"]


def boxes(name: str) -> list[tuple[str, Box]]:
    """Every name and letter of a picture with the room that it takes."""
    made = picture(catalogue.find(name))
    names = [(t["label"], label_box(t["label"], (*t["labelAt"], t["labelAnchor"]), size=made["size"])) for t in made["things"]]
    return names + [(m["symbol"], label_box(m["symbol"].replace("_", "")[-2:], (*m["at"], m["anchor"]), size=made["size"])) for m in made["marks"]]


@pytest.mark.parametrize("name", NAMES)
def test_no_letter_covers_another_or_leaves_the_frame(name: str) -> None:
    """Names and letters, each with the room that it takes."""
    made = picture(catalogue.find(name))
    assert [(a, b) for (a, one), (b, other) in combinations(boxes(name), 2) if one.shared(other) > 0] == []
    frame = Box(made["left"], made["top"], made["left"] + made["width"], made["top"] + made["height"])
    assert [text for text, box in boxes(name) if not all(frame.holds(corner) for corner in box.corners)] == []


@pytest.mark.parametrize("name", NAMES)
def test_letters_can_be_read_in_a_narrow_page(name: str) -> None:
    """At 320 CSS pixels names are at least 10 pixels high: a wide picture has larger letters."""
    made = picture(catalogue.find(name))
    assert 14 * made["size"] * min(1.0, COLUMN / made["width"]) >= 10
