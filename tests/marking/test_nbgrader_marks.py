"""A real nbgrader course: what it gives out, what it takes in, and what it says to each student."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from plusway.autograde.judging import judge
from plusway.lessons import catalogue

from .conftest import SCENE, answers_of
from .courses import Run, comments, filled, fresh, hand_in, released, scores, waiting

pytestmark = pytest.mark.slow


WAYS = [(sack, counterweight) for sack in ("up", "down") for counterweight in ("up", "down")]
SLIPS = ("", "flipped", "missing", "half", "empty", "unread")
CLASS = {f"s{place:03}": answers_of(*WAYS[place % 4], SLIPS[place // 4 % 6]) for place in range(30)}


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
