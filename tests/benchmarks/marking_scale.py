"""`plusway mark` on 10, 100, 1,000 and 10,000 notebooks: time and peak memory, with one process and with two.

The notebooks are those of the benchmark `marking`, over and over; each run is a process of its own, from its start to its end.
Memory is the largest that the marking process has had, with `--jobs 2` and twice the largest of its two helpers' besides.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

from marking_class import SCENE, hundred
from ratios import Ratio, times

from plusway.lessons import assign

HERE = Path(__file__).resolve().parent
COUNTS = (10, 100, 1_000, 10_000)
JOBS = (1, 2)
SCRIPT = """
import resource, sys
from plusway.lessons.command import main
code = main(sys.argv[1:])
# Not RUSAGE_SELF: Linux counts in it what the starting process had before this program took its place.
mine = next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM"))
print("peak", mine, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss, file=sys.stderr)
sys.exit(code)
"""

_found: dict[tuple[int, int], tuple[float, float]] = {}


def measure() -> list[Ratio]:
    """Times against parsing the same files, memory against a class of ten."""
    rows = []
    for count in COUNTS:
        with tempfile.TemporaryDirectory() as home:
            folder = Path(home) / "collected"
            folder.mkdir()
            source, _ = assign.write(assign.plan("ps1", [SCENE]), Path(home) / "course")
            raws = hundred(json.loads(source.read_text(encoding="utf-8")))
            for place in range(count):
                (folder / f"s{place:05}.ipynb").write_bytes(raws[place % len(raws)])
            began = perf_counter()
            for path in folder.iterdir():
                json.loads(path.read_bytes())
            limit = perf_counter() - began
            for jobs in JOBS:
                seconds, megabytes = _found[count, jobs] = _run(folder, source, jobs, Path(home) / f"out-{jobs}")
                about = f"mark {count:,} notebooks, {_processes(jobs)}"
                rows.append(times(about, seconds, limit, "json.loads of the same files", note=f"{count / seconds:.3g} a second"))
                rows.append(Ratio(f"{about}: peak memory", megabytes, _found[COUNTS[0], jobs][1], "the same with 10", "MB", aim=1.25))
    _draw(HERE / "marking_scale.svg")
    return rows


def picture() -> tuple[str, str]:
    """The picture's file, and what it says in words."""
    said = "; ".join(f"{count:,} notebooks: " + " and ".join(
        f"{_found[count, jobs][0]:.3g} s and {_found[count, jobs][1]:.3g} MB with {_processes(jobs)}" for jobs in JOBS) for count in COUNTS)
    return "marking_scale.svg", f"Time and peak memory against the number of notebooks, on logarithmic axes. {said}."


def _processes(jobs: int) -> str:
    return "one process" if jobs == 1 else f"{jobs} processes"


def _run(folder: Path, source: Path, jobs: int, out: Path) -> tuple[float, float]:
    began = perf_counter()
    done = subprocess.run([sys.executable, "-c", SCRIPT, "mark", str(folder), "--assignment", str(source), "--jobs", str(jobs),
                           "--out", str(out)], check=True, capture_output=True, text=True)
    seconds = perf_counter() - began
    _, mine, theirs = done.stderr.splitlines()[-1].split()
    return seconds, (int(mine) + (jobs * int(theirs) if jobs > 1 else 0)) / 1024


def _draw(path: Path) -> None:
    import matplotlib
    from matplotlib.figure import Figure

    figure = Figure(figsize=(8.4, 3.6), layout="constrained", facecolor="white")
    left, right = figure.subplots(1, 2)
    for axes, place, unit in ((left, 0, "time in s"), (right, 1, "peak memory in MB")):
        for jobs, mark, colour in ((1, "o", "#3f6a8a"), (2, "s", "#b9652b")):
            axes.plot(COUNTS, [_found[count, jobs][place] for count in COUNTS], marker=mark, color=colour, label=_processes(jobs))
        axes.set_xscale("log")
        axes.set_yscale("log")
        axes.set_xlabel("notebooks")
        axes.set_ylabel(unit)
        axes.spines[["top", "right"]].set_visible(False)
    right.set_ylim(10, 1000)
    left.legend(frameon=False)
    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "plusway"}):
        figure.savefig(path, format="svg", metadata={"Date": None, "Creator": None})
