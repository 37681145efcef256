"""`plusway assign`: the notebook that a teacher gives out."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import nbformat
import pytest

from plusway.autograde.judging import judge
from plusway.autograde.judging.scheme import Scheme
from plusway.autograde.marking.assignment import assignment_from, seed_for
from plusway.autograde.marking.cells import grade_id
from plusway.autograde.marking.numbers import with_numbers
from plusway.lessons import assign, catalogue
from plusway.lessons.command import main

from .conftest import points

BALE = "hay-bale-on-ramp"
OWN = """
title = "Two crates"
story = "Two crates hang over a light pulley."
[bodies."Küchenkiste"]
index = 1
mass = "2 kg"
moves = "vertical"
[bodies.box]
index = 2
mass = "3 kg"
moves = "vertical"
[[ropes]]
symbol = "T"
pulls = [["Küchenkiste", "up"], ["box", "up"]]
[ask]
values = ["a", "T"]
"""


@pytest.mark.parametrize("name", catalogue.names())
def test_every_shipped_scene_becomes_a_valid_assignment(name: str) -> None:
    """Valid nbformat, one grade cell for each step or thing, worth what the judge says."""
    planned = assign.plan("ps1", [name])
    nbformat.validate(planned.notebook)
    metas = [c.metadata.nbgrader for c in planned.notebook.cells if "nbgrader" in c.metadata]
    assert sum(m.points for m in metas if m.grade) == pytest.approx(judge(catalogue.find(name), {}).of)
    assert len({m.grade_id for m in metas}) == len(metas)


@pytest.mark.parametrize("per_student", [False, True], ids=["the same numbers for all", "numbers of each student's own"])
def test_what_is_given_and_what_to_find_stand_below_the_story(per_student: bool) -> None:
    """As in the lessons, with the letters of the class; numbers of a student's own stand in the steps alone."""
    planned = assign.plan("ps1", ["polisher-pushed"], per_student=per_student, settings={"notation": {"normal": "R"}, "decimal_comma": True})
    given = "" if per_student else "**Given:** m = 14 kg, μₖ = 0,25, μₛ = 0,35, φ = −30°, F = 85 N, g = 9,8 m/s².  \n"
    story = planned.notebook.cells[1].source.split("\n\n")
    assert story[-1] == f"{given}**Find:** R, f, a."


def test_the_same_call_gives_the_same_notebook() -> None:
    """Cell ids and all, so that a version control shows only real changes."""
    assert assign.plan("ps1", ["feed-sack"]).notebook == assign.plan("ps1", ["feed-sack"]).notebook


def test_each_widget_is_followed_by_its_locked_grade_cell() -> None:
    """Heading, widget, points: step after step."""
    cells = assign.plan("ps1", ["feed-sack"]).notebook.cells
    widgets = [place for place, c in enumerate(cells) if c.metadata.get("plusway", {}).get("step")]
    assert [cells[place + 1].source for place in widgets] == [
        'problem.points("directions")', 'problem.points("forces", "sack")', 'problem.points("forces", "counterweight")',
        'problem.points("equations", "sack")', 'problem.points("equations", "counterweight")', 'problem.points("ties")',
        'problem.points("working")', 'problem.points("results")', 'problem.points("sense")']
    for place in widgets:
        mark = cells[place].metadata.plusway
        meta = cells[place + 1].metadata.nbgrader
        assert meta.grade_id == grade_id(mark.problem, mark.step, mark["item"])
        assert (meta.grade, meta.solution, meta.locked) == (True, False, True)


def test_several_problems_have_variables_of_their_own() -> None:
    """So that cells run out of order are not about another problem."""
    notebook = assign.plan("ps1", ["feed-sack", "feed-sack", "mine-cart"]).notebook
    assert list(notebook.metadata.plusway.problems) == ["feed-sack", "feed-sack-2", "mine-cart"]
    calls = {c.source.split(".")[0] for c in notebook.cells if c.source.startswith("problem_")}
    assert calls == {"problem_1", "problem_2", "problem_3"}


def test_an_own_scene_travels_in_the_notebook(tmp_path: Path) -> None:
    """Marking needs no file of the teacher's besides the notebook."""
    path = tmp_path / "crates.toml"
    path.write_text(OWN, encoding="utf-8")
    notebook = json.loads(json.dumps(assign.plan("ps1", [str(path)]).notebook))
    assert assignment_from(notebook, "x").problems[0].toml == OWN
    assert "crates--equations--K-xfc-chenkiste" in json.dumps(notebook)


def test_the_scheme_sets_the_points_and_travels_too(tmp_path: Path) -> None:
    """Points per step as the teacher wants them."""
    planned = assign.plan("ps1", ["feed-sack"], scheme=Scheme(ties=5.0))
    assert planned.of == 16.0
    found = assignment_from(json.loads(json.dumps(planned.notebook)), "x").marks()
    assert found is not None
    assert found.ties == 5.0


def test_no_key_is_in_the_notebook() -> None:
    """Neither a result nor an equation."""
    text = json.dumps(assign.plan("ps1", ["feed-sack"]).notebook)
    for key in ("1.58", "74.0", "m_1 a_1", "63.7"):
        assert key not in text


def test_a_dry_run_writes_nothing_and_shows_points_and_key(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """For the teacher's eyes."""
    assert main(["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--dry-run"]) == 0
    shown = capsys.readouterr().out
    assert "equations sack" in shown
    assert "12 in all" in shown
    assert "1.58" in shown
    assert list(tmp_path.iterdir()) == []


def test_a_dry_run_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same for a program."""
    main(["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--dry-run", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert (found["of"], found["problems"][0]["of"], list(found["key"])) == (12.0, 12.0, ["feed-sack"])


CONFIGS = [("no configuration yet", None, False, "is new and switches"),
           ("one that says nothing", "c = get_config()\n", False, "does not switch plusway's marking on yet: add the line"),
           ("one that says nothing, and asked to", "c = get_config()\n", True, "now switches"),
           ("one where it is only a comment", f"# {assign.ENABLE}\n", True, "now switches"),
           ("one that does already", assign.NEW_CONFIG, True, "switches plusway's marking on already")]


@pytest.mark.parametrize(("before", "enable", "says"), [case[1:] for case in CONFIGS], ids=[case[0] for case in CONFIGS])
def test_the_line_that_switches_marking_on(tmp_path: Path, before: str | None, enable: bool, says: str) -> None:
    """Written where there is no configuration, or asked for; never over somebody's own."""
    config = tmp_path / "nbgrader_config.py"
    if before is not None:
        config.write_text(before)
    _, said = assign.write(assign.plan("ps1", ["feed-sack"]), tmp_path, enable=enable)
    assert says in said
    assert config.read_text().startswith(before or "c = get_config()")
    assert (assign.ENABLE in config.read_text()) is ("now" in said or "new" in said or "already" in said)


TO_MEND: list[tuple[str, list[str], str]] = [
    ("a name that is no folder's", ["--name", "../x", "--scene", "feed-sack"], "--name '../x': use letters"),
    ("a scene that is none", ["--name", "ps1", "--scene", "fed-sack"], "did you mean feed-sack"),
    ("a missing scene file", ["--name", "ps1", "--scene", "gone.toml"], "gone.toml"),
    ("a course that is a file", ["--name", "ps1", "--scene", "feed-sack", "--course", "file"], "file: this is a file"),
    ("an assignment that exists", ["--name", "old", "--scene", "feed-sack"], "this assignment exists"),
    ("a story that says the numbers", ["--name", "ps1", "--scene", "told.toml", "--per-student"],
     "told.toml: story: says 2 kg, which differ with --per-student"),
    ("a list of students that is none", ["--name", "ps1", "--scene", "feed-sack", "--students", "gone"], "gone: can't be read (No such file"),
    ("columns without a name", ["--name", "ps1", "--scene", "feed-sack", "--students", "columns.csv"], "none that is called id"),
    ("a student who is a path", ["--name", "ps1", "--scene", "feed-sack", "--students", "path.txt"], "path.txt, line 3: '../x' can't be"),
    ("a list that a spreadsheet wrote as UTF-16", ["--name", "ps1", "--scene", "feed-sack", "--students", "wide.txt"], "wide.txt: is not UTF-8 text"),
    ("a student twice", ["--name", "ps1", "--scene", "feed-sack", "--students", "twice.txt"], "S1 is there twice"),
    ("nobody", ["--name", "ps1", "--scene", "feed-sack", "--students", "nobody.txt"], "lists no student"),
    ("a copy that exists", ["--name", "out", "--scene", "feed-sack", "--students", "one.txt"], "a student may have it"),
    ("a configuration that is no text", ["--name", "out", "--scene", "feed-sack", "--course", "latin"], "nbgrader_config.py: is not UTF-8 text"),
    ("pages of an assignment that is written", ["--name", "ps1", "--scene", "feed-sack", "--out", "x"], "goes with --dry-run"),
    ("a notation without a letter", ["--name", "ps1", "--scene", "feed-sack", "--notation", "weight"], "--notation weight: write KIND=LETTER"),
    ("a notation of nothing known", ["--name", "ps1", "--scene", "feed-sack", "--notation", "mass=M"], "weight, normal, friction, inertia would do"),
    ("two letters for one thing", ["--name", "ps1", "--scene", "feed-sack", "--notation", "weight=F", "weight=G"], "once for each kind"),
    ("a letter that the scene needs", ["--name", "ps1", "--scene", "melon-down-the-hill", "--notation", "normal=R"],
     "--notation, melon-down-the-hill: notation.normal: 'R' would also be the radius"),
    ("a language that is none", ["--name", "ps1", "--scene", "feed-sack", "--language", "xx"], "language: found 'xx'; one of en, da, de"),
    ("a scheme that is none", ["--name", "ps1", "--scene", "feed-sack", "--scheme", "file"], "file"),
]


@pytest.mark.parametrize(("arguments", "says"), [case[1:] for case in TO_MEND], ids=[case[0] for case in TO_MEND])
def test_what_is_to_mend_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
                                     arguments: list[str], says: str) -> None:
    """Exit code 2 and what would do; and nothing is written."""
    monkeypatch.chdir(tmp_path)
    Path("file").write_text("[[[")
    Path("wide.txt").write_text("s1\n", encoding="utf-16")
    Path("latin").mkdir()
    Path("latin/nbgrader_config.py").write_bytes(b"# M\xfcller\n")
    Path("source/old").mkdir(parents=True)
    Path("source/old/old.ipynb").write_text("{}")
    Path("told.toml").write_text(OWN.replace("Two crates hang", "A 2 kg crate and another hang"), encoding="utf-8")
    for name, text in {"columns.csv": "name,mark\nAda,3\n", "path.txt": "s1\n\n../x\n", "twice.txt": "s1\nS1\n", "nobody.txt": "\n",
                       "one.txt": "s1\n"}.items():
        Path(name).write_text(text)
    Path("handout/out").mkdir(parents=True)
    Path("handout/out/s1.ipynb").write_text("{}")
    before = sorted(Path().rglob("*"))
    assert main(["assign", *arguments]) == 2
    assert says in capsys.readouterr().err
    assert sorted(Path().rglob("*")) == before


def test_force_replaces(tmp_path: Path) -> None:
    """When asked to."""
    planned = assign.plan("ps1", ["feed-sack"])
    assign.write(planned, tmp_path)
    assign.write(planned, tmp_path, force=True)


@pytest.mark.parametrize(("scenes", "said"), [(["feed-sack"], 0), (["feed-sack", "mine-cart"], 1)], ids=["the same", "a problem more"])
def test_other_cells_after_work_was_handed_in_are_noted(tmp_path: Path, capsys: pytest.CaptureFixture[str], scenes: list[str], said: int) -> None:
    """nbgrader refuses them then, with a page of its own; the same assignment may be written again and again."""
    call = ["assign", "--name", "ps1", "--course", str(tmp_path), "--force", "--scene"]
    main([*call, "feed-sack"])
    (tmp_path / "submitted" / "ada" / "ps1").mkdir(parents=True)
    capsys.readouterr()
    assert main([*call, *scenes]) == 0
    assert capsys.readouterr().err.count("note: 1 student has handed in ps1 as it was: nbgrader keeps the grading cells that it had") == said


def test_per_student_numbers_are_a_setting_of_the_notebook() -> None:
    """The seed comes at the first opening, and again from assignment and student at marking."""
    notebook: Any = assign.plan("ps1", ["feed-sack"], per_student=True).notebook
    assert notebook.metadata.plusway.settings.numbers == "per-student"
    assert notebook.metadata.plusway.seed is None


CLASS_WRITES = ("--notation", "weight=F_g", "normal=R", "--decimal-comma", "--language", "de")


def test_letters_and_numbers_of_the_class_are_settings_of_the_notebook_and_of_every_copy(tmp_path: Path) -> None:
    """The source, and each student's own copy with numbers of their own; a lesson for which nothing is said has none of these settings."""
    (tmp_path / "class").write_text("s001\n")
    main(["assign", "--scene", BALE, "--name", "ps1", "--course", str(tmp_path), "--per-student", "--students", str(tmp_path / "class"),
          *CLASS_WRITES])
    for path in ("source/ps1/ps1.ipynb", "handout/ps1/s001.ipynb"):
        settings = json.loads((tmp_path / path).read_text(encoding="utf-8"))["metadata"]["plusway"]["settings"]
        assert settings == {"verdicts": "at once", "hints": True, "numbers": "per-student", "language": "de", "decimal_comma": True,
                            "notation": {"weight": "F_g", "normal": "R"}}
    main(["assign", "--scene", BALE, "--name", "ps2", "--course", str(tmp_path)])
    plain = json.loads((tmp_path / "source/ps2/ps2.ipynb").read_text(encoding="utf-8"))["metadata"]["plusway"]["settings"]
    assert plain == {"verdicts": "at once", "hints": True, "numbers": "same"}


def test_a_dry_run_says_letters_and_numbers_and_writes_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In the key every number has the comma of the class."""
    call = ["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--dry-run"]
    main([*call, *CLASS_WRITES])
    shown = capsys.readouterr().out
    assert "The class writes weight F_g, normal R, a decimal comma, numbers as in the language de\n" in shown
    assert "1,58" in shown
    assert "1.58" not in shown
    main([*call, "--json", *CLASS_WRITES])
    assert json.loads(capsys.readouterr().out)["notebook"]["metadata"]["plusway"]["settings"]["language"] == "de"
    main(call)
    assert "The class writes" not in capsys.readouterr().out


@pytest.mark.parametrize("name", ["feed-sack", BALE])
def test_what_the_class_writes_is_marked_with_the_numbers_that_the_lesson_shows(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Letters and comma change nothing about whose numbers they are; a line in both is right."""
    from plusway.widgets import Problem

    (tmp_path / "class").write_text("s001\n")
    main(["assign", "--scene", name, "--name", "ps1", "--course", str(tmp_path), "--per-student", "--students", str(tmp_path / "class"),
          *CLASS_WRITES])
    copy = tmp_path / "handout" / "ps1" / "s001.ipynb"
    monkeypatch.setenv("JPY_SESSION_NAME", str(copy))
    seen = Problem(name, id=name).scene
    notebook = json.loads(copy.read_text(encoding="utf-8"))
    problem = assignment_from(json.loads((tmp_path / "source/ps1/ps1.ipynb").read_text(encoding="utf-8")), "x").problems[0]
    assert with_numbers(problem.toml, problem.scene, notebook["metadata"]["plusway"]["seed"]).digest == seen.digest
    if name == "feed-sack":
        mass = seen.bodies["sack"].mass.text.replace(".", ",")
        notebook["metadata"]["plusway"]["answers"] = {name: {
            "directions": {"sack": "up", "counterweight": "down"},
            "equations": {"sack": f"T - {mass} · 9,8 = {mass} a", "counterweight": "F_g2 - T = m_2 a"}}}
        (tmp_path / "in").mkdir()
        (tmp_path / "in" / "s001.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
        main(["mark", str(tmp_path / "in"), "--assignment", str(tmp_path / "source/ps1/ps1.ipynb")])
        steps = points(tmp_path / "in" / "marks")["s001"]["problems"][0]["steps"]
        assert [s["verdict"] for s in steps if s["step"] == "equations"] == ["right", "right"]


LISTS = [("a line each", "s001\n\nÖzgür.Ü\n"), ("a CSV file of nbgrader's", "id,first_name,email\ns001,A,\nÖzgür.Ü,B,b@x.example\n"),
         ("a CSV file of a spreadsheet that writes 2,5", "Name;ID\nAda, A;s001\nB;Özgür.Ü\n"), ("tabs", "id\tname\ns001\tA\nÖzgür.Ü\tB\n"),
         ("a column called student", "mark;,Student\n1,s001\n2,Özgür.Ü\n"),
         ("one column called name", "name\ns001\nÖzgür.Ü\n"), ("one called User name", "User name\ns001\nÖzgür.Ü\n"),
         ("a user name before a name", "name,username\nA B,s001\nC D,Özgür.Ü\n")]


@pytest.mark.parametrize("text", [case[1] for case in LISTS], ids=[case[0] for case in LISTS])
def test_a_list_of_students(tmp_path: Path, text: str) -> None:
    """As teachers have them."""
    (tmp_path / "class").write_text(text, encoding="utf-8")
    assert assign.students_in(tmp_path / "class")[0] == ["s001", "Özgür.Ü"]


def test_a_heading_is_no_student_and_that_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No copy for "name"; the teacher, who may have a student of that name, is told."""
    (tmp_path / "class.csv").write_text("name\ns001\n")
    main(["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--students", str(tmp_path / "class.csv")])
    assert "class.csv: the first row ('name') is taken for a heading, not for a student" in capsys.readouterr().err
    assert [path.name for path in (tmp_path / "handout" / "ps1").iterdir()] == ["s001.ipynb"]


def test_a_handed_out_copy_has_the_numbers_that_marking_expects(tmp_path: Path) -> None:
    """Mailed, filled in without any hub, mailed back: no flag, whatever the numbers are."""
    (tmp_path / "class").write_text("s001\ns002\n")
    main(["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--per-student",
          "--students", str(tmp_path / "class")])
    copies = tmp_path / "handout" / "ps1"
    seeds = {path.stem: json.loads(path.read_text(encoding="utf-8"))["metadata"]["plusway"]["seed"] for path in copies.iterdir()}
    assert seeds == {student: seed_for("ps1", student) for student in ("s001", "s002")}
    main(["mark", str(copies), "--assignment", str(tmp_path / "source" / "ps1" / "ps1.ipynb"), "--out", str(tmp_path / "out")])
    assert [n["flags"] for n in points(tmp_path / "out").values()] == [[], []]


def test_without_a_list_copies_for_nobody_are_written(tmp_path: Path) -> None:
    """And the source notebook is nobody's."""
    path, _ = assign.write(assign.plan("ps1", ["feed-sack"], per_student=True), tmp_path)
    assert json.loads(path.read_text(encoding="utf-8"))["metadata"]["plusway"]["seed"] is None
    assert not (tmp_path / "handout").exists()


def test_a_dry_run_can_be_looked_at(tmp_path: Path) -> None:
    """Two pages, with pictures: what students see has no key."""
    main(["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--dry-run", "--out", str(tmp_path / "dry")])
    sheet, key = ((tmp_path / "dry" / name).read_text(encoding="utf-8") for name in ("sheet.html", "key.html"))
    assert "1.58" in key
    assert "1.58" not in sheet
    assert not (tmp_path / "source").exists()


def test_the_worked_key_takes_the_directions_in_which_it_goes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As plusway solve does, so that one letter a will do."""
    main(["assign", "--scene", "feed-sack", "--name", "ps1", "--course", str(tmp_path), "--dry-run"])
    assert "counterweight: down is positive" in capsys.readouterr().out
