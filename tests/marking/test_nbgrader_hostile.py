"""Hostile submissions to an nbgrader course: each gets what its text is worth, and none of them runs."""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from .conftest import SCENE, answers_of
from .courses import PLANT, PLANTED, Run, code_cell, comments, filled, fresh, hand_in, scores, waiting

pytestmark = pytest.mark.slow


def _grade_cells(nb: dict[str, Any]) -> list[dict[str, Any]]:
    return [c for c in nb["cells"] if c["metadata"].get("nbgrader", {}).get("grade")]


def checker_redefined(nb: dict[str, Any]) -> None:
    nb["cells"].insert(0, code_cell(f"{PLANT}\nclass Problem:\n    points = lambda *a: 100.0\nproblem = Problem()"))


def input_transformer(nb: dict[str, Any]) -> None:
    nb["cells"].insert(0, code_cell(f"{PLANT}\nget_ipython().input_transformers_post.append(lambda lines: ['100.0'])"))


def forged_outputs(nb: dict[str, Any]) -> None:
    for cell in _grade_cells(nb):
        cell["outputs"] = [{"output_type": "execute_result", "execution_count": 1, "metadata": {},
                            "data": {"text/plain": "2.0"}}]


def forged_metadata(nb: dict[str, Any]) -> None:
    nb["metadata"]["plusway"]["marked"] = {"points": 12.0}
    for cell in _grade_cells(nb):
        cell["metadata"]["nbgrader"].update(points=0.001, solution=True)


def deleted(nb: dict[str, Any]) -> None:
    nb["cells"] = [c for c in nb["cells"] if not c["metadata"].get("nbgrader")]


def copied(nb: dict[str, Any]) -> None:
    nb["cells"] += [dict(copy.deepcopy(c), id=f"copy{i}") for i, c in enumerate(nb["cells"])]
    nb["cells"].append(code_cell("1", nbgrader={}))


def reordered(nb: dict[str, Any]) -> None:
    nb["cells"].reverse()


def retyped(nb: dict[str, Any]) -> None:
    for cell in nb["cells"]:
        cell["cell_type"] = "markdown" if cell["cell_type"] == "code" else "raw"
        cell.pop("outputs", None)
        cell.pop("execution_count", None)


def wrong_schema(nb: dict[str, Any]) -> None:
    for cell in _grade_cells(nb):
        cell["metadata"]["nbgrader"]["schema_version"] = 99


def cells_that_are_none(nb: dict[str, Any]) -> None:
    nb["cells"] = ["text", 5, None, {"cell_type": 7, "metadata": [], "source": {}}]


def same_ids(nb: dict[str, Any]) -> None:
    for cell in nb["cells"]:
        cell["id"] = "same"


def no_minor_format(nb: dict[str, Any]) -> None:
    del nb["nbformat_minor"]


def absurd_entries(nb: dict[str, Any]) -> None:
    nb["metadata"]["plusway"]["entries"] += [{"n": n, "problem": SCENE, "step": "ties", "item": None, "value": ["a_1 = 5 a_2"]}
                                             for n in (-1, 1e308, float("nan"), 10**100, "9", None, [])]


def an_easier_scene(nb: dict[str, Any]) -> None:
    nb["metadata"]["plusway"]["problems"][SCENE].update(scene_toml="title = 'nothing to do'", steps=["ties"])


def attachments(nb: dict[str, Any]) -> None:
    for cell in nb["cells"]:
        cell["attachments"] = {"x.svg": {"image/svg+xml": "<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"}}


TRICKS: dict[str, Callable[[dict[str, Any]], None]] = {f.__name__: f for f in (
    checker_redefined, input_transformer, forged_outputs, forged_metadata, deleted, copied, reordered, retyped,
    wrong_schema, cells_that_are_none, same_ids, no_minor_format, absurd_entries, an_easier_scene, attachments)}

BROKEN: dict[str, tuple[bytes, str]] = {
    "broken_json": (b'{"cells": [', "broken JSON"),
    "empty_file": (b"", "the file is empty"),
    "old_format": (json.dumps({"nbformat": 3, "nbformat_minor": 0, "worksheets": [], "metadata": {}}).encode(), "old format 3"),
    "only_a_list": (b"[]", "no notebook"),
}


@pytest.fixture(scope="module")
def hostile(template: Path, tmp_path_factory: pytest.TempPathFactory, run_in: Run) -> tuple[Path, str]:
    """A course with every trick and one honest student, marked in one run; and what nbgrader printed."""
    course = fresh(template, tmp_path_factory.mktemp("hostile"))
    answers = answers_of(slip="flipped")
    hand_in(course, "honest", filled(course, answers))
    for name, trick in TRICKS.items():
        notebook = filled(course, answers)
        trick(notebook)
        hand_in(course, name, notebook)
    for name, (raw, _) in BROKEN.items():
        hand_in(course, name, raw)
    shadow = hand_in(course, "shadowing_module", filled(course, answers)).parent
    for module in ("plusway", "sympy", "json"):
        (shadow / f"{module}.py").write_text(PLANT)
    loud = filled(course, answers)
    loud["cells"].insert(0, {**code_cell("while True: print(1)"), "outputs": [
        {"output_type": "stream", "name": "stdout", "text": "x" * 100_000_000}]})
    hand_in(course, "loud", loud)
    journal = hand_in(course, "journal_is_a_link", filled(course, answers)).with_name("ps1.plusway.jsonl")
    os.symlink(course / "nbgrader_config.py", journal)
    hand_in(course, "utf_16", json.dumps(filled(course, answers)).encode("utf-16"))
    packed = hand_in(course, "zip", b"")
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("ps1.ipynb", json.dumps(filled(course, answers)))
    link = hand_in(course, "link", b"")
    link.unlink()
    os.symlink(course / "submitted" / "honest" / "ps1" / "ps1.ipynb", link)
    done = run_in(course, "nbgrader", "autograde", "ps1")
    return course, done.stdout + done.stderr


@pytest.mark.parametrize("name", [*TRICKS, "shadowing_module", "loud", "journal_is_a_link", "utf_16"])
def test_a_trick_gains_and_loses_nothing(hostile: tuple[Path, str], name: str) -> None:
    """The honest student's marks, for the same text."""
    found = scores(hostile[0])
    assert found[name] == found["honest"] == 11.0


@pytest.mark.parametrize("name", [*BROKEN, "zip", "link"])
def test_a_file_that_can_not_be_read_is_a_clear_line_and_waits_for_the_teacher(hostile: tuple[Path, str], name: str) -> None:
    """No marks, no traceback, and a comment says why: once, at the first step, and to the student."""
    course, said = hostile
    reason = {"zip": "a zip archive", "link": "a symbolic link out of its folder"}.get(name) or BROKEN[name][1]
    assert scores(course)[name] == 0.0
    assert waiting(course, name)
    assert any(reason in line and line.split("] ")[-1].startswith(f"{name}, ps1.ipynb") for line in said.splitlines())
    [(cell, comment)] = [(cell, comment) for cell, comment in comments(course, name).items() if comment]
    assert cell == f"{SCENE}--directions--remarks"
    assert comment.startswith("Your notebook could not be marked: ")
    assert reason in comment
    assert "ask for" not in comment


def test_nothing_of_theirs_ran(hostile: tuple[Path, str]) -> None:
    """The planted file never appears, and nobody saw a traceback."""
    course, said = hostile
    assert not list(course.rglob(PLANTED))
    assert "Traceback" not in said


def test_plusway_mark_gives_the_same_class_the_same_marks(hostile: tuple[Path, str]) -> None:
    """The same tricks against the other way of marking."""
    course = hostile[0]
    command = [str(Path(sys.executable).with_name("plusway")), "mark", ".", "--json", "--out", str(course / "out")]
    done = subprocess.run(command, cwd=course, capture_output=True, text=True, check=True)
    found = {n["student"]: n for n in json.loads(done.stdout)["notebooks"]}
    assert {student: round(n["points"], 9) for student, n in found.items()} == scores(course)
    assert {s for s, n in found.items() if n["status"] == "unmarked"} == {*BROKEN, "zip", "link"}
    assert not list(course.rglob(PLANTED))
