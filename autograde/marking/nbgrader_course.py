"""The teacher's side of a submission in an nbgrader course: the source notebook, and the overrides kept in the course folder."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import nbformat

from ..records.notebook import read_notebook
from .assignment import Assignment, assignment_from, is_ours, scene_of
from .cells import cells_of, grade_id
from .marked import Marked
from .overrides import KEPT, Override, load_overrides, within_worth


@dataclass(frozen=True)
class Master:
    """The teacher's side of one notebook: what to mark against, the released cells, and what each grade cell is about."""

    assignment: Assignment
    released: dict[str, Any]
    cells: dict[str, tuple[str, str, str | None]]

    @property
    def headings(self) -> dict[str, tuple[str, str, str | None]]:
        """The headings that carry the comments, and what each is about."""
        return {grade_id(*about, "remarks"): about for about in self.cells.values()}


def master_of(component: Any, resources: Any) -> Master | None:
    """The teacher's notebook behind a submission; None where the assignment is not one of plusway's."""
    course, names = _course(component), resources["nbgrader"]
    paths = [Path(course.format_path(step, ".", names["assignment"])) / f"{names['notebook']}.ipynb"
             for step in (course.source_directory, course.release_directory)]
    found = [path for path in paths if path.is_file()]
    return _master(str(found[0]), str(found[-1]), names["assignment"], *(path.stat().st_mtime_ns for path in found)) \
        if found else None


def _course(component: Any) -> Any:
    while not hasattr(component, "coursedir"):
        component = component.parent
    return component.coursedir


@lru_cache(maxsize=16)
def _master(source: str, release: str, name: str, *_changed: int) -> Master | None:
    notebook = read_notebook(source).json
    if not is_ours(notebook):
        return None
    assignment = assignment_from(notebook, source)
    assignment = replace(assignment, name=name)
    from ..judging import judge

    cells = {grade_id(p.id, cell.step, cell.item): (p.id, cell.step, cell.item) for p in assignment.problems
             for cell in cells_of(p.counted(judge(scene_of(p.toml, p.scene), {}, assignment.marks())))}
    return Master(assignment, nbformat.read(release, as_version=4), cells)


def overrides_of(component: Any, master: Master) -> tuple[Override, ...]:
    """The teacher's own verdicts, kept in overrides.toml in the course folder. Raises UsageError where the file is wrong: better no
    marks than marks without them."""
    path = Path(_course(component).root) / KEPT
    if not path.is_file():
        return ()
    overrides = _overrides(str(path), path.stat().st_mtime_ns)
    within_worth(overrides, master.assignment, str(path))
    return overrides


@lru_cache(maxsize=4)
def _overrides(path: str, *_changed: int) -> tuple[Override, ...]:
    return load_overrides(path)


def marked_in(nb: Any) -> Marked:
    """What ReceiveAnswers found, as it travels in the notebook's metadata from one preprocessor to the next."""
    return Marked.from_json(json.loads(json.dumps(nb.metadata["plusway"]["marked"])))
