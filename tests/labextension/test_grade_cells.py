"""A lesson's cells show their widgets and not their code; points that are shown never lag behind the answers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_output

pytestmark = pytest.mark.browser

Make = Callable[..., Any]
HIDDEN = {"jupyter": {"source_hidden": True}}


def grade(source: str, shown: str = "") -> Any:
    """A grade cell as an assignment has it, with what it printed on an earlier day."""
    metadata = {"nbgrader": {"grade": True, "grade_id": f"g{abs(hash(source))}", "locked": True, "points": 1.0, "schema_version": 3,
                             "solution": False, "task": False, "cell_type": "code"}, **HIDDEN}  # fmt: skip
    outputs = [new_output("execute_result", {"text/plain": shown}, execution_count=1)] if shown else []
    return new_code_cell(source, metadata=metadata, outputs=outputs, execution_count=1 if shown else None)


def lesson_with(desk: Make, own_cell: Callable[[str], Any], *grades: Any, front: str = "lab") -> Any:
    opening = own_cell('from plusway.widgets import Problem\nproblem = Problem("feed-sack")')
    directions = own_cell("problem.directions()")
    for cell in (opening, directions):
        cell.metadata.update(HIDDEN)
    return desk(front, opening, directions, *grades)


def printed(lesson: Any, source: str) -> str:
    """What the cell of that source shows as its output in the notebook's file."""
    for cell in nbformat.read(lesson.file, as_version=4).cells:
        if cell.cell_type == "code" and cell.source == source:
            return "".join(output.get("data", {}).get("text/plain", "") for output in cell.outputs)
    pytest.fail(f"no cell {source!r}")


def choose(page: Any) -> None:
    """Both directions, by the widget itself."""
    step = page.locator('.plusway[data-step="directions"]')
    step.get_by_role("group", name="Plus for the sack").get_by_label("up", exact=True).check()
    step.get_by_role("group", name="Plus for the counterweight").get_by_label("down", exact=True).check()
    step.get_by_role("button", name="Use these directions").click()


def test_points_that_are_shown_follow_the_answers(desk: Make, own_cell: Callable[[str], Any]) -> None:
    """An earlier day's output is renewed (choosing plus earns no points), the focus stays, and what was never run is not run."""
    lesson = lesson_with(desk, own_cell, grade('problem.points("directions")', "9.9"), grade('problem.points("ties")')).open()
    lesson.page.locator('.plusway[data-step="directions"] input').first.wait_for()
    choose(lesson.page)
    lesson.page.locator(".jp-OutputArea-output", has_text="0.0").wait_for()
    assert lesson.page.evaluate("document.activeElement.textContent") == "Use these directions"
    lesson.saved(lambda _: printed(lesson, 'problem.points("directions")') == "0.0")
    assert (printed(lesson, 'problem.points("directions")'), printed(lesson, 'problem.points("ties")')) == ("0.0", "")


@pytest.mark.parametrize("source", ['problem.points("directions"); open("evidence", "w")', 'other.points("directions")', "open('evidence', 'w').name"])
def test_a_grade_cell_with_other_code_is_not_run(desk: Make, own_cell: Callable[[str], Any], source: str) -> None:
    """Its old output stays, for nobody knows what it would do."""
    lesson = lesson_with(desk, own_cell, grade(source, "7.5"), grade('problem.points("directions")', "9.9")).open()
    lesson.page.locator('.plusway[data-step="directions"] input').first.wait_for()
    choose(lesson.page)
    lesson.page.locator(".jp-OutputArea-output", has_text="0.0").wait_for()
    assert lesson.page.locator(".jp-OutputArea-output", has_text="7.5").count() == 1
    assert not (lesson.file.parent / "evidence").exists()


@pytest.mark.parametrize("front", ["lab", pytest.param("notebook", marks=pytest.mark.thorough)])
def test_the_code_is_folded_away_and_can_be_opened(desk: Make, own_cell: Callable[[str], Any], front: str) -> None:
    """Neither the call nor its first line is in sight; a click on the dots shows it."""
    lesson = lesson_with(desk, own_cell, front=front).open()
    cell = lesson.page.locator(".jp-CodeCell", has=lesson.page.locator('.plusway[data-step="directions"]'))
    cell.locator("input").first.wait_for()
    cell.locator(".jp-PlaceholderText").wait_for(state="hidden")
    assert cell.locator(".jp-InputArea-editor").count() == 0 or not cell.locator(".jp-InputArea-editor").is_visible()
    cell.locator(".jp-InputPlaceholder .jp-Placeholder-content").click()
    cell.locator(".jp-InputArea-editor", has_text="problem.directions()").wait_for()
