"""Marking in several processes: the same results, whatever becomes of a process, and few notebooks at a time."""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking import pages as pages_module
from plusway.autograde.marking import run as run_module
from plusway.autograde.marking.assignment import Assignment, assignment_from
from plusway.autograde.marking.marked import Marked
from plusway.autograde.marking.pages import pages_in_processes
from plusway.autograde.marking.run import Job, in_processes, mark_folder, mark_task

from .conftest import Copy, points, put


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


def test_memory_does_not_grow_with_the_class(tmp_path: Path, job: Job, copy_of: Copy) -> None:
    """At most a few notebooks are under way at any time."""
    for place in range(60):
        put(tmp_path / "in" / f"s{place:03}.ipynb", copy_of({}))
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

    mark_folder(tmp_path / "in", tmp_path / "out", job, counting)
    assert most <= 9


def test_nothing_of_a_notebook_is_imported_or_run_by_marking(collected: Path) -> None:
    """Marking needs neither a kernel nor nbgrader nor matplotlib."""
    script = ("import sys; from plusway.lessons.command import main; main(['mark', sys.argv[1], '--json']); "
              "sys.exit(sorted({'IPython', 'ipykernel', 'nbgrader', 'matplotlib', 'numpy', 'distributed'} & set(sys.modules)) or 0)")
    done = subprocess.run([sys.executable, "-c", script, str(collected)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_assignments_travel_as_plain_text(source: dict[str, Any]) -> None:
    """To another process or machine."""
    assignment = assignment_from(source, "x")
    assert pickle.loads(pickle.dumps(assignment)) == assignment
    assert isinstance(assignment, Assignment)
