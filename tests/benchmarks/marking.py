"""Marking the same hundred notebooks: `plusway mark`, nbgrader with plusway's preprocessors, nbgrader as it is, bare json.loads.

A simulated class: four choices of directions, six kinds of work, right and wrong. Whole commands are timed in processes of their
own, and what a command takes for a single notebook (its start) is taken off before dividing.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter

from marking_class import SCENE, hundred
from ratios import Ratio, times

from plusway.lessons import assign

NAME = "ps1"
STOCK = "nbgrader autograde as it is"


def run(folder: Path, *command: str) -> float:
    """Run a program of this environment in a folder; how long it took."""
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
    began = perf_counter()
    subprocess.run([sys.executable, "-m", *command], cwd=folder, env={**os.environ, "PATH": path}, check=True, capture_output=True)
    return perf_counter() - began


def course(folder: Path, config: str = "") -> list[bytes]:
    """A course with the assignment released; the class's notebooks made from the release."""
    folder.mkdir()
    assign.write(assign.plan(NAME, [SCENE]), folder)
    run(folder, "nbgrader", "generate_assignment", NAME)
    if config:
        (folder / "nbgrader_config.py").write_text(config, encoding="utf-8")
    released = json.loads((folder / "release" / NAME / f"{NAME}.ipynb").read_text(encoding="utf-8"))
    return hundred(released)


def hand_in(folder: Path, raws: Sequence[bytes]) -> None:
    for place, raw in enumerate(raws):
        path = folder / "submitted" / f"s{place:05}" / NAME / f"{NAME}.ipynb"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(raw)


def each(marking: Callable[[Sequence[bytes]], float], raws: Sequence[bytes]) -> float:
    """Seconds for each notebook, the command's start taken off."""
    start = marking(raws[:1])
    return (marking(raws) - start) / (len(raws) - 1)


def measure() -> list[Ratio]:
    """Seconds for each notebook of the same hundred."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        raws = course(home / "ours")
        course(home / "stock", "c = get_config()\n")

        def nbgrader(name: str) -> Callable[[Sequence[bytes]], float]:
            def marking(some: Sequence[bytes]) -> float:
                hand_in(home / name, some)
                return run(home / name, "nbgrader", "autograde", NAME, "--force")

            return marking

        source = home / "ours" / "source" / NAME / f"{NAME}.ipynb"
        runs = iter(range(1000))

        def plusway(*options: str) -> Callable[[Sequence[bytes]], float]:
            def marking(some: Sequence[bytes]) -> float:
                collected = home / f"collected-{next(runs)}"
                collected.mkdir()
                for place, raw in enumerate(some):
                    (collected / f"s{place:05}.ipynb").write_bytes(raw)
                return run(home, "plusway", "mark", collected.name, "--assignment", str(source), *options)

            return marking

        ours = median(each(plusway(), raws) for _ in range(3))
        two = median(each(plusway("--jobs", "2"), raws) for _ in range(3))
        theirs = each(nbgrader("stock"), raws)
        adapted = median(each(nbgrader("ours"), raws) for _ in range(3))
        parsing = []
        for _ in range(5):
            began = perf_counter()
            for raw in raws:
                json.loads(raw)
            parsing.append((perf_counter() - began) / len(raws))
    limit = median(parsing)
    note = "with results, pages and comparison; three runs of ours, one of nbgrader's"
    return [
        times("plusway mark, a notebook", ours, theirs, STOCK, aim=1 / 200, note=note),
        times("plusway mark --jobs 2, a notebook", two, theirs, STOCK, note=note),
        times("nbgrader autograde with plusway's preprocessors, a notebook", adapted, theirs, STOCK, aim=1 / 8),
        times("plusway mark, a notebook", ours, limit, "json.loads of the same files", note="the lower bound"),
        times("nbgrader autograde as it is, a notebook", theirs, limit, "json.loads of the same files"),
    ]
