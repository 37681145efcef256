"""A real nbgrader course: what it gives out, what it takes in, and what it says to each student."""

from __future__ import annotations

import copy
import csv
import html
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.judging import judge
from plusway.autograde.records import Entry
from plusway.lessons import assign, catalogue

from .conftest import SCENE, answers_of, points

pytestmark = pytest.mark.slow
Run = Callable[..., subprocess.CompletedProcess[str]]

WAYS = [(sack, counterweight) for sack in ("up", "down") for counterweight in ("up", "down")]
SLIPS = ("", "flipped", "missing", "half", "empty", "unread")
CLASS = {f"s{place:03}": answers_of(*WAYS[place % 4], SLIPS[place // 4 % 6]) for place in range(30)}

PLANTED = "planted.txt"
PLANT = f"open({PLANTED!r}, 'w').write('ran')"


def released(course: Path, name: str = "ps1") -> dict[str, Any]:
    found: dict[str, Any] = json.loads((course / "release" / name / f"{name}.ipynb").read_text(encoding="utf-8"))
    return found


def hand_in(course: Path, student: str, notebook: Any, name: str = "ps1") -> Path:
    folder = course / "submitted" / student / name
    folder.mkdir(parents=True)
    path = folder / f"{name}.ipynb"
    path.write_bytes(notebook if isinstance(notebook, bytes) else json.dumps(notebook).encode())
    return path


def filled(course: Path, answers: dict[str, Any]) -> dict[str, Any]:
    """A student's notebook as the lesson saves it: the answers, and the entry of each commit."""
    notebook = released(course)
    entries = []
    for step, value in answers.items():
        for item, part in value.items() if isinstance(value, dict) else [(None, value)]:
            n = len(entries) + 1
            entries.append(Entry(f"e{n}", "2025-03-01T10:00:00.000+00:00", n, SCENE, step, item, part).to_json())
    notebook["metadata"]["plusway"].update(answers={SCENE: answers}, entries=entries)
    return notebook


def scores(course: Path, name: str = "ps1") -> dict[str, float]:
    """{student: points}, as the gradebook has them."""
    with sqlite3.connect(course / "gradebook.db") as db:
        rows = db.execute(
            "select s.student_id, sum(coalesce(g.manual_score, g.auto_score, 0)) from submitted_assignment s "
            "join assignment a on a.id = s.assignment_id join submitted_notebook n on n.assignment_id = s.id "
            "join grade g on g.notebook_id = n.id where a.name = ? group by s.student_id", (name,)).fetchall()
    return {student: round(points, 9) for student, points in rows}


def comments(course: Path, student: str) -> dict[str, str]:
    with sqlite3.connect(course / "gradebook.db") as db:
        rows = db.execute(
            "select b.name, c.auto_comment from comment c join base_cell b on b.id = c.cell_id "
            "join submitted_notebook n on n.id = c.notebook_id join submitted_assignment s on s.id = n.assignment_id "
            "where s.student_id = ?", (student,)).fetchall()
    return {name: text or "" for name, text in rows}


def waiting(course: Path, student: str) -> bool:
    """Whether a person has to mark something of this student's."""
    with sqlite3.connect(course / "gradebook.db") as db:
        return bool(db.execute(
            "select max(g.needs_manual_grade) from grade g join submitted_notebook n on n.id = g.notebook_id "
            "join submitted_assignment s on s.id = n.assignment_id where s.student_id = ?", (student,)).fetchone()[0])


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory, run_in: Run) -> Path:
    """A course with a released assignment; each test has a copy of its own."""
    folder = tmp_path_factory.mktemp("template") / "course"
    folder.mkdir()
    assign.write(assign.plan("ps1", [SCENE]), folder)
    run_in(folder, "nbgrader", "generate_assignment", "ps1")
    return folder


def fresh(template: Path, folder: Path) -> Path:
    return Path(shutil.copytree(template, folder / "course", symlinks=True))


@pytest.fixture(scope="module")
def course(template: Path, tmp_path_factory: pytest.TempPathFactory, run_in: Run) -> Path:
    """A course in which thirty students have handed in and been marked."""
    course = fresh(template, tmp_path_factory.mktemp("class"))
    for student, answers in CLASS.items():
        hand_in(course, student, filled(course, answers))
    run_in(course, "nbgrader", "autograde", "ps1")
    return course


def test_the_marks_of_thirty_students_are_those_of_the_judge(course: Path) -> None:
    """Different directions, right and wrong, half-finished and empty."""
    scene = catalogue.find(SCENE)
    assert scores(course) == {student: round(judge(scene, answers).points, 9) for student, answers in CLASS.items()}


def test_a_right_notebook_has_all_points_whatever_was_chosen_as_plus(course: Path) -> None:
    """The first four students are right, each with other directions."""
    assert {scores(course)[f"s{place:03}"] for place in range(4)} == {12.0}


def test_each_step_has_its_reasons_as_a_comment(course: Path) -> None:
    """As the Formgrader and the feedback show them."""
    slipped = next(student for student, answers in CLASS.items() if answers == answers_of("up", "up", "flipped"))
    said = comments(course, slipped)[f"{SCENE}--equations--sack--remarks"]
    assert "`T + m_1 g = m_1 a_1`: a slip" in said
    assert "1 of 2" in said


def test_nothing_waits_for_a_person(course: Path) -> None:
    """A heading that only carries a comment is no work for the teacher."""
    assert not any(waiting(course, student) for student in CLASS)


def test_the_release_shows_no_key(course: Path) -> None:
    """No result, no equation and no points per term."""
    text = json.dumps(released(course))
    for key in ("1.58", "74.0", "m_1 a_1", "6.5a", "T - "):
        assert key not in text


def test_the_release_is_locked(course: Path) -> None:
    """No cell of it can be edited or deleted by mistake."""
    assert all(cell["metadata"]["deletable"] is False and cell["metadata"]["editable"] is False
               for cell in released(course)["cells"])


def test_the_feedback_shows_the_reasons(course: Path, run_in: Run) -> None:
    """nbgrader's own feedback page."""
    run_in(course, "nbgrader", "generate_feedback", "ps1", "--student", "s004")
    page = (course / "feedback" / "s004" / "ps1" / "ps1.html").read_text(encoding="utf-8")
    assert "a slip" in page
    assert "1.58" in page  # the student's own result; the key is nowhere else to be seen
    assert "Turn the sign" not in page


def test_plusway_mark_says_the_same(course: Path) -> None:
    """The same submissions, without nbgrader."""
    command = [str(Path(sys.executable).with_name("plusway")), "mark", ".", "--json"]
    done = subprocess.run(command, cwd=course, capture_output=True, text=True, check=True)
    found = {n["student"]: round(n["points"], 9) for n in json.loads(done.stdout)["notebooks"]}
    assert found == scores(course)


def test_marking_again_keeps_what_a_teacher_has_decided(template: Path, tmp_path: Path, run_in: Run) -> None:
    """A manual score stands above the judge's."""
    course = fresh(template, tmp_path)
    hand_in(course, "s1", filled(course, answers_of(slip="flipped")))
    run_in(course, "nbgrader", "autograde", "ps1")
    with sqlite3.connect(course / "gradebook.db") as db:
        db.execute("update grade set manual_score = 2.0 where cell_id = (select id from base_cell where name = ?)",
                   (f"{SCENE}--equations--sack",))
    before = scores(course)
    run_in(course, "nbgrader", "autograde", "ps1", "--force")
    assert scores(course) == before


def test_no_execute_gives_no_marks_away(template: Path, tmp_path: Path, run_in: Run) -> None:
    """To nbgrader a grade cell without an output has full marks."""
    course = fresh(template, tmp_path)
    hand_in(course, "s1", filled(course, {}))
    run_in(course, "nbgrader", "autograde", "ps1", "--no-execute")
    assert scores(course) == {"s1": 0.0}


# --- a teacher's own verdicts --------------------------------------------------------------------------------------------


def override(**more: str) -> str:
    """One decision as a teacher types it: the flipped line of two of three students."""
    table = {"problem": SCENE, "step": "equations", "line": answers_of(slip="flipped")["equations"]["sack"], "verdict": "right",
             "reason": "The board had the sack's weight upside down.", **more}
    return "[[override]]\n" + "".join(f"{key} = {json.dumps(value)}\n" for key, value in table.items()) + "date = 2025-03-01\n"


@pytest.fixture(scope="module")
def marked(template: Path, tmp_path_factory: pytest.TempPathFactory, run_in: Run) -> Path:
    """A marked course of three; then the teacher decides, and another assignment's decision stands in the same file."""
    course = fresh(template, tmp_path_factory.mktemp("marked"))
    for student, slip in {"ada": "flipped", "bob": "flipped", "cid": "missing"}.items():
        hand_in(course, student, filled(course, answers_of(slip=slip)))
    run_in(course, "nbgrader", "autograde", "ps1")
    assert scores(course) == {"ada": 11.0, "bob": 11.0, "cid": 10.0}
    elsewhere = override(assignment="ps2", line=answers_of(slip="missing")["equations"]["sack"])
    (course / "mine.toml").write_text(override() + elsewhere, encoding="utf-8")
    return course


@pytest.fixture
def decided(marked: Path, tmp_path: Path) -> Path:
    return fresh(marked, tmp_path)


def test_an_override_marks_again_all_who_wrote_the_same(decided: Path, run_in: Run) -> None:
    """By nbgrader autograde and by plusway mark alike; another assignment's decision changes nothing here."""
    shutil.move(decided / "mine.toml", decided / "overrides.toml")
    run_in(decided, "nbgrader", "autograde", "ps1", "--force")
    assert scores(decided) == {"ada": 12.0, "bob": 12.0, "cid": 10.0}
    run_in(decided, "plusway", "mark", ".")
    assert {s: n["points"] for s, n in points(decided / "marks").items()} == scores(decided)


def test_an_override_is_kept_and_shown_with_reason_and_date(decided: Path, run_in: Run) -> None:
    """Given to plusway mark, it holds for nbgrader too; nbgrader's feedback, plusway's own, and the report show it."""
    run_in(decided, "plusway", "mark", ".", "--override", "mine.toml")
    run_in(decided, "nbgrader", "autograde", "ps1", "--force", "--student", "ada")
    assert scores(decided)["ada"] == 12.0
    run_in(decided, "nbgrader", "generate_feedback", "ps1", "--student", "ada")
    run_in(decided, "plusway", "report", ".")
    for page in ("feedback/ada/ps1/ps1.html", "marks/feedback/ada.html", "marks/report.html"):
        text = " ".join(html.unescape((decided / page).read_text(encoding="utf-8")).split())
        assert "The board had the sack's weight upside down." in text
        assert "2025-03-01" in text


def test_a_broken_file_of_overrides_gives_no_marks_without_them(decided: Path, run_in: Run) -> None:
    """nbgrader says what to mend and where, and the marks stay as they were."""
    (decided / "overrides.toml").write_text(override().replace("reason", "raison"), encoding="utf-8")
    done = run_in(decided, "nbgrader", "autograde", "ps1", "--force", "--student", "ada", code=1)
    assert "overrides.toml: override 1: raison: not a key of an override" in done.stderr


# --- grades out of nbgrader ----------------------------------------------------------------------------------------------

EXPORT = ("nbgrader", "export", "--exporter=plusway.autograde.marking.nbgrader_export.StepsCsv")


def exported(course: Path, name: str = "grades.csv") -> list[dict[str, str]]:
    with open(course / name, newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def test_the_export_has_a_column_for_each_step_and_quotes_every_cell(decided: Path, run_in: Run) -> None:
    """A comma in a name shifts nothing, a name that is a formula is none, and who handed in nothing is there with no points."""
    run_in(decided, "nbgrader", "db", "student", "add", "ada", "--last-name", "Byron, Countess", "--first-name", "=1+1")
    run_in(decided, "nbgrader", "db", "student", "add", "dot")
    run_in(decided, *EXPORT)
    rows = {row["student_id"]: row for row in exported(decided)}
    assert {student: row["score"] for student, row in rows.items()} == {"ada": "11", "bob": "11", "cid": "10", "dot": "0"}
    assert {student: row[f"{SCENE}--equations--sack"] for student, row in rows.items()} == {
        "ada": "1", "bob": "1", "cid": "0", "dot": ""}
    assert (rows["ada"]["last_name"], rows["ada"]["first_name"]) == ("Byron, Countess", "'=1+1")
    lines = (decided / "grades.csv").read_text(encoding="utf-8").splitlines()
    assert all(line.startswith('"') and line.endswith('"') for line in lines)
    assert "--remarks" not in lines[0]


def test_the_export_has_what_a_teacher_has_decided_by_hand(decided: Path, run_in: Run) -> None:
    """A score set in the Formgrader, for the students and assignments that were asked for."""
    with sqlite3.connect(decided / "gradebook.db") as db:
        db.execute("update grade set manual_score = 2.0 where cell_id = (select id from base_cell where name = ?)",
                   (f"{SCENE}--equations--sack",))
    run_in(decided, *EXPORT, "--student", "['cid']", "--assignment", "['ps1']", "--to", "cid.csv")
    assert [(row["student_id"], row["score"], row[f"{SCENE}--equations--sack"]) for row in exported(decided, "cid.csv")] == [
        ("cid", "12", "2")]


# --- hostile notebooks ---------------------------------------------------------------------------------------------


def _code(source: str, **metadata: Any) -> dict[str, Any]:
    return {"cell_type": "code", "id": "mine", "metadata": metadata, "source": source, "outputs": [],
            "execution_count": None}


def _grade_cells(nb: dict[str, Any]) -> list[dict[str, Any]]:
    return [c for c in nb["cells"] if c["metadata"].get("nbgrader", {}).get("grade")]


def checker_redefined(nb: dict[str, Any]) -> None:
    nb["cells"].insert(0, _code(f"{PLANT}\nclass Problem:\n    points = lambda *a: 100.0\nproblem = Problem()"))


def input_transformer(nb: dict[str, Any]) -> None:
    nb["cells"].insert(0, _code(f"{PLANT}\nget_ipython().input_transformers_post.append(lambda lines: ['100.0'])"))


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
    nb["cells"].append(_code("1", nbgrader={}))


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
    loud["cells"].insert(0, {**_code("while True: print(1)"), "outputs": [
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


# --- other assignments of the same course ----------------------------------------------------------------------------


def plain_notebook() -> dict[str, Any]:
    """An assignment of a teacher who never heard of plusway: one solution cell and one test."""
    def meta(name: str, **more: Any) -> dict[str, Any]:
        return {"nbgrader": {"schema_version": 3, "grade_id": name, "grade": False, "solution": False, "locked": False,
                             "task": False, **more}}

    solution = _code("### BEGIN SOLUTION\nx = 4\n### END SOLUTION", **meta("x", solution=True))
    test = _code("assert x == 4", **meta("test-x", grade=True, locked=True, points=3))
    cells = [dict(solution, id="a1"), dict(test, id="a2")]
    return {"nbformat": 4, "nbformat_minor": 5, "cells": cells, "metadata": {
        "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}}


def test_an_assignment_that_is_not_ours_is_marked_by_nbgrader_as_ever(template: Path, tmp_path: Path, run_in: Run) -> None:
    """Its code runs, in the same course, with our line in the configuration."""
    course = fresh(template, tmp_path)
    (course / "source" / "old").mkdir()
    (course / "source" / "old" / "old.ipynb").write_text(json.dumps(plain_notebook()))
    run_in(course, "nbgrader", "generate_assignment", "old")
    for student, line in (("right", "x = 4"), ("wrong", "x = 5")):
        notebook = released(course, "old")
        notebook["cells"][0]["source"] = line
        hand_in(course, student, notebook, "old")
    run_in(course, "nbgrader", "autograde", "old")
    assert scores(course, "old") == {"right": 3.0, "wrong": 0.0}


def test_nbgrader_validates_the_source(tmp_path: Path, run_in: Run) -> None:
    """Empty answers fail the tests, as they should; the notebook itself is accepted."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    shutil.copy(path, tmp_path / "ps1.ipynb")
    done = run_in(tmp_path, "nbgrader", "validate", "ps1.ipynb")
    assert "VALIDATION FAILED ON" in done.stdout
    assert "Traceback" not in done.stdout + done.stderr
    assert "Partial credit; passed some but not all of the tests" in done.stdout


def test_nbgrader_validates_a_right_notebook(template: Path, tmp_path: Path, run_in: Run) -> None:
    """A student who has everything right is told so before handing in."""
    course = fresh(template, tmp_path)
    hand_in(course, "s1", filled(course, answers_of()))
    done = run_in(course / "submitted" / "s1" / "ps1", "nbgrader", "validate", "ps1.ipynb")
    assert "Success! Your notebook passes all the tests." in done.stdout


def test_a_teachers_own_cells_among_ours_wait_for_the_teacher(tmp_path: Path, run_in: Run) -> None:
    """An essay and a test of the teacher's in a plusway notebook: kept as handed in, not run, not given marks for nothing."""
    course = tmp_path / "course"
    path, _ = assign.write(assign.plan("ps1", [SCENE]), course)
    notebook = json.loads(path.read_text(encoding="utf-8"))
    essay = {"cell_type": "markdown", "id": "essay", "source": "Explain.", "metadata": {"nbgrader": {
        "schema_version": 3, "grade_id": "essay", "grade": True, "solution": True, "locked": False, "task": False, "points": 4}}}
    notebook["cells"] += [essay, dict(plain_notebook()["cells"][1], id="own")]
    path.write_text(json.dumps(notebook), encoding="utf-8")
    run_in(course, "nbgrader", "generate_assignment", "ps1")
    mixed = filled(course, answers_of())
    mixed["cells"][-2]["source"] = "Because ropes do not stretch."
    mixed["cells"][-1]["source"] = PLANT
    hand_in(course, "s1", mixed)
    run_in(course, "nbgrader", "autograde", "ps1")
    assert scores(course) == {"s1": 12.0}
    assert waiting(course, "s1")
    marked = json.loads((course / "autograded" / "s1" / "ps1" / "ps1.ipynb").read_text(encoding="utf-8"))
    assert "Because ropes do not stretch." in json.dumps(marked["cells"])
    assert not list(course.rglob(PLANTED))
