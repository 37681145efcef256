"""A disk that is full and a folder that may not be written to: one line says so, and nothing that was kept is lost.

The limit on the length of files stands in for a full disk, because a test may not mount one: to the program both are a write that
fails in the middle. tests/faults/README.md tells what a real full disk did.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.records import Journal, JournalError

pytestmark = [pytest.mark.skipif(sys.platform == "win32", reason="limits and permissions are those of POSIX"), pytest.mark.slow]

ANSWERING = """
import json, resource, sys
from pathlib import Path
from plusway.lessons import catalogue
from plusway.widgets.desk import Desk
from plusway.widgets.place import Place
from plusway.widgets.settings import Settings
desk = Desk(catalogue.find("feed-sack"), "feed-sack", Settings(), Place(Path(sys.argv[1]), {"id": "L1"}))
_, most = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (5000, most))
said = []
for place in range(100):
    entry, kept = desk.commit("equations", "sack", f"T - 63.7 = 6.5a + {place}", 0)
    if not kept:
        break
    said.append(entry.id)
trouble = desk.trouble
still_shown = desk.answers["equations"]["sack"] == entry.value
resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
entry, kept = desk.commit("ties", None, ["a_1 = a_2"], 0)
said.append(entry.id)
print(json.dumps([said, trouble, still_shown, kept, desk.trouble]))
"""


def test_a_disk_that_fills_up_while_answering_is_said_and_costs_only_the_answer_that_did_not_fit(
        place: Path, python: Callable[..., Any]) -> None:
    """The lesson goes on with that answer on the page, and keeps the next one as soon as there is room."""
    done = python(ANSWERING, str(place / "lesson.ipynb"))
    assert done.stderr == ""
    said, trouble, still_shown, kept, trouble_after = json.loads(done.stdout)
    assert "can't be written here" in trouble
    assert (still_shown, kept, trouble_after) == (True, True, "")
    read = Journal(place / "lesson.plusway.jsonl").read()
    assert [entry.id for entry in read.entries] == said
    assert read.remarks == ()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_journal_on_a_full_disk_says_so(tmp_path: Path) -> None:
    """The system's own word for a full disk."""
    os.symlink("/dev/full", tmp_path / "x.plusway.jsonl")
    with pytest.raises(JournalError, match="the disk is full; delete something, then commit the answer again"):
        Journal(tmp_path / "x.plusway.jsonl").append("p", "ties", ["a"])


@pytest.mark.parametrize("limit", [0, 10_000, 40_000])
def test_marking_on_a_full_disk_is_one_line_and_a_second_run_comes_to_the_same(
        classroom: Path, place: Path, command: Callable[..., Any], limit: int) -> None:
    """Wherever the disk fills up: no traceback, and once there is room the results are those of an undisturbed run."""
    mark = ("mark", "collected", "--assignment", "ps1.ipynb")
    full = command(*mark, "--out", "full", limit=limit)
    assert full.returncode in (0, 2)
    if full.returncode == 2:
        assert full.stderr.count("\n") == 1
        assert full.stderr.startswith("plusway mark: full")
    assert limit > 10_000 or full.returncode == 2
    assert [command(*mark, "--out", out).returncode for out in ("full", "fresh")] == [0, 0]
    for name in ("results.jsonl", "results.csv", *(f"feedback/{p.name}" for p in (place / "fresh" / "feedback").iterdir())):
        assert (place / "full" / name).read_bytes() == (place / "fresh" / name).read_bytes()
    assert not list((place / "full").rglob("*.part"))


def test_a_report_on_a_full_disk_leaves_the_old_one(classroom: Path, place: Path, command: Callable[..., Any]) -> None:
    """One line, and the report of before is whole."""
    command("mark", "collected", "--assignment", "ps1.ipynb")
    assert command("report", "collected").returncode == 0
    before = (classroom / "marks" / "report.html").read_bytes()
    full = command("report", "collected", "--names", limit=3000)
    assert (full.returncode, full.stderr.count("\n")) == (2, 1)
    assert full.stderr.startswith("plusway report: ")
    assert (classroom / "marks" / "report.html").read_bytes() == before
    assert not list((classroom / "marks").rglob(".report*.part"))


@pytest.fixture
def two_of_a_kind(classroom: Path, place: Path, command: Callable[..., Any]) -> Path:
    """place/well and place/shut: the same class, marked; place/elsewhere, where anybody may write."""
    assert command("mark", "collected", "--assignment", "ps1.ipynb").returncode == 0
    for name in ("well", "shut"):
        shutil.copytree(classroom, place / name / "collected")
        shutil.copy(place / "ps1.ipynb", place / name / "ps1.ipynb")
    (place / "elsewhere").mkdir()
    (place / "elsewhere").chmod(0o777)
    return place


SHUT = [
    ("marking where the results may not be written", ["mark @/collected --assignment @/ps1.ipynb"], 2, "plusway mark: "),
    ("marking with the results elsewhere", ["mark @/collected --assignment @/ps1.ipynb --out ELSEWHERE/%"], 0, ""),
    ("a report where it may not be written", ["report @/collected"], 2, "plusway report: "),
    ("a report written elsewhere", ["report @/collected --out ELSEWHERE"], 0, ""),
    ("a new assignment", ["assign --scene feed-sack --name ps2 --force --course @/collected"], 2, "plusway assign: "),
]


@pytest.mark.parametrize(("commands", "code", "says"), [case[1:] for case in SHUT], ids=[case[0] for case in SHUT])
def test_a_folder_that_may_not_be_written_to(two_of_a_kind: Path, in_a_read_only_folder: Callable[..., Any],
                                             commands: list[str], code: int, says: str) -> None:
    """One line where something must be written there; no trouble where it only has to be read."""
    elsewhere = str(two_of_a_kind / "elsewhere")
    done = in_a_read_only_folder(two_of_a_kind, *(c.replace("ELSEWHERE", elsewhere) for c in commands))
    assert (done.returncode, done.stderr.count("\n")) == (code, code // 2), done.stderr
    assert done.stderr.startswith(says)


SHUT_DESK = """
import os, sys
from pathlib import Path
from plusway.lessons import catalogue
from plusway.widgets.desk import Desk
from plusway.widgets.place import Place
from plusway.widgets.settings import Settings
Path(sys.argv[1]).chmod(0o555)
scene = catalogue.find("feed-sack")
def desk():
    return Desk(scene, "feed-sack", Settings(), Place(Path(sys.argv[1]) / "lesson.ipynb", {"id": "L1"}))
desk().verdicts()
if os.geteuid() == 0:
    os.seteuid(65534)
mine = desk()
print(mine.trouble)
entry, kept = mine.commit("equations", "sack", "T - 63.7 = 6.5a", 0)
print(kept, mine.answers["equations"]["sack"], len(mine.verdicts()) > 0)
os.seteuid(os.getuid())
"""


def test_a_lesson_in_a_read_only_folder_says_so_at_once_and_goes_on(place: Path, python: Callable[..., Any]) -> None:
    """Before anything is typed; and what is typed is judged and stays for as long as the kernel lives."""
    (place / "lessons").mkdir()
    done = python(SHUT_DESK, str(place / "lessons"))
    first, second = done.stdout.splitlines()
    assert "the folder may not be written to; copy the notebook to a folder of your own and open it there" in first
    assert second == "False T - 63.7 = 6.5a True"
