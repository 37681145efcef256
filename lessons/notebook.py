"""Building a notebook: headings, one widget cell for each step of each problem, and after each a locked grade cell.

The lessons that ship and the assignments that a teacher builds come from here, so that both are marked the same way.
What a problem is about stands in the notebook's metadata as the scene's full text; no key is ever written into it.
"""

from __future__ import annotations

import hashlib
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import nbformat
from nbformat.notebooknode import NotebookNode
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from ..autograde.judging.scheme import Scheme
from ..autograde.judging.verdicts import Verdicts
from ..autograde.marking.cells import Graded, cells_of, grade_id, points_call, quoted
from ..autograde.scene.model import Scene

FORMAT = 1
NAMESPACE = uuid.UUID("7b6cdd1e-6c1f-5b0a-9d0e-6f2f4d0a53c1")

WIDGETS = {"directions": "directions", "forces": "forces", "equations": "equation", "ties": "ties",
           "working": "working", "results": "results", "sense": "sense"}
"""Which method of `Problem` shows the widget of a step."""

HEADINGS: Mapping[str, tuple[str, str]] = {
    "directions": ("Which way is plus?",
                   "For each {things} choose the direction that you will count as positive. Any choice is right, as long "
                   "as you keep to it: if the motion turns out to go the other way, the acceleration comes out negative."),
    "forces": ("The forces on the {thing}",
               "Put every force that acts on the {thing} into the diagram, each with its direction, and nothing else."),
    "equations": ("Newton's second law for the {thing}",
                  "Add up the forces on the {thing}, each with the sign that your positive direction gives it, and set the "
                  "sum equal to {inertia}."),
    "ties": ("What ties the motions together",
             "Say how the accelerations are related. The signs depend on the directions that you have chosen."),
    "working": ("The working, line by line",
                "Put the equations together and solve them. One step on each line, and keep the parentheses when you "
                "substitute."),
    "results": ("The results", "Give each value with its unit."),
    "sense": ("Does it make sense?",
              "State one or more checks that the results must pass, such as which of two forces is the larger."),
}


@dataclass(frozen=True)
class ProblemSpec:
    """One problem of a notebook. toml: the scene's full text; headings: {step: (title, text)} in place of the usual ones."""

    id: str
    scene: Scene
    toml: str
    headings: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    story: bool = True


def build(
    title: str,
    problems: Sequence[ProblemSpec],
    *,
    assignment: str,
    introduction: str = "",
    settings: Mapping[str, Any] | None = None,
    scheme: Scheme | None = None,
    graded: bool = True,
) -> NotebookNode:
    """A valid nbformat notebook: the same arguments give the same notebook, cell ids included.

    graded: with nbgrader's locked cells. settings: what the widgets and the marking read ("numbers", "verdicts", …).
    Raises nbformat's ValidationError only for a fault of ours.
    """
    cells = [_text("title", f"# {title}" + (f"\n\n{introduction}" if introduction else ""))]
    names = _variables(problems)
    for problem, variable in zip(problems, names, strict=True):
        cells += _problem_cells(problem, variable, scheme, graded, alone=len(problems) == 1)
    notebook: NotebookNode = new_notebook(cells=cells, metadata={
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
        "plusway": {
            "format": FORMAT, "id": _identity(assignment, title, problems), "assignment": assignment, "student": None,
            "seed": None, "settings": dict(settings or {}),
            "problems": {p.id: {"scene": p.scene.name, "scene_toml": p.toml, "variant": None} for p in problems},
            "answers": {}, "entries": [],
        },
    })
    nbformat.validate(notebook)
    return notebook


def blank_verdicts(scene: Scene, scheme: Scheme | None = None) -> Verdicts:
    """What the judge says to an empty answer: every item and what it is worth."""
    from ..autograde.judging import judge

    return judge(scene, {}, scheme)


def _variables(problems: Sequence[ProblemSpec]) -> list[str]:
    return ["problem"] if len(problems) == 1 else [f"problem_{place}" for place in range(1, len(problems) + 1)]


def _problem_cells(problem: ProblemSpec, variable: str, scheme: Scheme | None, graded: bool,
                   alone: bool) -> list[NotebookNode]:
    scene = problem.scene
    opening = f"from plusway.widgets import Problem\n\n{variable} = Problem({quoted(scene.name)}, id={quoted(problem.id)})"
    cells = []
    if not alone or problem.story:
        story = f"## {scene.title}" + (f"\n\n{scene.story}" if problem.story and scene.story else "")
        cells.append(_text(f"{problem.id}--story", story))
    cells.append(_code(f"{problem.id}--open", opening, {"plusway": {"problem": problem.id, "step": None, "item": None}}))
    for cell in cells_of(blank_verdicts(scene, scheme)):
        cells += _step_cells(problem, variable, cell, graded)
    return cells


def _step_cells(problem: ProblemSpec, variable: str, cell: Graded, graded: bool) -> list[NotebookNode]:
    name = grade_id(problem.id, cell.step, cell.item)
    remarks = grade_id(problem.id, cell.step, cell.item, "remarks")
    call = f"{variable}.{WIDGETS[cell.step]}({quoted(cell.item) if cell.item is not None else ''})"
    heading = _text(remarks, _heading(problem, cell))
    widget = _code(f"{name}--widget", call, {"plusway": {"problem": problem.id, "step": cell.step, "item": cell.item}})
    if not graded:
        return [heading, widget]
    # nbgrader keeps comments for answers and tasks only, never for a test: so the heading is a task worth nothing.
    heading.metadata["nbgrader"] = _nbgrader(remarks, "markdown", task=True, points=0.0)
    test = _code(name, points_call(variable, cell.step, cell.item), {"nbgrader": _nbgrader(name, "code", grade=True,
                                                                                       points=cell.of)})
    return [heading, widget, test]


def _heading(problem: ProblemSpec, cell: Graded) -> str:
    title, text = problem.headings.get(cell.step) or HEADINGS[cell.step]
    wheel = cell.item in problem.scene.wheels
    things = "body and wheel" if problem.scene.wheels else "body"
    words = {"thing": cell.item or "", "things": things,
             "inertia": "moment of inertia times angular acceleration" if wheel else "mass times acceleration"}
    if wheel and cell.step == "equations" and cell.step not in problem.headings:
        title, text = "The turning of the {thing}", text.replace("forces", "torques")
    return f"### {_filled(title, words)}\n\n{_filled(text, words)}"


def _filled(text: str, words: Mapping[str, str]) -> str:
    for name, word in words.items():
        text = text.replace("{" + name + "}", word)
    return text


def _nbgrader(name: str, cell_type: str, *, grade: bool = False, task: bool = False, points: float) -> dict[str, Any]:
    return {"schema_version": 3, "grade_id": name, "grade": grade, "solution": False, "locked": True, "task": task,
            "points": points, "cell_type": cell_type}


def _locked(extra: Mapping[str, Any]) -> dict[str, Any]:
    return {"deletable": False, "editable": False, **extra}


def _text(name: str, source: str) -> NotebookNode:
    cell: NotebookNode = new_markdown_cell(source, id=_cell_id(name), metadata=_locked({}))
    return cell


def _code(name: str, source: str, extra: Mapping[str, Any]) -> NotebookNode:
    cell: NotebookNode = new_code_cell(source, id=_cell_id(name), metadata=_locked(extra))
    return cell


def _cell_id(name: str) -> str:
    """A cell id that is the same in every build: nbformat's own are drawn at random."""
    return hashlib.sha256(name.encode("utf-8", "replace")).hexdigest()[:16]


def _identity(assignment: str, title: str, problems: Sequence[ProblemSpec]) -> str:
    return uuid.uuid5(NAMESPACE, "\0".join([assignment, title, *(f"{p.id}\0{p.toml}" for p in problems)])).hex
