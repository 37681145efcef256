"""Folders and files of names that nobody would choose: each is a line in the table, and nothing leaves the folder."""

from __future__ import annotations

import csv
import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import Assignment, assignment_from
from plusway.autograde.marking.folder import submissions_in
from plusway.autograde.marking.run import Job, mark_folder
from plusway.lessons import catalogue

from .conftest import SCENE, Copy, answers_of, put

NAMES = ["s001", "..", "...", "~", "-rf", "=cmd", "a b", "a\tb", "a\nb", "CON", "aux.txt", "ümlaut", "\u202eflip", "😀", "'\"", "$(x)",
         "%2e%2e", "x" * 200, "<b>", "a;b", ".hidden", "s.ipynb", "results", "feedback"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such names")
def test_a_student_of_any_name_is_one_row_and_one_page_in_the_results(tmp_path: Path, copy_of: Copy, source: dict[str, Any]) -> None:
    """Nothing is written outside the folder of results, and two students never share a page."""
    folder = tmp_path / "in"
    folder.mkdir()
    files = [*(f"{name}.ipynb".encode() for name in NAMES), b"\xff\xfe.ipynb", b"\xff\xfd.ipynb"]
    raw = json.dumps(copy_of(answers_of())).encode()
    for file in files:
        Path(os.fsdecode(os.path.join(os.fsencode(folder), file))).write_bytes(raw)
    shown = [file for file in files if not file.startswith(b".")]
    progress = mark_folder(folder, tmp_path / "out", Job(assignment_from(source, "x")))
    assert (progress.marked, progress.unmarked) == (len(shown), 0)
    rows = [json.loads(line) for line in (tmp_path / "out" / "results.jsonl").read_text(encoding="utf-8").splitlines()]
    assert len({row["student"] for row in rows}) == len(shown)
    assert {row["points"] for row in rows} == {12.0}
    assert len(list((tmp_path / "out" / "feedback").iterdir())) == len(shown)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["in", "out"]
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [".marking", "feedback", "results.csv", "results.jsonl", "results.sqlite"]
    with open(tmp_path / "out" / "results.csv", newline="", encoding="utf-8") as stream:
        cells = [cell for row in csv.reader(stream) for cell in row]
    assert not [cell for cell in cells if cell[:1] in ("=", "+", "-", "@", "|", "%", "\t")]
    again = mark_folder(folder, tmp_path / "out", Job(assignment_from(source, "x")))
    assert (again.kept, again.marked) == (len(shown), 0)


def test_a_folder_within_that_can_not_be_used_is_a_line_and_the_rest_is_marked(tmp_path: Path, copy_of: Copy,
                                                                               source: dict[str, Any]) -> None:
    """An unpacked archive of a thousand folders within each other stops nobody."""
    deep = tmp_path / "in" / "deep"
    deep.joinpath(*["d"] * 300).mkdir(parents=True)
    put(tmp_path / "in" / "s1.ipynb", copy_of(answers_of()))
    mark_folder(tmp_path / "in", tmp_path / "out", Job(assignment_from(source, "x")))
    rows = [json.loads(line) for line in (tmp_path / "out" / "results.jsonl").read_text(encoding="utf-8").splitlines()]
    assert [(row["student"], row["points"]) for row in rows] == [("deep", 0.0), ("s1", 12.0)]
    assert rows[0]["error"].startswith("this folder may not be looked into, or lies more than 20 folders deep")


def test_a_folder_that_may_not_be_looked_into_is_a_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Simulated, because root may look anywhere."""
    (tmp_path / "shut").mkdir()
    (tmp_path / "s1.ipynb").write_text("{}")
    real = os.scandir

    def refusing(path: Any) -> Any:
        if Path(path).name == "shut":
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr(os, "scandir", refusing)
    assert [(s.file, s.student) for s in submissions_in(tmp_path)] == [("s1.ipynb", "s1"), ("shut", "shut")]


def test_a_page_left_unwritten_by_a_killed_run_is_written_by_the_next(tmp_path: Path, copy_of: Copy, source: dict[str, Any],
                                                                      monkeypatch: pytest.MonkeyPatch) -> None:
    """The marks were kept, the page was not yet: nothing is marked again, but the page is that of the new marks."""
    from plusway.autograde.marking import run as run_module

    job = Job(assignment_from(source, "x"))
    path = put(tmp_path / "in" / "s1.ipynb", copy_of(answers_of(slip="flipped")))
    mark_folder(tmp_path / "in", tmp_path / "out", job)
    put(path, copy_of(answers_of()))
    with monkeypatch.context() as cut:
        def killed(*_: Any) -> None:
            raise KeyboardInterrupt

        cut.setattr(run_module, "_write_results", killed)
        with pytest.raises(KeyboardInterrupt):
            mark_folder(tmp_path / "in", tmp_path / "out", job)
    assert mark_folder(tmp_path / "in", tmp_path / "out", job).kept == 1
    assert "12 of 12" in (tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8")


def test_a_page_of_two_notebooks_forgets_the_one_that_is_gone(tmp_path: Path, copy_of: Copy, source: dict[str, Any]) -> None:
    """Though the other has not changed."""
    job = Job(assignment_from(source, "x"))
    for name, slip in (("a", ""), ("b", "flipped")):
        put(tmp_path / "in" / "s1" / f"{name}.ipynb", copy_of(answers_of(slip=slip)))
    mark_folder(tmp_path / "in", tmp_path / "out", job)
    (tmp_path / "in" / "s1" / "b.ipynb").unlink()
    mark_folder(tmp_path / "in", tmp_path / "out", job)
    page = (tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8")
    assert ("12 of 12" in page, "11 of 12" in page) == (True, False)


def test_a_problems_name_from_a_notebook_is_no_formula_in_the_table(tmp_path: Path, copy_of: Copy) -> None:
    """Where no assignment is given, the notebook names its problems: the heading of a column is text too."""
    notebook = copy_of({})
    notebook["metadata"]["plusway"].update(problems={"=cmd|' /C calc'!A0": {"scene": SCENE}}, answers={})
    put(tmp_path / "in" / "s1.ipynb", notebook)
    mark_folder(tmp_path / "in", tmp_path / "out", Job(Assignment(library={SCENE: catalogue.text(SCENE)})))
    with open(tmp_path / "out" / "results.csv", newline="", encoding="utf-8") as stream:
        head = next(csv.reader(stream))
    assert any("=cmd" in cell for cell in head)
    assert not [cell for cell in head if cell.startswith("=")]
