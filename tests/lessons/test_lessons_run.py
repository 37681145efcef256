"""Every lesson from top to bottom in a kernel of its own, and marked afterwards, without nbgrader and with a student's answers in it."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import nbformat
import pytest

from plusway.lessons.assign import NEW_CONFIG
from plusway.lessons.course import NOTEBOOKS, SOURCES

NAMES = [path.stem for path in sorted(SOURCES.glob("*.md"))]


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_a_lesson_runs_from_top_to_bottom(name: str, tmp_path: Path) -> None:
    """No error, nothing on standard error; each code cell shows a widget or the points so far, and the given steps are kept."""
    from nbclient import NotebookClient

    shutil.copy(NOTEBOOKS / f"{name}.ipynb", tmp_path)
    notebook = nbformat.read(tmp_path / f"{name}.ipynb", as_version=4)
    NotebookClient(notebook, timeout=240, resources={"metadata": {"path": str(tmp_path)}}).execute()
    shown = []
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        assert not [o for o in cell.outputs if o.output_type in ("error", "stream")], cell.source
        data = [o.data for o in cell.outputs if "data" in o]
        if "nbgrader" in cell.metadata:
            assert [d["text/plain"] for d in data] == ["0.0"], cell.source
        elif " = Problem(" not in cell.source:
            assert ["application/vnd.jupyter.widget-view+json" in d for d in data] == [True], cell.source
            shown.append(cell.source)
    assert sum("WorkedExample(" in source for source in shown) == 1
    assert len(shown) > 15
    journal = [json.loads(line) for line in (tmp_path / f"{name}.plusway.jsonl").read_text(encoding="utf-8").splitlines()]
    assert {entry["step"] for entry in journal} == set(given(notebook))
    assert {entry["lesson"] for entry in journal} == {notebook.metadata["plusway"]["id"]}


def given(notebook: Any) -> list[str]:
    """The steps that the lesson's half-finished problem shows worked."""
    cell = next(c.source for c in notebook.cells if c.cell_type == "code" and '"worked": ' in c.source)
    return list(json.loads(cell.partition('"worked": ')[2].partition("}")[0]))


@pytest.mark.parametrize("how", [["--assignment", "notebook"], []], ids=["against the lesson's notebook", "against the lessons that ship"])
def test_a_lesson_handed_in_is_marked(plusway: Callable[..., Any], tmp_path: Path, how: list[str]) -> None:
    """Only what the lesson asks for counts, with the numbers of the lesson: 2 of the points for one right equation of a check."""
    (tmp_path / "collected").mkdir()
    notebook = json.loads((NOTEBOOKS / "02-two-hanging-bodies.ipynb").read_text(encoding="utf-8"))
    of = sum(c["metadata"]["nbgrader"]["points"] for c in notebook["cells"] if c["metadata"].get("nbgrader", {}).get("grade"))
    notebook["metadata"]["plusway"]["answers"] = {"check-tea-trolley": {"equations": {"trolley": "20 = 16a"}}}
    (tmp_path / "collected" / "ana.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    how = [str(NOTEBOOKS / "02-two-hanging-bodies.ipynb") if word == "notebook" else word for word in how]
    done = plusway("mark", "collected", "--json", *how)
    assert done.returncode == 0, done.stderr
    (marked,) = json.loads(done.stdout)["notebooks"]
    assert (marked["points"], marked["of"]) == (2.0, of)
    assert {p["problem"] for p in marked["problems"]} == set(notebook["metadata"]["plusway"]["problems"])


@pytest.mark.slow
def test_a_lesson_given_out_with_nbgrader_is_marked(tmp_path: Path) -> None:
    """A real course: the lesson on wheels as source, handed out, one student's answers to two of its problems, taken in and marked. The
    gradebook has the points of the steps that the lesson asks for; answers to a given step earn nothing."""
    course = tmp_path / "course"
    lesson = "11-wheels"
    (course / "source" / lesson).mkdir(parents=True)
    shutil.copy(NOTEBOOKS / f"{lesson}.ipynb", course / "source" / lesson)
    (course / "nbgrader_config.py").write_text(NEW_CONFIG, encoding="utf-8")
    nbgrader(course, "generate_assignment", lesson)
    notebook = json.loads((course / "release" / lesson / f"{lesson}.ipynb").read_text(encoding="utf-8"))
    notebook["metadata"]["plusway"]["answers"] = {
        "well-bucket": {"directions": {"bucket": "up", "drum": "clockwise"}, "ties": ["a_1 = -R alpha"], "equations": {"drum": "R T = I alpha"}},
        "check-crate-on-a-movable-pulley": {"equations": {"crate": "2T - 294 = 30a_1", "sack": "T + 117.6 = 12a_2"}},
    }
    handed_in = course / "submitted" / "ana" / lesson
    handed_in.mkdir(parents=True)
    (handed_in / f"{lesson}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    nbgrader(course, "autograde", lesson)
    with closing(sqlite3.connect(course / "gradebook.db")) as db:
        rows = dict(db.execute("select b.name, g.auto_score from grade g join base_cell b on b.id = g.cell_id where g.auto_score > 0").fetchall())
        assert db.execute("select max(needs_manual_grade) from grade").fetchone() == (0,)
    assert rows == {"well-bucket--ties": 1.0, "well-bucket--equations--drum": 2.0, "check-crate-on-a-movable-pulley--equations--crate": 2.0,
                    "check-crate-on-a-movable-pulley--equations--sack": 1.0}


def nbgrader(course: Path, *command: str) -> None:
    """Run nbgrader in a course; it must do its work. It looks for its helpers on the PATH."""
    surroundings = {**os.environ, "PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])}
    done = subprocess.run([sys.executable, "-m", "nbgrader", *command], cwd=course, env=surroundings, capture_output=True, text=True,
                          timeout=300, check=False)
    assert done.returncode == 0, done.stderr[-3000:]
