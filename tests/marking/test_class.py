"""Two hundred simulated students with known slips, each with their own numbers: their marks are the known ones, cell by cell,
from `plusway mark`, from `nbgrader autograde` with plusway's preprocessors (of forty, or of as many as PLUSWAY_CLASS says), and from
nbgrader as it is (of six)."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.cells import cell_of, grade_id
from plusway.autograde.marking.run import Job, in_processes, mark_folder
from plusway.lessons import assign, catalogue

from .conftest import points
from .courses import Run, committed, course_of, hand_in, released
from .simulated import ASSIGNMENT, BALE, CONDONED, IN_EQUATIONS, SACK, Student, simulated, slipped

pytestmark = pytest.mark.slow


@cache  # made where it is needed: every run of any test reads this file
def whole_class() -> list[Student]:
    """The two hundred."""
    return simulated(200)


def handed_in_by(students: Sequence[Student], folder: Path, run_in: Run) -> Path:
    """A course in which these have handed in, each a copy with their name, seed and answers."""
    course = course_of(assign.plan(ASSIGNMENT, [SACK, BALE], per_student=True), folder, run_in)
    for student in students:
        hand_in(course, student.name, committed(released(course, ASSIGNMENT), student.answers, student=student.name, seed=student.seed),
                ASSIGNMENT)
    return course


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory, run_in: Run) -> Path:
    """All two hundred."""
    return handed_in_by(whole_class(), tmp_path_factory.mktemp("class") / "course", run_in)


def graded(course: Path) -> dict[str, dict[str, float]]:
    """{student: {grade cell: points}}, as nbgrader's gradebook has them; headings, which only carry comments, left out."""
    with sqlite3.connect(course / "gradebook.db") as db:
        rows = db.execute(
            "select s.student_id, b.name, g.auto_score from grade g join base_cell b on b.id = g.cell_id "
            "join submitted_notebook n on n.id = g.notebook_id join submitted_assignment s on s.id = n.assignment_id "
            "where b.name not like '%--remarks'").fetchall()
    out: dict[str, dict[str, float]] = {}
    for student, cell, score in rows:
        out.setdefault(student, {})[cell] = round(score, 6)
    return out


def differing(found: Mapping[str, Mapping[str, float]]) -> dict[str, Any]:
    """{student: what was done, what was found, what was due} where the two are not the same."""
    due = {student.name: student for student in whole_class()}
    return {name: (due[name].slips, cells, known(due[name])) for name, cells in found.items() if cells != known(due[name])}


def known(student: Student) -> dict[str, float]:
    return {grade_id(*cell): round(points, 6) for cell, points in student.points.items()}


def test_the_class_makes_every_slip_of_an_equation_and_more() -> None:
    """A class that makes no slips would prove nothing."""
    made = {part for student in whole_class() for slip in student.slips for part in slip.split(": ")}
    assert set(IN_EQUATIONS) <= made
    assert {"arithmetic", "tie", "no units", "false check", "unreadable", "missing weight carried through"} <= made
    assert len({student.seed for student in whole_class()}) == 200


def test_plusway_mark_gives_the_known_marks(course: Path, tmp_path: Path) -> None:
    """Cell by cell, and nobody is flagged: these students worked alone."""
    source = json.loads((course / "source" / ASSIGNMENT / f"{ASSIGNMENT}.ipynb").read_text(encoding="utf-8"))
    mark_folder(course, tmp_path / "out", Job(assignment_from(source, "x")), in_processes(2))
    records = points(tmp_path / "out")
    found: dict[str, dict[str, float]] = {name: {} for name in records}
    for name, record in records.items():
        for problem in record["problems"]:
            for step in problem["steps"]:
                cell = grade_id(problem["problem"], *cell_of(step))
                found[name][cell] = round(found[name].get(cell, 0.0) + step["points"], 6)
    assert differing(found) == {}
    assert {name: record["flags"] for name, record in records.items() if record["flags"]} == {}


def test_nbgrader_with_ours_gives_the_known_marks(tmp_path: Path, run_in: Run) -> None:
    """The gradebook of those whom nbgrader is given: it takes a third of a second for each."""
    some = whole_class()[: int(os.environ.get("PLUSWAY_CLASS", "40"))]
    course = handed_in_by(some, tmp_path / "course", run_in)
    run_in(course, "nbgrader", "autograde", ASSIGNMENT)
    found = graded(course)
    assert len(found) == len(some)
    assert differing(found) == {}


@pytest.mark.thorough
def test_stock_nbgrader_gives_the_known_marks(tmp_path: Path, run_in: Run) -> None:
    """Six of them, their cells run by nbgrader's own Execute: harmless notebooks earn the same either way."""
    some = whole_class()[3:9]
    course = handed_in_by(some, tmp_path / "course", run_in)
    (course / "nbgrader_config.py").write_text("c = get_config()\n")
    run_in(course, "nbgrader", "autograde", ASSIGNMENT)
    found = graded(course)
    assert len(found) == len(some) == 6
    assert differing(found) == {}


@pytest.mark.parametrize("kind", IN_EQUATIONS)
def test_the_marks_of_a_slip_are_those_of_the_rules(kind: str) -> None:
    """Signs, sine for cosine and the other coefficient of friction are condoned at the method mark; nothing else is: the table of slips says so too."""
    from plusway.autograde.judging.slips import SLIPS

    assert SLIPS[kind].condoned is (kind in CONDONED)
    scene = catalogue.find(BALE)
    assert any(slipped(scene, {"bale": "upslope", "trough": "down"}, kind)) or kind == "other-body"
