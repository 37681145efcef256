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
from ..autograde.marking.assignment import PER_STUDENT
from ..autograde.marking.cells import Graded, cells_of, grade_id, points_call, quoted
from ..autograde.marking.comments import plain
from ..autograde.method import STEPS
from ..autograde.scene.model import Scene
from ..autograde.scene.words import thing_name
from .placeholders import task

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
              "State a check that the results must pass, such as which of two forces is the larger. One is enough for the mark; of "
              "several, each counts its share. Only to say a result again is no check."),
    "closing": ("What comes of it", "Your own numbers, set in motion at their true rate, and the forces to scale with them."),
}


@dataclass(frozen=True)
class ProblemSpec:
    """One problem of a notebook. toml: the scene's full text; headings: {step or "step thing": (title, text)} in
    place of the usual ones.

    steps: those that the notebook asks for, in the method's order (the marking counts no others); given: those among them that are
    shown worked, for which there are no points. opening: the problem's heading and text in place of its title and story. brief: steps
    have their headings, but not the usual texts below them (nor has a step that is given), and no closing picture follows.
    """

    id: str
    scene: Scene
    toml: str
    headings: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    story: bool = True
    steps: tuple[str, ...] = STEPS
    given: tuple[str, ...] = ()
    opening: str = ""
    brief: bool = False

    @property
    def marked(self) -> tuple[str, ...]:
        """The steps that earn points."""
        return tuple(step for step in self.steps if step not in self.given)

    def record(self) -> dict[str, Any]:
        """The problem as the notebook's metadata have it."""
        whole = self.marked == STEPS
        return {"scene": self.scene.name, "scene_toml": self.toml, "variant": None, **({} if whole else {"steps": list(self.marked)})}


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

    title, and each scene's title and story, are shown as they are typed: they are text, not Markdown.
    graded: with nbgrader's locked cells. settings: what the widgets and the marking read ("numbers", "verdicts", …).
    Raises nbformat's ValidationError only for a fault of ours.
    """
    cells = [text_cell("title", f"# {plain(title)}" + (f"\n\n{introduction}" if introduction else ""))]
    names = _variables(problems)
    for problem, variable in zip(problems, names, strict=True):
        cells += problem_cells(problem, variable, scheme, graded, alone=len(problems) == 1, data=(settings or {}).get("numbers") != PER_STUDENT)
    return assembled(title, cells, problems, assignment=assignment, settings=settings)


def assembled(title: str, cells: Sequence[NotebookNode], problems: Sequence[ProblemSpec], *, assignment: str,
              settings: Mapping[str, Any] | None = None) -> NotebookNode:
    """The notebook of these cells with the record of its problems."""
    notebook: NotebookNode = new_notebook(cells=list(cells), metadata={
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
        "plusway": {
            "format": FORMAT, "id": _identity(assignment, title, problems), "title": title, "assignment": assignment,
            "student": None, "seed": None, "settings": dict(settings or {}),
            "problems": {p.id: p.record() for p in problems},
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


def problem_cells(problem: ProblemSpec, variable: str, scheme: Scheme | None = None, graded: bool = True,
                  alone: bool = False, data: bool = True) -> list[NotebookNode]:
    """The cells of one problem: its story, the cell that opens it, and for each step its heading, widget and grade cell. data: False
    where students have numbers of their own, which stand in the steps alone."""
    scene = problem.scene
    settings = f", settings={{\"worked\": [{', '.join(map(quoted, problem.given))}]}}" if problem.given else ""
    opening = (f"from plusway.widgets import Problem\n\n"
               f"{variable} = Problem({quoted(scene.name)}, id={quoted(problem.id)}{settings})")
    cells = []
    if problem.opening:
        cells.append(text_cell(f"{problem.id}--story", problem.opening))
    elif not alone or problem.story:
        told = [plain(scene.story), "  \n".join(map(plain, task(scene, data)))] if problem.story else []
        cells.append(text_cell(f"{problem.id}--story", "\n\n".join(filter(None, [f"## {plain(scene.title)}", *told]))))
    cells.append(code_cell(f"{problem.id}--open", opening, {"plusway": {"problem": problem.id, "step": None, "item": None}}))
    for cell in cells_of(blank_verdicts(scene, scheme)):
        if cell.step in problem.steps:
            cells += _step_cells(problem, variable, cell, graded and cell.step in problem.marked)
    if not problem.brief and {"directions", "forces", "results"} <= set(problem.steps):  # the picture is made of them
        title, text = problem.headings.get("closing") or HEADINGS["closing"]
        cells.append(text_cell(f"{problem.id}--closing-text", f"### {title}\n\n{text}"))
        cells.append(code_cell(f"{problem.id}--closing", f"{variable}.closing()",
                               {"plusway": {"problem": problem.id, "step": None, "item": None}}))
    return cells


def _step_cells(problem: ProblemSpec, variable: str, cell: Graded, graded: bool) -> list[NotebookNode]:
    name = grade_id(problem.id, cell.step, cell.item)
    remarks = grade_id(problem.id, cell.step, cell.item, "remarks")
    call = f"{variable}.{WIDGETS[cell.step]}({quoted(cell.item) if cell.item is not None else ''})"
    heading = text_cell(remarks, _heading(problem, cell))
    widget = code_cell(f"{name}--widget", call, {"plusway": {"problem": problem.id, "step": cell.step, "item": cell.item}})
    if not graded:
        return [heading, widget]
    # nbgrader keeps comments for answers and tasks only, never for a test: so the heading is a task worth nothing.
    heading.metadata["nbgrader"] = _nbgrader(remarks, "markdown", task=True, points=0.0)
    test = code_cell(name, points_call(variable, cell.step, cell.item),
                     {"nbgrader": _nbgrader(name, "code", grade=True, points=cell.of)})
    return [heading, widget, test]


def _heading(problem: ProblemSpec, cell: Graded) -> str:
    own = problem.headings.get(f"{cell.step} {cell.item}") or problem.headings.get(cell.step)
    title, text = own or HEADINGS[cell.step]
    if own is None and (problem.brief or cell.step in problem.given):
        text = ""
    wheel = cell.item in problem.scene.wheels
    things = "body and wheel" if problem.scene.wheels else "body"
    words = {"thing": thing_name(cell.item or ""), "things": things,
             "inertia": "moment of inertia times angular acceleration" if wheel else "mass times acceleration"}
    if wheel and cell.step == "equations" and own is None:
        title, text = "The turning of the {thing}", text.replace("forces", "torques")
    return f"### {_filled(title, words)}" + (f"\n\n{_filled(text, words)}" if text else "")


def _filled(text: str, words: Mapping[str, str]) -> str:
    for name, word in words.items():
        text = text.replace("{" + name + "}", word)
    return text


def _nbgrader(name: str, cell_type: str, *, grade: bool = False, task: bool = False, points: float) -> dict[str, Any]:
    return {"schema_version": 3, "grade_id": name, "grade": grade, "solution": False, "locked": True, "task": task,
            "points": points, "cell_type": cell_type}


def _locked(extra: Mapping[str, Any]) -> dict[str, Any]:
    return {"deletable": False, "editable": False, **extra}


def text_cell(name: str, source: str) -> NotebookNode:
    """A locked cell of Markdown."""
    cell: NotebookNode = new_markdown_cell(source, id=_cell_id(name), metadata=_locked({}))
    return cell


def code_cell(name: str, source: str, extra: Mapping[str, Any]) -> NotebookNode:
    """A locked cell of code, of which the page shows the output and, until somebody opens it, not the source."""
    cell: NotebookNode = new_code_cell(source, id=_cell_id(name), metadata=_locked({"jupyter": {"source_hidden": True}, **extra}))
    return cell


def _cell_id(name: str) -> str:
    """A cell id that is the same in every build: nbformat's own are drawn at random."""
    return hashlib.sha256(name.encode("utf-8", "replace")).hexdigest()[:16]


def _identity(assignment: str, title: str, problems: Sequence[ProblemSpec]) -> str:
    return uuid.uuid5(NAMESPACE, "\0".join([assignment, title, *(f"{p.id}\0{p.toml}" for p in problems)])).hex
