"""The same folder on a Dask cluster."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import UsageError
from plusway.autograde.marking.cluster import on_cluster
from plusway.autograde.marking.run import Job, mark_folder

from .conftest import Copy, answers_of, points, put

pytestmark = [pytest.mark.slow, pytest.mark.filterwarnings("default")]  # Dask's own warnings at start and at a lost worker
distributed = pytest.importorskip("distributed")


@pytest.fixture
def cluster() -> Iterator[Any]:
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as found:
        yield found


@pytest.fixture
def collected(tmp_path: Path, copy_of: Copy) -> Path:
    folder = tmp_path / "in"
    for place in range(40):
        put(folder / f"s{place:02}.ipynb", copy_of(answers_of(slip=("", "flipped", "half")[place % 3])))
    put(folder / "broken.ipynb", "{")
    return folder


def test_two_workers_give_the_same_results(cluster: Any, collected: Path, job: Job, tmp_path: Path) -> None:
    """Byte for byte what one process gives."""
    mark_folder(collected, tmp_path / "here", job)
    mark_folder(collected, tmp_path / "there", job, on_cluster(cluster.scheduler_address))
    assert (tmp_path / "there" / "results.jsonl").read_bytes() == (tmp_path / "here" / "results.jsonl").read_bytes()


def test_a_worker_killed_in_the_middle_loses_nothing(cluster: Any, collected: Path, job: Job, tmp_path: Path) -> None:
    """What it had is given to another."""
    killed = []

    def kill_one(_: Any, progress: Any) -> None:
        if progress.marked == 5 and not killed:
            killed.append(next(iter(cluster.workers.values())).pid)
            os.kill(killed[0], signal.SIGKILL)

    progress = mark_folder(collected, tmp_path / "out", job, on_cluster(cluster.scheduler_address), kill_one)
    assert (progress.marked, progress.unmarked, len(killed)) == (40, 1, 1)
    assert {n["points"] for n in points(tmp_path / "out").values() if n["status"] == "marked"} == {12.0, 11.0, 6.0}


def test_no_scheduler_is_one_line(monkeypatch: pytest.MonkeyPatch, job: Job) -> None:
    """And not a minute of waiting."""
    monkeypatch.setattr("plusway.autograde.marking.cluster.TIMEOUT", "1s")
    with pytest.raises(UsageError, match="no Dask scheduler answers there"):
        list(on_cluster("tcp://127.0.0.1:9")([], job))
