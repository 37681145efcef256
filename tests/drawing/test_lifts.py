"""What a lift carries and what rolls is not drawn as if it were fixed to the house."""

from __future__ import annotations

import pytest

from plusway.autograde.scene.model import Scene
from plusway.lessons import catalogue
from plusway.widgets.drawing import draw_scene
from plusway.widgets.drawing.arrange import Plan, arranged
from plusway.widgets.drawing.geometry import inside
from plusway.widgets.drawing.lifts import lift_of, wheel_in
from plusway.widgets.picture import picture
from plusway.widgets.problem import scene_from

BAGS = """
title = "Two bags in a lift"
bodies.one = {{ index = 1, mass = "4 kg", moves = "vertical" }}
bodies.two = {{ index = 2, mass = "8 kg", moves = "vertical" }}
bodies.platform = {{ index = 3, mass = "300 kg", moves = "vertical", acceleration = ["up", "1.2 m/s^2"] }}
{wheel}
ropes = [{ropes} {{ symbol = "T_3", pulls = [["platform", "up"]], hauled = true }}]
ask = {{ values = ["T_1"] }}
"""
OVER_A_WHEEL = BAGS.format(
    wheel='wheels.pulley = { index = 1, radius = "0.1 m", inertia = "0.02 kg m^2" }',
    ropes="""{ symbol = "T_1", pulls = [["one", "up"], ["platform", "down"], ["pulley", "counterclockwise"]] },
             { symbol = "T_2", pulls = [["two", "up"], ["platform", "down"], ["pulley", "clockwise"]] },""",
)
OVER_A_PULLEY = BAGS.format(wheel="", ropes='{ symbol = "T_1", pulls = [["one", "up"], ["platform", "down"], ["platform", "down"], ["two", "up"]] },')
COUNTERWEIGHT = """
title = "A lamp in a lift with a counterweight"
bodies.goods_lift = { index = 1, mass = "300 kg", moves = "vertical" }
bodies.lamp = { index = 2, mass = "4 kg", moves = "vertical" }
bodies.counterweight = { index = 3, mass = "280 kg", moves = "vertical" }
ropes = [{ symbol = "T_1", pulls = [["goods_lift", "up"], ["counterweight", "up"]] }, { symbol = "T_2", pulls = [["goods_lift", "down"], ["lamp", "up"]] }]
ask = { values = ["a", "T_1", "T_2"] }
"""


def scene_of(text: str) -> Scene:
    return catalogue.find(text) if "\n" not in text else scene_from(text)


def in_car(plan: Plan, lift: str, name: str) -> bool:
    """Whether a thing stands within the frame of a lift's car."""
    spot = plan.layout.spots[name]
    return inside((spot.x, spot.y), plan.car(lift))


@pytest.mark.parametrize(
    ("scene", "lift", "held"),
    [
        ("lamp-in-the-lift", "lift", ["lamp"]),
        ("passenger-on-a-scale", "lift", ["passenger"]),
        (OVER_A_WHEEL, "platform", ["one", "two", "pulley"]),
        (OVER_A_PULLEY, "platform", ["one", "two"]),
        (COUNTERWEIGHT, "goods_lift", ["lamp"]),
    ],
    ids=["a lamp", "a passenger", "over a wheel", "over a light pulley", "beside a counterweight"],
)
def test_a_lift_is_a_car_round_what_it_carries(scene: str, lift: str, held: list[str]) -> None:
    """Wherever the lift is, its things are in it; what hangs beside it is not; the rope that hoists it ends on its roof."""
    found = scene_of(scene)
    step = {name: (0.0, -40.0) for name in (lift, *held) if name in found.bodies}
    for plan in (arranged(found), arranged(found, step)):
        assert [name for name in found.things if name != lift and in_car(plan, lift, name)] == held
        hoist = next(rope.symbol for rope in found.ropes if any(s.thing == lift and s.direction == "up" for s in rope.pulls))
        assert any(abs(y - plan.top(lift)) < 0.01 for path in plan.ropes[hoist] for _, y in path)


@pytest.mark.parametrize("scene", [OVER_A_WHEEL, OVER_A_PULLEY], ids=["a wheel", "a light pulley"])
def test_what_the_lift_carries_is_held_by_its_roof(scene: str) -> None:
    """The bracket begins at the roof, not at the ceiling of the house, and goes where the lift goes."""
    found = scene_of(scene)
    for plan in (arranged(found), arranged(found, {"platform": (0.0, -25.0), "one": (0.0, 0.0)})):
        hub = plan.layout.spots["pulley"] if found.wheels else None
        x, y = (hub.x, hub.y) if hub else plan.pulleys[-1][:2]
        (bracket,) = [b for b in plan.brackets if b[-1] == (x, y)]
        assert bracket[0] == (x, plan.top("platform"))


def test_a_wheel_in_a_lift_is_said_to_be_there() -> None:
    """On the screen and in print; another wheel turns about a fixed axis, or rolls."""
    scene = scene_of(OVER_A_WHEEL)
    assert wheel_in(scene, "pulley") == "platform"
    assert "The pulley turns about an axis in the platform." in picture(scene)["says"]
    assert "turns about an axis that the platform carries" in draw_scene(scene).text
    assert "The lamp hangs in the lift." in picture(catalogue.find("lamp-in-the-lift"))["says"]
    assert "The passenger stands on the lift." in picture(catalogue.find("passenger-on-a-scale"))["says"]
    assert "turns about a fixed axis" in draw_scene(catalogue.find("cask-over-a-heavy-wheel")).text
    assert "rolls along with the roller" in picture(catalogue.find("garden-roller"))["says"]


@pytest.mark.parametrize("name", catalogue.names())
def test_nothing_holds_a_wheel_that_rolls(name: str) -> None:
    """A bracket ends on every other wheel, on a rolling one never; only a lift is drawn as one."""
    scene = catalogue.find(name)
    plan = arranged(scene)
    held = {tuple(round(c, 3) for c in b[-1]) for b in plan.brackets}
    rolling = {r.wheel for r in scene.rolling}
    for wheel in scene.wheels:
        spot = plan.layout.spots[wheel]
        assert ((round(spot.x, 3), round(spot.y, 3)) in held) is (wheel not in rolling)
    lift = lift_of(scene)
    assert (lift.name if lift else "") == ("lift" if name == "lamp-in-the-lift" else "")


def test_a_light_pulley_that_moves_is_drawn_as_a_pulley() -> None:
    """Round, with the rope over its rim, on the screen too."""
    thing = next(t for t in picture(catalogue.find("three-bags-compound"))["things"] if t["name"] == "pulley")
    assert thing["pulley"] is True
    plan = arranged(catalogue.find("three-bags-compound"))
    spot = plan.layout.spots["pulley"]
    (path,) = plan.ropes["T_2"]
    assert min(y for _, y in path) == pytest.approx(spot.y - spot.w / 2)
