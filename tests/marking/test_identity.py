"""Whose a notebook is, and which of a student's files counts."""

from __future__ import annotations

import csv
import json
import os
from pathlib import Path

import pytest

from plusway.autograde.marking.folder import submissions_in
from plusway.autograde.marking.marked import Flag, Marked, ProblemMarks
from plusway.autograde.marking.run import Job, mark_folder
from plusway.autograde.marking.second import seconds
from plusway.lessons import assign
from plusway.lessons.command import main

from .conftest import SCENE, Copy, answers_of, put

LAYOUTS = [("files named after students", ["s1.ipynb", "s2.ipynb"], ["s1", "s2"]),
           ("a folder for each", ["s1/ps1.ipynb", "s2/x.ipynb"], ["s1", "s2"]),
           ("a second download", ["s1 (1).ipynb", "s1 (12).ipynb", "s1.ipynb", "s2(1).ipynb"], ["s1", "s1", "s1", "s2"]),
           ("what is no second download", ["(1).ipynb", "s1 (0).ipynb", "s1 (b).ipynb", "s2 (1)/ps1.ipynb"], ["(1)", "s1 (0)", "s1 (b)", "s2 (1)"]),
           ("nbgrader's", ["submitted/s1/ps1/ps1.ipynb", "source/ps1/ps1.ipynb", "release/ps1/ps1.ipynb"], ["s1"]),
           ("checkpoints and caches", ["s1.ipynb", ".ipynb_checkpoints/s1-checkpoint.ipynb", ".x.ipynb"], ["s1"]),
           ("earlier results", ["s1.ipynb", "marks/feedback/x.ipynb"], ["s1"])]


@pytest.mark.parametrize(("files", "students"), [case[1:] for case in LAYOUTS], ids=[case[0] for case in LAYOUTS])
def test_whose_notebook_it_is(tmp_path: Path, files: list[str], students: list[str]) -> None:
    """The folder says it, never the notebook."""
    for file in files:
        put(tmp_path / file, "{}")
    assert [s.student for s in submissions_in(tmp_path, tmp_path / "marks")] == students


@pytest.mark.parametrize(("listed", "students"), [
    (["s1"], ["s1", "s1"]), ([], ["s1", "s1"]), (["s1", "s1 (1)"], ["s1", "s1 (1)"])], ids=repr)
def test_a_second_download_is_a_second_file_unless_the_class_has_a_student_of_that_name(
        tmp_path: Path, copy_of: Copy, capsys: pytest.CaptureFixture[str], listed: list[str], students: list[str]) -> None:
    """The list that was given to plusway assign says who there is. The file changed last counts; both are in the table."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    assign.hand_out(assign.plan("ps1", [SCENE]), tmp_path / "course", listed)
    for place, (name, slip) in enumerate({"s1 (1)": "flipped", "s1": ""}.items()):
        os.utime(put(tmp_path / "in" / f"{name}.ipynb", copy_of(answers_of(slip=slip))), (1e9 + place, 1e9 + place))
    assert main(["mark", str(tmp_path / "in"), "--assignment", str(path)]) == 0
    rows = list(csv.DictReader((tmp_path / "in" / "marks" / "results.csv").read_text(encoding="utf-8").splitlines()))
    assert sorted(row["student"] for row in rows) == students
    assert ("1 second file, not counted" in capsys.readouterr().out) is (students == ["s1", "s1"])
    assert [row["points"] for row in rows if row["file"] == "s1.ipynb"] == ["12"]


def test_a_folder_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    """Nor can it lead round in a circle."""
    put(tmp_path / "class" / "s1.ipynb", "{}")
    os.symlink(tmp_path, tmp_path / "class" / "loop")
    assert [s.file for s in submissions_in(tmp_path / "class")] == ["s1.ipynb"]


SECONDS = [
    ("the assignment's own name", {"ps1.ipynb": "flipped", "ps1-Copy1.ipynb": ""}, "ps1.ipynb"),
    ("else the one changed last", {"z.ipynb": "", "a.ipynb": "flipped"}, "a.ipynb"),
    ("a file that can be read before one that can't", {"ps1.ipynb": "{", "ps1-Copy1.ipynb": "flipped"}, "ps1-Copy1.ipynb"),
]


@pytest.mark.parametrize(("files", "counts"), [case[1:] for case in SECONDS], ids=[case[0] for case in SECONDS])
def test_of_two_files_of_a_student_one_counts(tmp_path: Path, copy_of: Copy, source_file: Path, files: dict[str, str], counts: str,
                                              capsys: pytest.CaptureFixture[str]) -> None:
    """In the table, results.csv, the student's page and the report; the other is shown and adds nothing. The files are listed from the
    one changed first."""
    folder = tmp_path / "in"
    for place, (file, slip) in enumerate(files.items()):
        path = put(folder / "s1" / "ps1" / file, slip if slip == "{" else copy_of(answers_of(slip=slip)))
        os.utime(path, (1e9 + place, 1e9 + place))
    assert main(["mark", str(folder), "--assignment", str(source_file)]) == 0
    assert "1 second file, not counted" in capsys.readouterr().out
    rows = {row["file"]: row for row in csv.DictReader((folder / "marks" / "results.csv").read_text(encoding="utf-8").splitlines())}
    other = next(file for file in files if file != counts)
    assert rows[f"s1/ps1/{counts}"]["points"] == "11"
    assert (rows[f"s1/ps1/{other}"]["points"], rows[f"s1/ps1/{other}"]["status"]) == ("", "not counted")
    page = (folder / "marks" / "feedback" / "s1.html").read_text(encoding="utf-8")
    assert page.index(f"s1/ps1/{counts}: this is the one that counts") < page.index(f"s1/ps1/{other}: second file, not counted: {counts} counts")
    main(["report", str(folder), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert (found["assignments"]["ps1"]["notebooks"], found["assignments"]["ps1"]["seconds"]) == (1, 1)
    assert found["students"][0]["assignments"] == {"ps1": {"points": 11.0, "of": 12.0}}


def test_a_second_file_counts_once_the_other_is_gone(tmp_path: Path, copy_of: Copy, job: Job) -> None:
    """Nothing in it has changed, and its student's page is written anew all the same."""
    for file in ("ps1.ipynb", "ps1-Copy1.ipynb"):
        put(tmp_path / "in" / "s1" / file, copy_of(answers_of()))
    assert mark_folder(tmp_path / "in", tmp_path / "out", job).seconds == 1
    (tmp_path / "in" / "s1" / "ps1.ipynb").unlink()
    assert mark_folder(tmp_path / "in", tmp_path / "out", job).seconds == 0
    assert "not counted" not in (tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8")


def test_notebooks_without_an_assignment_s_name_are_second_files_only_of_the_same_problems() -> None:
    """Two lessons or two free problems of one student are two pieces of work."""
    def about(file: str, problem: str) -> Marked:
        return Marked(file, "s1", problems=(ProblemMarks(problem, problem, {"scene": problem, "steps": []}),))

    found = seconds([about("a", "p"), about("b", "q"), about("c", "p"), Marked("d", "s1", error="x"), Marked("e", "s1", error="x")],
                    lambda file: 0.0)
    assert found == {"a": "c"}


def test_a_file_that_carries_another_students_identity_is_told_to_the_teacher_by_name(tmp_path: Path) -> None:
    """Numbers, name and answers of another, who handed in or is on the list only; what the student gets says nothing of it."""
    planned = assign.plan("ps1", [SCENE], per_student=True)
    path, _ = assign.write(planned, tmp_path / "course")
    assign.hand_out(planned, tmp_path / "course", ["ada", "bob", "eva", "ida", "max"])

    slips = {"max": "half", "ida": "missing"}

    def copy_of(of: str, **record: str) -> dict[str, object]:
        notebook = json.loads(json.dumps(assign.of_student(planned, of)))
        notebook["metadata"]["plusway"].update(answers={SCENE: answers_of(slip=slips.get(of, ""))}, **record)
        return dict(notebook)

    put(tmp_path / "in" / "ada.ipynb", copy_of("ada"))
    put(tmp_path / "in" / "bob.ipynb", copy_of("ada"))
    put(tmp_path / "in" / "eva.ipynb", copy_of("max", student="eva"))
    put(tmp_path / "in" / "ida.ipynb", copy_of("ida", student="max"))
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    main(["report", str(tmp_path / "in"), "--names"])
    page = (tmp_path / "in" / "marks" / "report.html").read_text(encoding="utf-8").partition('id="look"')[2]
    assert [line for line in page.splitlines() if line.startswith("<li>")] == [
        "<li>bob: the numbers, the student&#x27;s name inside the file and the answers are those of ada.</li>",
        "<li>eva: the numbers are those of max.</li>",
        "<li>ida: the student&#x27;s name inside the file is that of max.</li>"]
    assert "ada" not in (tmp_path / "in" / "marks" / "feedback" / "bob.html").read_text(encoding="utf-8")
    main(["report", str(tmp_path / "in")])
    page = (tmp_path / "in" / "marks" / "report.html").read_text(encoding="utf-8")
    assert "and the answers are those of student " in page
    assert "the numbers are those of a student who handed in nothing." in page
    put(tmp_path / "in" / "bob.ipynb", copy_of("bob"))
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    assert [line["student"] for line in map(json.loads, (tmp_path / "in" / "marks" / "results.jsonl").read_text(encoding="utf-8").splitlines())
            if "whose" in json.dumps(line["flags"])] == ["eva", "ida"]


TELLING = [("a seed alone", ["seed"], ["seed"]), ("whose it is", ["seed", "whose: the numbers are those of ada"], ["whose"]),
           ("the same answers beside it", ["seed", "whose: the numbers are those of ada", "alike"], ["whose", "alike"]),
           ("the same answers within it", ["whose: the numbers and the answers are those of ada", "alike"], ["whose"])]


@pytest.mark.parametrize(("flags", "told"), [case[1:] for case in TELLING], ids=[case[0] for case in TELLING])
def test_nothing_is_told_twice_of_one_file(flags: list[str], told: list[str]) -> None:
    """The record keeps every flag; the table and the report have the one that says most."""
    marked = Marked("s1.ipynb", "s1", flags=tuple(Flag(flag.partition(": ")[0], flag.partition(": ")[2]) for flag in flags))
    assert [flag.kind for flag in marked.telling] == told
