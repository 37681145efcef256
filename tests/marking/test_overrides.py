"""A teacher's own verdicts: the file, and what it decides."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.errors import UsageError
from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.marked import ProblemMarks
from plusway.autograde.marking.overrides import (
    Override,
    bare,
    holding,
    load_overrides,
    overridden,
    within_worth,
    written,
)

from .conftest import SCENE

STEP: dict[str, Any] = {"step": "equations", "item": "sack", "text": "T - 63.7 = 6.5 a", "verdict": "slip", "points": 0.5,
                        "of": 2.0, "slips": [{"kind": "unnamed", "says": "?"}]}


def decision(**more: Any) -> Override:
    return Override(**{"problem": "p", "step": "equations", "verdict": "right", "reason": "why", "date": "2025-03-01", **more})


def decided(*overrides: Override, student: str = "s1") -> dict[str, Any]:
    marks = ProblemMarks("p", "p", {"scene": "p", "steps": [STEP]})
    return dict(overridden(marks, student, overrides)["steps"][0])


APPLIES = [
    ("the line, spaces aside", {"line": "T-63.7=6.5a"}, True),
    ("the line with a typographic minus", {"line": "T − 63.7 = 6.5 a"}, True),
    ("another line", {"line": "T + 63.7 = 6.5 a"}, False),
    ("the item", {"item": "sack"}, True),
    ("another item", {"item": "box", "line": "T - 63.7 = 6.5 a"}, False),
    ("the student", {"student": "s1"}, True),
    ("another student", {"student": "s2", "line": "T - 63.7 = 6.5 a"}, False),
    ("another problem", {"problem": "q", "item": "sack"}, False),
    ("another step", {"step": "ties", "line": "T - 63.7 = 6.5 a"}, False),
]


@pytest.mark.parametrize(("which", "applies"), [case[1:] for case in APPLIES], ids=[case[0] for case in APPLIES])
def test_to_whom_an_override_applies(which: dict[str, Any], applies: bool) -> None:
    """All that it names must fit."""
    assert (decided(decision(**which))["verdict"] == "right") is applies


POINTS = [("right earns all", {"verdict": "right"}, 2.0), ("follows earns all", {"verdict": "follows"}, 2.0),
          ("slip earns nothing", {"verdict": "slip"}, 0.0), ("unless it says how much", {"verdict": "slip", "points": 1.5}, 1.5),
          ("never more than the step is worth", {"points": 50.0}, 2.0)]


@pytest.mark.parametrize(("what", "points"), [case[1:] for case in POINTS], ids=[case[0] for case in POINTS])
def test_what_an_override_earns(what: dict[str, Any], points: float) -> None:
    """The teacher's verdict and, if given, the teacher's points."""
    assert decided(decision(item="sack", **what))["points"] == points


SAID = [("taken as right", "unread", "right", False), ("taken as right after all", "follows", "follows", False),
        ("left as it was", "unread", "unread", True), ("a remark on what was right", "right", "right", True)]


@pytest.mark.parametrize(("before", "verdict", "stays"), [case[1:] for case in SAID], ids=[case[0] for case in SAID])
def test_beside_the_teachers_reason_the_judge_does_not_go_on_complaining(before: str, verdict: str, stays: bool) -> None:
    """A line that the teacher takes is not said to be unreadable, or impossible, in the same breath."""
    step = {**STEP, "verdict": before, "slips": [], "says": "Write a decimal point.", "at": [0, 3]}
    marks = ProblemMarks("p", "p", {"scene": "p", "steps": [step]})
    [found] = overridden(marks, "s1", [decision(item="sack", verdict=verdict)])["steps"]
    assert ("says" in found, "at" in found) == (stays, stays)


def test_the_last_decision_counts() -> None:
    """A teacher may think again."""
    assert decided(decision(item="sack"), decision(item="sack", verdict="slip"))["verdict"] == "slip"


@given(st.lists(st.builds(decision, line=st.text(min_size=1), reason=st.text(min_size=1).filter(str.strip),
                          points=st.none() | st.floats(0, 100)), max_size=3))
def test_what_is_written_is_read_back(tmp_path_factory: pytest.TempPathFactory, overrides: list[Override]) -> None:
    """Whatever a reason or a line contains."""
    if not overrides:
        return
    path = tmp_path_factory.mktemp("o") / "overrides.toml"
    path.write_text(written(overrides), encoding="utf-8")
    assert load_overrides(path) == tuple(overrides)


ASSIGNMENTS = [("every assignment", None, True), ("this one", "ps1", True), ("another", "ps2", False)]


@pytest.mark.parametrize(("assignment", "holds"), [case[1:] for case in ASSIGNMENTS], ids=[case[0] for case in ASSIGNMENTS])
def test_in_which_assignment_an_override_holds(assignment: str | None, holds: bool) -> None:
    """Problems of two assignments may have the same name."""
    one = decision(item="sack", assignment=assignment)
    assert holding((one,), "ps1") == ((one,) if holds else ())


def test_an_override_says_what_it_is_about() -> None:
    """So that one which fits no line can be named."""
    assert decision(line="T = 1", student="s1").says() == "p, equations, line 'T = 1', s1"


GOOD = 'problem = "p"\nstep = "equations"\nline = "T = 1"\nverdict = "right"\nreason = "why"\ndate = 2025-03-01\n'
BAD = [
    ("no TOML", "[[[", "not a TOML file"),
    ("nothing", "", r"expected \[\[override\]\] tables and nothing else, found nothing"),
    ("another table", "[x]\n", "found x"),
    ("an unknown key", "[[override]]\n" + GOOD + "marks = 2\n", "override 1: marks: not a key of an override"),
    ("no reason", "[[override]]\n" + GOOD.replace('reason = "why"\n', ""), "override 1: reason: missing"),
    ("no date", "[[override]]\n" + GOOD.replace("date = 2025-03-01\n", ""), "override 1: date: missing"),
    ("no such step", "[[override]]\n" + GOOD.replace("equations", "coffee"), "step: 'coffee' is not one of"),
    ("no such verdict", "[[override]]\n" + GOOD.replace("right", "ok"), "verdict: 'ok' is not one of"),
    ("a date that is none", "[[override]]\n" + GOOD.replace("2025-03-01", '"yesterday"'),
     "override 1: date: 'yesterday' is not a date; write it like date = 2025-03-01"),
    ("a time alone", "[[override]]\n" + GOOD.replace("2025-03-01", "10:00:00"), "is not a date"),
    ("too many points", "[[override]]\n" + GOOD + "points = 500\n", "points: 500 is not a number of points"),
    ("everybody's everything", "[[override]]\n" + GOOD.replace('line = "T = 1"\n', ""), "say which line, item or student"),
    ("the second of two", "[[override]]\n" + GOOD + "[[override]]\n" + GOOD.replace("why", ""), "override 2: reason: missing"),
]


@pytest.mark.parametrize(("text", "says"), [case[1:] for case in BAD], ids=[case[0] for case in BAD])
def test_a_file_that_can_not_be_used_says_what_to_mend(tmp_path: Path, text: str, says: str) -> None:
    """File, which override, key, what would do."""
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UsageError, match=says) as error:
        load_overrides(path)
    assert str(error.value).startswith(str(path))


@pytest.mark.parametrize("date", ["2025-03-01", '"2025-03-01"', "2025-03-01T10:00:00", "2025-03-01T10:00:00Z"])
def test_a_date_is_kept_as_a_day(tmp_path: Path, date: str) -> None:
    """Also one in quotation marks, as earlier versions kept it."""
    (tmp_path / "mine.toml").write_text("[[override]]\n" + GOOD.replace("2025-03-01", date))
    assert [o.date for o in load_overrides(tmp_path / "mine.toml")] == ["2025-03-01"]


WORTH = [
    ("all of an equation", {"step": "equations", "item": "sack", "points": 2.0}, ""),
    ("more than an equation", {"step": "equations", "item": "sack", "points": 5.0}, "points = 5 is more than the 2 that it is worth"),
    ("an equation of any body", {"step": "equations", "line": "T = 1", "points": 2.5}, "more than the 2 that it is worth"),
    ("both milestones in one line", {"step": "working", "line": "a = 1", "points": 2.0}, ""),
    ("more than the working", {"step": "working", "line": "a = 1", "points": 3.0}, "more than the 2 that it is worth"),
    ("a problem of another assignment", {"problem": "other", "item": "sack", "points": 50.0}, ""),
    ("another assignment's problem of that name", {"assignment": "ps2", "item": "sack", "points": 50.0}, ""),
]


@pytest.mark.parametrize(("what", "says"), [case[1:] for case in WORTH], ids=[case[0] for case in WORTH])
def test_points_are_at_most_what_a_step_is_worth(source: dict[str, Any], what: dict[str, Any], says: str) -> None:
    """Where the assignment says what that is; a point too many was meant for something else."""
    assignment, override = assignment_from(source, "x"), decision(**{"problem": SCENE, **what})
    if not says:
        within_worth([override], assignment, "mine.toml")
        return
    with pytest.raises(UsageError, match=says) as error:
        within_worth([override], assignment, "mine.toml")
    assert str(error.value).startswith(f"mine.toml: your verdict on {SCENE}")


def test_bare_keeps_what_matters() -> None:
    """Signs and figures stay."""
    assert bare("T − 63.70 =\t6.5 · a") == "T-63.70=6.5*a"
