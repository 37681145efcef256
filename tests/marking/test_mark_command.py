"""What `plusway mark` takes and says: verdicts of one's own, what is to mend, and marking without an assignment."""

from __future__ import annotations

from pathlib import Path

import pytest

from plusway.lessons.command import main

from .conftest import SCENE, answers_of, points, put


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
