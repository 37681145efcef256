"""The learner's file: readable, exportable, deletable, and never lost."""

from __future__ import annotations

import csv
import json
import os
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from plusway.autograde.errors import PluswayError
from plusway.lessons.practice.evidence import Evidence
from plusway.lessons.practice.keeping import NAME, File
from plusway.lessons.practice.record import Past, Record, RecordError, from_text, merged, to_text

NOW = datetime(2025, 3, 3, 10, 0, tzinfo=timezone.utc)


def past(name: str, *outcomes: str, minutes: int = 0) -> Past:
    """A problem with one piece of evidence for each outcome."""
    told = tuple(Evidence("hanging", o, "equations", f"body{k}", "=T - 5" if k else "") for k, o in enumerate(outcomes))
    return Past(name, "feed-sack", "s-1", "hanging", NOW + timedelta(minutes=minutes), told)


RECORD = Record("seed", (past("p1", "right", "wrong"), past("p2", "helped", minutes=5), past("p3", minutes=9)))


def test_what_is_written_reads_back() -> None:
    """Every problem and every piece of evidence."""
    assert from_text(to_text(RECORD), "f") == RECORD


def test_the_file_can_be_read_by_a_person() -> None:
    """It says what it is, and lists each skill by its label with the chance that it is known."""
    whole = json.loads(to_text(RECORD))
    assert whole["about"].startswith("This file is yours.")
    assert whole["skills"]["Equation of a hanging body"] == {"chance that you know it": pytest.approx(0.5, abs=0.45), "times seen": 3}


def test_the_part_for_the_reader_is_not_believed() -> None:
    """What is known is worked out from the evidence alone."""
    whole = json.loads(to_text(RECORD))
    whole["skills"] = {"Friction": {"chance that you know it": 1, "times seen": 99}}
    assert from_text(json.dumps(whole), "f").standings()["friction"].seen == 0


def test_a_new_folder_has_no_file_until_something_is_kept(tmp_path: Path) -> None:
    """Opening writes nothing; keeping makes the folder too."""
    file = File(tmp_path / "new")
    assert file.open().record.problems == ()
    assert not (tmp_path / "new").exists()
    file.keep(RECORD)
    assert file.open().record == RECORD


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not the JSON that practice writes"),
        ("{", "not the JSON that practice writes"),
        ("[" * 100_000, "not the JSON that practice writes"),
        ("[]", "there is no practice in it"),
        ('{"seed": "s", "problems": {}}', "there is no practice in it"),
        ('{"seed": "s", "problems": [7]}', "problem 1: found 7"),
        ('{"seed": "s", "problems": [{"began": "yesterday"}]}', "problem 1: began: found 'yesterday'"),
        ('{"seed": "s", "problems": [{"began": "2025-03-03"}]}', "problem 1: id: found None"),
        ('{"seed": "s", "problems": [{"began": "2025-03-03", "id": "p", "scene": "x", "target": "t", "seed": 3}]}', "problem 1: seed: found 3"),
        ('{"seed": "s", "problems": [{"began": "2025-03-03", "id": "p", "scene": "x", "target": "t", "evidence": [{"outcome": "great"}]}]}', "evidence 1: outcome: found 'great'"),
        ("\x00\x01\x02", "not the JSON that practice writes"),
    ],
)
def test_a_broken_file_is_set_aside_and_said(tmp_path: Path, text: str, says: str) -> None:
    """The old file keeps every byte under another name, and the message says which."""
    (tmp_path / NAME).write_text(text, encoding="utf-8")
    opened = File(tmp_path).open()
    assert says in opened.says
    assert "plusway-practice.broken-1.json" in opened.says
    assert opened.record.problems == ()
    assert (tmp_path / "plusway-practice.broken-1.json").read_text(encoding="utf-8") == text
    assert not (tmp_path / NAME).exists()


def test_every_broken_file_is_kept(tmp_path: Path) -> None:
    """A second one does not take the place of the first."""
    for text in ("one", "two"):
        (tmp_path / NAME).write_text(text, encoding="utf-8")
        File(tmp_path).open()
    assert [(tmp_path / f"plusway-practice.broken-{n}.json").read_text(encoding="utf-8") for n in (1, 2)] == ["one", "two"]


def test_a_file_that_breaks_while_one_works_is_set_aside_too(tmp_path: Path) -> None:
    """Keeping does not write over it."""
    (tmp_path / NAME).write_text("half of a fi", encoding="utf-8")
    File(tmp_path).keep(RECORD)
    assert File(tmp_path).open().record == RECORD
    assert (tmp_path / "plusway-practice.broken-1.json").read_text(encoding="utf-8") == "half of a fi"


def test_a_file_from_a_later_plusway_is_left_alone(tmp_path: Path) -> None:
    """It is neither renamed nor read by halves."""
    text = json.dumps({"format": 99, "all": "different"})
    (tmp_path / NAME).write_text(text, encoding="utf-8")
    with pytest.raises(RecordError, match="later plusway"):
        File(tmp_path).open()
    assert (tmp_path / NAME).read_text(encoding="utf-8") == text


def test_two_tabs_lose_nothing() -> None:
    """Every problem once, every item's first evidence; what is on the desk stays last."""
    start = Record("seed", (past("p1", "right"),))
    mine = start.with_problem(past("mine", minutes=3)).with_evidence("p1", (Evidence("ties", "right", "ties", "0"),))
    other = start.with_problem(past("other", "wrong", minutes=4))
    both = merged(mine, other)
    assert [p.id for p in both.problems] == ["p1", "other", "mine"]
    assert len(both.problems[0].evidence) == 2
    assert merged(both, both) == both


def test_keeping_joins_what_another_tab_wrote(tmp_path: Path) -> None:
    """The file on disk is read again before it is written."""
    File(tmp_path).keep(Record("seed", (past("p1", "right"),)))
    File(tmp_path).keep(Record("seed", (past("p2", "wrong", minutes=1),)))
    assert [p.id for p in File(tmp_path).open().record.problems] == ["p1", "p2"]


def test_export_as_it_is_and_as_a_table(tmp_path: Path) -> None:
    """JSON byte for byte; CSV with a row for each piece of evidence, and no cell that a spreadsheet would run."""
    file = File(tmp_path)
    file.keep(RECORD)
    file.export(tmp_path / "a.json")
    file.export(tmp_path / "a.csv")
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / NAME).read_bytes()
    with (tmp_path / "a.csv").open(encoding="utf-8", newline="") as table:
        rows = list(csv.reader(table))
    assert len(rows) == 1 + 3
    assert not [c for row in rows for c in row if c[:1] in "=+-@" and c]


@pytest.mark.parametrize(("name", "says"), [("a.txt", "ends in .json or .csv"), ("there.csv", "such a file already")])
def test_export_never_writes_over_anything(tmp_path: Path, name: str, says: str) -> None:
    """And says what to do."""
    file = File(tmp_path)
    file.keep(RECORD)
    (tmp_path / "there.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(PluswayError, match=says):
        file.export(tmp_path / name)
    assert (tmp_path / "there.csv").read_text(encoding="utf-8") == "mine"


def test_forgetting_deletes_the_file(tmp_path: Path) -> None:
    """And tells whether there was one."""
    file = File(tmp_path)
    file.keep(RECORD)
    assert (file.forget(), file.forget()) == (True, False)
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(RecordError, match="nothing to export"):
        file.export(tmp_path / "a.json")


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="needs a folder that even the superuser can't write to")
def test_a_folder_that_cannot_be_written_is_said() -> None:
    """One line, and no trace of an exception."""
    with pytest.raises(RecordError, match="will not be remembered"):
        File(Path("/proc/self")).keep(RECORD)
