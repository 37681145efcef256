"""Marking one notebook: the judge's points, whatever the notebook claims."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plusway.autograde.judging import judge
from plusway.autograde.judging.verdicts import Verdicts
from plusway.autograde.marking import mark
from plusway.autograde.marking.assignment import Assignment, assignment_from, seed_for
from plusway.autograde.marking.comments import comment_on
from plusway.autograde.marking.mark import fitting, mark_notebook, minutes_of
from plusway.autograde.marking.marked import Marked
from plusway.autograde.marking.numbers import with_numbers
from plusway.autograde.marking.overrides import Override
from plusway.autograde.records import Entry
from plusway.lessons import assign, catalogue

from .conftest import SCENE, Copy, answers_of


@pytest.fixture(scope="module")
def assignment(source: dict[str, Any]) -> Assignment:
    return assignment_from(source, "source.ipynb")


def marked(notebook: Any, assignment: Assignment, **more: Any) -> Marked:
    raw = notebook if isinstance(notebook, bytes) else json.dumps(notebook).encode()
    return mark_notebook(raw, assignment, student="s017", file="s017.ipynb", **more)


STUDENTS = [(sack, counterweight, slip) for sack in ("up", "down") for counterweight in ("up", "down")
            for slip in ("", "flipped", "missing", "half", "empty", "unread")]


@pytest.mark.parametrize(("sack", "counterweight", "slip"), STUDENTS)
def test_the_points_are_those_of_the_judge(copy_of: Copy, assignment: Assignment, feed_sack: Any, sack: str,
                                           counterweight: str, slip: str) -> None:
    """Whatever directions a student chose, right or wrong, half-finished or empty."""
    answers = answers_of(sack, counterweight, slip)
    expected = judge(feed_sack, answers)
    found = marked(copy_of(answers), assignment)
    assert (found.points, found.of, found.error) == (expected.points, expected.of, "")
    assert found.problems[0].verdicts["steps"] == expected.to_json()["steps"]


def test_the_record_survives_its_json(copy_of: Copy, assignment: Assignment) -> None:
    """What is written as a line of results.jsonl is what is read from it."""
    found = marked(copy_of(answers_of(slip="flipped")), assignment)
    assert Marked.from_json(json.loads(json.dumps(found.to_json()))) == found


FORGERIES: dict[str, Callable[[dict[str, Any]], None]] = {
    "an easier scene": lambda nb: nb["metadata"]["plusway"]["problems"][SCENE].update(
        scene="easy", scene_toml="title = 'nothing to do'"),
    "another scheme": lambda nb: nb["metadata"]["plusway"]["settings"].update(scheme={"equation_method": 100}),
    "fewer problems": lambda nb: nb["metadata"]["plusway"].update(problems={}),
    "marks of their own": lambda nb: nb["metadata"]["plusway"].update(marked={"points": 99}, points=99, verdicts=["right"]),
    "points in the cells": lambda nb: [c["metadata"].update(nbgrader={"points": 99, "grade": True}) for c in nb["cells"]],
    "no cells at all": lambda nb: nb.update(cells=[]),
    "outputs that say 100": lambda nb: [c.update(outputs=[{"output_type": "execute_result", "data": {
        "text/plain": "100.0"}, "metadata": {}, "execution_count": 1}]) for c in nb["cells"] if c["cell_type"] == "code"],
}


@pytest.mark.parametrize("forge", FORGERIES.values(), ids=FORGERIES.keys())
def test_a_forgery_changes_nothing(copy_of: Copy, assignment: Assignment, forge: Callable[[dict[str, Any]], None]) -> None:
    """Only the student's own text is looked at."""
    answers = answers_of(slip="flipped")
    forged = copy_of(answers)
    forge(forged)
    honest = marked(copy_of(answers), assignment)
    assert marked(forged, assignment).problems == honest.problems


def test_a_file_that_is_no_notebook_is_a_line_with_what_it_was_worth(assignment: Assignment) -> None:
    """The row stands in the table all the same."""
    found = marked(b"PK\x03\x04", assignment)
    assert (found.status, found.points, found.of) == ("unmarked", 0.0, 12.0)
    assert "a zip archive" in found.error


def test_a_notebook_of_another_kind_is_said_to_be_one() -> None:
    """Without an assignment a notebook without our record can't be marked."""
    found = marked({"nbformat": 4, "metadata": {}, "cells": []}, Assignment(library={SCENE: catalogue.text(SCENE)}))
    assert "not one of plusway's" in found.error


def test_the_notebook_of_another_assignment_is_not_marked_nought(copy_of: Copy, assignment: Assignment) -> None:
    """A wrong file, or one of another week in the same folder: it is said which it is. One that has the problem was only renamed."""
    notebook = copy_of(answers_of())
    record = notebook["metadata"]["plusway"]
    record["assignment"] = "ps2"
    assert marked(notebook, assignment).points == 12.0
    for part in ("problems", "answers"):
        record[part] = {"another": record[part][SCENE]}
    assert marked(notebook, assignment).error == "this is the notebook of another assignment, ps2; ask for that of ps1"


def test_without_an_assignment_the_shipped_scene_that_is_named_counts(copy_of: Copy) -> None:
    """By name only: the text of a scene in the notebook is not read."""
    notebook = copy_of(answers_of())
    notebook["metadata"]["plusway"]["problems"][SCENE]["scene_toml"] = "nonsense ["
    assert marked(notebook, Assignment(library={SCENE: catalogue.text(SCENE)})).points == 12.0


def test_without_an_assignment_a_scene_counts_once_under_whatever_names(copy_of: Copy) -> None:
    """Answers copied under more names raise neither the points nor what they are out of, and the teacher is told."""
    notebook = copy_of(answers_of())
    record = notebook["metadata"]["plusway"]
    for name in ("again", "and-again"):
        record["problems"][name] = record["problems"][SCENE]
        record["answers"][name] = answers_of()
    found = marked(notebook, Assignment(library={SCENE: catalogue.text(SCENE), "mine-cart": catalogue.text("mine-cart")}))
    assert (found.points, found.of, len(found.problems)) == (12.0, 12.0, 1)
    assert found.remarks == tuple(f"{name}: the same scene as {SCENE}, which counts once; give --assignment if both were set"
                                  for name in ("again", "and-again"))


def test_without_an_assignment_a_scene_that_does_not_ship_is_said(copy_of: Copy) -> None:
    """And what to do about it."""
    notebook = copy_of(answers_of())
    notebook["metadata"]["plusway"]["problems"][SCENE]["scene"] = "mine"
    found = marked(notebook, Assignment(library={"mine-cart": catalogue.text("mine-cart"), SCENE: catalogue.text(SCENE)}))
    assert "does not ship; give --assignment or --scene" in found.error


def test_answers_edited_after_the_last_commit_are_flagged_and_the_committed_ones_marked(
        copy_of: Copy, assignment: Assignment) -> None:
    """Flagged, not punished."""
    entry = Entry("1", "2025-03-01T10:00:00+00:00", 1, SCENE, "ties", None, ["a_1 = -a_2"])
    found = marked(copy_of(answers_of(), entries=[entry.to_json()]), assignment)
    assert [flag.kind for flag in found.flags] == ["edited"]
    ties = [step for _, step in found.steps() if step["step"] == "ties"]
    assert ties[0]["text"] == "a_1 = -a_2"


def test_answers_that_were_never_committed_are_flagged_where_others_were() -> None:
    """Written into the record by hand beside a problem that was worked on; a record without any commit says nothing of itself."""
    notebook = json.loads(json.dumps(assign.plan("ps1", [SCENE, "mine-cart"]).notebook))
    two = assignment_from(notebook, "x")
    notebook["metadata"]["plusway"]["answers"] = {SCENE: answers_of(), "mine-cart": {"ties": ["a_1 = a_2"]}}
    assert marked(notebook, two).flags == ()
    entry = Entry("1", "2025-03-01T10:00:00+00:00", 1, SCENE, "ties", None, answers_of()["ties"])
    notebook["metadata"]["plusway"].update(entries=[entry.to_json()], answers={
        SCENE: {"ties": answers_of()["ties"]}, "mine-cart": {"ties": ["a_1 = a_2"]}})
    found = marked(notebook, two)
    assert [(flag.kind, "mine-cart: the answers in the notebook were never committed" in flag.says) for flag in found.flags] == [
        ("edited", True)]
    assert [step["text"] for _, step in found.steps() if step["step"] == "ties"] == ["a_1 = a_2", "a_1 = a_2"]


def test_problems_are_in_the_order_of_the_cells() -> None:
    """A notebook that nbformat has written has its record sorted by the alphabet."""
    notebook = json.loads(json.dumps(assign.plan("ps1", ["mine-cart", SCENE, SCENE]).notebook, sort_keys=True))
    assert list(notebook["metadata"]["plusway"]["problems"]) == [SCENE, f"{SCENE}-2", "mine-cart"]
    assert [problem.id for problem in assignment_from(notebook, "x").problems] == ["mine-cart", SCENE, f"{SCENE}-2"]


def test_a_seed_of_another_student_is_flagged_and_their_numbers_marked(source: dict[str, Any], copy_of: Copy) -> None:
    """The student is marked by the numbers on the screen; the teacher is told whose they were."""
    assignment = replace(assignment_from(source, "x"), numbers="per-student")
    theirs = seed_for("ps1", "s099")
    scene = with_numbers(catalogue.text(SCENE), SCENE, theirs)
    mass = scene.bodies["sack"].mass.text
    answers = {"directions": {"sack": "up", "counterweight": "down"}, "equations": {"sack": f"T - {mass} g = {mass} a"}}
    found = marked(copy_of(answers, seed=theirs), assignment)
    assert [flag.kind for flag in found.flags] == ["seed"]
    assert found.problems[0].variant == theirs
    assert next(s for _, s in found.steps() if s["step"] == "equations")["verdict"] == "right"


def test_the_students_own_seed_is_not_flagged(source: dict[str, Any], copy_of: Copy) -> None:
    """The usual case."""
    assignment = replace(assignment_from(source, "x"), numbers="per-student")
    assert marked(copy_of({}, seed=seed_for("ps1", "s017")), assignment).flags == ()


@pytest.mark.parametrize("seed", ["-1", "1e9", "٣", "9" * 5000, "../x", 7, None], ids=repr)
def test_without_a_seed_the_scenes_own_numbers_are_marked_and_that_is_flagged(
        source: dict[str, Any], copy_of: Copy, seed: Any) -> None:
    """They are what the lesson showed."""
    assignment = replace(assignment_from(source, "x"), numbers="per-student")
    found = marked(copy_of(answers_of(), seed=seed), assignment)
    assert [flag.kind for flag in found.flags] == ["seed"]
    assert (found.problems[0].variant, found.points) == ("", 12.0)


def test_a_fault_of_ours_with_one_notebook_is_flagged_and_does_not_stop_the_class(
        copy_of: Copy, assignment: Assignment) -> None:
    """The teacher is told to mark it by hand."""
    def failing(scene: Any, answers: Any, scheme: Any = None) -> Verdicts:
        if answers:
            raise ZeroDivisionError("a fault")
        return judge(scene, answers, scheme)

    found = marked(copy_of(answers_of()), assignment, judge=failing)
    assert [flag.kind for flag in found.flags] == ["unjudged"]
    assert (found.points, found.of) == (0.0, 12.0)


def test_answers_that_take_too_long_are_given_up(copy_of: Copy, assignment: Assignment,
                                                 monkeypatch: pytest.MonkeyPatch) -> None:
    """A line that the judge could not finish would hold up the class."""
    def endless(scene: Any, answers: Any, scheme: Any = None) -> Verdicts:
        while answers:
            pass
        return judge(scene, answers, scheme)

    monkeypatch.setattr(mark, "LONGEST_SECONDS", 1)
    found = marked(copy_of(answers_of()), assignment, judge=endless)
    assert "took longer than 1 s" in found.flags[0].says


def test_things_that_the_scene_does_not_have_are_told() -> None:
    """They would be an error in an answers file; in a notebook the rest is marked."""
    answers, remarks = fitting({"equations": {"sack": "T = 1", "ghost": "T = 2"}}, catalogue.find(SCENE))
    assert answers == {"equations": {"sack": "T = 1"}}
    assert remarks == ["equations: there is no 'ghost' in this scene: not read"]


def at(minute: int, n: int) -> Entry:
    return Entry(str(n), f"2025-03-01T{10 + minute // 60:02}:{minute % 60:02}:00.000+00:00", n, "p", "ties", None, ["a"])


TIMES = [("no entries", [], None), ("one entry", [at(0, 1)], None), ("two", [at(0, 1), at(5, 2)], 5.0),
         ("a break is left out", [at(0, 1), at(5, 2), at(90, 3), at(95, 4)], 10.0),
         ("a clock set back", [at(30, 1), at(5, 2), at(7, 3)], 2.0)]


@pytest.mark.parametrize(("entries", "minutes"), [case[1:] for case in TIMES], ids=[case[0] for case in TIMES])
def test_minutes_of_work(entries: list[Entry], minutes: float | None) -> None:
    """From the times of the commits."""
    assert minutes_of(entries) == minutes


NOTHING: list[dict[str, Any]] = [{}, {"working": [], "equations": {}}, {"equations": {"sack": " "}, "sense": [""], "results": {"a": ""}}]


@pytest.mark.parametrize("answers", NOTHING, ids=repr)
def test_a_file_without_answers_says_so_and_nothing_of_a_seed(source: dict[str, Any], copy_of: Copy, answers: dict[str, Any]) -> None:
    """Never opened, or stripped of its answers: there are no numbers in it that could be another's."""
    source = copy.deepcopy(source)
    source["metadata"]["plusway"]["settings"]["numbers"] = "per-student"
    found = marked(copy_of(answers), assignment_from(source, "x"))
    assert (found.flags, found.remarks[-1]) == ((), "no answers in this file")


def test_one_answer_is_an_answer(copy_of: Copy, assignment: Assignment) -> None:
    """However short; and answers to a problem that was not set are told as such."""
    assert "no answers in this file" not in marked(copy_of({"sense": ["a"]}), assignment).remarks
    notebook = copy_of({})
    notebook["metadata"]["plusway"]["answers"] = {"other": {"sense": ["a"]}}
    assert marked(notebook, assignment).remarks == ("answers to other, not a problem of this assignment: not read",)


def test_an_override_counts_for_all_who_wrote_the_line(copy_of: Copy, assignment: Assignment) -> None:
    """And what the judge had said stays in the record."""
    answers = answers_of(slip="flipped")
    override = Override(SCENE, "equations", "right", "said so on the board", "2025-03-01",
                        line=answers["equations"]["sack"].replace(" ", ""))
    found = marked(copy_of(answers), assignment, overrides=(override,))
    step = next(s for _, s in found.steps() if s["step"] == "equations" and s["item"] == "sack")
    assert (step["verdict"], step["points"], step["slips"]) == ("right", 2.0, [])
    assert step["override"]["judged"] == {"verdict": "slip", "points": 1.0}
    assert found.points == marked(copy_of(answers), assignment).points + 1.0


COMMENTS = [("a step that is worth nothing has no marks", "directions", None, "sack: `up`: right"),
            ("a right line", "equations", "counterweight", "counterweight: `-T + m_2 g = m_2 a_2`: right\n\n2 of 2")]


@pytest.mark.parametrize(("step", "item", "says"), [case[1:] for case in COMMENTS], ids=[case[0] for case in COMMENTS])
def test_the_comment_under_a_step(feed_sack: Any, step: str, item: str | None, says: str) -> None:
    """What nbgrader shows: the line, its verdict, the marks where there are any."""
    said = comment_on(judge(feed_sack, answers_of()).to_json(), step, item)
    assert said.startswith(says.partition("\n")[0])
    assert ("of" in said.split("\n")[-1].split()) is ("of" in says.split("\n")[-1].split())


LINES = st.text(max_size=30) | st.sampled_from(["T = 9**9**9", "__import__('os')", "T - 63.7 = 6.5a", "=", "((((", "1e999"])


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.fixed_dictionaries({}, optional={
    "directions": st.dictionaries(st.sampled_from(["sack", "counterweight", "ghost"]), LINES, max_size=2),
    "forces": st.dictionaries(st.just("sack"), st.lists(st.lists(LINES, min_size=2, max_size=2), max_size=3), max_size=1),
    "equations": st.dictionaries(st.sampled_from(["sack", "counterweight"]), LINES, max_size=2),
    "ties": st.lists(LINES, max_size=2), "working": st.lists(LINES, max_size=3),
    "results": st.dictionaries(st.sampled_from(["a", "T", "x"]), LINES, max_size=2), "sense": st.lists(LINES, max_size=2)}))
def test_any_lines_can_be_marked(assignment: Assignment, copy_of: Copy, answers: dict[str, Any]) -> None:
    """No text of a student's is beyond the judge, and no mark beyond its limits."""
    found = marked(copy_of(answers), assignment)
    assert [flag.says for flag in found.flags] == []
    assert 0.0 <= found.points <= found.of == 12.0


def test_the_lesson_shows_the_numbers_that_marking_expects(copy_of: Copy, source: dict[str, Any], tmp_path: Any,
                                                           monkeypatch: pytest.MonkeyPatch) -> None:
    """A notebook with a seed: the widgets' problem and the marker's are the same."""
    from plusway.widgets import Problem

    seed = seed_for("ps1", "s017")
    notebook = copy_of({}, seed=seed)
    notebook["metadata"]["plusway"]["settings"]["numbers"] = "per-student"
    path = tmp_path / "ps1.ipynb"
    path.write_text(json.dumps(notebook), encoding="utf-8")
    monkeypatch.setenv("JPY_SESSION_NAME", str(path))
    shown = Problem(SCENE, id=SCENE).scene
    assert shown.digest == with_numbers(catalogue.text(SCENE), SCENE, seed).digest != catalogue.find(SCENE).digest
