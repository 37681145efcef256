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
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter

from marking_class import SCENE, hundred
from ratios import Ratio, times

from plusway.lessons import assign

NAME, AT_ONCE = "ps1", 10
LONGEST = 300  # seconds of turns


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


def hand_in(folder: Path, raws: Sequence[bytes], first: int) -> None:
    for place, raw in enumerate(raws, first):
        path = folder / "submitted" / f"s{place:05}" / NAME / f"{NAME}.ipynb"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(raw)


def measure() -> list[Ratio]:
    """Seconds for each notebook. The programs take turns on ten of the same hundred notebooks after another (`plusway mark`, on all of
    them), so that a busy machine slows all alike, until the hundred are done or a few minutes are over."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        raws = course(home / "ours")
        course(home / "stock", "c = get_config()\n")
        source = home / "ours" / "source" / NAME / f"{NAME}.ipynb"
        collected = iter(range(1000))

        def nbgrader(name: str, some: Sequence[bytes], first: int) -> float:
            hand_in(home / name, some, first)
            return run(home / name, "nbgrader", "autograde", NAME)  # passes over those that it has marked already

        def plusway(some: Sequence[bytes], *options: str) -> float:
            into = home / f"collected-{next(collected)}"
            into.mkdir()
            for place, raw in enumerate(some):
                (into / f"s{place:05}.ipynb").write_bytes(raw)
            return run(home, "plusway", "mark", into.name, "--assignment", str(source), *options)

        for name in ("ours", "stock"):
            nbgrader(name, raws[:1], 10_000)  # the gradebook is made, and everything is read once
        spent: dict[str, float] = dict.fromkeys(("stock", "ours", "one", "two", "json"), 0.0)
        marked, began = 0, perf_counter()
        while marked < len(raws) and (perf_counter() - began < LONGEST or not marked):
            some = raws[marked:marked + AT_ONCE]
            for name in ("ours", "stock"):
                start = nbgrader(name, raws[:1], 10_001 + marked)
                spent[name] += (nbgrader(name, some, marked) - start) / (AT_ONCE - 1)
            for name, options in (("one", ()), ("two", ("--jobs", "2"))):
                start = plusway(raws[:1], *options)
                spent[name] += (plusway(raws, *options) - start) / (len(raws) - 1)
            at = perf_counter()
            for raw in raws:
                json.loads(raw)
            spent["json"] += (perf_counter() - at) / len(raws)
            marked += len(some)
    each = {name: seconds * AT_ONCE / marked for name, seconds in spent.items()}
    note = f"{marked} of the notebooks through nbgrader, {marked // AT_ONCE} times all hundred through plusway mark"
    stock, limit = "nbgrader autograde as it is", "json.loads of the same files"
    return [
        times("plusway mark, a notebook", each["one"], each["stock"], stock, aim=1 / 200, note=note),
        times("plusway mark --jobs 2, a notebook", each["two"], each["stock"], stock),
        times("nbgrader autograde with plusway's preprocessors, a notebook", each["ours"], each["stock"], stock, aim=1 / 8),
        times("plusway mark, a notebook", each["one"], each["json"], limit, note="the lower bound"),
        times("nbgrader autograde as it is, a notebook", each["stock"], each["json"], limit),
    ]
