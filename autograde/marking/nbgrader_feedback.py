"""The page that `nbgrader generate_feedback` writes, with each line, its formula, verdict and reason below its step.

nbgrader's template puts a comment through Markdown and prints a cell's HTML output as it is. So the lines go into outputs, where no
text of a student's can turn into Markdown or TeX, and the formulas are MathML, which needs nothing from the network. The cells that
only worked in the lesson (the widgets, the calls that print points) are left out, and a step's heading carries its points. What a
teacher has decided by hand in the Formgrader stands above the judge's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from nbformat.v4 import new_code_cell, new_output
from nbgrader.api import Gradebook
from nbgrader.preprocessors import NbGraderPreprocessor
from traitlets import List

from ..errors import PluswayError
from .assignment import PER_STUDENT
from .cells import cell_of, grade_id
from .comments import to_student
from .feedback import Shown, shown
from .lines import lines, out_of, style_of_lines
from .marked import Marked
from .nbgrader_course import Master, marked_in, master_of

STYLE = (".plusway { --soft: #ddd; --quiet: #555; overflow-wrap: anywhere; padding-bottom: 1rem; } .plusway p { margin: .2rem 0 0; }\n"
         ".plusway .quiet { color: var(--quiet); }\n" + style_of_lines(".plusway"))


@dataclass(frozen=True)
class Kept:
    """What the gradebook has for one cell: the points that count, of how many, and what a person wrote or decided there."""

    score: float = 0.0
    of: float = 0.0
    by_hand: bool = False
    comment: str = ""


class ShowVerdicts(NbGraderPreprocessor):  # type: ignore[misc]
    """Behind GetGrades: what plusway found stands on the page. A notebook that was not marked by us is left as it is, and so is
    every page of a course that has HTML sanitized: its comments say the same in words."""

    # nbgrader's preprocessors take this from nbconvert without letting it be set, and then warn the teacher that it is set.
    display_data_priority = List(["text/html", "text/plain"]).tag(config=True)

    def preprocess(self, nb: Any, resources: Any) -> Any:
        record = nb.metadata.get("plusway")
        ours = isinstance(record, Mapping) and set(record) == {"marked"}
        master = master_of(self, resources) if ours and not getattr(self.parent, "sanitize_html", False) else None
        if master is not None:
            nb.cells = list(_Page(master, marked_in(nb), _kept(resources["nbgrader"])).cells(nb.cells))
        return nb, resources


def _kept(names: Mapping[str, Any]) -> dict[str, Kept]:
    with Gradebook(names["db_url"]) as gradebook:
        saved = gradebook.find_submission_notebook(names["notebook"], names["assignment"], names["student"])
        comments = {comment.cell.name: comment.manual_comment or "" for comment in saved.comments}
        grades = {grade.cell.name: grade for grade in saved.grades}
        return {name: Kept(float(grades[name].score), float(grades[name].max_score),
                           grades[name].manual_score is not None or bool(grades[name].extra_credit), comments.get(name, ""))
                for name in grades}


class _Page:
    """The cells of one student's page."""

    def __init__(self, master: Master, marked: Marked, kept: Mapping[str, Kept]) -> None:
        self._master, self._marked, self._kept = master, marked, kept
        self._verdicts = {p.problem: p for p in marked.problems}
        self._count = 0

    def cells(self, released: list[Any]) -> Iterator[Any]:
        """The notebook's cells as the page shows them. Cells of the teacher's own and of the student's stay as they are."""
        yield self._output(f"<style>\n{STYLE}</style>\n{self._said()}")
        headed = {name for cell in released if (name := _name(cell)) in self._master.headings}
        closing = {place - 1 for place, cell in enumerate(released) if _is_closing(cell)}
        for place, cell in enumerate(released):
            name = _name(cell)
            if name in self._master.headings:
                problem, step, item = self._master.headings[name]
                yield self._heading(cell, name, grade_id(problem, step, item))
                yield from self._lines(problem, step, item)
            elif name in self._master.cells:
                problem, step, item = self._master.cells[name]
                if grade_id(problem, step, item, "remarks") not in headed:
                    yield cell
                    yield from self._lines(problem, step, item)
            elif cell.cell_type == "code" and "plusway" in cell.metadata:
                yield from self._given(cell)
            elif place not in closing or "nbgrader" in cell.metadata or cell.cell_type == "code":
                yield cell

    def _heading(self, cell: Any, name: str, graded: str) -> Any:
        """A step's heading with the points of its grade cell, and a teacher's own comment."""
        own, points = self._kept.get(name, Kept()), self._kept.get(graded, Kept())
        meta = cell.metadata.nbgrader
        meta.update(score=own.score + points.score, points=own.of + points.of, comment=own.comment or None)
        # The template links to a task by a name that it gives to graded cells only.
        cell.source = f'<a id="{name}"></a>\n\n{cell.source}'
        if not (meta["points"] or meta["score"] or own.comment):
            del cell.metadata["nbgrader"]  # worth nothing: no box that says 0 of 0
        return cell

    def _lines(self, problem: str, step: str, item: str | None) -> Iterator[Any]:
        found = self._verdicts.get(problem)
        rows = [row for row in found.verdicts["steps"] if cell_of(row) == (step, item)] if found else []
        if not rows:
            return
        kept = self._kept.get(grade_id(problem, step, item), Kept())
        points, worth = (sum(float(row[key]) for row in rows) for key in ("points", "of"))
        agreed = abs(points - kept.score) < 1e-6 and abs(worth - kept.of) < 1e-6
        by_hand = f"<p>Marked by your teacher: {out_of(kept.score, kept.of)}.</p>\n" if kept.by_hand else ""
        scene = self._scene(problem)
        yield self._output(by_hand + lines(rows, scene.vocabulary if scene else None, marks=agreed))

    def _given(self, cell: Any) -> Iterator[Any]:
        """In the place of the cell that opens a problem: its data, where they are this student's own; else they stand above it."""
        if self._master.assignment.numbers != PER_STUDENT:
            return
        about = cell.metadata["plusway"]
        scene = self._scene(str(about.get("problem"))) if about.get("step") is None and not _is_closing(cell) else None
        if scene and scene.data:
            yield self._output(f'<p class="quiet">Given: {escape(scene.data)}</p>\n')

    def _said(self) -> str:
        if self._marked.error:
            return f"<p>{escape(to_student(self._marked.error))}</p>\n"
        return "".join(f'<p class="quiet">Note: {escape(remark)}.</p>\n' for remark in self._marked.remarks)

    def _scene(self, problem: str) -> Shown | None:
        own = {p.id: p for p in self._master.assignment.problems}.get(problem)
        try:
            return shown(own.toml, own.scene, self._verdicts[problem].variant if problem in self._verdicts else "") if own else None
        except PluswayError:
            return None  # no numbers for a made-up seed: the lines are shown without formulas

    def _output(self, html: str) -> Any:
        """A cell that is nothing but an output. The class keeps a page's MathJax, where one is loaded, out of the student's text."""
        self._count += 1
        data = {"text/html": f'<div class="plusway tex2jax_ignore mathjax_ignore">\n{html}</div>'}
        return new_code_cell("", id=f"plusway-{self._count}", metadata={"transient": {"remove_source": True}},
                             outputs=[new_output("display_data", data)])


def _name(cell: Any) -> str:
    return str(cell.metadata.get("nbgrader", {}).get("grade_id", ""))


def _is_closing(cell: Any) -> bool:
    """Whether this is the cell that draws a problem's closing picture; there is none on a page, nor the text above it."""
    return bool(cell.cell_type == "code" and "plusway" in cell.metadata and cell.source.rstrip().endswith(".closing()"))
