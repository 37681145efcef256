"""A scene that is written reads back as the same scene."""

from __future__ import annotations

from dataclasses import replace

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
