"""What `plusway mark` takes and says: verdicts of one's own, what is to mend, and marking without an assignment."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking import run
from plusway.autograde.marking.overrides import load_overrides
from plusway.lessons import assign, marking_setup
from plusway.lessons.command import main

from .conftest import SCENE, Copy, answers_of, points, put


def test_an_override_file_is_kept_and_marks_again(collected: Path, source_file: Path, tmp_path: Path) -> None:
    """All who wrote the line, in this run and in later ones."""
    line = answers_of(slip="flipped")["equations"]["sack"]
    decisions = tmp_path / "mine.toml"
    decisions.write_text(f'[[override]]\nproblem = "{SCENE}"\nstep = "equations"\nline = "{line}"\nverdict = "right"\n'
                         'reason = "I said so"\ndate = 2025-03-01\n')
    main(["mark", str(collected), "--assignment", str(source_file), "--override", str(decisions)])
    main(["mark", str(collected), "--assignment", str(source_file)])
    assert points(collected / "marks")["wrong"]["points"] == 12.0
    page = (collected / "marks" / "feedback" / "wrong.html").read_text(encoding="utf-8")
    assert "Decided by your teacher on 2025-03-01: I said so" in page


def test_what_a_students_archive_may_have_brought_is_said(tmp_path: Path, copy_of: Copy, source_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Archives that are unpacked into one folder may hold a file of verdicts, or a folder submitted/: points planted, or a class passed over."""
    folder = tmp_path / "in"
    line = answers_of(slip="flipped")["equations"]["sack"]
    planted = (f'[[override]]\nproblem = "{SCENE}"\nstep = "equations"\nline = "{line}"\nstudent = "eve"\nverdict = "right"\nreason = "x"\n'
               'date = 2025-03-01\n')
    put(folder / "eve.ipynb", copy_of(answers_of(slip="flipped")))
    put(folder / "marks" / "overrides.toml", planted)
    mark = ["mark", str(folder), "--assignment", str(source_file)]
    assert main(mark) == 0
    said = capsys.readouterr()
    assert "marks/overrides.toml was there before the first marking, and its verdicts hold; if you did not write it" in said.err
    assert f"Your own verdicts that hold, kept in {folder / 'marks' / 'overrides.toml'}: {SCENE}, equations, line '{line}', eve\n" in said.out
    assert main(mark) == 0
    said = capsys.readouterr()
    assert (said.err, "Your own verdicts that hold" in said.out) == ("", True)
    put(folder / "submitted" / "s1" / "ps1" / "ps1.ipynb", copy_of(answers_of()))
    assert main(mark) == 0
    assert "so it is taken for a course and only that is marked; beside it lies eve.ipynb" in capsys.readouterr().err


def test_a_student_who_is_called_like_the_results_is_not_passed_over(tmp_path: Path, copy_of: Copy, source_file: Path,
                                                                     capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is marked before the teacher has chosen another place for the results."""
    put(tmp_path / "in" / "ada" / "ps1.ipynb", copy_of(answers_of()))
    put(tmp_path / "in" / "marks" / "ps1.ipynb", copy_of(answers_of()))
    mark = ["mark", str(tmp_path / "in"), "--assignment", str(source_file)]
    assert main(mark) == 2
    assert "marks/ps1.ipynb: lies where the results go, so it would not be marked" in capsys.readouterr().err
    assert main([*mark, "--out", str(tmp_path / "out")]) == 0
    assert sorted(points(tmp_path / "out")) == ["ada", "marks"]


def test_an_override_that_fits_no_line_is_told(collected: Path, source_file: Path, tmp_path: Path,
                                               capsys: pytest.CaptureFixture[str]) -> None:
    """A mistyped line would otherwise change nothing without a word; those that fit are not named."""
    text = '[[override]]\nproblem = "{}"\nstep = "equations"\nline = "{}"\nverdict = "right"\nreason = "x"\ndate = 2025-03-01\n'
    (tmp_path / "mine.toml").write_text(text.format(SCENE, answers_of(slip="flipped")["equations"]["sack"]) + text.format(SCENE, "T = 5a"))
    assert main(["mark", str(collected), "--assignment", str(source_file), "--override", str(tmp_path / "mine.toml")]) == 0
    err = capsys.readouterr().err
    assert err == "plusway mark: your verdict on feed-sack, equations, line 'T = 5a' fits no line of these notebooks, so it is not kept\n"
    assert main(["mark", str(collected), "--assignment", str(source_file)]) == 0
    assert capsys.readouterr().err == ""
    assert points(collected / "marks")["wrong"]["points"] == 12.0


def test_a_kept_verdict_on_another_assignment_is_not_said_to_fit_nothing(tmp_path: Path, copy_of: Copy, capsys: pytest.CaptureFixture[str]) -> None:
    """In a course with several, each with results of its own; one that should fit and does not is told as ever."""
    course = tmp_path / "course"
    text = '[[override]]\n{}step = "ties"\nline = "a = 1"\nverdict = "right"\nreason = "x"\ndate = 2025-03-01\n'
    assign.write(assign.plan("ps1", [SCENE]), course)
    put(course / "submitted" / "s1" / "ps1" / "ps1.ipynb", copy_of(answers_of()))
    put(course / "overrides.toml", text.format('assignment = "ps2"\nproblem = "mine-cart"\n') + text.format('problem = "mine-cart"\n'))
    main(["mark", str(course)])
    assert capsys.readouterr().err == ""
    put(course / "overrides.toml", text.format(f'problem = "{SCENE}"\n'))
    main(["mark", str(course)])
    assert "your verdict on feed-sack, ties, line 'a = 1' fits no line of these notebooks; take it out of" in capsys.readouterr().err


def decision(path: Path, line: str) -> Path:
    """A file with one verdict of the teacher's."""
    return put(path, f'[[override]]\nproblem = "{SCENE}"\nstep = "equations"\nline = "{line}"\nverdict = "right"\nreason = "x"\ndate = 2025-03-01\n')


@pytest.mark.parametrize(("out", "code", "kept"), [("other", 0, 2), ("marks", 2, 1)])
def test_overrides_of_two_processes_at_once_are_both_kept_or_one_is_sent_away(
        tmp_path: Path, copy_of: Copy, run_in: Any, monkeypatch: pytest.MonkeyPatch, out: str, code: int, kept: int) -> None:
    """In one course, while the first is marking: a second that writes results of its own adds its verdict to the first's, and one that
    wants the same results is told to wait. Neither verdict is lost without a word."""
    course = tmp_path / "course"
    assign.write(assign.plan("ps1", [SCENE]), course)
    lines = {slip: answers_of(slip=slip)["equations"]["sack"] for slip in ("flipped", "missing")}
    for slip in lines:
        put(course / "submitted" / slip / "ps1" / "ps1.ipynb", copy_of(answers_of(slip=slip)))
    first, second = (decision(tmp_path / f"{slip}.toml", line) for slip, line in lines.items())
    real, seconds = run.mark_all, []

    def meanwhile(*given: Any) -> Any:
        seconds.append(run_in(course, "plusway", "mark", ".", "--out", out, "--override", str(second), code=code))
        return real(*given)

    monkeypatch.setattr(run, "mark_all", meanwhile)
    assert main(["mark", str(course), "--out", str(course / "marks"), "--override", str(first)]) == 0
    assert len(seconds) == 1
    assert [o.line for o in load_overrides(course / "overrides.toml")] == list(lines.values())[::-1][2 - kept:]
    assert ("another plusway mark is at work on these results" in seconds[0].stderr) is (code == 2)


def test_a_file_of_overrides_that_is_being_written_is_waited_for(collected: Path, source_file: Path, tmp_path: Path, run_in: Any,
                                                                monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """And where that never ends it is said in one line; the same command works afterwards."""
    mine = decision(tmp_path / "mine.toml", answers_of(slip="flipped")["equations"]["sack"])
    call = ["mark", str(collected), "--assignment", str(source_file), "--override", str(mine)]
    (collected / "marks").mkdir()
    holder = subprocess.Popen([sys.executable, "-c", "import sys, pathlib; from plusway.autograde.records import locked\n"
                               "with locked(pathlib.Path(sys.argv[1])): print('held', flush=True); sys.stdin.read()",
                               str(collected / "marks" / ".overrides")], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert holder.stdout is not None
    assert holder.stdout.readline() == "held\n"
    monkeypatch.setattr(marking_setup, "PATIENCE", 0.1)
    assert main(call) == 2
    assert "overrides.toml: another plusway mark is writing it; wait for it" in capsys.readouterr().err
    holder.communicate()
    assert main(call) == 0
    assert len(load_overrides(collected / "marks" / "overrides.toml")) == 1


TO_MEND = [
    ("a missing folder", ["mark", "gone"], "gone: there is no such folder"),
    ("a file", ["mark", "file.txt"], "file.txt: there is no such folder"),
    ("an empty folder", ["mark", "none"], "none: no notebook"),
    ("a missing assignment", ["mark", "one", "--assignment", "gone.ipynb"], "gone.ipynb: there is no such file"),
    ("an assignment that is none", ["mark", "one", "--assignment", "one/s1.ipynb"], "no plusway problems in this notebook"),
    ("no processes", ["mark", "one", "--jobs", "0"], "--jobs 0: give a number"),
    ("a scene that is none", ["mark", "one", "--scene", "fed-sack"], "did you mean feed-sack"),
    ("a missing scheme", ["mark", "one", "--scheme", "gone.toml"], "gone.toml: can't be read"),
    ("overrides that are none", ["mark", "one", "--override", "file.txt"], "file.txt: not a TOML file"),
    ("a report without marks", ["report", "one"], "one: no results here; run plusway mark one first"),
    ("results that are none", ["mark", "one", "--out", "bad"], "can't be used for the results"),
]


@pytest.mark.parametrize(("arguments", "says"), [case[1:] for case in TO_MEND], ids=[case[0] for case in TO_MEND])
def test_what_is_to_mend_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
                                     arguments: list[str], says: str) -> None:
    """Exit code 2, and one line on standard error."""
    monkeypatch.chdir(tmp_path)
    for folder in ("none", "bad"):
        Path(folder).mkdir()
    Path("file.txt").write_text("[[[")
    put(Path("one/s1.ipynb"), {"nbformat": 4, "cells": [], "metadata": {}})
    Path("bad/results.sqlite").write_text("this is no database, however long it is " * 50)
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert says in err
    assert err.count("\n") == 1
    assert out == ""


def test_without_an_assignment_the_output_says_what_that_means(collected: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A notebook could name fewer problems than were set."""
    assert main(["mark", str(collected)]) == 0
    assert "could name fewer problems" in " ".join(capsys.readouterr().out.split())
    assert points(collected / "marks")["right"]["points"] == 12.0


def test_one_error_of_many_notebooks_is_said_once(tmp_path: Path, copy_of: Copy, capsys: pytest.CaptureFixture[str]) -> None:
    """Marked without the assignment, a scene of the teacher's own is unknown to all forty; the others have their rows."""
    notebook = copy_of(answers_of())
    notebook["metadata"]["plusway"]["problems"][SCENE]["scene"] = "my-own-winch"
    for place in range(1, 41):
        put(tmp_path / f"s{place:02}.ipynb", notebook)
    put(tmp_path / "t1.ipynb", "")
    assert main(["mark", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert said.count("my-own-winch") == 1
    assert "40 notebooks could not be marked: feed-sack: its scene 'my-own-winch' does not ship; give --assignment or --scene" in said
    assert "s01.ipynb, s02.ipynb, s03.ipynb, s04.ipynb, s05.ipynb and 35 more" in said
    assert "s06.ipynb" not in said
    assert "t1.ipynb" in said


def test_a_scene_that_was_not_set_is_shown_apart(tmp_path: Path, copy_of: Copy) -> None:
    """Marked without an assignment: answers to a problem that the notebook does not set itself have their verdicts and no points, and the
    teacher is told; one that was written into what it sets is told too, by what the others have."""
    more = {"mine-cart": {"ties": ["a_1 = a_2"]}}
    for name in ("ada", "bob", "eva"):
        put(tmp_path / f"{name}.ipynb", copy_of(answers_of()))
    further = copy_of(answers_of())
    further["metadata"]["plusway"]["answers"] |= more
    put(tmp_path / "ida.ipynb", further)
    written_in = copy_of(answers_of())
    written_in["metadata"]["plusway"]["answers"] |= more
    written_in["metadata"]["plusway"]["problems"]["mine-cart"] = {"scene": "mine-cart"}
    put(tmp_path / "max.ipynb", written_in)
    assert main(["mark", str(tmp_path)]) == 0
    rows = points(tmp_path / "marks")
    assert {name: (row["points"], row["of"]) for name, row in rows.items() if name != "max"} == dict.fromkeys(["ada", "bob", "eva", "ida"], (12.0, 12.0))
    assert rows["ida"]["flags"] == [{"kind": "further", "says": "answers to mine-cart, which this notebook does not set: shown apart, not counted"}]
    apart = rows["ida"]["problems"][1]
    assert (apart["problem"], apart["apart"], [s["verdict"] for s in apart["steps"] if s["step"] == "ties"]) == ("mine-cart", True, ["right"])
    assert [flag["says"] for flag in rows["max"]["flags"]] == [f"counts {rows['max']['problems'][1]['title']}, which most of the other notebooks do not have"]
    page = (tmp_path / "marks" / "feedback" / "ida.html").read_text(encoding="utf-8")
    assert page.count('<span class="marks">not counted</span>') == 1
    table = csv.DictReader((tmp_path / "marks" / "results.csv").read_text(encoding="utf-8").splitlines())
    assert {row["student"]: row["mine-cart: ties"] for row in table if row["student"] in ("ida", "max")} == {"ida": "", "max": "1"}
    main(["report", str(tmp_path)])
    assert "answers to mine-cart, which this notebook does not set" in (tmp_path / "marks" / "report.html").read_text(encoding="utf-8")


def test_a_class_of_free_practice_is_not_told_of_everybody(tmp_path: Path, copy_of: Copy) -> None:
    """Each about a scene of their own choice: nobody is unlike the others, for there is nothing that most have."""
    for name in (SCENE, "mine-cart", "grindstone-with-drag", "lamp-in-the-lift"):
        notebook = copy_of({})
        notebook["metadata"]["plusway"].update(problems={name: {"scene": name}}, answers={name: {"ties": ["a_1 = a_2"]}}, assignment="")
        put(tmp_path / f"s-{name}.ipynb", notebook)
    assert main(["mark", str(tmp_path)]) == 0
    assert [flag for row in points(tmp_path / "marks").values() for flag in row["flags"] if flag["kind"] in ("unlike", "further")] == []
