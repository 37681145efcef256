"""plusway's assignments beside a teacher's others in one nbgrader course, and nbgrader's own validation of ours."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from plusway.lessons import assign

from .conftest import SCENE, answers_of
from .courses import PLANT, PLANTED, Run, code_cell, filled, fresh, hand_in, released, scores, waiting

pytestmark = pytest.mark.slow


def plain_notebook() -> dict[str, Any]:
    """An assignment of a teacher who never heard of plusway: one solution cell and one test."""
    def meta(name: str, **more: Any) -> dict[str, Any]:
        return {"nbgrader": {"schema_version": 3, "grade_id": name, "grade": False, "solution": False, "locked": False,
                             "task": False, **more}}

    solution = code_cell("### BEGIN SOLUTION\nx = 4\n### END SOLUTION", **meta("x", solution=True))
    test = code_cell("assert x == 4", **meta("test-x", grade=True, locked=True, points=3))
    cells = [dict(solution, id="a1"), dict(test, id="a2")]
    return {"nbformat": 4, "nbformat_minor": 5, "cells": cells, "metadata": {
        "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}}


def test_an_assignment_that_is_not_ours_is_marked_by_nbgrader_as_ever(template: Path, tmp_path: Path, run_in: Run) -> None:
    """Its code runs, in the same course, with our line in the configuration."""
    course = fresh(template, tmp_path)
    (course / "source" / "old").mkdir()
    (course / "source" / "old" / "old.ipynb").write_text(json.dumps(plain_notebook()))
    run_in(course, "nbgrader", "generate_assignment", "old")
    for student, line in (("right", "x = 4"), ("wrong", "x = 5")):
        notebook = released(course, "old")
        notebook["cells"][0]["source"] = line
        hand_in(course, student, notebook, "old")
    run_in(course, "nbgrader", "autograde", "old")
    assert scores(course, "old") == {"right": 3.0, "wrong": 0.0}


def test_nbgrader_validates_the_source(tmp_path: Path, run_in: Run) -> None:
    """Empty answers fail the tests, as they should; the notebook itself is accepted."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    shutil.copy(path, tmp_path / "ps1.ipynb")
    done = run_in(tmp_path, "nbgrader", "validate", "ps1.ipynb")
    assert "VALIDATION FAILED ON" in done.stdout
    assert "Traceback" not in done.stdout  # on the other stream the kernel's sockets may complain of a hasty end
    assert "Partial credit; passed some but not all of the tests" in done.stdout


def test_nbgrader_validates_a_right_notebook(template: Path, tmp_path: Path, run_in: Run) -> None:
    """A student who has everything right is told so before handing in."""
    course = fresh(template, tmp_path)
    hand_in(course, "s1", filled(course, answers_of()))
    done = run_in(course / "submitted" / "s1" / "ps1", "nbgrader", "validate", "ps1.ipynb")
    assert "Success! Your notebook passes all the tests." in done.stdout


def test_a_teachers_own_cells_among_ours_wait_for_the_teacher(tmp_path: Path, run_in: Run) -> None:
    """An essay and a test of the teacher's in a plusway notebook: kept as handed in, not run, not given marks for nothing."""
    course = tmp_path / "course"
    path, _ = assign.write(assign.plan("ps1", [SCENE]), course)
    notebook = json.loads(path.read_text(encoding="utf-8"))
    essay = {"cell_type": "markdown", "id": "essay", "source": "Explain.", "metadata": {"nbgrader": {
        "schema_version": 3, "grade_id": "essay", "grade": True, "solution": True, "locked": False, "task": False, "points": 4}}}
    notebook["cells"] += [essay, dict(plain_notebook()["cells"][1], id="own")]
    path.write_text(json.dumps(notebook), encoding="utf-8")
    run_in(course, "nbgrader", "generate_assignment", "ps1")
    mixed = filled(course, answers_of())
    mixed["cells"][-2]["source"] = "Because ropes do not stretch."
    mixed["cells"][-1]["source"] = PLANT
    hand_in(course, "s1", mixed)
    run_in(course, "nbgrader", "autograde", "ps1")
    assert scores(course) == {"s1": 12.0}
    assert waiting(course, "s1")
    marked = json.loads((course / "autograded" / "s1" / "ps1" / "ps1.ipynb").read_text(encoding="utf-8"))
    assert "Because ropes do not stretch." in json.dumps(marked["cells"])
    assert not list(course.rglob(PLANTED))
