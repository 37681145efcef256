"""Whose name stands where: a student's page names that student only, and the class report nobody unless asked."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking import alike
from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.run import Job, mark_folder
from plusway.lessons.command import main

from .conftest import Copy, answers_of, put

STUDENTS = {f"name-{word}": slip for word, slip in zip(
    ("anders", "birgit", "carmen", "dorian", "esther"), ("", "flipped", "missing", "half", "empty"), strict=True)}


@pytest.fixture
def results(tmp_path: Path, copy_of: Copy, source: dict[str, Any],
            monkeypatch: pytest.MonkeyPatch) -> Path:
    """A class in which two are too much alike, one hands in another's notebook, one a broken file and one a link."""
    monkeypatch.setattr(alike, "FALSE_ALARMS", float("inf"))  # what is flagged is another test's matter
    folder = tmp_path / "in"
    for student, slip in STUDENTS.items():
        notebook = copy_of(answers_of(slip=slip), student="name-anders", seed="0123456789abcdef")
        put(folder / f"{student}.ipynb", notebook)
    odd = answers_of(slip="flipped")
    odd.update(equations={"sack": "T + 63.7 = 6.5a", "counterweight": "9 - T = 9a"}, ties=["a_1 = -a_2"], working=[], results={"a": "9.8 m/s^2", "T": "74.0 kg"}, sense=["T = W_2"])
    for student in ("name-felix", "name-gudrun"):
        put(folder / f"{student}.ipynb", copy_of(odd))
    (folder / "name-hanna.ipynb").write_text("{")
    (folder / "name-ivan.ipynb").symlink_to("/etc/hostname")
    mark_folder(folder, tmp_path / "out", Job(assignment_from(source, "x")))
    return tmp_path / "out"


def names(results: Path) -> list[str]:
    return [json.loads(line)["student"] for line in (results / "results.jsonl").read_text(encoding="utf-8").splitlines()]


def test_a_students_page_names_no_other(results: Path) -> None:
    """Not even where two were alike: that is for the teacher."""
    everybody = names(results)
    flagged = [json.loads(line) for line in (results / "results.jsonl").read_text(encoding="utf-8").splitlines() if '"alike"' in line]
    assert {row["student"] for row in flagged} == {"name-felix", "name-gudrun"}
    for student in everybody:
        page = (results / "feedback" / f"{student}.html").read_text(encoding="utf-8")
        assert student in page
        assert not [other for other in everybody if other != student and other not in student and other in page]


def test_the_report_names_nobody_unless_asked(results: Path) -> None:
    """Neither the page nor its data; asked for, everybody."""
    for arguments, expected in (([], 0), (["--names"], 1)):
        assert main(["report", str(results), *arguments]) == 0
        for file in ("report.html", "report.json"):
            text = (results / file).read_text(encoding="utf-8")
            assert [student in text for student in names(results)].count(True) == expected * len(names(results))
