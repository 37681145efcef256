"""How long marking takes, beside bare json.loads of the same files as the limit (no time is asserted).

The same hundred notebooks for all: simulated students of one class, four choices of directions, six kinds of work.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.mark import mark_notebook
from plusway.autograde.marking.run import Job, here, in_processes, mark_folder
from plusway.lessons import assign

SCENE = "feed-sack"
TENSION = {"up": "6.5a_1 + 63.7", "down": "63.7 - 6.5a_1"}


def answers(place: int) -> dict[str, Any]:
    """The answers of student number `place`."""
    sack, box = ("up", "down")[place % 2], ("up", "down")[place // 2 % 2]
    slip = ("", "flipped", "missing", "half", "empty", "figures")[place // 4 % 6]
    if slip == "empty":
        return {}
    weight = "" if slip == "missing" else f"{'-' if (sack == 'up') != (slip == 'flipped') else '+'} m_1 g"
    out: dict[str, Any] = {
        "directions": {"sack": sack, "counterweight": box},
        "forces": {"sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]},
        "equations": {"sack": f"{'' if sack == 'up' else '-'}T {weight} = m_1 a_1",
                      "counterweight": "T - 88.2 = 9a_2" if box == "up" else "88.2 - T = 9a_2"}}
    if slip == "half":
        return out
    left = f"({TENSION[sack]}) - 88.2" if box == "up" else f"88.2 - ({TENSION[sack]})"
    sign, figure = "" if sack == "up" else "-", f"{1.58 + place / 1000 if slip == 'figures' else 1.58:.3g}"
    return {**out, "ties": ["a_1 = a_2" if sack != box else "a_1 = -a_2"],
            "working": [f"T = {TENSION[sack]}", f"{left} = {'-' if sack == box else ''}9a_1", f"15.5a_1 = {sign}24.5",
                        f"a_1 = {sign}{figure}"],
            "results": {"a": f"{figure} m/s^2", "T": "74.0 N"}, "sense": ["T < W_2", "a < g"]}


@pytest.fixture(scope="module")
def notebook() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(json.dumps(assign.plan("ps1", [SCENE]).notebook))
    return found


@pytest.fixture(scope="module")
def hundred(notebook: dict[str, Any]) -> list[bytes]:
    raws = []
    for place in range(100):
        notebook["metadata"]["plusway"]["answers"] = {SCENE: answers(place)}
        raws.append(json.dumps(notebook).encode())
    return raws


def test_the_limit_is_parsing_the_files(benchmark: Any, hundred: list[bytes]) -> None:
    """json.loads of a hundred notebooks."""
    benchmark(lambda: [json.loads(raw) for raw in hundred])


def test_marking_a_hundred_notebooks(benchmark: Any, hundred: list[bytes], notebook: dict[str, Any]) -> None:
    """The same hundred, read and judged, in one process."""
    assignment = assignment_from(notebook, "source")
    marked = benchmark(lambda: [mark_notebook(raw, assignment, student="s") for raw in hundred])
    assert not any(m.error or m.flags for m in marked)


@pytest.mark.parametrize("count", [10, 100, 1000])
@pytest.mark.parametrize("jobs", [1, 2])
def test_marking_a_folder(benchmark: Any, tmp_path: Path, hundred: list[bytes], notebook: dict[str, Any], count: int,
                          jobs: int) -> None:
    """All of `plusway mark` but the table: results, pages, comparison. The peak of Python's memory is in extra_info."""
    folder = tmp_path / "in"
    folder.mkdir()
    for place in range(count):
        (folder / f"s{place:05}.ipynb").write_bytes(hundred[place % 100])
    job = Job(assignment_from(notebook, "source"))
    places = iter(range(100))

    def run() -> None:
        mark_folder(folder, tmp_path / f"out{next(places)}", job, in_processes(jobs) if jobs > 1 else here)

    benchmark.pedantic(run, rounds=1)
    if jobs == 1 and count <= 100:
        tracemalloc.start()
        run()
        benchmark.extra_info["peak_bytes"] = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()


@pytest.mark.slow
@pytest.mark.parametrize("config", ["ours", "stock"])
def test_nbgrader_autograde(benchmark: Any, tmp_path: Path, hundred: list[bytes], config: str) -> None:
    """Ten notebooks through `nbgrader autograde`, with plusway's preprocessors and as it is (both without its start)."""
    course = tmp_path / "course"
    course.mkdir()
    assign.write(assign.plan("ps1", [SCENE]), course)
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])

    def nbgrader(*arguments: str) -> None:
        subprocess.run([sys.executable, "-m", "nbgrader", *arguments], cwd=course, env={**os.environ, "PATH": path},
                       check=True, capture_output=True)

    nbgrader("generate_assignment", "ps1")
    if config == "stock":
        (course / "nbgrader_config.py").write_text("c = get_config()\n")
    for place in range(11):
        folder = course / "submitted" / f"s{place:03}" / "ps1"
        folder.mkdir(parents=True)
        (folder / "ps1.ipynb").write_bytes(hundred[place])
    benchmark.extra_info["start"] = timed(lambda: nbgrader("autograde", "ps1", "--student", "s010"))
    benchmark.pedantic(lambda: nbgrader("autograde", "ps1"), rounds=1)


def timed(run: Callable[[], None]) -> float:
    from time import perf_counter

    start = perf_counter()
    run()
    return perf_counter() - start
