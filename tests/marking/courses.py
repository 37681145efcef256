"""nbgrader courses for the marking's tests: what is given out, what is handed in, and what the gradebook then has."""

from __future__ import annotations

import json
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from plusway.autograde.records import Entry
from plusway.lessons import assign

from .conftest import SCENE, put

Run = Callable[..., subprocess.CompletedProcess[str]]

PLANTED = "planted.txt"
PLANT = f"open({PLANTED!r}, 'w').write('ran')"
"""Code that leaves a file where it runs: nobody's may."""


def course_of(planned: assign.Plan, course: Path, run_in: Run) -> Path:
    """A course that has given out one assignment."""
    course.mkdir(parents=True, exist_ok=True)
    assign.write(planned, course)
    run_in(course, "nbgrader", "generate_assignment", planned.name)
    return course


def fresh(template: Path, folder: Path) -> Path:
    """A course of one's own, like that one."""
    return Path(shutil.copytree(template, folder / "course", symlinks=True))


def released(course: Path, name: str = "ps1") -> dict[str, Any]:
    found: dict[str, Any] = json.loads((course / "release" / name / f"{name}.ipynb").read_text(encoding="utf-8"))
    return found


def hand_in(course: Path, student: str, notebook: Any, name: str = "ps1") -> Path:
    return put(course / "submitted" / student / name / f"{name}.ipynb", notebook)


def committed(notebook: dict[str, Any], answers: Mapping[str, dict[str, Any]], **record: Any) -> dict[str, Any]:
    """The notebook as the lesson saves it: {problem: answers} in its record, and the entry of each commit, one a minute."""
    entries: list[dict[str, Any]] = []
    for problem, steps in answers.items():
        for step, value in steps.items():
            for item, part in value.items() if isinstance(value, dict) else [(None, value)]:
                n = len(entries) + 1
                entries.append(Entry(f"e{n}", f"2025-03-01T{10 + n // 60}:{n % 60:02}:00.000+00:00", n, problem, step, item, part).to_json())
    notebook["metadata"]["plusway"].update(answers=dict(answers), entries=entries, **record)
    return notebook


def filled(course: Path, answers: dict[str, Any]) -> dict[str, Any]:
    """A student's copy of what the course gave out, with these answers to its one problem."""
    return committed(released(course), {SCENE: answers})


def scores(course: Path, name: str = "ps1") -> dict[str, float]:
    """{student: points}, as the gradebook has them."""
    with sqlite3.connect(course / "gradebook.db") as db:
        rows = db.execute(
            "select s.student_id, sum(coalesce(g.manual_score, g.auto_score, 0)) from submitted_assignment s "
            "join assignment a on a.id = s.assignment_id join submitted_notebook n on n.assignment_id = s.id "
            "join grade g on g.notebook_id = n.id where a.name = ? group by s.student_id", (name,)).fetchall()
    return {student: round(points, 9) for student, points in rows}


def comments(course: Path, student: str) -> dict[str, str]:
    with sqlite3.connect(course / "gradebook.db") as db:
        rows = db.execute(
            "select b.name, c.auto_comment from comment c join base_cell b on b.id = c.cell_id "
            "join submitted_notebook n on n.id = c.notebook_id join submitted_assignment s on s.id = n.assignment_id "
            "where s.student_id = ?", (student,)).fetchall()
    return {name: text or "" for name, text in rows}


def waiting(course: Path, student: str) -> bool:
    """Whether a person has to mark something of this student's."""
    with sqlite3.connect(course / "gradebook.db") as db:
        return bool(db.execute(
            "select max(g.needs_manual_grade) from grade g join submitted_notebook n on n.id = g.notebook_id "
            "join submitted_assignment s on s.id = n.assignment_id where s.student_id = ?", (student,)).fetchone()[0])


def code_cell(source: str, **metadata: Any) -> dict[str, Any]:
    return {"cell_type": "code", "id": "mine", "metadata": metadata, "source": source, "outputs": [],
            "execution_count": None}
