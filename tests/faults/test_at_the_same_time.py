"""Two at once: markers on one folder, another program in the results, and records that disagree."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime, timezone
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking import store as store_module
from plusway.autograde.records import Journal, beside, locked
from plusway.lessons.command import main

SCENE = "feed-sack"


def results(out: Path) -> dict[str, Any]:
    """{student: record} of results.jsonl."""
    return {r["student"]: r for r in map(json.loads, (out / "results.jsonl").read_text(encoding="utf-8").splitlines())}


def mark(classroom: Path, *more: str) -> int:
    return main(["mark", str(classroom), "--assignment", str(classroom.parent / "ps1.ipynb"), "--json", *more])


def test_a_second_marker_is_sent_away_in_one_line(classroom: Path, capsys: pytest.CaptureFixture[str],
                                                 command: Callable[..., Any]) -> None:
    """While another process holds the folder nothing is written; afterwards the same command works."""
    assert mark(classroom) == 0
    before = (classroom / "marks" / "results.jsonl").read_bytes()
    (classroom / "s0.ipynb").unlink()
    with locked(classroom / "marks" / ".marking") as free:
        assert free
        done = command("mark", "collected", "--assignment", "ps1.ipynb")
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "another plusway mark is at work on these results; wait for it, or choose another --out" in done.stderr
    assert (classroom / "marks" / "results.jsonl").read_bytes() == before
    assert mark(classroom) == 0
    assert "s0" not in results(classroom / "marks")


@pytest.mark.slow
def test_three_markers_started_together_come_to_the_results_of_one(classroom: Path, place: Path) -> None:
    """Whoever is first marks; the others are done, or say why not; nothing is counted twice."""
    command = [sys.executable, "-m", "plusway", "mark", "collected", "--assignment", "ps1.ipynb", "--json", "--jobs", "2"]
    running = [subprocess.Popen(command, cwd=place, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
               for _ in range(3)]
    said = [process.communicate(timeout=120)[1] for process in running]
    codes = [process.returncode for process in running]
    assert 0 in codes
    assert all((code, line) == (0, "") or (code == 2 and "another plusway mark is at work" in line and line.count("\n") == 1)
               for code, line in zip(codes, said, strict=True))
    assert mark(classroom, "--out", str(place / "fresh")) == 0
    for name in ("results.jsonl", "results.csv"):
        assert (classroom / "marks" / name).read_bytes() == (place / "fresh" / name).read_bytes()


def test_results_that_another_program_has_locked_are_one_line(classroom: Path, capsys: pytest.CaptureFixture[str],
                                                              monkeypatch: pytest.MonkeyPatch) -> None:
    """A database browser left open; nothing is lost, and the command works once it is closed."""
    monkeypatch.setattr(store_module, "PATIENCE", 0.05)
    assert mark(classroom) == 0
    (classroom / "s0.ipynb").unlink()
    other = sqlite3.connect(classroom / "marks" / "results.sqlite", isolation_level=None)
    other.execute("begin exclusive")
    capsys.readouterr()
    assert mark(classroom) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert "results.sqlite: another program has this file locked; close it there, then give the command again" in err
    assert main(["report", str(classroom)]) == 0, "reading is no trouble"
    other.execute("rollback")
    other.close()
    assert mark(classroom) == 0
    assert len(results(classroom / "marks")) == 9


DAMAGE: dict[str, Callable[[Path], object]] = {
    "overwritten": lambda path: path.write_bytes(b"rubbish " * 2000),
    "overwritten in the middle": lambda path: _over(path, 4096, b"\xff" * 12_000),
    "cut off": lambda path: os.truncate(path, 5000),
    "of another program": lambda path: _other(path),
}


def _over(path: Path, place: int, raw: bytes) -> None:
    with path.open("r+b") as stream:
        stream.seek(place)
        stream.write(raw)


def _other(path: Path) -> None:
    path.unlink()
    with sqlite3.connect(path) as db:
        db.execute("create table notebooks (title text)")
    db.close()


@pytest.mark.parametrize("damage", DAMAGE.values(), ids=DAMAGE.keys())
@pytest.mark.parametrize("verb", ["mark", "report"])
def test_a_damaged_results_file_is_one_line(classroom: Path, capsys: pytest.CaptureFixture[str], verb: str,
                                            damage: Callable[[Path], object]) -> None:
    """It says what to do; done so, everything is marked again."""
    assert mark(classroom) == 0
    path = classroom / "marks" / "results.sqlite"
    damage(path)
    capsys.readouterr()
    assert (mark(classroom) if verb == "mark" else main(["report", str(classroom)])) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert "results.sqlite: can't be used for the results" in err
    assert "delete it, or choose another --out" in err
    path.unlink()
    assert mark(classroom) == 0
    assert len(results(classroom / "marks")) == 10


def test_a_notebook_that_is_older_than_its_marks_is_marked_again(classroom: Path) -> None:
    """A clock set back, or a copy that kept its date: what counts is what is in the file, never its time."""
    assert mark(classroom) == 0
    before = results(classroom / "marks")["s1"]["points"]
    (classroom / "s1.ipynb").write_bytes((classroom / "s0.ipynb").read_bytes())
    os.utime(classroom / "s1.ipynb", (0, 0))
    assert mark(classroom) == 0
    assert results(classroom / "marks")["s1"]["points"] > before


def entry(notebook: Path, value: str, hour: int, torn: bytes = b"") -> None:
    """One commit beside a notebook, by a clock that says so; `torn` is written after it, without a line end."""
    journal = Journal(beside(notebook), clock=lambda: datetime(2025, 3, 1, hour, tzinfo=timezone.utc))
    journal.append(SCENE, "equations", value, item="sack")
    with beside(notebook).open("ab") as stream:
        stream.write(torn)


def equation(classroom: Path, student: str) -> tuple[str, float | None, list[str]]:
    """What was marked as the sack's equation; the minutes of work; the remarks."""
    record = results(classroom / "marks")[student]
    problem = record["problems"][0]
    text = next(s["text"] for s in problem["steps"] if s["step"] == "equations" and s["item"] == "sack")
    return text, problem["minutes"], record["remarks"]


def test_a_clock_set_back_between_two_answers_changes_no_mark(classroom: Path) -> None:
    """The later answer counts, and no time of work is less than none."""
    _without_answers(classroom / "s1.ipynb")
    entry(classroom / "s1.ipynb", "T + 63.7 = 6.5a", 12)
    entry(classroom / "s1.ipynb", "T - 63.7 = 6.5a", 3)
    assert mark(classroom) == 0
    assert equation(classroom, "s1")[:2] == ("T - 63.7 = 6.5a", 0.0)


def test_a_torn_line_in_a_journal_costs_itself_and_is_told(classroom: Path) -> None:
    """What was committed before and after it counts."""
    _without_answers(classroom / "s1.ipynb")
    entry(classroom / "s1.ipynb", "T + 63.7 = 6.5a", 10, torn=b'{"format":1,"id":"x","n":2,"problem":"feed-sa')
    entry(classroom / "s1.ipynb", "T - 63.7 = 6.5a", 11)
    assert mark(classroom) == 0
    text, _, remarks = equation(classroom, "s1")
    assert text == "T - 63.7 = 6.5a"
    assert remarks == ["the journal has 1 line that can't be read (torn or foreign): passed over"]


@pytest.mark.parametrize(("in_the_notebook", "n", "counts"), [
    ("T + 63.7 = 6.5a", 0, "T - 63.7 = 6.5a"), ("T + 63.7 = 6.5a", 5, "T + 63.7 = 6.5a")], ids=["older", "newer"])
def test_journal_and_notebook_disagree_and_the_newer_counts(classroom: Path, in_the_notebook: str, n: int, counts: str) -> None:
    """Whichever of the two it stands in."""
    path = classroom / "s1.ipynb"
    _without_answers(path)
    entry(path, "T - 63.7 = 6.5a", 10)
    notebook = json.loads(path.read_text(encoding="utf-8"))
    record = {"format": 1, "id": "other", "when": "2025-03-01T09:00:00.000+00:00", "n": n, "problem": SCENE, "step": "equations",
              "item": "sack", "value": in_the_notebook, "hints": 0, "lesson": ""}
    notebook["metadata"]["plusway"]["entries"] = [record]
    path.write_text(json.dumps(notebook), encoding="utf-8")
    assert mark(classroom) == 0
    assert equation(classroom, "s1")[0] == counts


def _without_answers(path: Path) -> None:
    notebook = json.loads(path.read_text(encoding="utf-8"))
    del notebook["metadata"]["plusway"]["answers"]
    path.write_text(json.dumps(notebook), encoding="utf-8")


BESIDE: dict[str, tuple[Callable[[Path], object], str]] = {
    "a link out of the folder": (lambda path: path.symlink_to("../ps1.ipynb"), "a symbolic link out of its folder"),
    "a folder": (lambda path: path.mkdir(), "there is a folder or a device"),
    "a device": (lambda path: path.symlink_to("/dev/zero"), "a symbolic link out of its folder"),
    "far too large": (lambda path: _sparse(path, 20_000_000), "is larger than 16 MB: not read"),
    "rubbish": (lambda path: path.write_bytes(b"\xff\x00" * 1000), "the journal has 1 line that can't be read"),
}


def _sparse(path: Path, size: int) -> None:
    with path.open("wb") as stream:
        stream.truncate(size)


@pytest.mark.parametrize(("make", "says"), BESIDE.values(), ids=BESIDE.keys())
def test_whatever_stands_in_the_journals_place_the_notebook_is_marked(classroom: Path, make: Callable[[Path], object],
                                                                      says: str) -> None:
    """The journal's trouble is told, and costs the notebook nothing."""
    make(beside(classroom / "s0.ipynb"))
    assert mark(classroom) == 0
    found = results(classroom / "marks")
    assert found["s0"]["points"] == found["s2"]["points"] > 0
    assert any(says in remark and "journal" in remark for remark in found["s0"]["remarks"])
