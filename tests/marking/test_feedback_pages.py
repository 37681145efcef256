"""Each student's page: the lines with verdict, reason and marks, as text, and nothing of the key or of others."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import assignment_from, seed_for
from plusway.autograde.marking.feedback import file_name, page
from plusway.autograde.marking.mark import mark_notebook
from plusway.autograde.marking.numbers import with_numbers
from plusway.autograde.marking.run import Job, mark_folder
from plusway.lessons import assign, catalogue

from .conftest import SCENE, Copy, answers_of, put


class Tags(HTMLParser):
    """The tags and attributes of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]


NASTY = ['<script>alert(1)</script>', '"><img src=x onerror=alert(1)>', "</style><b>", "&lt;b&gt;", "\u202eT = 1", "T\x00 = 1"]


@pytest.mark.parametrize("text", NASTY, ids=repr)
def test_a_students_page_shows_their_text_as_text(tmp_path: Path, copy_of: Copy, job: Job, text: str) -> None:
    """No tag and no attribute of theirs."""
    answers = {"equations": {"sack": text}, "ties": [text], "working": [text], "results": {"a": text}, "sense": [text],
               "directions": {"sack": text}, "forces": {"sack": [[text, text]]}}
    put(tmp_path / "in" / "s1.ipynb", copy_of(answers))
    mark_folder(tmp_path / "in", tmp_path / "out", job)
    tags = Tags()
    tags.feed((tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8"))
    assert not {"script", "img", "b", "iframe", "a"} & set(tags.tags)
    assert not [name for name in tags.attributes if name.startswith("on")]


def test_a_students_page_has_verdict_reason_marks_and_formulas_and_no_key(collected: Path, job: Job, tmp_path: Path) -> None:
    """And nothing of other students."""
    mark_folder(collected, tmp_path / "out", job)
    wrong = (tmp_path / "out" / "feedback" / "wrong.html").read_text(encoding="utf-8")
    assert "a slip" in wrong
    assert "1 of 2" in wrong
    assert "<math" in wrong
    half = (tmp_path / "out" / "feedback" / "half.html").read_text(encoding="utf-8")
    assert "1.58" not in half
    assert "wrong" not in half
    assert "right.ipynb" not in half


def test_a_students_page_gives_the_numbers_that_were_theirs(tmp_path: Path, source: dict[str, Any], copy_of: Copy) -> None:
    """Without them nobody could follow a line, and each student has others."""
    seed = seed_for("ps1", "s1")
    mass = with_numbers(catalogue.text(SCENE), SCENE, seed).bodies["sack"].mass.text
    put(tmp_path / "in" / "s1.ipynb", copy_of({}, seed=seed))
    mark_folder(tmp_path / "in", tmp_path / "out", Job(replace(assignment_from(source, "x"), numbers="per-student")))
    assert f"Given: m_1 = {mass} kg (sack), " in (tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8")


def test_a_file_that_can_not_be_read_is_told_its_student_as_something_to_do(collected: Path, job: Job) -> None:
    """The table tells the teacher what to ask for; the page tells the student what to hand in."""
    mark_folder(collected, collected / "marks", job)
    html = (collected / "marks" / "feedback" / "broken.html").read_text(encoding="utf-8")
    assert html.count("Your notebook could not be marked: the file is broken JSON") == 1
    assert "hand in the .ipynb file that JupyterLab saves." in html
    assert "ask for" not in html


NAMES = ["s017", "../../etc/passwd", "Ünal Ö.", "CON", "", "a/b", "x" * 300, "s017.", "=cmd"]


def test_file_names_of_students_are_safe_and_different() -> None:
    """Whatever a student is called."""
    names = [file_name(name) for name in NAMES]
    assert len(set(names)) == len(NAMES)
    assert all(len(name) < 100 and set(name) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.")
               for name in names)


def test_students_who_share_a_page_by_folder_share_no_page_otherwise(tmp_path: Path, copy_of: Copy, job: Job) -> None:
    """Two notebooks of one student are one page."""
    for file in ("s1/a.ipynb", "s1/b.ipynb", "s2/a.ipynb"):
        put(tmp_path / "in" / file, copy_of(answers_of()))
    mark_folder(tmp_path / "in", tmp_path / "out", job)
    assert sorted(p.name for p in (tmp_path / "out" / "feedback").iterdir()) == ["s1.html", "s2.html"]


PARTS: dict[str, dict[str, Any]] = {
    "nothing": {}, "one tie of two": {"ties": ["a_1 = a_2"]}, "a wrong tie": {"ties": ["a_1 = 7a_2"]}, "one line of working": {"working": ["a_1 = 1"]},
    "one result": {"results": {"a_1": "1 m/s^2"}}, "checks": {"sense": ["a_1 < g", "g > 0"]}}


@pytest.mark.parametrize("scene", [SCENE, "three-bags-compound", "grindstone-with-drag", "table-between-two-weights"])
@pytest.mark.parametrize("part", PARTS)
def test_the_lines_of_a_step_add_up_to_what_stands_above_them(scene: str, part: str) -> None:
    """Whatever was left blank: no "0 of 1" above a "0 of 0.5". Checks are worth their points together, so they have none of their own."""
    notebook = json.loads(json.dumps(assign.plan("ps1", [scene]).notebook))
    notebook["metadata"]["plusway"]["answers"] = {scene: PARTS[part]}
    marked = mark_notebook(json.dumps(notebook).encode(), assignment_from(notebook, "x"), student="s1", file="s1.ipynb")
    html = page("s1", [marked], {})
    steps = re.findall(r'<h4>([^<]*) <span class="marks">([\d.]+) of ([\d.]+)</span></h4>\n<ol class="lines">(.*?)</ol>', html, re.DOTALL)
    assert len(steps) >= 5
    for title, *above, lines in steps:
        below = re.findall(r"</span>, ([\d.]+) of ([\d.]+)</div>", lines)
        if title != "Sense checks":
            assert [sum(float(pair[k]) for pair in below) for k in (0, 1)] == pytest.approx([float(x) for x in above], abs=1e-4), title
