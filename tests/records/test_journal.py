"""The journal: nothing committed is lost, and nothing foreign is believed."""

from __future__ import annotations

import errno
import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from datetime import datetime, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plusway.autograde.records import Journal, JournalError, beside, entries_for, merge
from plusway.autograde.records import journal as journal_module
from plusway.autograde.records.entries import GREATEST_N
from plusway.autograde.records.journal import parse


@pytest.fixture
def journal(tmp_path: Path) -> Journal:
    return Journal(tmp_path / "lesson.plusway.jsonl")


def test_an_appended_answer_is_read_back_as_it_was(journal: Journal) -> None:
    """What append returns is what a later reader finds."""
    entry = journal.append("feed-sack", "equations", "T - 63.7 = 6.5a", item="sack", hints=2, lesson="abc")
    assert journal.read().entries == (entry,)


def test_each_line_has_the_agreed_keys(journal: Journal) -> None:
    """The file outlives the code: its keys are fixed."""
    journal.append("feed-sack", "ties", ["a_1 = a_2"])
    record = json.loads(journal.path.read_text())
    assert list(record) == ["format", "id", "when", "n", "problem", "step", "item", "value", "hints", "lesson"]


def test_the_counter_grows_by_one(journal: Journal) -> None:
    """n is the highest seen plus one."""
    assert [journal.append("p", "ties", ["a"]).n for _ in range(3)] == [1, 2, 3]


def test_the_counter_is_above_what_the_metadata_has(journal: Journal) -> None:
    """A notebook mailed without its journal goes on counting where its metadata ended."""
    assert journal.append("p", "ties", ["a"], above=41).n == 42


def test_a_clock_set_back_changes_no_order(tmp_path: Path) -> None:
    """The newest is the one appended last, whatever the clock says."""
    hours = iter([12, 3])
    journal = Journal(tmp_path / "x.plusway.jsonl", clock=lambda: datetime(2025, 3, 1, next(hours), tzinfo=timezone.utc))
    journal.append("p", "equations", "old", item="sack")
    journal.append("p", "equations", "new", item="sack")
    assert merge(journal.read().entries, []) == {"p": {"equations": {"sack": "new"}}}


RUBBISH = [
    pytest.param(b'{"format": 1, "id": "x", "n"', id="a torn line"),
    pytest.param(b"\x00\xff\xfe\x80binary\x00", id="binary rubbish"),
    pytest.param(b"[1, 2]", id="JSON that is no entry"),
    pytest.param(b'{"n": true, "problem": "p", "step": "ties"}', id="a counter that is no number"),
    pytest.param(b'{"n": 1, "problem": "p", "step": "coffee"}', id="a step that there is not"),
    pytest.param(b"[" * 100_000, id="deep nesting"),
    pytest.param(b'{"n": ' + b"9" * 5000 + b"}", id="a number of 5000 digits"),
    pytest.param(b'"' + b"x" * 500_000 + b'"', id="half a megabyte"),
]


@pytest.mark.parametrize("rubbish", RUBBISH)
def test_rubbish_costs_only_itself(journal: Journal, rubbish: bytes) -> None:
    """Whatever stands between two entries, both are read, and it is said that something was passed over."""
    first = journal.append("p", "ties", ["a"])
    with open(journal.path, "ab") as stream:
        stream.write(rubbish)  # without a line end, as a crash leaves it
    second = journal.append("p", "ties", ["b"])
    read = journal.read()
    assert read.entries == (first, second)
    assert read.remarks == ("the journal has 1 line that can't be read (torn or foreign): passed over",)


@given(st.binary(max_size=300))
def test_reading_never_raises(raw: bytes) -> None:
    """Any bytes at all are a journal, if perhaps one without entries."""
    assert isinstance(parse(raw).entries, tuple)


@settings(max_examples=50)
@given(st.integers(min_value=0, max_value=400))
def test_a_journal_cut_off_anywhere_keeps_every_whole_line(cut: int) -> None:
    """A torn tail loses at most the line that it tore."""
    lines = [json.dumps({"id": str(n), "n": n, "problem": "p", "step": "ties", "value": ["a"]}).encode() + b"\n"
             for n in range(1, 6)]
    raw = b"".join(lines)[:cut]
    assert len(parse(raw).entries) >= raw.count(b"\n")


def test_two_writers_in_threads_lose_nothing(tmp_path: Path) -> None:
    """Two tabs with a journal object each: every answer is there, and no two have the same n."""
    path = tmp_path / "x.plusway.jsonl"

    def write(name: str) -> None:
        mine = Journal(path)
        for place in range(50):
            mine.append("p", "equations", f"{name}{place}", item=name)

    threads = [threading.Thread(target=write, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    entries = Journal(path).read().entries
    assert sorted(e.n for e in entries) == list(range(1, 101))


WRITER = """
import sys
from plusway.autograde.records import Journal
journal = Journal(sys.argv[1])
for place in range(10**6):
    entry = journal.append("p", "equations", f"line {place} " + "x" * 300, item="sack")
    print(entry.n, flush=True)
"""


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no SIGKILL here")
def test_a_killed_writer_loses_no_answer_that_it_had_confirmed(tmp_path: Path) -> None:
    """kill -9 at a moment of no one's choosing: whatever append had returned is in the journal."""
    path = tmp_path / "x.plusway.jsonl"
    confirmed = 0
    for round_ in range(5):
        with subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout is not None
            for _ in range(10 + 7 * round_):
                confirmed = int(writer.stdout.readline())
            time.sleep(0.003 * round_)
            writer.send_signal(signal.SIGKILL)
            confirmed = max([confirmed, *(int(line) for line in writer.stdout.read().split())])
        numbers = [entry.n for entry in Journal(path).read().entries]
        assert set(range(1, confirmed + 1)) <= set(numbers)


def test_a_renamed_notebook_finds_its_answers(tmp_path: Path) -> None:
    """The notebook's id finds the entries in the journal of its old name."""
    Journal(beside(tmp_path / "old.ipynb")).append("p", "ties", ["mine"], lesson="L1")
    assert [e.value for e in entries_for(tmp_path / "new.ipynb", "L1").entries] == [["mine"]]


def test_a_copied_notebook_and_its_journal_give_each_entry_once(tmp_path: Path) -> None:
    """A copy of notebook and journal holds the same entries, not twice as many."""
    Journal(beside(tmp_path / "old.ipynb")).append("p", "ties", ["mine"], lesson="L1")
    shutil.copy(beside(tmp_path / "old.ipynb"), beside(tmp_path / "copy.ipynb"))
    assert len(entries_for(tmp_path / "copy.ipynb", "L1").entries) == 1


def test_another_lesson_under_the_same_name_is_not_believed(tmp_path: Path) -> None:
    """A new notebook that took an old one's name starts empty."""
    Journal(beside(tmp_path / "x.ipynb")).append("p", "ties", ["theirs"], lesson="L1")
    assert entries_for(tmp_path / "x.ipynb", "L2").entries == ()


def test_without_an_id_the_file_name_counts(tmp_path: Path) -> None:
    """A notebook that has lost its metadata still has its name."""
    Journal(beside(tmp_path / "x.ipynb")).append("p", "ties", ["mine"], lesson="L1")
    assert len(entries_for(tmp_path / "x.ipynb").entries) == 1


def test_a_folder_that_may_not_be_written_to_is_said_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One line that says what to do; simulated, because root may write anywhere."""
    def refuse(*_: object, **__: object) -> int:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(journal_module.os, "open", refuse)
    with pytest.raises(JournalError, match=r"may not be written to; copy the notebook to a folder of your own"):
        Journal(tmp_path / "x.plusway.jsonl").append("p", "ties", ["a"])


def test_a_missing_folder_is_said(tmp_path: Path) -> None:
    """The folder was deleted under the lesson."""
    with pytest.raises(JournalError, match="the folder is gone"):
        Journal(tmp_path / "gone" / "x.plusway.jsonl").append("p", "ties", ["a"])


def test_a_full_disk_is_said_and_leaves_no_half_line(journal: Journal, monkeypatch: pytest.MonkeyPatch) -> None:
    """A write that came through in part only is taken back."""
    kept = journal.append("p", "ties", ["kept"])
    real = os.write
    monkeypatch.setattr(journal_module.os, "write", lambda handle, line: real(handle, line[:20]))
    with pytest.raises(JournalError, match="the disk is full"):
        journal.append("p", "ties", ["lost"])
    monkeypatch.undo()
    assert journal.read() == parse(journal.path.read_bytes())
    assert journal.read().entries == (kept,)
    assert journal.read().remarks == ()


def test_a_counter_at_its_end_loses_no_answer(tmp_path: Path) -> None:
    """A record that claims the greatest n there is: later answers are still read back, and the clock decides between them."""
    hours = iter([10, 11])
    journal = Journal(tmp_path / "x.plusway.jsonl", clock=lambda: datetime(2025, 3, 1, next(hours), tzinfo=timezone.utc))
    journal.append("p", "ties", ["early"], above=GREATEST_N)
    journal.append("p", "ties", ["late"], above=GREATEST_N)
    entries = journal.read().entries
    assert [entry.n for entry in entries] == [GREATEST_N, GREATEST_N]
    assert merge(entries, []) == {"p": {"ties": ["late"]}}


def test_an_answer_too_long_to_be_read_back_is_not_called_kept(journal: Journal) -> None:
    """A journal's line has a limit; what is above it is refused, and what was there stays."""
    kept = journal.append("p", "ties", ["kept"])
    with pytest.raises(JournalError, match="too long to be kept; shorten it"):
        journal.append("p", "working", ["é" * 9_000] * 50)
    assert journal.read().entries == (kept,)


def test_a_journal_too_large_to_be_read_takes_no_more(journal: Journal, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else the student would be told that an answer is kept which no reader finds."""
    journal.append("p", "ties", ["kept"])
    monkeypatch.setattr(journal_module, "LARGEST", journal.path.stat().st_size + 50)
    with pytest.raises(JournalError, match="no journal of a lesson; move it away"):
        journal.append("p", "ties", ["more"])


def test_another_journal_that_can_not_be_read_hides_no_answer(tmp_path: Path) -> None:
    """A folder of a journal's name among the lessons costs a remark."""
    Journal(beside(tmp_path / "mine.ipynb")).append("p", "ties", ["mine"], lesson="L1")
    beside(tmp_path / "other.ipynb").mkdir()
    read = entries_for(tmp_path / "mine.ipynb", "L1")
    assert [e.value for e in read.entries] == [["mine"]]
    assert "other.plusway.jsonl: your answers can't be read here: there is a folder of that name" in read.remarks[0]


def test_a_disk_that_fails_only_when_the_line_is_to_be_safe_keeps_nothing_of_it(journal: Journal,
                                                                               monkeypatch: pytest.MonkeyPatch) -> None:
    """Some file systems say that they are full at the fsync: the line is taken back."""
    kept = journal.append("p", "ties", ["kept"])

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(journal_module.os, "fsync", full)
    with pytest.raises(JournalError, match="the disk is full"):
        journal.append("p", "ties", ["lost"])
    monkeypatch.undo()
    assert journal.read().entries == (kept,)


def test_millions_of_unusable_parts_are_counted_not_kept() -> None:
    """Memory does not grow with what a file has wrong."""
    line = json.dumps({"n": 1, "problem": "p", "step": "working", "value": [0] * 200}).encode()
    read = parse(b"\n".join([line] * 1000))
    assert len(read.entries) == 1000
    assert len(read.remarks) == 21
    assert read.remarks[-1] == "and 199180 more remarks of this kind"  # of 1000 that are kept 200 are different
