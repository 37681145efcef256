"""`plusway report`: what a class's results say, in words, tables and pictures."""

from __future__ import annotations

import csv
import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.mark import mark_notebook
from plusway.autograde.marking.statistics import Score, Statistics
from plusway.autograde.records import Entry
from plusway.lessons import assign
from plusway.lessons.command import main
from plusway.lessons.report.page import _hardest as hardest
from plusway.lessons.report.page import _slips as slips_section
from plusway.lessons.report.pictures import step_name

from .conftest import SCENE, Copy, answers_of, put
from .simulated import ASSIGNMENT, BALE, IN_EQUATIONS, SACK, Student, simulated


@pytest.fixture
def marked(tmp_path: Path, copy_of: Copy) -> Path:
    """Ten students: four right, three with a flipped weight, one with a missing one, one half-finished, one broken file."""
    folder = tmp_path / "class"
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    for place, slip in enumerate(["", "", "", "", "flipped", "flipped", "flipped", "missing", "half"]):
        put(folder / f"Name{place}.ipynb", copy_of(answers_of(slip=slip)))
    put(folder / "Name9.ipynb", "{")
    main(["mark", str(folder), "--assignment", str(path)])
    return folder


def data(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "marks" / "report.json").read_text(encoding="utf-8"))
    return found


def test_the_figures_are_those_of_the_class(marked: Path) -> None:
    """Counted by hand from the fixture."""
    assert main(["report", str(marked)]) == 0
    found = data(marked)["assignments"]["ps1"]
    steps = {(s["step"], s["item"]): s for s in found["steps"]}
    assert (found["notebooks"], found["unmarked"], sum(found["tenths"])) == (10, 1, 9)
    assert steps[("ties", None)]["blank"] == 1
    assert steps[("ties", None)]["success"] == pytest.approx(8 / 9, abs=1e-4)
    assert steps[("equations", "sack")]["success"] == pytest.approx((5 * 2 + 3 * 1 + 0) / 18, abs=1e-4)
    assert (found["kinds"]["flipped-force"], found["kinds"]["missing-force"]) == (3, 1)


def test_what_to_teach_again_comes_with_an_example(marked: Path) -> None:
    """The commonest kind first, where it happened, and a line of somebody's."""
    main(["report", str(marked)])
    first = data(marked)["assignments"]["ps1"]["teach"][0]
    assert (first["kind"], first["notebooks"], first["item"]) == ("flipped-force", 3, "sack")
    assert first["example"] == answers_of(slip="flipped")["equations"]["sack"]


def test_a_tie_that_one_letter_says_was_not_left_blank(tmp_path: Path, copy_of: Copy) -> None:
    """Right without a line of its own; an empty one beside it is blank."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    one_letter = answers_of() | {"ties": [], "equations": {"sack": "T - m_1 g = m_1 a", "counterweight": "m_2 g - T = m_2 a"}}
    for name, answers in {"a": one_letter, "b": one_letter, "c": {}}.items():
        put(tmp_path / "in" / f"{name}.ipynb", copy_of(answers))
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    main(["report", str(tmp_path / "in")])
    [ties] = [s for s in data(tmp_path / "in")["assignments"]["ps1"]["steps"] if s["step"] == "ties"]
    assert (ties["blank"], ties["success"]) == (1, pytest.approx(2 / 3, abs=1e-4))


def test_those_who_have_a_slip_are_named_where_names_are_asked_for(marked: Path) -> None:
    """In the data and below the slip; else they are called as in the table of students."""
    main(["report", str(marked), "--names"])
    assert data(marked)["assignments"]["ps1"]["teach"][0]["students"] == ["Name4", "Name5", "Name6"]
    assert "Who: Name4, Name5, Name6<" in (marked / "marks" / "report.html").read_text(encoding="utf-8")
    main(["report", str(marked)])
    found = data(marked)
    hidden = found["assignments"]["ps1"]["teach"][0]["students"]
    assert [row["assignments"]["ps1"]["points"] for row in found["students"] if row["student"] in hidden] == [11.0, 11.0, 11.0]


STEPS = [("written by all", [("a", 0.9, 0), ("b", 0.4, 0)], "The hardest step is results, b: those who wrote something there got 40% of its points."),
         ("left blank by many", [("a", 0.45, 5), ("b", 0.5, 0)], "The hardest step is results, b: those who wrote something there got 50% of its points. "
                                                                 "Left blank most often: results, a, by 5 of 10."),
         ("left blank by all", [("a", 0.0, 10)], "Left blank most often: results, a, by 10 of 10.")]


@pytest.mark.parametrize(("steps", "said"), [case[1:] for case in STEPS], ids=[case[0] for case in STEPS])
def test_what_was_hard_is_told_apart_from_what_was_left_blank(steps: list[tuple[str, float, int]], said: str) -> None:
    """Nobody learns what is hard from a step that nobody did."""
    rows = [{"problem": SCENE, "step": "results", "item": item, "success": success, "blank": blank, "students": 10} for item, success, blank in steps]
    assert hardest(rows, {SCENE: "Feed sack"}) == said


def test_wrong_lines_that_several_wrote_are_in_plain_sight(marked: Path) -> None:
    """Those that were right, or followed, are folded away."""
    main(["report", str(marked)])
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8").partition("Lines that several wrote")[2].partition("<h3>")[0]
    shown, _, folded = page.partition("<details")
    assert answers_of(slip="flipped")["equations"]["sack"] in shown
    assert answers_of()["ties"][0] in folded
    assert answers_of()["ties"][0] not in shown


def test_the_command_says_what_to_teach_again_where_and_with_an_example(marked: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """For who only reads the terminal."""
    capsys.readouterr()
    main(["report", str(marked)])
    said = capsys.readouterr().out
    assert "To teach again 1: gave one force the sign opposite to its direction (flipped-force), in 3 of 9." in said
    assert f"Most often at equation for the sack, for example: {answers_of(slip='flipped')['equations']['sack']}" in said
    assert "To look at: " in said


def test_a_slip_is_told_with_the_direction_that_was_chosen(marked: Path) -> None:
    """By kind, body and direction."""
    main(["report", str(marked)])
    slip = data(marked)["assignments"]["ps1"]["slips"][0]
    assert (slip["kind"], slip["item"], slip["directions"]) == ("flipped-force", "sack", {"up": 3})


def test_lines_that_could_not_be_read_are_counted_and_listed(marked: Path, copy_of: Copy,
                                                             capsys: pytest.CaptureFixture[str]) -> None:
    """Beside the notebook, in results.csv, and for the whole class with what the student was told; one that the teacher has decided on
    is no question any more."""
    for name in ("Name5", "Name6"):
        put(marked / f"{name}.ipynb", copy_of(answers_of(slip="unread")))
    again = ["mark", str(marked), "--assignment", str(marked.parent / "course" / "source" / "ps1" / "ps1.ipynb")]
    capsys.readouterr()
    main(again)
    assert capsys.readouterr().out.count("1 line could not be read") == 2
    assert (marked / "marks" / "results.csv").read_text(encoding="utf-8").count("1 line could not be read") == 2
    main(["report", str(marked)])
    [found] = data(marked)["assignments"]["ps1"]["unread"]
    assert (found["step"], found["item"], found["line"], found["count"]) == ("equations", "sack", "T ++ = ((", 2)
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8")
    assert "Lines that could not be read" in page
    assert found["says"].split("“")[0] in page
    (marked / "mine.toml").write_text(f'[[override]]\nproblem = "{SCENE}"\nstep = "equations"\nline = "T ++ = (("\nverdict = "unread"\n'
                                      'reason = "I can\'t read it either"\ndate = 2025-03-01\n')
    main([*again, "--override", str(marked / "mine.toml")])
    main(["report", str(marked)])
    assert data(marked)["assignments"]["ps1"]["unread"] == []


def test_a_notebook_that_could_not_be_marked_has_no_points_and_not_nought(marked: Path) -> None:
    """In results.csv an empty cell, in the report "not marked" once and no "0 of 12": nought is a mark."""
    main(["report", str(marked), "--names"])
    rows = csv.DictReader((marked / "marks" / "results.csv").read_text(encoding="utf-8").splitlines())
    assert {row["status"]: row["points"] for row in rows if row["student"] == "Name9"} == {"unmarked": ""}
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8")
    assert '<td>Name9</td><td class="n">not marked</td><td></td>' in page
    assert [s["assignments"]["ps1"]["points"] for s in json.loads((marked / "marks" / "report.json").read_text(encoding="utf-8"))["students"]
            if s["student"] == "Name9"] == [None]


def test_another_value_of_g_is_no_arithmetic(marked: Path, copy_of: Copy, capsys: pytest.CaptureFixture[str]) -> None:
    """In an equation with figures or in results alone, it is a line of its own in slips and topics."""
    equations = {"directions": {"sack": "up", "counterweight": "down"}, "equations": {"sack": "T - 6.5*9.81 = 6.5a"}}
    ten = {"directions": equations["directions"], "results": {"a": "1.61 m/s^2", "T": "75.5 N"}}
    for name, answers in {"Name0": equations, "Name1": ten}.items():
        put(marked / f"{name}.ipynb", copy_of(answers))
    main(["mark", str(marked), "--assignment", str(marked.parent / "course" / "source" / "ps1" / "ps1.ipynb")])
    main(["report", str(marked)])
    found = data(marked)["assignments"]["ps1"]
    assert found["kinds"]["another value of g"] == 2
    assert "arithmetic" not in found["kinds"]
    assert {(s["step"], s["item"]) for s in found["slips"] if s["kind"] == "another value of g"} >= {("equations", "sack"), ("results", "a")}
    assert "another value of g" in [t["kind"] for t in found["teach"]]
    assert "took another value of g than the problem gives (another value of g), in 2 of" in capsys.readouterr().out


def test_of_kinds_that_equally_many_have_the_one_that_cost_most_comes_first(marked: Path, copy_of: Copy) -> None:
    """A mass for a weight and a missing force cost the whole equation, another g one mark."""
    directions = {"directions": {"sack": "up", "counterweight": "down"}}
    for name, line in {"Name0": "T - 6.5*9.81 = 6.5a", "Name1": "T - m_1 = m_1 a"}.items():
        put(marked / f"{name}.ipynb", copy_of({**directions, "equations": {"sack": line}}))
    main(["mark", str(marked), "--assignment", str(marked.parent / "course" / "source" / "ps1" / "ps1.ipynb")])
    main(["report", str(marked)])
    found = data(marked)["assignments"]["ps1"]
    assert [t["kind"] for t in found["teach"]] == ["flipped-force", "mass-for-weight", "missing-force"]
    assert found["kinds"]["another value of g"] == 1


def test_a_line_without_end_is_cut_on_the_page(marked: Path, copy_of: Copy) -> None:
    """Its beginning and its length; the data have the whole of what was read."""
    put(marked / "Name5.ipynb", copy_of({"ties": ["T" * 900]}))
    main(["mark", str(marked), "--assignment", str(marked.parent / "course" / "source" / "ps1" / "ps1.ipynb")])
    main(["report", str(marked)])
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8")
    assert "T" * 120 + " … (900 characters)" in page
    assert "T" * 121 not in page
    assert data(marked)["assignments"]["ps1"]["unread"][0]["line"] == "T" * 900


def test_what_is_ranked_and_what_is_left_out_is_said(marked: Path) -> None:
    """How the three come about, and how many kinds neither sentence nor picture has."""
    main(["report", str(marked)])
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8")
    assert "The kinds that most notebooks have at least once" in page
    assert "more, in the table below" not in page
    kinds = {f"kind {n:02}": 20 - n for n in range(14)}
    said = slips_section({"kinds": kinds, "titles": {}, "slips": [{"kind": k, "problem": "p", "step": "ties", "item": None, "directions": {}, "notebooks": n}
                                                    for k, n in kinds.items() for _ in range(3)]}, 20)
    assert "; and 2 kinds more, in the table below." in said
    assert "kind 12 in" not in said
    assert "And 2 rarer rows more, in report.json." in said


SACK_ROW = {"problem": SCENE, "step": "equations", "item": "sack"}
PLACES = [("of one problem alone the title goes without saying", {SCENE: "Feed sack"}, "equation for the sack"),
          ("of several it stands first", {SCENE: "Feed sack", "b": "Cart"}, "Feed sack: equation for the sack"),
          ("problems of one title are told apart", {SCENE: "Feed sack", "b": "Feed sack"}, f"Feed sack ({SCENE}): equation for the sack"),
          ("a scene without a title goes by its name", {SCENE: "", "b": "Cart"}, f"{SCENE}: equation for the sack")]


@pytest.mark.parametrize(("titles", "said"), [case[1:] for case in PLACES], ids=[case[0] for case in PLACES])
def test_a_place_is_told_in_words_and_by_the_problems_title(titles: dict[str, str], said: str) -> None:
    """No file's name where a teacher reads."""
    assert step_name(SACK_ROW, titles) == said


def test_the_page_speaks_of_problems_by_their_titles(tmp_path: Path) -> None:
    """The names that commands take stand in one list, and in no table."""
    planned = assign.plan("ps1", [SCENE, "mine-cart"])
    path, _ = assign.write(planned, tmp_path / "course")
    notebook = json.loads(json.dumps(planned.notebook))
    notebook["metadata"]["plusway"]["answers"] = {SCENE: answers_of(slip="flipped"), "mine-cart": {"ties": ["a_1 = 2a_2"]}}
    put(tmp_path / "in" / "s1.ipynb", notebook)
    main(["mark", str(tmp_path / "in"), "--assignment", str(path)])
    main(["report", str(tmp_path / "in")])
    page = (tmp_path / "in" / "marks" / "report.html").read_text(encoding="utf-8")
    assert page.count("mine-cart") == page.count(SCENE) == 1
    title = "Feed sack and counterweight"
    assert f"<li>{title} <code>{SCENE}</code></li>" in page
    assert f"<td>{title}: equation for the sack</td>" in page


def test_names_are_hidden_unless_asked_for(marked: Path) -> None:
    """Neither page nor data have them; with --names both do."""
    main(["report", str(marked)])
    for name in ("report.html", "report.json"):
        assert "Name" not in (marked / "marks" / name).read_text(encoding="utf-8").replace("Names are hidden", "")
    main(["report", str(marked), "--names"])
    assert "Name4" in (marked / "marks" / "report.html").read_text(encoding="utf-8")


def test_every_picture_has_words_that_say_the_same(marked: Path) -> None:
    """A picture is one sentence to a screen reader, and its figures stand in a table."""
    main(["report", str(marked)])
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8")
    assert page.count("<svg") == page.count('<figure role="img" aria-label="') == 3
    assert "The commonest kind is flipped-force, in 3 of 9 notebooks; then missing-force in 1." in page
    assert "<script" not in page


def test_the_same_results_give_the_same_page(marked: Path) -> None:
    """No time, no random id."""
    main(["report", str(marked)])
    first = (marked / "marks" / "report.html").read_bytes()
    main(["report", str(marked)])
    assert (marked / "marks" / "report.html").read_bytes() == first


@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=3, max_size=40))
def test_discrimination_is_the_correlation(pairs: list[tuple[float, float]]) -> None:
    """Against the definition, in plain Python (statistics.correlation of the standard library)."""
    from statistics import StatisticsError, correlation

    score = Score(1.0)
    for x, y in pairs:
        score.add(x, y, False)
    found = score.discrimination
    try:
        expected = correlation(*map(list, zip(*pairs, strict=True)))
    except StatisticsError:
        return
    if found is not None:
        assert found == pytest.approx(expected, abs=1e-3)


def test_an_empty_class_has_a_report_too() -> None:
    """Nothing divides by nothing."""
    assert Statistics().to_json()["teach"] == []


# --- a class whose truth is known ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def known() -> tuple[list[Student], dict[str, Any]]:
    """A hundred simulated students and what the report says of them."""
    source = json.loads(json.dumps(assign.plan(ASSIGNMENT, [SACK, BALE], per_student=True).notebook))
    assignment = assignment_from(source, "x")
    students, statistics = simulated(100), Statistics()
    for place, student in enumerate(students):
        checks = student.answers[SACK].get("sense")
        journal = [Entry(f"e{n}", f"2025-03-01T10:{n * (1 + place % 3):02}:00+00:00", n, SACK, "sense", None, checks, place % 5)
                   for n in range(1, 4)] if checks else []
        source["metadata"]["plusway"].update(seed=student.seed, answers=student.answers)
        statistics.add(mark_notebook(json.dumps(source).encode(), assignment, student=student.name, journal=journal))
    return students, statistics.to_json()


WORTH = {"directions": 0, "forces": 1, "equations": 2, "ties": 1, "working": 2, "results": 2, "sense": 1}


def test_success_and_discrimination_of_each_step_are_those_of_the_known_points(known: tuple[list[Student], dict[str, Any]]) -> None:
    """The mean part of a step's points, and its correlation with all the other points (statistics.correlation)."""
    from statistics import correlation, mean

    students, found = known
    steps = {(s["problem"], s["step"], s["item"]): s for s in found["steps"]}
    for cell in students[0].points:
        if worth := WORTH[cell[1]]:
            own = [student.points[cell] for student in students]
            rest = [student.total - points for student, points in zip(students, own, strict=True)]
            assert steps[cell]["success"] == pytest.approx(mean(own) / worth, abs=1e-4), cell
            expected = pytest.approx(correlation(own, rest), abs=1e-3) if len(set(own)) > 1 else None
            assert steps[cell]["discrimination"] == expected, cell


CLEAR = tuple(kind for kind in IN_EQUATIONS if kind not in ("extra-force", "other-body", "total-mass"))
"""Slips that can't be told another way; a whole weight too many is an extra force or a total mass."""


def test_slips_are_counted_by_kind_body_and_direction(known: tuple[list[Student], dict[str, Any]]) -> None:
    """Against what each student did on purpose."""
    students, found = known
    made: Counter[tuple[str, str, str, str]] = Counter()
    for student in students:
        for slip in student.slips:
            problem, kind, thing, *_ = (*slip.split(": "), "", "")
            if "carried through" in slip:
                problem, kind, thing = SACK, "missing-force", "sack"
            if kind in CLEAR:
                made[problem, kind, thing, student.answers[problem]["directions"][thing]] += 1
    assert len(made) > 20
    assert made == {(s["problem"], s["kind"], s["item"], way): n for s in found["slips"]
                    if s["step"] == "equations" and s["kind"] in CLEAR for way, n in s["directions"].items()}


def test_the_three_to_teach_again_are_the_commonest(known: tuple[list[Student], dict[str, Any]]) -> None:
    """With a line that a student of this class wrote."""
    students, found = known
    lines = {line for student in students for answers in student.answers.values() for step in answers.values()
             for line in (step.values() if isinstance(step, dict) else step) if isinstance(line, str)}
    assert [t["notebooks"] for t in found["teach"]] == sorted(found["kinds"].values(), reverse=True)[:3]
    assert all(t["example"] in lines and t["says"] for t in found["teach"])


def test_lines_that_several_wrote_are_counted(known: tuple[list[Student], dict[str, Any]]) -> None:
    """The commonest first, with its verdict."""
    students, found = known
    first = found["lines"][0]
    pages = [student.answers[first["problem"]].get(first["step"], []) for student in students]
    assert first["count"] == sum(first["line"] in (page.values() if isinstance(page, dict) else page) for page in pages) > 10
    assert [line["count"] for line in found["lines"]] == sorted((line["count"] for line in found["lines"]), reverse=True)


def test_time_and_hints_are_those_of_the_journals(known: tuple[list[Student], dict[str, Any]]) -> None:
    """Three commits one, two or three minutes apart; none to four hints."""
    _, found = known
    assert (found["minutes"][SACK]["least"], found["minutes"][SACK]["most"]) == (2.0, 6.0)
    assert (found["hints"][SACK]["least"], found["hints"][SACK]["most"]) == (0, 4)


def test_a_student_has_one_row_over_several_assignments(tmp_path: Path, copy_of: Copy) -> None:
    """Of several folders, or of one course that was marked assignment by assignment."""
    course = tmp_path / "course"
    for week, slip in (("ps1", "flipped"), ("ps2", "")):
        path, _ = assign.write(assign.plan(week, [SCENE]), course)
        for student in ("ada", "bob"):
            mailed = tmp_path / week / f"{student}.ipynb"
            handed_in = course / "submitted" / student / week / f"{week}.ipynb"
            for place in (mailed, handed_in):
                put(place, copy_of(answers_of(slip=slip)))
        main(["mark", str(tmp_path / week), "--assignment", str(path)])
        main(["mark", str(course), "--assignment", str(path)])
    main(["report", str(tmp_path / "ps1"), str(tmp_path / "ps2"), "--names", "--out", str(tmp_path / "both")])
    main(["report", str(course), "--names"])
    both, one = (json.loads((folder / "report.json").read_text(encoding="utf-8"))
                 for folder in (tmp_path / "both", course / "marks"))
    assert both["students"] == one["students"]
    assert [(row["student"], {week: p["points"] for week, p in row["assignments"].items()}) for row in both["students"]] == [
        ("ada", {"ps1": 11.0, "ps2": 12.0}), ("bob", {"ps1": 11.0, "ps2": 12.0})]
