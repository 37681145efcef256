"""Curves of motion and of dependence: the numbers behind them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from plusway.autograde.errors import UsageError
from plusway.autograde.mechanics import derive
from plusway.lessons import catalogue
from plusway.widgets.drawing import draw_dependence, draw_motion
from plusway.widgets.drawing.course import course_of
from plusway.widgets.drawing.dependence import dependence_text
from plusway.widgets.drawing.sweep import sweep

NAMES = catalogue.names()


ALONE = [n for n in NAMES for s in [catalogue.find(n)]
         if not s.forces and not any(b.acceleration for b in s.bodies.values()) and not any(r.hauled for r in s.ropes)]


@pytest.mark.parametrize("name", ALONE)
def test_energy_is_kept(name: str) -> None:
    """Where no outside force acts and nothing is driven, kinetic + height + heat of friction stays what it was."""
    course = course_of(derive(catalogue.find(name)))
    for k in range(6):
        e = course.energy(course.end * k / 5)
        size = abs(e.kinetic) + abs(e.height) + e.friction + 1e-9
        assert abs(e.supplied) < 1e-9 * size
        assert e.friction >= -1e-12 * size


@pytest.mark.parametrize(("name", "body", "force"), [("cable-reel-lifted", "reel", 1900.0), ("two-boxes-pushed", "coffee", 24.0), ("box-slides-on-a-cart", "cart", 260.0)])
def test_what_a_given_force_supplies_is_force_times_way(name: str, body: str, force: float) -> None:
    """The work of a force along its body's motion."""
    course = course_of(derive(catalogue.find(name)))
    way = course.phases[-1].position(body, course.end)
    assert course.energy(course.end).supplied == pytest.approx(force * way)


@pytest.mark.parametrize("name", [n for n in NAMES if catalogue.find(n).distance is not None])
def test_the_distance_asked_for_is_reached_at_the_end_with_the_speed_of_the_solution(name: str) -> None:
    """The curves end where the worked solution's t and v are."""
    setup = derive(catalogue.find(name))
    course = course_of(setup)
    lead = next(b for b in setup.scene.bodies if course.phases[0].a[b])
    assert setup.scene.distance is not None
    assert course.end == pytest.approx(float(setup.values["t"]))
    assert abs(course.phases[-1].position(lead, course.end)) == pytest.approx(float(setup.scene.distance.value))
    assert abs(course.phases[-1].speed(lead, course.end)) == pytest.approx(float(setup.values["v"]))


def test_a_stone_shoved_up_a_ramp_stops_and_stays() -> None:
    """v/a seconds and v²/2a metres, then static friction holds it (0.50 > tan 22°)."""
    setup = derive(catalogue.find("stone-shoved-up-a-ramp"))
    course = course_of(setup)
    slow = 9.8 * (math.sin(math.radians(22)) + 0.30 * math.cos(math.radians(22)))
    assert len(course.phases) == 2
    assert course.phases[0].end == pytest.approx(3.0 / slow)
    assert course.phases[1].position("stone", course.end) == pytest.approx(9.0 / 2 / slow)
    assert "stays at rest" in draw_motion(setup).text


@pytest.mark.slow
@pytest.mark.thorough  # all scenes together
@pytest.mark.parametrize("name", NAMES)
def test_every_scene_has_curves_of_its_motion(name: str) -> None:
    """Drawn without a warning, and every body is in the text unless nothing moves."""
    setup = derive(catalogue.find(name))
    drawing = draw_motion(setup)
    assert drawing.png
    if setup.regime.moves:
        assert all(b.replace("_", " ").capitalize() in drawing.text for b in setup.scene.bodies)


@pytest.mark.parametrize("duration", [0.0, -1.0, math.nan, math.inf])
def test_a_duration_is_above_zero(duration: float) -> None:
    """What is no time is refused."""
    with pytest.raises(ValueError, match="above 0 s"):
        draw_motion(derive(catalogue.find("feed-sack")), duration)


def test_equal_masses_stand_still_and_the_ends_are_free_fall() -> None:
    """Two hanging bodies: a = (m_2 - m_1) g / (m_1 + m_2) at every value; 0 at equal masses; g and -g at the ends."""
    found = sweep(catalogue.find("feed-sack"), "m_1")
    for x, a in zip(found.at, found.curves["a"], strict=True):
        if not math.isnan(a):
            assert a == pytest.approx((9 - x) / (9 + x) * 9.8, abs=1e-12)
    assert found.curves["a"][found.at.index(9.0)] == 0.0
    assert [(s.low, s.high) for s in found.stretches if s.says == "everything stays at rest"] == [(9.0, 9.0)]
    near, far = found.limits["a"]
    assert (near, far) == (pytest.approx(9.8, rel=1e-3), pytest.approx(-9.8, rel=1e-3))
    assert "a = 0 at m_1 = 9.00 kg" in draw_dependence(catalogue.find("feed-sack"), "m_1").text


def test_a_change_of_behaviour_is_found_and_is_a_jump() -> None:
    """A slate held by static friction starts when m_2 g > mu_s m_1 g: at 0.45 of 4.2 kg, and a leaps to what sliding gives."""
    found = sweep(catalogue.find("slate-on-bench"), "m_2")
    edge = found.stretches[0].high
    assert edge == pytest.approx(0.45 * 4.2, rel=1e-4)
    after = next(a for x, a in zip(found.at, found.curves["a"], strict=True) if x > edge and not math.isnan(a))
    assert after == pytest.approx(9.8 * (0.45 - 0.30) * 4.2 / (4.2 + 0.45 * 4.2), rel=1e-3)
    assert [s.says.split(",")[0] for s in found.stretches] == ["everything stays at rest", "slate right"]


def test_what_holds_in_a_hair_is_told_as_one_value() -> None:
    """Not "from 9.00 to 9.00 kg", and a degree sign without a space before it."""
    found = sweep(catalogue.find("feed-sack"), "m_1")
    hair = replace(found.stretches[0], low=8.99999, high=9.00001)
    text = dependence_text(catalogue.find("feed-sack"), replace(found, stretches=(hair,)))
    assert f" At m_1 = 9.00 kg: {hair.says}." in text
    steep = catalogue.find("mine-cart")
    assert "the scene itself has 25.0°." in dependence_text(steep, sweep(steep, "theta"))


def test_bodies_that_part_ways_get_a_curve_each() -> None:
    """The cheese slips from 15.4 N on (mu_s g (m_1 + m_2)): below it both accelerate alike."""
    found = sweep(catalogue.find("cheese-on-a-board"), "F")
    assert set(found.curves) == {"a_1", "a_2"}
    assert found.stretches[0].high == pytest.approx(0.35 * 9.8 * 4.5, rel=1e-4)


@pytest.mark.parametrize(("scene", "datum", "low", "high", "says"), [
    ("feed-sack", "m_3", None, None, "there is g, m_1, m_2"),
    ("feed-sack", "a", None, None, "no datum"),
    ("feed-sack", "m_1", 5.0, 2.0, "smaller value first"),
    ("feed-sack", "m_1", math.nan, 2.0, "smaller value first"),
])
def test_an_unusable_range_is_refused(scene: str, datum: str, low: float | None, high: float | None, says: str) -> None:
    """The message names the data that there are, or what is wrong with the range."""
    with pytest.raises(UsageError, match=says):
        draw_dependence(catalogue.find(scene), datum, low, high)


@pytest.mark.slow
@pytest.mark.thorough
@pytest.mark.parametrize("name", NAMES)
def test_every_scene_can_be_drawn_against_its_first_mass(name: str) -> None:
    """Curves for all that moves, and the scene's own value among them."""
    scene = catalogue.find(name)
    datum = next(s.name for s in scene.symbols.values() if s.kind == "mass" and s.given is not None)
    found = sweep(scene, datum)
    assert found.here in found.at
    assert any(not math.isnan(y) for ys in found.curves.values() for y in ys)
