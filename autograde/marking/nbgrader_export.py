"""Grades out of nbgrader with a column for each step, every cell quoted:

    nbgrader export --exporter=plusway.autograde.marking.nbgrader_export.StepsCsv --to grades.csv

nbgrader's own export has one total for each submission and does not quote, so a comma in a name shifts its columns. This one works
for every assignment of the course, plusway's or not.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

from nbgrader.api import MissingEntry
from nbgrader.plugins import ExportPlugin

from ..records.atomic import replacing
from .store import safe

ABOUT = ("assignment", "duedate", "timestamp", "student_id", "last_name", "first_name", "email", "raw_score",
         "late_submission_penalty", "score", "max_score", "waits_for_a_person", "flagged")


class StepsCsv(ExportPlugin):  # type: ignore[misc]
    """One row for each student and assignment, handed in or not; the first columns are those of nbgrader's own export."""

    def export(self, gradebook: Any) -> None:
        to = self.to or "grades.csv"
        self.log.info("Exporting grades to %s", to)
        assignments = [a for a in gradebook.assignments if not self.assignment or a.name in map(str, self.assignment)]
        columns = dict.fromkeys(cell.name for a in assignments for n in a.notebooks for cell in _steps(n.grade_cells))
        with replacing(to) as raw:
            out = io.TextIOWrapper(raw, encoding="utf-8", errors="replace", newline="", write_through=True)
            rows = csv.writer(out, quoting=csv.QUOTE_ALL)
            rows.writerow([*ABOUT, *map(safe, columns)])
            for assignment in assignments:
                for student in gradebook.students:
                    if not self.student or student.id in map(str, self.student):
                        row = _row(gradebook, assignment, student)
                        rows.writerow([*(row[name] for name in ABOUT), *(row.get(f"cell {name}", "") for name in columns)])
            out.detach()


def _row(gradebook: Any, assignment: Any, student: Any) -> dict[str, str]:
    row = {"assignment": safe(assignment.name), "duedate": str(assignment.duedate or ""), "timestamp": "",
           "student_id": safe(student.id), "last_name": safe(student.last_name or ""), "first_name": safe(student.first_name or ""),
           "email": safe(student.email or ""), "raw_score": "0", "late_submission_penalty": "0", "score": "0",
           "max_score": f"{assignment.max_score:g}", "waits_for_a_person": "", "flagged": ""}
    try:
        submission = gradebook.find_submission(assignment.name, student.id)
    except MissingEntry:
        return row  # nothing handed in: no points, as in nbgrader's own export
    penalty = float(submission.late_submission_penalty or 0.0)
    row |= {"timestamp": str(submission.timestamp or ""), "raw_score": f"{submission.score:g}",
            "late_submission_penalty": f"{penalty:g}", "score": f"{max(0.0, submission.score - penalty):g}",
            "waits_for_a_person": "yes" if submission.needs_manual_grade else "",
            "flagged": "yes" if any(notebook.flagged for notebook in submission.notebooks) else ""}
    for notebook in submission.notebooks:
        for grade in notebook.grades:
            row[f"cell {grade.name}"] = f"{grade.score:g}"
    return row


def _steps(cells: Any) -> Iterator[Any]:
    """The cells that can earn points, in their order; a heading that only carries a comment is none."""
    yield from (cell for cell in cells if cell.max_score)
