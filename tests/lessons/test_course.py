"""The guided lessons that ship are those that their sources say."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest

from plusway.lessons.course import NOTEBOOKS, SOURCES, CourseError, lesson, read_source
from plusway.lessons.pages import PAGES

ALL = sorted(SOURCES.glob("*.md"))


@pytest.mark.parametrize("source", ALL, ids=lambda path: path.stem)
def test_the_notebook_that_ships_is_built_from_its_source(source: Path) -> None:
    """Byte for byte: `python -m plusway.lessons.course` was run after the last change."""
    built = nbformat.writes(lesson(read_source(source))) + "\n"
    assert (NOTEBOOKS / f"{source.stem}.ipynb").read_text(encoding="utf-8") == built


def test_no_notebook_is_without_a_source() -> None:
    """What ships can be read and changed as text."""
    assert {path.stem for path in NOTEBOOKS.glob("*.ipynb")} == {path.stem for path in [*ALL, *PAGES.glob("*.md")]}


@pytest.mark.parametrize("source", ALL, ids=lambda path: path.stem)
def test_a_lesson_about_loads_says_take_care(source: Path) -> None:
    """Real loads are no exercise: each lesson defers to the rules of the place and the person in charge."""
    assert "Take care." in source.read_text(encoding="utf-8")
    assert "person in charge" in read_source(source).introduction


@pytest.mark.parametrize(
    ("text", "says"),
    [("# Title\n", "expected ---, scene: NAME"), ("---\nscene: feed-sack\n---\n\n# T\n\n## lunch: Eat\n", "'## lunch:' is no step")],
)
def test_a_source_that_cannot_be_built_says_what_to_mend(tmp_path: Path, text: str, says: str) -> None:
    """File, what was found, what would do."""
    path = tmp_path / "x.md"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(CourseError, match=says):
        read_source(path)
