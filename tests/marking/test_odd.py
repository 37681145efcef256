"""What looks odd in a notebook is one plain sentence for the teacher, and no mark is raised or lowered by it."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import Assignment, assignment_from
from plusway.autograde.marking.mark import mark_notebook
from plusway.lessons import assign
from plusway.lessons.command import main

from .conftest import SCENE, Copy, answers_of, put
from .courses import code_cell

Change = Callable[[dict[str, Any]], Any]
GRADED = 9  # grade cells of the problem


def grades(notebook: dict[str, Any]) -> list[dict[str, Any]]:
    return [cell for cell in notebook["cells"] if cell["metadata"].get("nbgrader", {}).get("grade")]


def without(count: int) -> Change:
    def change(notebook: dict[str, Any]) -> None:
        for cell in grades(notebook)[:count]:
            notebook["cells"].remove(cell)

    return change


def rewritten(source: str) -> Change:
    return lambda notebook: grades(notebook)[1].update(source=source)


def printing(text: Any, step: int = 1) -> Change:
    """An output in one grade cell; the second is worth 1 point and earns it."""
    return lambda notebook: grades(notebook)[step].update(outputs=[
        {"output_type": "execute_result", "execution_count": 1, "metadata": {}, "data": {"text/plain": text}}])


def with_cell(cell: dict[str, Any]) -> Change:
    return lambda notebook: notebook["cells"].insert(2, cell)


def text_cell(source: str, **metadata: Any) -> dict[str, Any]:
    return {"cell_type": "markdown", "id": "theirs", "metadata": metadata, "source": source}


def in_metadata(**more: Any) -> Change:
    return lambda notebook: notebook["metadata"].update(more)


def in_record(**more: Any) -> Change:
    return lambda notebook: notebook["metadata"]["plusway"].update(more)


ANSWERS = "; it was marked from the answers all the same"
OWN = "; the marking works out its own"
NOT_RUN = "; it was not run"
CASES: dict[str, tuple[Change, list[tuple[str, str]]]] = {
    "an honest notebook": (lambda notebook: None, []),
    "outputs cleared, source as a list of lines": (lambda notebook: [cell.update(source=cell["source"].splitlines(True)) for cell in grades(notebook)], []),
    "a grade cell deleted": (without(1), [("cells", f"a grading cell was taken out{ANSWERS}")]),
    "all of them deleted": (without(GRADED), [("cells", f"{GRADED} grading cells were taken out{ANSWERS}")]),
    "a grade cell replaced": (rewritten("12.0"), [("cells", f"a grading cell was rewritten{ANSWERS}")]),
    "a grade cell made into text": (lambda notebook: grades(notebook)[0].update(cell_type="markdown"), [("cells", f"a grading cell was rewritten{ANSWERS}")]),
    "a grade cell copied": (lambda notebook: notebook["cells"].append(copy.deepcopy(grades(notebook)[0])), [("cells", f"a grading cell was copied{ANSWERS}")]),
    "one deleted and another replaced": (lambda notebook: (without(1)(notebook), rewritten("2")(notebook)),
                                         [("cells", f"a grading cell was taken out, a grading cell was rewritten{ANSWERS}")]),
    "all the cells deleted": (lambda notebook: notebook.update(cells=[]), [("cells", f"{GRADED} grading cells were taken out{ANSWERS}")]),
    "points written into the record": (in_record(points=12, score=1), [("claims", f"the file's own data has points, score written into it{OWN}")]),
    "verdicts written beside it": (in_metadata(verdicts={"sack": "right"}), [("claims", f"the file's own data has verdicts written into it{OWN}")]),
    "points written into a grade cell": (lambda notebook: grades(notebook)[0]["metadata"]["nbgrader"].update(points=99),
                                         [("claims", f"a grading cell has other points written into its data{OWN}")]),
    "a score written into a grade cell": (lambda notebook: grades(notebook)[0]["metadata"]["nbgrader"].update(score=1),
                                          [("claims", f"a grading cell has other points written into its data{OWN}")]),
    "an output of the points that there are": (printing("1.0"), []),
    "an output of fewer points, printed before the last answers": (printing("0.0"), []),
    "an output of more points than there are": (
        printing("1.5"), [("claims", f"a grading cell shows 1.5 points where there are 1 (it may have been run before a later change){OWN}")]),
    "the same, in the file as a list of lines": (
        printing(["1.5"]), [("claims", f"a grading cell shows 1.5 points where there are 1 (it may have been run before a later change){OWN}")]),
    "an output that is no number": (printing("Problem('feed-sack')"), []),
    "a note": (with_cell(text_cell("I was not sure about the sign here.")), [("notes", "has text in cells of their own")]),
    "a calculation": (with_cell(code_cell("6.5 * 9.8")), [("notes", "has text in cells of their own")]),
    "a note that speaks of the checker": (with_cell(text_cell("The checker and the gradebook say so.")), [("notes", "has text in cells of their own")]),
    "an empty cell": (with_cell(code_cell(" \n")), []),
    "a text that the lesson has locked": (with_cell(text_cell("## An older story", deletable=False, editable=False)), []),
    "code for the gradebook": (with_cell(code_cell("x = 1\nfrom nbgrader.api import Gradebook\n")), [
        ("reaches", f"code in a cell of their own mentions the gradebook, as in: from nbgrader.api import Gradebook{NOT_RUN}"),
        ("notes", "has text in cells of their own")]),
    "code that puts a function in the place of the points": (with_cell(code_cell("problem.points = lambda *_: 2.0")), [
        ("reaches", f"code in a cell of their own mentions the checker, as in: problem.points = lambda *_: 2.0{NOT_RUN}"),
        ("notes", "has text in cells of their own")]),
    "code that asks for its points": (with_cell(code_cell("problem.points('ties') == 1")), [("notes", "has text in cells of their own")]),
    "code for the checker in a locked cell": (with_cell(code_cell("import plusway.autograde.judging", deletable=False, editable=False)), [
        ("reaches", f"code in a cell of their own mentions the checker, as in: import plusway.autograde.judging{NOT_RUN}")]),
    "code for the gradebook in a grade cell": (rewritten("open('gradebook.db')"), [
        ("cells", f"a grading cell was rewritten{ANSWERS}"),
        ("reaches", f"code in a cell of their own mentions the gradebook, as in: open('gradebook.db'){NOT_RUN}")]),
}


@pytest.fixture(scope="module")
def assignment(source: dict[str, Any]) -> Assignment:
    return assignment_from(source, "source.ipynb")


def marked(notebook: dict[str, Any], assignment: Assignment) -> Any:
    return mark_notebook(json.dumps(notebook).encode(), assignment, student="s017", file="s017.ipynb")


@pytest.mark.parametrize("case", CASES)
def test_what_is_odd_is_said_in_one_sentence_and_costs_nothing(case: str, copy_of: Copy, assignment: Assignment) -> None:
    """The flags of each notebook, and the points of the honest one."""
    notebook = copy_of(answers_of())
    change, flags = CASES[case]
    change(notebook)
    found = marked(notebook, assignment)
    assert [(flag.kind, flag.says) for flag in found.flags] == flags
    assert found.points == marked(copy_of(answers_of()), assignment).points == 12.0


def test_points_by_a_scheme_given_at_marking_are_no_claim(copy_of: Copy, source: dict[str, Any]) -> None:
    """What a cell printed was right by the points that were handed out."""
    from dataclasses import replace

    notebook = copy_of(answers_of())
    printing("1.0")(notebook)
    halved = replace(assignment_from(source, "x"), scheme='{"forces": 0.5, "forces_slip": 0.25}')
    assert marked(notebook, halved).flags == ()


def rebuilt(*scenes: str, scheme: str = "") -> Any:
    """The assignment built anew, with other problems or points."""
    from plusway.autograde.judging.scheme import Scheme

    planned = assign.plan("ps1", scenes, scheme=Scheme(results=3) if scheme else None)
    return assignment_from(planned.notebook, "x")


BUILDS: dict[str, tuple[dict[str, Any], Change, list[str]]] = {
    "a problem more": ({"scenes": ("two-buckets-pulled-up", SCENE)}, lambda notebook: None, ["build"]),
    "other points": ({"scenes": (SCENE,), "scheme": "results"}, lambda notebook: None, ["build"]),
    "a problem more, and a grade cell replaced": ({"scenes": ("two-buckets-pulled-up", SCENE)}, rewritten("12.0"), ["cells", "build"]),
    "the same build": ({"scenes": (SCENE,)}, without(1), ["cells"]),
}


@pytest.mark.parametrize("case", BUILDS)
def test_an_assignment_that_was_built_anew_since_accuses_nobody(case: str, copy_of: Copy) -> None:
    """Whoever has an older copy has other grade cells and other points in them; only one that was written over is told."""
    build, change, kinds = BUILDS[case]
    notebook = copy_of(answers_of())
    change(notebook)
    assert [flag.kind for flag in marked(notebook, rebuilt(*build["scenes"], scheme=build.get("scheme", ""))).flags] == kinds


def test_where_no_cells_are_known_only_claims_and_code_are_told(copy_of: Copy) -> None:
    """Marked by a scene alone: nobody knows which cells were given out."""
    from plusway.lessons import catalogue

    notebook = copy_of(answers_of())
    for change in (without(2), in_record(points=12), with_cell(text_cell("a note")), with_cell(code_cell("import nbgrader"))):
        change(notebook)
    found = marked(notebook, Assignment(library={SCENE: catalogue.text(SCENE)}))
    assert [flag.kind for flag in found.flags] == ["reaches", "claims"]


def test_a_header_that_nbgrader_put_in_is_no_text_of_theirs(copy_of: Copy, tmp_path: Path) -> None:
    """The released version is looked at too."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    notebook = copy_of(answers_of())
    with_cell(text_cell("Honour code of the school"))(notebook)
    put(tmp_path / "in" / "s1.ipynb", notebook)
    put(tmp_path / "course" / "release" / "ps1" / "ps1.ipynb", notebook)
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    assert '"flags":[]' in (tmp_path / "in" / "marks" / "results.jsonl").read_text(encoding="utf-8")


def test_the_report_lists_what_to_look_at(copy_of: Copy, tmp_path: Path) -> None:
    """One line for each sentence, with those that it is said of; what matters more stands first, and without names there are none."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    for name, change in {"ada": without(1), "bob": without(1), "eva": with_cell(text_cell("a note")), "max": lambda notebook: None}.items():
        notebook = copy_of(answers_of())
        change(notebook)
        put(tmp_path / "in" / f"{name}.ipynb", notebook)
    put(tmp_path / "in" / "zoe.ipynb", copy_of({}))
    put(tmp_path / "in" / "kim.ipynb", "")
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    main(["report", str(tmp_path / "in"), "--names"])
    page = (tmp_path / "in" / "marks" / "report.html").read_text(encoding="utf-8")
    listed = [line for line in page.partition('id="look"')[2].splitlines() if line.startswith("<li>")]
    assert listed == [
        "<li>kim: not marked: the file is empty; ask for the .ipynb file that JupyterLab saves.</li>",
        f"<li>ada, bob: a grading cell was taken out{ANSWERS}.</li>",
        "<li>zoe: no answers in this file.</li>",
        "<li>eva: has text in cells of their own.</li>"]
    main(["report", str(tmp_path / "in")])
    page = (tmp_path / "in" / "marks" / "report.html").read_text(encoding="utf-8")
    assert "a grading cell was taken out" in page
    assert not [name for name in ("ada", "bob", "eva", "zoe", "kim") if name in page.partition('id="look"')[2]]


def test_copies_are_listed_without_names_too(copy_of: Copy, tmp_path: Path) -> None:
    """The student whose answers another has the same as is called as in the table."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    wrong = answers_of(slip="flipped") | {"working": ["T = 1", "T = 2", "T = 3", "T = 4"], "ties": ["a_1 = 2a_2"]}
    for name in ("copied-one", "copied-two"):
        put(tmp_path / "in" / f"{name}.ipynb", copy_of(wrong))
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    main(["report", str(tmp_path / "in")])
    page = (tmp_path / "in" / "marks" / "report.html").read_text(encoding="utf-8")
    assert "as another notebook: student 2." in page
    assert "copied-" not in page
