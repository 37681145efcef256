"""The worked key: as the class writes it, and with the numbers of one student."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import seed_for
from plusway.autograde.marking.numbers import with_numbers
from plusway.autograde.reading import Vocabulary, read
from plusway.autograde.scene import as_in_class
from plusway.lessons import assign, catalogue
from plusway.lessons.command import main
from plusway.lessons.key import in_class_letters, key_steps

from .conftest import SCENE, Copy, answers_of, points, put

BALE = "hay-bale-on-ramp"
OURS = {"weight": "F_g", "normal": "R", "friction": "F_f"}
LINES = [
    ("a line", "T - W_1 = m_1 a_1", OURS, True, "T - F_g1 = m_1 a_1"),
    ("a normal force and its friction", "f_1 = mu_k N_1 = 0.35(152.8)", OURS, True, "F_f1 = mu_k R_1 = 0.35(152.8)"),
    ("a sentence, where N may be a unit", "N is 93 N, and N gives friction", OURS, False, "R is 93 N, and R gives friction"),
    ("a weight that is written mg", "W_1 < T", {"weight": "mg"}, True, "m_1 g < T"),
    ("a letter within a word", "sin(theta) of Newton", OURS, False, "sin(theta) of Newton"),
    ("without letters of its own", "N_1 = W_1", {}, True, "N_1 = W_1"),
]


@pytest.mark.parametrize(("text", "notation", "is_line", "own"), [case[1:] for case in LINES], ids=[case[0] for case in LINES])
def test_the_class_letters_stand_in_the_place_of_ours(text: str, notation: dict[str, str], is_line: bool, own: str) -> None:
    """W, N and f with whatever index."""
    scene = as_in_class(catalogue.find(BALE), {"notation": notation}, "test")
    assert in_class_letters(text, scene, is_line) == own


def test_every_line_of_a_key_in_class_letters_can_be_read_as_a_students() -> None:
    """The key is written in the letters that the judge takes from this class."""
    for name in ("two-kegs-class-letters", BALE):
        scene = as_in_class(catalogue.find(name), {"notation": OURS}, "test")
        vocabulary = Vocabulary.of(scene)
        lines = [line.text for step in key_steps(scene, {}) if step.step in ("surfaces", "equations", "numbers", "sense")
                 for line in step.lines if line.kind == "math"]
        assert len(lines) > 6
        assert all(read(line, vocabulary).lines for line in lines)
        assert not [line for line in lines if re.search(r"\b[NW]_", line)]


def test_the_key_of_a_dry_run_is_in_the_letters_of_the_class(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """On the terminal and as a page."""
    command = ["assign", "--scene", BALE, "--name", "ps1", "--notation", "normal=R", "weight=F_g", "--dry-run"]
    assert main(command) == 0
    key = capsys.readouterr().out.partition("The worked key")[2]
    assert "that gives R, and R gives friction" in key
    assert "R_1 = m_1 g cos(theta)" in key
    assert not re.search(r"\b[NW]_[12]", key)
    assert main([*command, "--out", str(tmp_path)]) == 0
    page = (tmp_path / "key.html").read_text(encoding="utf-8")
    assert "<mi>R</mi><mn>1</mn>" in re.sub(r"\s", "", page)
    assert "<mi>N</mi>" not in page


@pytest.fixture
def notebook(tmp_path: Path) -> Path:
    path, _ = assign.write(assign.plan("ps1", [SCENE, "mine-cart"], per_student=True), tmp_path / "course")
    return path


def test_one_students_key_has_the_numbers_that_the_marking_takes(notebook: Path, capsys: pytest.CaptureFixture[str], copy_of: Copy, tmp_path: Path) -> None:
    """The results of the key, handed in by that student, are right."""
    assert main(["solve", SCENE, "--assignment", str(notebook), "--student", "ada", "--json"]) == 0
    key: dict[str, Any] = json.loads(capsys.readouterr().out)
    values = {name: found["value"] for name, found in key["problems"][SCENE]["values"].items()}
    scene = with_numbers(catalogue.text(SCENE), SCENE, seed_for("ps1", "ada"))
    m_1, m_2 = (float(scene.bodies[body].mass.text) for body in ("sack", "counterweight"))
    assert values["T"] == pytest.approx(2 * m_1 * m_2 * 9.8 / (m_1 + m_2))
    handed_in = json.loads(notebook.read_text(encoding="utf-8"))
    handed_in["metadata"]["plusway"].update(seed=seed_for("ps1", "ada"), answers={SCENE: {
        "directions": answers_of()["directions"], "results": {"T": f"{values['T']:.4g} N"}}})
    put(tmp_path / "in" / "ada.ipynb", handed_in)
    main(["mark", str(tmp_path / "in"), "--assignment", str(notebook)])
    [first, _] = points(tmp_path / "in" / "marks")["ada"]["problems"]
    assert [s["verdict"] for s in first["steps"] if s["step"] == "results" and s["item"] == "T"] == ["right"]


def test_without_a_problem_all_of_them_are_printed(notebook: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each with the student's data on a line before it."""
    assert main(["solve", "--assignment", str(notebook), "--student", "ada"]) == 0
    said = capsys.readouterr().out
    assert [line.partition(". ")[0] for line in said.splitlines() if "Numbers of ada: g = 9.8 m/s^2, m_1 = " in line] == [f"ps1, {SCENE}", "ps1, mine-cart"]
    assert main(["solve", SCENE, "--assignment", str(notebook), "--student", "bob", "--positive", "sack=down"]) == 0
    other = capsys.readouterr().out
    assert "sack: down is positive" in other
    assert other.splitlines()[0].partition(": ")[2] not in said


@pytest.mark.parametrize(("student", "notes"), [("ada", 0), ("Ada", 1)])
def test_a_name_for_which_no_copy_was_written_is_noted(tmp_path: Path, capsys: pytest.CaptureFixture[str], student: str, notes: int) -> None:
    """Any name has numbers, a mistyped one those of nobody."""
    (tmp_path / "class.txt").write_text("ada\n")
    main(["assign", "--scene", SCENE, "--name", "ps1", "--course", str(tmp_path), "--per-student", "--students", str(tmp_path / "class.txt")])
    capsys.readouterr()
    assert main(["solve", "--assignment", str(tmp_path / "source" / "ps1" / "ps1.ipynb"), "--student", student]) == 0
    assert capsys.readouterr().err.count("note: Ada: no copy was written for a student of that name") == notes


def test_where_all_have_the_same_numbers_that_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A key all the same."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    assert main(["solve", "--assignment", str(path), "--student", "ada"]) == 0
    assert capsys.readouterr().out.startswith(f"ps1, {SCENE}. Everybody has the same numbers: g = 9.8 m/s^2, m_1 = 6.5 kg, ")


WRONG = [("no student", ["--assignment", "FILE"], "go together"),
         ("no assignment", ["--student", "ada"], "go together"),
         ("no name, as of a variable that the shell does not know", ["--assignment", "FILE", "--student", " "], "the name is empty"),
         ("another problem", ["grain-wagon", "--assignment", "FILE", "--student", "ada"], f"it has {SCENE}, mine-cart"),
         ("directions for several", ["--assignment", "FILE", "--student", "ada", "--positive", "sack=up"], "say which problem it is for")]


@pytest.mark.parametrize(("arguments", "says"), [case[1:] for case in WRONG], ids=[case[0] for case in WRONG])
def test_a_wrong_call_says_what_to_mend(notebook: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], says: str) -> None:
    """One line."""
    assert main(["solve", *(str(notebook) if a == "FILE" else a for a in arguments)]) == 2
    assert says in capsys.readouterr().err
