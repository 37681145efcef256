"""The pages of `nbgrader generate_feedback`: under each step its lines with formula, verdict, reason and marks, as on plusway's own page."""

from __future__ import annotations

import html
import json
import re
import sqlite3
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import seed_for
from plusway.autograde.marking.numbers import with_numbers
from plusway.lessons import assign, catalogue

from .conftest import SCENE, answers_of
from .courses import Run, committed, course_of, filled, fresh, hand_in, released
from .test_feedback_pages import NASTY, Tags

pytestmark = pytest.mark.slow

ALREADY = {"ada": answers_of(slip="flipped"), "bob": answers_of(slip="half"), "cid": {}}


@pytest.fixture(scope="module")
def course(template: Path, tmp_path_factory: pytest.TempPathFactory, run_in: Run) -> Path:
    """Five have handed in and been marked; then the teacher has written to dot, and given her other points."""
    course = fresh(template, tmp_path_factory.mktemp("pages"))
    for student, answers in ALREADY.items():
        hand_in(course, student, filled(course, answers))
    hand_in(course, "dot", filled(course, answers_of(slip="flipped")))
    hand_in(course, "eva", '{"cells": [')
    nasty = {"equations": {"sack": " ".join(NASTY)}, "ties": NASTY, "working": [*NASTY, r"\(\href{javascript:alert(1)}{x}\) $$x$$"],
             "results": {"a": NASTY[0]}, "sense": NASTY, "directions": {"sack": NASTY[1]}, "forces": {"sack": [[NASTY[0], "up"]]}}
    hand_in(course, "nasty", filled(course, nasty))
    run_in(course, "nbgrader", "autograde", "ps1")
    with sqlite3.connect(course / "gradebook.db") as db:
        mine = ("notebook_id = (select n.id from submitted_notebook n join submitted_assignment s on s.id = n.assignment_id "
                "where s.student_id = 'dot') and cell_id = (select id from base_cell where name = ?)")
        db.execute(f"update grade set manual_score = 1.5 where {mine}", (f"{SCENE}--equations--sack",))
        db.execute(f"update comment set manual_comment = 'Come and see me.' where {mine}", (f"{SCENE}--equations--sack--remarks",))
    run_in(course, "nbgrader", "generate_feedback", "ps1")
    return course


def page(course: Path, student: str, name: str = "ps1") -> str:
    return (course / "feedback" / student / name / f"{name}.html").read_text(encoding="utf-8")


def words(text: str) -> str:
    """What a page says, without its tags, styles and formulas."""
    for tag in ("style", "script", "math", "title"):
        text = re.sub(rf"<{tag}\b.*?</{tag}>", " ", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", re.sub(r"</?(?:mark|span)\b[^>]*>", "", text))).split())


class Outside(HTMLParser):
    """The text of a page that a MathJax would look through for TeX."""

    def __init__(self) -> None:
        super().__init__()
        self.inside: list[bool] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "div":
            self.inside.append({"tex2jax_ignore", "mathjax_ignore"} <= set((dict(attrs).get("class") or "").split()))

    def handle_endtag(self, tag: str) -> None:
        if tag == "div":
            self.inside.pop()

    def handle_data(self, data: str) -> None:
        self.text += "" if any(self.inside) else data


def test_each_line_stands_with_its_formula_verdict_reason_and_marks(course: Path) -> None:
    """In one place below the step's heading, whose box has the points."""
    found = page(course, "ada")
    assert ("Score: 1.0 / 2.0 (Top) Newton's second law for the sack ¶ Add up the forces on the sack, each with the sign that your positive "
            "direction gives it, and set the sum equal to mass times acceleration. sack: T + m_1 g = m_1 a_1 ✗ a slip, 1 of 2 You chose up "
            "as plus for the sack.") in words(found)
    assert "Give each value with its unit. a: 1.58 m/s^2 ✓ right, 1 of 1 T: 74.0 N ✓ right, 1 of 1" in words(found)
    assert re.search(r"<math\b[^>]*>.*?</math></span><span class=\"written\">T <mark>\+ m_1 g</mark> = m_1 a_1</span>", found)
    assert words(found).count("Given: m₁ = 6.5 kg (sack), m₂ = 9 kg (counterweight), g = 9.8 m/s²") == 1


def test_the_cells_that_only_worked_in_the_lesson_are_not_on_the_page(course: Path) -> None:
    """No call, no prompt, no line of code, no box that says 0 of 0, and no text above a picture that is not there."""
    found = words(page(course, "ada"))
    for code in ("problem.", "from plusway", "In [", "Out[", "0.0 / 0.0", "What comes of it"):
        assert code not in found


def test_the_links_at_the_top_lead_to_the_steps(course: Path) -> None:
    """nbgrader's own lead nowhere where a step is a task."""
    found = page(course, "ada")
    links = re.findall(r'<a href="#([^"]+)">Task</a>', found)
    assert len(links) == 8
    assert all(f'<a id="{link}"></a>' in found for link in links)


@pytest.mark.parametrize("student", ["bob", "cid", "eva"])
def test_no_key_is_on_the_page_of_one_who_has_not_finished(course: Path, student: str) -> None:
    """Neither a value nor an equation that the student has not written."""
    found = words(page(course, student))
    for key in ("1.58", "74.0", "63.7", "24.5", "a_1 = ", "Turn the sign"):
        assert key not in found
    assert ("m_1 g" in found) is (student == "bob")  # his own


def test_what_a_teacher_has_decided_stands_above_the_judge(course: Path) -> None:
    """The teacher's points and words, and no marks of the judge's beside them; another student's page has none of it."""
    found = words(page(course, "dot"))
    assert "Score: 1.5 / 2.0 (Top) Newton's second law for the sack" in found
    assert "Comments: Come and see me. Marked by your teacher: 1.5 of 2. sack: T + m_1 g = m_1 a_1 ✗ a slip You chose up" in found
    assert "Come and see me." not in page(course, "ada")
    assert "Marked by your teacher" not in page(course, "ada")


def test_a_file_that_could_not_be_marked_is_said_once(course: Path) -> None:
    """At the top, to the student."""
    found = words(page(course, "eva"))
    assert found.count("Your notebook could not be marked: the file is broken JSON") == 1
    assert found.index("could not be marked") < found.index("Which way is plus?")


def test_a_students_text_is_text(course: Path) -> None:
    """No tag and no attribute of theirs, and no formula for a MathJax to set: the class says so, in both its versions' words."""
    found = page(course, "nasty")
    body = found[found.index("<body"):]
    tags = Tags()
    tags.feed(body)
    assert not {"script", "img", "b", "iframe"} & set(tags.tags)
    assert not [name for name in tags.attributes if name.startswith("on")]
    outside = Outside()
    outside.feed(body)
    assert r"\href" in body
    assert "Newton's second law for the sack" in outside.text
    assert r"\href" not in outside.text
    assert "alert(1)" not in outside.text


def test_a_students_own_numbers_are_given(tmp_path: Path, run_in: Run) -> None:
    """Without them nobody could follow a line."""
    course = course_of(assign.plan("ps1", [SCENE], per_student=True), tmp_path / "course", run_in)
    seed = seed_for("ps1", "s1")
    hand_in(course, "s1", committed(released(course), {SCENE: {"ties": ["a_1 = a_2"]}}, student="s1", seed=seed))
    run_in(course, "nbgrader", "autograde", "ps1")
    run_in(course, "nbgrader", "generate_feedback", "ps1")
    mass = with_numbers(catalogue.text(SCENE), SCENE, seed).bodies["sack"].mass.text
    assert f"Given: m_1 = {mass} kg (sack), " in words(page(course, "s1"))


def test_a_course_that_has_html_sanitized_keeps_the_comments(course: Path, tmp_path: Path, run_in: Run) -> None:
    """Sanitized, our outputs would be tags in plain sight; the comments say the same."""
    course = fresh(course, tmp_path)
    config = course / "nbgrader_config.py"
    config.write_text(config.read_text(encoding="utf-8") + "\nc.HTMLExporter.sanitize_html = True\n", encoding="utf-8")
    run_in(course, "nbgrader", "generate_feedback", "ps1", "--student", "ada", "--force")
    found = words(page(course, "ada"))
    assert "sack: T + m_1 g = m_1 a_1 : a slip" in found
    assert "<math" not in page(course, "ada")


def test_a_notebook_that_was_not_marked_by_plusway_is_left_as_it_is(course: Path, tmp_path: Path, run_in: Run) -> None:
    """Marked by nbgrader as it is, before plusway was switched on: whatever verdicts it brings along are the student's own."""
    course = fresh(course, tmp_path)
    path = course / "autograded" / "ada" / "ps1" / "ps1.ipynb"
    notebook: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    notebook["metadata"]["plusway"]["answers"] = {}
    path.chmod(0o644)
    path.write_text(json.dumps(notebook), encoding="utf-8")
    run_in(course, "nbgrader", "generate_feedback", "ps1", "--student", "ada", "--force")
    assert "problem.points" in words(page(course, "ada"))


def test_generating_feedback_warns_of_nothing_of_ours(course: Path, tmp_path: Path, run_in: Run) -> None:
    """nbconvert sets what comes first in an output for every converter; ours takes it without a word to the teacher."""
    done = run_in(fresh(course, tmp_path), "nbgrader", "generate_feedback", "ps1", "--student", "ada", "--force")
    assert "ShowVerdicts" not in done.stderr
