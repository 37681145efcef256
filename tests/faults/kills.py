"""kill -9 at random moments of answering, marking and reporting, and what is left then.

    python tests/faults/kills.py --answering 200 --marking 200 --reporting 100 --seed 1

Each kill hits a process of its own that does the real thing (the widgets' desk, `plusway mark`, `plusway report`) and knows nothing
of being watched. After each kill, and after a last undisturbed run, everything that had been confirmed must be there, once. Prints a
table as Markdown; ends with exit code 1 where anything was lost. Linux and macOS only: it forks, so that a process is ready at once.
"""

from __future__ import annotations

import argparse
import contextlib
import csv
import io
import json
import os
import random
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plusway.autograde.records import Journal, beside, entries_for
from plusway.lessons import assign, catalogue
from plusway.lessons.command import main as plusway
from plusway.widgets.desk import Desk
from plusway.widgets.place import Place
from plusway.widgets.settings import Settings

SCENE = "feed-sack"
LESSON = "L1"
NOTEBOOKS = 24
MOST_SECONDS = 60


@dataclass
class Figures:
    """One row of the table. confirmed: what the killed process had said was done; lost, twice: of that."""

    what: str
    kills: int = 0
    confirmed: int = 0
    found: int = 0
    lost: int = 0
    twice: int = 0
    broken: int = 0  # files that a reader could not use
    left: int = 0  # processes that outlived the one that was killed
    remark: str = ""

    def row(self) -> str:
        cells = [self.what, self.kills, self.confirmed, self.found, self.lost, self.twice, self.broken, self.left, self.remark]
        return "| " + " | ".join(map(str, cells)) + " |"

    @property
    def good(self) -> bool:
        return not (self.lost or self.twice or self.broken or self.left)


HEAD = ("| killed while | kills | confirmed | found again | lost | counted twice | files broken | processes left | and then |\n"
        "|---|---:|---:|---:|---:|---:|---:|---:|---|")


# --- a process to kill -----------------------------------------------------------------------------------------------


def child(work: Callable[[int], None]) -> tuple[int, int]:
    """Fork a process, head of a group of its own, that does `work` with a pipe to write to; returns (process, pipe to read)."""
    read, write = os.pipe()
    sys.stdout.flush()
    process = os.fork()
    if process == 0:
        code = 1
        try:
            os.setsid()
            os.close(read)
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            work(write)
            code = 0
        finally:
            os._exit(code)
    os.close(write)
    return process, read


def killed(process: int, pipe: int, after: float) -> tuple[bytes, bool, int]:
    """Let it live for so many seconds more, then kill -9. Returns what it had written, whether it was still at work, and how
    many processes of its group outlive it."""
    end = time.monotonic() + after
    raw = b""
    os.set_blocking(pipe, False)
    while (left := end - time.monotonic()) > 0:
        time.sleep(min(left, 0.002))
    with contextlib.suppress(ProcessLookupError):
        os.kill(process, signal.SIGKILL)
    _, status = os.waitpid(process, 0)
    os.set_blocking(pipe, True)
    end = time.monotonic() + 15
    while time.monotonic() < end:  # its workers notice in a moment that it is gone
        try:
            os.killpg(process, 0)
        except (ProcessLookupError, PermissionError):
            break
        time.sleep(0.01)
    left_over = _alive(process)
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(process, signal.SIGKILL)
    while part := os.read(pipe, 1 << 16):
        raw += part
    os.close(pipe)
    return raw, os.WIFSIGNALED(status), left_over


def _alive(group: int) -> int:
    try:
        os.killpg(group, 0)
    except (ProcessLookupError, PermissionError):
        return 0
    return 1


# --- answering -------------------------------------------------------------------------------------------------------


def desk(notebook: Path) -> Desk:
    return Desk(catalogue.find(SCENE), SCENE, Settings(), Place(notebook, {"id": LESSON}))


def answer_for_ever(notebook: Path, seed: int) -> Callable[[int], None]:
    """A student who commits line after line, short and long; each is written to the pipe once the desk says that it is kept."""

    def work(pipe: int) -> None:
        draw = random.Random(seed)
        mine = desk(notebook)
        for place in range(10**6):
            step, item = draw.choice((("equations", "sack"), ("equations", "counterweight"), ("working", None), ("ties", None)))
            line = f"T - 63.7 = 6.5a + {place}.{seed}" + draw.choice(("", " + 0a" * 60))
            value: Any = line if item else [line] * draw.choice((1, 3, 40))
            entry, kept = mine.commit(step, item, value, 0)
            if kept:
                os.write(pipe, json.dumps([entry.id, entry.n, entry.value]).encode() + b"\n")

    return work


def answering(kills: int, folder: Path, draw: random.Random) -> Figures:
    """One notebook, opened again after every kill; every third time two kernels are at work on it, and one is killed."""
    figures = Figures("answering")
    notebook = folder / "lesson.ipynb"
    said: dict[str, tuple[int, Any]] = {}
    for place in range(kills):
        pair = [child(answer_for_ever(notebook, draw.randrange(10**6))) for _ in range(2 if place % 3 == 2 else 1)]
        _first_word(pair[0][1])
        for process, pipe in pair:
            raw, at_work, left = killed(process, pipe, draw.uniform(0, 0.04))
            figures.kills += at_work
            figures.left += left
            for line in raw.split(b"\n")[:-1]:
                name, n, value = json.loads(line)
                said[name] = (n, value)
    figures.confirmed = len(said)
    read = Journal(beside(notebook)).read()
    there = {e.id: (e.n, e.value) for e in read.entries}
    figures.found = sum(there.get(name) == what for name, what in said.items())
    figures.lost = figures.confirmed - figures.found
    figures.twice = len(read.entries) - len(there) + len(read.entries) - len({e.n for e in read.entries})
    shown = desk(notebook).answers
    newest = max(entries_for(notebook, LESSON).entries, key=lambda e: e.n)
    value = shown[newest.step][newest.item] if newest.item else shown[newest.step]
    figures.broken += value != newest.value
    torn = sum(int(r.split()[3]) for r in read.remarks if "can't be read" in r)
    figures.remark = f"{len(there) - figures.found} kept just before the kill, {torn} torn lines passed over"
    return figures


def _first_word(pipe: int) -> None:
    """Wait until the process has something in the pipe, and leave it there."""
    import select

    if not select.select([pipe], [], [], MOST_SECONDS)[0]:
        raise SystemExit("a process that should have answered did not begin")


# --- marking ---------------------------------------------------------------------------------------------------------


def classroom(folder: Path) -> tuple[Path, Path]:
    """(the assignment's own notebook, an empty folder for a class)."""
    source, _ = assign.write(assign.plan("ps1", [SCENE]), folder / "course")
    collected = folder / "collected"
    collected.mkdir()
    return source, collected


def hand_in(source: Path, collected: Path, student: str, draw: random.Random) -> None:
    """A student's notebook, new or again: answers of more and less, a file that is none now and then."""
    path = collected / f"{student}.ipynb"
    if draw.random() < 0.06:
        path.write_bytes(b'{"cells": [')
        return
    notebook = json.loads(source.read_text(encoding="utf-8"))
    sign = draw.choice("+-")
    answers = {"directions": {"sack": "up", "counterweight": "down"},
               "equations": {"sack": f"T {sign} 63.7 = 6.5a", "counterweight": draw.choice(("88.2 - T = 9a", "T - 88.2 = 9a"))},
               "working": [f"a = 1.{draw.randrange(10, 99)}"], "results": {"a": f"1.{draw.randrange(10, 99)} m/s^2"}}
    notebook["metadata"]["plusway"]["answers"] = {SCENE: answers}
    path.write_text(json.dumps(notebook), encoding="utf-8")


def run_plusway(*arguments: str) -> Callable[[int], None]:
    def work(_: int) -> None:
        if plusway(arguments) != 0:
            raise SystemExit("plusway failed")

    return work


def seconds_of(work: Callable[[int], None]) -> float:
    """How long an undisturbed run takes. Stops the whole thing where that fails."""
    began = time.monotonic()
    process, pipe = child(work)
    _, status = os.waitpid(process, 0)
    os.close(pipe)
    if status != 0:
        raise SystemExit("an undisturbed run failed")
    return time.monotonic() - began


def marking(kills: int, folder: Path, draw: random.Random, jobs: int = 1) -> Figures:
    """A class that hands in, hands in again and takes back while its marking is killed time after time. Every ten kills the
    marking is let through, and must come to what a first marking of the same folder comes to, file for file."""
    figures = Figures(f"marking, {jobs} process{'es' if jobs > 1 else ''}")
    source, collected = classroom(folder)
    for place in range(NOTEBOOKS):
        hand_in(source, collected, f"s{place:03}", draw)
    out = folder / "marks"
    command = ("mark", str(collected), "--assignment", str(source), "--jobs", str(jobs), "--json", "--out")
    whole = seconds_of(run_plusway(*command, str(folder / "first")))
    rounds = 0
    while figures.kills < kills:
        rounds += 1
        for _ in range(draw.randrange(1, NOTEBOOKS)):
            hand_in(source, collected, f"s{draw.randrange(NOTEBOOKS):03}", draw)
        gone = collected / f"s{draw.randrange(NOTEBOOKS):03}.ipynb"
        gone.unlink(missing_ok=True)
        process, pipe = child(run_plusway(*command, str(out)))
        _, at_work, left = killed(process, pipe, draw.uniform(0, whole))
        figures.kills += at_work
        figures.left += left
        figures.broken += sum(not readable(path) for path in out.glob("results.*"))
        if rounds % 10 == 0 or figures.kills >= kills:
            seconds_of(run_plusway(*command, str(out)))
            fresh = folder / f"fresh{rounds}"
            seconds_of(run_plusway(*command, str(fresh)))
            _compare(figures, contents(out), contents(fresh))
    figures.remark = "as after one undisturbed run, file for file"
    return figures


def contents(out: Path) -> dict[str, Any]:
    """Everything that marking writes, without the numbers of the runs."""
    with contextlib.closing(sqlite3.connect(out / "results.sqlite")) as db:
        rows = db.execute("select file, student, points, digest, record from notebooks order by file").fetchall()
        steps = db.execute("select * from steps order by file, problem, step, item").fetchall()
    found: dict[str, Any] = {f"row {row[0]} {place}": row for place, row in enumerate(rows)}
    found["steps"] = steps
    for path in [*out.glob("*"), *out.glob("feedback/*"), *out.glob(".*.part"), *out.glob("feedback/.*.part")]:
        if path.is_file() and not path.name.startswith("results.sqlite"):
            found[path.relative_to(out).as_posix()] = path.read_bytes()
    return found


def _compare(figures: Figures, ours: dict[str, Any], fresh: dict[str, Any]) -> None:
    figures.confirmed += len(fresh)
    figures.found += sum(ours.get(name) == what for name, what in fresh.items())
    figures.lost += sum(ours.get(name) != what for name, what in fresh.items())
    figures.twice += len(set(ours) - set(fresh))


def readable(path: Path) -> bool:
    """Whether a result file can be used just now, as a teacher would who looks after the crash."""
    if not path.exists():
        return True
    try:
        if path.suffix == ".jsonl":
            return all(isinstance(json.loads(line), dict) for line in path.read_text(encoding="utf-8").splitlines())
        if path.suffix == ".csv":
            rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
            return len({len(row) for row in rows}) == 1
        if path.suffix == ".sqlite":
            with contextlib.closing(sqlite3.connect(path)) as db:
                return bool(db.execute("pragma integrity_check").fetchone()[0] == "ok")
    except (ValueError, sqlite3.Error):
        return False
    return True


# --- reporting -------------------------------------------------------------------------------------------------------


def reporting(kills: int, folder: Path, draw: random.Random) -> Figures:
    """A report, with names and without in turn, killed while it is made: page and data are each the old or the new, whole."""
    figures = Figures("reporting")
    source, collected = classroom(folder)
    for place in range(NOTEBOOKS):
        hand_in(source, collected, f"s{place:03}", draw)
    seconds_of(run_plusway("mark", str(collected), "--assignment", str(source), "--json"))
    marks = contents(collected / "marks")
    kinds: dict[str, set[bytes]] = {"report.html": set(), "report.json": set()}
    whole = 0.0
    for names in ((), ("--names",)):
        whole = max(whole, seconds_of(run_plusway("report", str(collected), *names, "--json")))
        for name, versions in kinds.items():
            versions.add((collected / "marks" / name).read_bytes())
    rounds = 0
    while figures.kills < kills:
        rounds += 1
        process, pipe = child(run_plusway("report", str(collected), *(("--names",) if rounds % 2 else ()), "--json"))
        _, at_work, left = killed(process, pipe, draw.uniform(0, whole))
        figures.kills += at_work
        figures.left += left
        for name, versions in kinds.items():
            figures.confirmed += 1
            good = (collected / "marks" / name).read_bytes() in versions
            figures.found += good
            figures.broken += not good
    for name in kinds:
        (collected / "marks" / name).unlink()
    for part in (collected / "marks").glob(".report.*.part"):
        part.unlink()
    now = contents(collected / "marks")
    figures.lost += now != marks
    figures.remark = "each page and data file whole, the marks untouched"
    return figures


# --- the table -------------------------------------------------------------------------------------------------------


@contextlib.contextmanager
def fresh_folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="faults-") as name:
        yield Path(name)


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description="kill -9 at random moments; a table of what was left")
    for kind in ("answering", "marking", "marking-in-two", "reporting"):
        parser.add_argument(f"--{kind}", type=int, default=0, metavar="KILLS")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args(arguments)
    draw = random.Random(args.seed)
    kinds: list[tuple[int, Callable[[int, Path, random.Random], Figures]]] = [
        (args.answering, answering), (args.marking, marking),
        (args.marking_in_two, lambda kills, folder, draw: marking(kills, folder, draw, jobs=2)), (args.reporting, reporting)]
    print(HEAD, flush=True)
    good = True
    for kills, kind in kinds:
        if kills:
            with fresh_folder() as folder:
                figures = kind(kills, folder, draw)
            print(figures.row(), flush=True)
            good = good and figures.good
    return 0 if good else 1


if __name__ == "__main__":
    import matplotlib.figure  # noqa: F401  so that a report's process need not import it before it can be killed

    sys.exit(main(sys.argv[1:]))
