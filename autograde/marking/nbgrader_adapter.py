"""nbgrader marks plusway's assignments without running a line of the students' code. In nbgrader_config.py:

    from plusway.autograde.marking.nbgrader_adapter import enable; enable(c)

For an assignment whose source notebook has a plusway record, `nbgrader autograde` and the Formgrader then read each
submission as data and lay its cells out afresh; the judge writes each grade cell's points in the place of Execute; and
each step gets its reasons as a comment, and its lines with their formulas on the page that `nbgrader generate_feedback` writes
(nbgrader_feedback.py). Every other assignment is marked by nbgrader as ever. A teacher's own verdicts, in overrides.toml in the
course folder, stand in the place of the judge's.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
from nbconvert.exporters import NotebookExporter
from nbformat.v4 import new_output
from nbgrader.api import Gradebook
from nbgrader.converters import Autograde, GenerateFeedback
from nbgrader.preprocessors import Execute, GetGrades, NbGraderPreprocessor, SaveAutoGrades
from nbgrader.utils import determine_grade, is_grade, is_solution

from ..records.errors import NotebookError
from ..records.journal import handed_in_with, parse
from ..records.notebook import Notebook, read_notebook
from .cells import cells_of_json, points_in
from .comments import comment_on, plain, to_student
from .layout import laid_out
from .mark import mark_notebook
from .marked import Marked
from .nbgrader_course import Master, marked_in, master_of, overrides_of
from .nbgrader_feedback import ShowVerdicts
from .odd import BUILD, NOTES


def enable(c: Any) -> None:
    """Switch plusway's marking on in a course's configuration `c`; what the course has set itself stays."""
    own = c.Autograde
    first = own.get("sanitize_preprocessors", _usual(Autograde, "sanitize_preprocessors"))
    second = own.get("autograde_preprocessors", _usual(Autograde, "autograde_preprocessors"))
    own.sanitize_preprocessors = [ReceiveAnswers, *(p for p in first if p is not ReceiveAnswers)]
    own.autograde_preprocessors = [{Execute: MarkAnswers, SaveAutoGrades: SaveMarks}.get(p, p) for p in second]
    own.exporter_class = own.get("exporter_class", DataExporter)
    pages = [p for p in c.GenerateFeedback.get("preprocessors", _usual(GenerateFeedback, "preprocessors")) if p is not ShowVerdicts]
    place = pages.index(GetGrades) + 1 if GetGrades in pages else len(pages)
    c.GenerateFeedback.preprocessors = [*pages[:place], ShowVerdicts, *pages[place:]]


def _usual(converter: Any, name: str) -> list[Any]:
    return list(converter.class_traits()[name].default())


class DataExporter(NotebookExporter):
    """Opens a submission to a plusway assignment as an empty notebook, so that no file, however broken, stops nbgrader;
    ReceiveAnswers reads it afterwards."""

    def from_filename(self, filename: str, resources: Any = None, **kw: Any) -> Any:
        converter: Any = self.parent
        handed_in = converter._input_directory == converter.coursedir.submitted_directory
        if not handed_in or master_of(self, resources) is None:
            return super().from_filename(filename, resources=resources, **kw)
        resources["metadata"] = {"name": Path(filename).stem, "path": str(Path(filename).parent)}
        return NotebookExporter.from_notebook_node(self, nbformat.v4.new_notebook(), resources=resources, **kw)


class ReceiveAnswers(NbGraderPreprocessor):  # type: ignore[misc]
    """First of all: read the submission as data, mark it, and put a clean notebook in its place."""

    def preprocess(self, nb: Any, resources: Any) -> Any:
        master = master_of(self, resources)
        if master is None:
            return nb, resources
        student = resources["nbgrader"]["student"]
        path = Path(resources["metadata"]["path"]) / f"{resources['metadata']['name']}.ipynb"
        submitted: Notebook | NotebookError
        try:
            submitted = read_notebook(path, path.parent)
        except NotebookError as error:
            submitted = error
        raw, trouble = handed_in_with(path)
        journal = parse(raw)
        marked = mark_notebook(submitted, master.assignment, student=student, file=path.name, journal=journal.entries,
                               remarks=(*filter(None, [trouble]), *journal.remarks), overrides=overrides_of(self, master))
        for line in (*filter(None, [marked.error]), *(flag.says for flag in marked.flags), *marked.remarks):
            self.log.warning("%s, %s: %s", student, path.name, line)
        clean = laid_out(master.released, submitted.json if isinstance(submitted, Notebook) else {})
        clean["metadata"]["plusway"] = {"marked": marked.to_json()}
        return nbformat.from_dict(clean), resources


class MarkAnswers(Execute):  # type: ignore[misc]
    """In the place of Execute: each grade cell's output is its points. Nothing is run."""

    def __call__(self, nb: Any, resources: Any) -> Any:
        # Even under --no-execute: to nbgrader a grade cell without an output is one with full marks.
        if master_of(self, resources) is not None:
            return self.preprocess(nb, resources)
        return super().__call__(nb, resources)

    def preprocess(self, nb: Any, resources: Any = None, km: Any = None) -> Any:
        master = master_of(self, resources)
        if master is None:
            return super().preprocess(nb, resources, km)
        graded = {p.problem: cells_of_json(p.verdicts) for p in marked_in(nb).problems}
        for cell in nb.cells:
            meta = cell.metadata.get("nbgrader", {})
            if cell.cell_type == "code" and meta.get("grade") and not meta.get("solution"):
                problem, step, item = master.cells.get(meta.get("grade_id"), ("", "", None))
                points = points_in(graded.get(problem, ()), (step, item), float(meta.points))
                cell.outputs = [new_output("execute_result", {"text/plain": repr(points)}, execution_count=1)]
                cell.execution_count = 1
        return nb, resources


class SaveMarks(SaveAutoGrades):  # type: ignore[misc]
    """In the place of SaveAutoGrades: the points that the grade cells print, each step's reasons, and what a person has to
    look at, in one transaction (nbgrader's own takes two for every cell)."""

    def preprocess(self, nb: Any, resources: Any) -> Any:
        master = master_of(self, resources)
        if master is None:
            return super().preprocess(nb, resources)
        names, marked = resources["nbgrader"], marked_in(nb)
        comments = _comments(master, marked)
        cells = {cell.metadata.nbgrader["grade_id"]: cell for cell in nb.cells if is_grade(cell)}
        by_hand = bool(marked.error) or any(flag.kind == "unjudged" for flag in marked.flags)
        with Gradebook(names["db_url"]) as gradebook:
            saved = gradebook.find_submission_notebook(names["notebook"], names["assignment"], names["student"])
            for comment in saved.comments:
                comment.auto_comment = comments.get(comment.cell.name)
            for grade in saved.grades:
                name = grade.cell.name
                if name in comments:  # a heading, worth nothing: only there to carry the comment
                    grade.auto_score, grade.needs_manual_grade = 0.0, False
                    continue
                # A test of the teacher's own was not run, and a free answer can't be: both are for a person to mark.
                known = name in cells and (name in master.cells or is_solution(cells[name]))
                grade.auto_score = determine_grade(cells[name], self.log)[0] if known else None
                grade.needs_manual_grade = by_hand or grade.auto_score is None or grade.manual_score is not None
            saved.flagged = bool(saved.flagged or any(flag.kind not in (BUILD, NOTES) for flag in marked.flags))
            gradebook.db.commit()
        return nb, resources


def _comments(master: Master, marked: Marked) -> dict[str, str]:
    verdicts = {p.problem: p.verdicts for p in marked.problems}
    comments = {remarks: comment_on(verdicts[problem], step, item) if problem in verdicts else ""
                for remarks, (problem, step, item) in master.headings.items()}
    if marked.error:
        comments[next(iter(comments))] = plain(to_student(marked.error))  # once, at the top
    return comments
