"""A teacher's own verdicts in an nbgrader course, and the grades that come out of it."""

from __future__ import annotations

import csv
import html
import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from .conftest import SCENE, answers_of, points
from .courses import Run, filled, fresh, hand_in, scores

pytestmark = pytest.mark.slow


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


# --- grades out of nbgrader ------------------------------------------------------------------------------------------

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
