"""`plusway mark FOLDER`: a class of mailed notebooks, from the table on screen to each student's page."""

from __future__ import annotations

import csv
import json
import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking import pages as pages_module
from plusway.autograde.marking import run as run_module
from plusway.autograde.marking.assignment import Assignment, assignment_from, seed_for
from plusway.autograde.marking.feedback import file_name
from plusway.autograde.marking.folder import submissions_in
from plusway.autograde.marking.marked import Marked, ProblemMarks
from plusway.autograde.marking.numbers import with_numbers
from plusway.autograde.marking.pages import pages_in_processes
from plusway.autograde.marking.run import Job, here, in_processes, mark_folder, mark_task
from plusway.autograde.marking.second import seconds
from plusway.autograde.marking.store import Store, safe
from plusway.autograde.records import Journal, beside
from plusway.lessons import assign, catalogue
from plusway.lessons.command import main

from .conftest import SCENE, answers_of, points

Copy = Callable[..., dict[str, Any]]


@pytest.fixture
def source_file(tmp_path: Path) -> Path:
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    return path


@pytest.fixture
def job(source: dict[str, Any]) -> Job:
    return Job(assignment_from(source, "source.ipynb"))


@pytest.fixture
def collected(tmp_path: Path, copy_of: Copy) -> Path:
    """Six mailed notebooks: right, wrong, half, empty, one that is none, one with a journal only."""
    folder = tmp_path / "collected"
    folder.mkdir()
    for student, answers in {"right": answers_of(), "wrong": answers_of(slip="flipped"), "half": answers_of(slip="half"),
                             "empty": {}, "mailed": {}}.items():
        (folder / f"{student}.ipynb").write_text(json.dumps(copy_of(answers)), encoding="utf-8")
    (folder / "broken.ipynb").write_text('{"cells": [')
    journal = Journal(beside(folder / "mailed.ipynb"))
    journal.append(SCENE, "ties", ["a_1 = -a_2"])
    return folder


def test_every_notebook_is_a_line_of_the_results(collected: Path, source_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Bad notebooks are lines in the table; the exit code says that the work was done."""
    assert main(["mark", str(collected), "--assignment", str(source_file)]) == 0
    found = points(collected / "marks")
    assert {student: (n["status"], n["points"]) for student, n in found.items()} == {
        "right": ("marked", 12.0), "wrong": ("marked", 11.0), "half": ("marked", 6.0), "empty": ("marked", 0.0),
        "mailed": ("marked", 1.0), "broken": ("unmarked", 0.0)}
    shown = capsys.readouterr().out
    assert "not marked: the file is broken JSON" in " ".join(shown.split())
    assert "6 notebooks: 5 marked now, 0 unchanged since last time, 1 that could not be marked" in " ".join(shown.split())


def test_json_lines_csv_and_sqlite_say_the_same(collected: Path, source_file: Path) -> None:
    """Three files for three kinds of reader; in the spreadsheet one that could not be marked has no points, for nought is a mark."""
    main(["mark", str(collected), "--assignment", str(source_file)])
    lines = {student: n["points"] for student, n in points(collected / "marks").items()}
    with open(collected / "marks" / "results.csv", newline="", encoding="utf-8") as stream:
        rows = {row["student"]: float(row["points"] or (0.0 if row["status"] == "unmarked" else "nan")) for row in csv.DictReader(stream)}
    with sqlite3.connect(collected / "marks" / "results.sqlite") as db:
        table = dict(db.execute("select student, points from notebooks"))
    assert lines == rows == table


def test_the_csv_has_a_column_for_each_step_and_quotes_every_cell(collected: Path, source_file: Path) -> None:
    """Per intermediate equation, not per problem only."""
    main(["mark", str(collected), "--assignment", str(source_file)])
    text = (collected / "marks" / "results.csv").read_text(encoding="utf-8")
    assert f'"{SCENE}: equations: sack"' in text.splitlines()[0]
    assert all(line.startswith('"') and line.endswith('"') for line in text.splitlines())


FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "|calc", "%x", "\t=1", "\r\n=1", " =1"]


@pytest.mark.parametrize("text", FORMULAS, ids=repr)
def test_no_cell_is_a_formula(text: str) -> None:
    """A file name or a remark of a student's must not calculate in the teacher's spreadsheet."""
    assert safe(text)[0] not in "=+-@|%\t\r\n "


def test_only_what_has_changed_is_marked_again(collected: Path, job: Job, tmp_path: Path, copy_of: Copy) -> None:
    """A second run marks the changed notebook, forgets the one that is gone, keeps the rest."""
    out = tmp_path / "out"
    mark_folder(collected, out, job)
    (collected / "empty.ipynb").write_text(json.dumps(copy_of(answers_of())))
    (collected / "half.ipynb").unlink()
    again = mark_folder(collected, out, job)
    assert (again.marked, again.kept, again.unmarked, again.gone) == (1, 4, 0, 1)
    assert points(out)["empty"]["points"] == 12.0
    assert "half" not in points(out)
    assert not (out / "feedback" / "half.html").exists()


def test_a_new_journal_entry_is_a_change(collected: Path, job: Job, tmp_path: Path) -> None:
    """The journal beside the notebook counts as much as the notebook."""
    mark_folder(collected, tmp_path / "out", job)
    Journal(beside(collected / "mailed.ipynb")).append(SCENE, "ties", ["a_1 = a_2"])
    assert mark_folder(collected, tmp_path / "out", job).marked == 1


def test_another_scheme_marks_everything_again(collected: Path, source_file: Path, tmp_path: Path) -> None:
    """A mark depends on the scheme."""
    scheme = tmp_path / "scheme.toml"
    scheme.write_text("ties = 5")
    main(["mark", str(collected), "--assignment", str(source_file)])
    main(["mark", str(collected), "--assignment", str(source_file), "--scheme", str(scheme)])
    assert points(collected / "marks")["right"]["points"] == 16.0


def test_two_processes_give_the_same_results(collected: Path, job: Job, tmp_path: Path) -> None:
    """Byte for byte."""
    mark_folder(collected, tmp_path / "one", job)
    mark_folder(collected, tmp_path / "two", job, in_processes(2))
    assert (tmp_path / "one" / "results.jsonl").read_bytes() == (tmp_path / "two" / "results.jsonl").read_bytes()
    assert (tmp_path / "one" / "results.csv").read_bytes() == (tmp_path / "two" / "results.csv").read_bytes()


@pytest.mark.parametrize("count", [1, 2, 7])
def test_pages_from_several_processes_are_the_same(collected: Path, job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                   count: int) -> None:
    """Byte for byte, whoever writes them, and none is missing."""
    monkeypatch.setattr(run_module, "AT_ONCE", 2)
    mark_folder(collected, tmp_path / "one", job)
    mark_folder(collected, tmp_path / "many", job, pager=pages_in_processes(count))
    one, many = ({p.name: p.read_bytes() for p in (tmp_path / name / "feedback").iterdir()} for name in ("one", "many"))
    assert len(one) == 6
    assert many == one


def test_pages_in_the_hands_of_a_process_that_dies_are_written_all_the_same(
        collected: Path, job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Out of memory while a page is written: the marking process writes it itself."""
    monkeypatch.setattr(run_module, "AT_ONCE", 1)
    monkeypatch.setattr(pages_module, "page", _die_elsewhere(os.getpid()))
    mark_folder(collected, tmp_path / "out", job, pager=pages_in_processes(2))
    assert sorted(p.stem for p in (tmp_path / "out" / "feedback").iterdir()) == [
        "broken", "empty", "half", "mailed", "right", "wrong"]


def _die_elsewhere(home: int) -> Callable[..., str]:
    def page(student: str, *_: Any) -> str:
        if os.getpid() != home and student == "half":
            os.kill(os.getpid(), signal.SIGKILL)
        return f"a page for {student}"

    return page


def test_a_process_that_dies_costs_its_notebook_only(collected: Path, job: Job, tmp_path: Path,
                                                     monkeypatch: pytest.MonkeyPatch) -> None:
    """Out of memory in one notebook: the others are marked, and that one is a line in the table."""
    monkeypatch.setattr(run_module, "mark_task", _die_over_half)
    progress = mark_folder(collected, tmp_path / "out", job, in_processes(2))
    assert progress.marked + progress.unmarked == 6
    assert "the process that marked this notebook died" in points(tmp_path / "out")["half"]["error"]
    assert points(tmp_path / "out")["right"]["points"] == 12.0


def _die_over_half(task: Any, job: Job) -> Marked:
    if task.submission.student == "half":
        os.kill(os.getpid(), signal.SIGKILL)
    return mark_task(task, job)


def test_an_interrupted_run_goes_on_where_it_stopped(collected: Path, job: Job, tmp_path: Path,
                                                     monkeypatch: pytest.MonkeyPatch) -> None:
    """What was marked before Ctrl-C is not marked again."""
    monkeypatch.setattr(run_module, "COMMIT_EVERY", 0.0)

    def stop_at_third(marked: Marked | None, progress: Any) -> None:
        if progress.marked + progress.unmarked == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        mark_folder(collected, tmp_path / "out", job, here, stop_at_third)
    again = mark_folder(collected, tmp_path / "out", job)
    assert again.kept >= 2
    assert again.kept + again.marked + again.unmarked == 6
    assert points(tmp_path / "out")["right"]["points"] == 12.0


LAYOUTS = [("files named after students", ["s1.ipynb", "s2.ipynb"], ["s1", "s2"]),
           ("a folder for each", ["s1/ps1.ipynb", "s2/x.ipynb"], ["s1", "s2"]),
           ("nbgrader's", ["submitted/s1/ps1/ps1.ipynb", "source/ps1/ps1.ipynb", "release/ps1/ps1.ipynb"], ["s1"]),
           ("checkpoints and caches", ["s1.ipynb", ".ipynb_checkpoints/s1-checkpoint.ipynb", ".x.ipynb"], ["s1"]),
           ("earlier results", ["s1.ipynb", "marks/feedback/x.ipynb"], ["s1"])]


@pytest.mark.parametrize(("files", "students"), [case[1:] for case in LAYOUTS], ids=[case[0] for case in LAYOUTS])
def test_whose_notebook_it_is(tmp_path: Path, files: list[str], students: list[str]) -> None:
    """The folder says it, never the notebook."""
    for file in files:
        (tmp_path / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / file).write_text("{}")
    assert [s.student for s in submissions_in(tmp_path, tmp_path / "marks")] == students


def test_a_folder_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    """Nor can it lead round in a circle."""
    (tmp_path / "class").mkdir()
    (tmp_path / "class" / "s1.ipynb").write_text("{}")
    os.symlink(tmp_path, tmp_path / "class" / "loop")
    assert [s.file for s in submissions_in(tmp_path / "class")] == ["s1.ipynb"]


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
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "s1.ipynb").write_text(json.dumps(copy_of(answers)))
    mark_folder(folder, tmp_path / "out", job)
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
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "s1.ipynb").write_text(json.dumps(copy_of({}, seed=seed)))
    mark_folder(tmp_path / "in", tmp_path / "out", Job(replace(assignment_from(source, "x"), numbers="per-student")))
    assert f"Given: g = 9.8 m/s^2, m_1 = {mass} kg" in (tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8")


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
        (tmp_path / "in" / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "in" / file).write_text(json.dumps(copy_of(answers_of())))
    mark_folder(tmp_path / "in", tmp_path / "out", job)
    assert sorted(p.name for p in (tmp_path / "out" / "feedback").iterdir()) == ["s1.html", "s2.html"]


SECONDS = [
    ("the assignment's own name", {"ps1.ipynb": "flipped", "ps1-Copy1.ipynb": ""}, "ps1.ipynb"),
    ("else the one changed last", {"z.ipynb": "", "a.ipynb": "flipped"}, "a.ipynb"),
    ("a file that can be read before one that can't", {"ps1.ipynb": "{", "ps1-Copy1.ipynb": "flipped"}, "ps1-Copy1.ipynb"),
]


@pytest.mark.parametrize(("files", "counts"), [case[1:] for case in SECONDS], ids=[case[0] for case in SECONDS])
def test_of_two_files_of_a_student_one_counts(tmp_path: Path, copy_of: Copy, source_file: Path, files: dict[str, str], counts: str,
                                              capsys: pytest.CaptureFixture[str]) -> None:
    """In the table, results.csv, the student's page and the report; the other is shown and adds nothing. The files are listed from the
    one changed first."""
    folder = tmp_path / "in"
    (folder / "s1" / "ps1").mkdir(parents=True)
    for place, (file, slip) in enumerate(files.items()):
        path = folder / "s1" / "ps1" / file
        path.write_text(slip if slip == "{" else json.dumps(copy_of(answers_of(slip=slip))))
        os.utime(path, (1e9 + place, 1e9 + place))
    assert main(["mark", str(folder), "--assignment", str(source_file)]) == 0
    assert "1 second file, not counted" in capsys.readouterr().out
    rows = {row["file"]: row for row in csv.DictReader((folder / "marks" / "results.csv").read_text(encoding="utf-8").splitlines())}
    other = next(file for file in files if file != counts)
    assert rows[f"s1/ps1/{counts}"]["points"] == "11"
    assert (rows[f"s1/ps1/{other}"]["points"], rows[f"s1/ps1/{other}"]["status"]) == ("", "not counted")
    page = (folder / "marks" / "feedback" / "s1.html").read_text(encoding="utf-8")
    assert page.index(f"s1/ps1/{counts}: this is the one that counts") < page.index(f"s1/ps1/{other}: second file, not counted: {counts} counts")
    main(["report", str(folder), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert (found["assignments"]["ps1"]["notebooks"], found["assignments"]["ps1"]["seconds"]) == (1, 1)
    assert found["students"][0]["assignments"] == {"ps1": {"points": 11.0, "of": 12.0}}


def test_a_file_that_can_not_be_read_is_told_its_student_as_something_to_do(collected: Path, job: Job) -> None:
    """The table tells the teacher what to ask for; the page tells the student what to hand in."""
    mark_folder(collected, collected / "marks", job)
    page = (collected / "marks" / "feedback" / "broken.html").read_text(encoding="utf-8")
    assert page.count("Your notebook could not be marked: the file is broken JSON") == 1
    assert "hand in the .ipynb file that JupyterLab saves." in page
    assert "ask for" not in page


def test_a_second_file_counts_once_the_other_is_gone(tmp_path: Path, copy_of: Copy, job: Job) -> None:
    """Nothing in it has changed, and its student's page is written anew all the same."""
    for file in ("ps1.ipynb", "ps1-Copy1.ipynb"):
        (tmp_path / "in" / "s1").mkdir(parents=True, exist_ok=True)
        (tmp_path / "in" / "s1" / file).write_text(json.dumps(copy_of(answers_of())))
    assert mark_folder(tmp_path / "in", tmp_path / "out", job).seconds == 1
    (tmp_path / "in" / "s1" / "ps1.ipynb").unlink()
    assert mark_folder(tmp_path / "in", tmp_path / "out", job).seconds == 0
    assert "not counted" not in (tmp_path / "out" / "feedback" / "s1.html").read_text(encoding="utf-8")


def test_notebooks_without_an_assignment_s_name_are_second_files_only_of_the_same_problems() -> None:
    """Two lessons or two free problems of one student are two pieces of work."""
    def about(file: str, problem: str) -> Marked:
        return Marked(file, "s1", problems=(ProblemMarks(problem, problem, {"scene": problem, "steps": []}),))

    found = seconds([about("a", "p"), about("b", "q"), about("c", "p"), Marked("d", "s1", error="x"), Marked("e", "s1", error="x")],
                    lambda file: 0.0)
    assert found == {"a": "c"}


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
    for folder in ("none", "one", "bad"):
        Path(folder).mkdir()
    Path("file.txt").write_text("[[[")
    Path("one/s1.ipynb").write_text(json.dumps({"nbformat": 4, "cells": [], "metadata": {}}))
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


def test_memory_does_not_grow_with_the_class(tmp_path: Path, job: Job, copy_of: Copy) -> None:
    """At most a few notebooks are under way at any time."""
    folder = tmp_path / "in"
    folder.mkdir()
    raw = json.dumps(copy_of({}))
    for place in range(60):
        (folder / f"s{place:03}.ipynb").write_text(raw)
    under_way = most = 0

    def counting(tasks: Any, job: Job) -> Any:
        nonlocal under_way, most

        def counted() -> Any:
            nonlocal under_way, most
            for task in tasks:
                under_way += 1
                most = max(most, under_way)
                yield task

        for pair in in_processes(2)(counted(), job):
            under_way -= 1
            yield pair

    mark_folder(folder, tmp_path / "out", job, counting)
    assert most <= 9


def test_store_reads_back_what_it_was_given(tmp_path: Path) -> None:
    """One row for each notebook."""
    store = Store(tmp_path / "results.sqlite")
    one = Marked("s1.ipynb", "s1", error="broken", blank=12.0)
    store.save(one, "digest")
    assert (list(store.all()), store.digest("s1.ipynb"), store.of_student("s1")) == ([one], "digest", [one])
    store.close()


def test_nothing_of_a_notebook_is_imported_or_run_by_marking(collected: Path) -> None:
    """Marking needs neither a kernel nor nbgrader nor matplotlib."""
    script = ("import sys; from plusway.lessons.command import main; main(['mark', sys.argv[1], '--json']); "
              "sys.exit(sorted({'IPython', 'ipykernel', 'nbgrader', 'matplotlib', 'numpy', 'distributed'} & set(sys.modules)) or 0)")
    done = subprocess.run([sys.executable, "-c", script, str(collected)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_assignments_travel_as_plain_text(source: dict[str, Any]) -> None:
    """To another process or machine."""
    import pickle

    assignment = assignment_from(source, "x")
    assert pickle.loads(pickle.dumps(assignment)) == assignment
    assert isinstance(assignment, Assignment)
