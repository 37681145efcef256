"""A scene that is written reads back as the same scene."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.scene import load_text, scene_toml, with_data
from plusway.lessons import catalogue


def test_changed_data_are_written() -> None:
    """A variant can be kept as a file."""
    scene = with_data(catalogue.find("slate-on-bench"), {"m_1": "5.10 kg", "mu_k": "0.25"})
    again = load_text(scene_toml(scene), name=scene.name)
    assert again == scene
    assert 'mass = "5.10 kg"' in scene_toml(scene)
    assert "kinetic = 0.25" in scene_toml(scene)


def test_a_coefficient_that_toml_would_not_keep_is_written_as_text(good: str) -> None:
    """.2 and 2e-1 are no TOML numbers of the same figures."""
    scene = load_text(good.replace("kinetic = 0.2,", 'kinetic = "2e-1",'))
    assert load_text(scene_toml(scene)).digest == scene.digest


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_words_read_back_the_same(good: str, words: str) -> None:
    """Quotation marks, line breaks, control characters, any script."""
    scene = replace(load_text(good), title=words, story=words)
    assert load_text(scene_toml(scene), name=scene.name) == scene


def test_names_in_any_script_read_back_the_same(good: str) -> None:
    """A bare key of TOML is ASCII; other names are quoted."""
    text = good.replace("[bodies.stone]", '[bodies."Stein-ü"]').replace('"stone"', '"Stein-ü"')
    scene = load_text(text)
    assert load_text(scene_toml(scene)) == scene


@pytest.mark.parametrize("name", catalogue.names())
def test_every_scene_that_ships_reads_back_the_same(name: str) -> None:
    """Wheels, contacts, rolling, outside forces, lifts, letters of the class, all of it."""
    scene = catalogue.find(name)
    assert load_text(scene_toml(scene), name=name) == scene


def test_what_no_shipped_scene_has_reads_back_the_same_too() -> None:
    """A rope that is hauled, a strand at a radius of its own, a wheel with mass and shape and a bearing that drags."""
    scene = load_text("""
        title = "Everything at once"
        story = "A winch."
        topic = "Odd ones"
        decimal_comma = true
        notation = { weight = "F_g" }
        ask = { values = ["a_1"], motion = { distance = "1,5 m" } }
        [bodies.crate]
        index = 1
        mass = "4,0 kg"
        moves = "vertical"
        starts = ["up", "0,5 m/s"]
        [bodies.stone]
        index = 2
        mass = "5 kg"
        moves = "vertical"
        [wheels.drum]
        radius = "0,2 m"
        mass = "3 kg"
        shape = "disk"
        drag = "0,1 N m"
        [[ropes]]
        symbol = "T_1"
        pulls = [["crate", "up"], ["drum", "counterclockwise", "0,1 m"]]
        [[ropes]]
        symbol = "T_2"
        pulls = [["stone", "up"], ["drum", "clockwise"]]
    """)
    assert load_text(scene_toml(scene), name=scene.name) == scene
