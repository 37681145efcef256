"""The guided lessons that ship are those that their sources say."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest

from plusway.lessons.course import NOTEBOOKS, SOURCES, CourseError, lesson, read_source
from plusway.lessons.pages import PAGES

ALL = sorted(SOURCES.glob("*.md"))
TOP = "# T\n\n**Goal.** You do it.\n\n"


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
    [
        ("Title\n", "expected a line '# title'"),
        ("# T\n\nHello.\n", r"expected a paragraph '\*\*Goal\.\*\*"),
        (TOP + "## lunch: feed-sack\n", "there is no section 'lunch'; there are worked example, half-finished"),
        (TOP + "## problem\n", "name a scene, as in '## problem: feed-sack'"),
        (TOP + "## problem: feed-sack | colour: red\n", "'colour: red' is no option here; there are data"),
        (TOP + "## problem: feed-sack\n\n### lunch: Eat\n", "'### lunch:' is no step"),
        (TOP + "## problem: fed-sack\n", "no scene of that name ships; did you mean feed-sack"),
        (TOP + "## problem: feed-sack | data: m_1 = 3 apples\n", "m_1"),
        (TOP + "## problem: feed-sack | data: three\n", "found 'three'; write it as m_1 = 7.5 kg"),
        (TOP + "## half-finished: feed-sack\n", "say which steps are given"),
        (TOP + "## half-finished: feed-sack | given: lunch\n", "'lunch' is no step"),
        (TOP + "## check yourself: feed-sack | steps: lunch\n", "'lunch' is no step"),
        (TOP + "## problem: feed-sack\n\n{data.m_7}\n", "the scene feed-sack has no data 'm_7'"),
        (TOP + "## problem: feed-sack\n\n{datum.m_1}\n", "there is no 'datum'; there are data, result"),
        (TOP + "## problem: feed-sack\n\n{tie.5}\n", "the scene feed-sack has no tie '5'"),
        (TOP + "## What for\n\nText.\n", "there is no section with a scene"),
    ],
)
def test_a_source_that_cannot_be_built_says_what_to_mend(tmp_path: Path, text: str, says: str) -> None:
    """File, what was found, what would do."""
    path = tmp_path / "x.md"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(CourseError, match=f"x.*{says}"):
        lesson(read_source(path))
