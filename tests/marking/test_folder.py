"""`plusway mark FOLDER`: from a class of mailed notebooks to the table on screen and the files of results."""

from __future__ import annotations

import csv
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking import run as run_module
from plusway.autograde.marking.marked import Marked
from plusway.autograde.marking.run import Job, here, mark_folder
from plusway.autograde.marking.store import Store, safe
from plusway.autograde.records import Journal, beside
from plusway.lessons.command import main

from .conftest import SCENE, Copy, answers_of, points, put


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
    put(collected / "empty.ipynb", copy_of(answers_of()))
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


def test_store_reads_back_what_it_was_given(tmp_path: Path) -> None:
    """One row for each notebook."""
    store = Store(tmp_path / "results.sqlite")
    one = Marked("s1.ipynb", "s1", error="broken", blank=12.0)
    store.save(one, "digest")
    assert (list(store.all()), store.digest("s1.ipynb"), store.of_student("s1")) == ([one], "digest", [one])
    store.close()
