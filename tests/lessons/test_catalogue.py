"""The scenes that ship: all load, each has a story, and they are found by name."""

from __future__ import annotations

from pathlib import Path

import pytest

from plusway.autograde.scene import SceneError
from plusway.lessons import catalogue

# The kinds of problem that must ship, by the topic that each scene states.
TOPICS = {
    "two hanging bodies", "level and hanging", "slope and hanging", "two slopes", "hanging, level, hanging", "towed",
    "pushed in contact", "lift", "in series", "wheel with inertia", "one rope wound on a wheel", "stepped wheel",
    "bearing with drag", "rolling", "movable pulley", "hoist", "compound machine", "stacked", "one body",
}  # fmt: skip


def test_at_least_thirty_scenes_ship() -> None:
    """Sorted, and no name twice."""
    names = catalogue.names()
    assert len(names) >= 30
    assert sorted(set(names)) == names


def test_every_kind_of_problem_ships() -> None:
    """Each topic has a scene of its own."""
    assert {catalogue.find(n).topic for n in catalogue.names()} - {""} == TOPICS


@pytest.mark.parametrize("name", catalogue.names())
def test_a_scene_that_ships_is_whole(name: str) -> None:
    """It has a title, a story and something asked, and is named as its file."""
    scene = catalogue.find(name)
    assert name == scene.name
    assert scene.title
    assert len(scene.story) > 40
    assert scene.asked
    assert name == name.lower()


def test_the_contracts_example_ships_as_it_stands() -> None:
    """Two bodies of 6.5 kg and 9 kg on one rope."""
    scene = catalogue.find("feed-sack")
    assert (scene.symbols["m_1"].given.text, scene.symbols["m_2"].given.text) == ("6.5", "9")  # type: ignore[union-attr]
    assert scene.asked == ("a", "T")
    assert "# left out: 9.8 m/s^2" in catalogue.text("feed-sack")


def test_no_two_scenes_say_the_same() -> None:
    """Each has its own content."""
    digests = [catalogue.find(n).digest for n in catalogue.names()]
    assert len(digests) == len(set(digests))


def test_a_path_is_loaded_as_a_file(tmp_path: Path) -> None:
    """Whatever ends in .toml is a path; a file without a suffix is found too."""
    (tmp_path / "mine.toml").write_text(catalogue.text("feed-sack"), encoding="utf-8")
    assert catalogue.find(tmp_path / "mine.toml").name == "mine"
    assert catalogue.find("feed-sack").digest == catalogue.find(str(tmp_path / "mine.toml")).digest


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ("feedsack", "did you mean feed-sack"),
        ("Feed-Sack", "did you mean feed-sack"),
        ("zzzzzz", "no scene of that name ships; `plusway scenes` lists"),
        ("nothing.toml", "there is no such file"),
        ("../feed-sack", "there is no such file"),
        ("", "no scene of that name ships"),
    ],
)
def test_an_unknown_name_is_told_with_the_nearest(wanted: str, says: str) -> None:
    """One line that says what would do."""
    with pytest.raises(SceneError) as caught:
        catalogue.find(wanted)
    assert says in str(caught.value)


def test_text_and_path_know_only_what_ships() -> None:
    """No path is put together from a name that does not ship."""
    for look in (catalogue.text, catalogue.path):
        with pytest.raises(SceneError):
            look("../catalogue")
    assert catalogue.path("feed-sack").is_file()


@pytest.mark.parametrize("name", catalogue.names())
def test_a_story_leaves_the_figures_to_the_data(name: str) -> None:
    """The same story serves every variant."""
    assert not any(c.isdigit() for c in catalogue.find(name).story)
