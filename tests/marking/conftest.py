"""A class for the marking's tests: an assignment, and students whose answers and points are known."""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.run import Job
from plusway.autograde.records import Journal, beside
from plusway.lessons import assign, catalogue

SCENE = "feed-sack"
Copy = Callable[..., dict[str, Any]]


def equation(index: int, way: str, slip: str = "") -> str:
    """One hanging body's equation for the direction that counts as plus, right or with a known slip in the weight."""
    up = way == "up"
    weight = f"{'-' if up != (slip == 'flipped') else '+'} m_{index} g" if slip != "missing" else ""
    return f"{'' if up else '-'}T {weight} = m_{index} a_{index}"


def working(sack: str, counterweight: str) -> list[str]:
    """Four lines that solve the right equations."""
    tension = "6.5a_1 + 63.7" if sack == "up" else "63.7 - 6.5a_1"
    left = f"88.2 - ({tension})" if counterweight == "down" else f"({tension}) - 88.2"
    right = "9a_1" if sack != counterweight else "-9a_1"
    sign = "" if sack == "up" else "-"
    return [f"T = {tension}", f"{left} = {right}", f"15.5a_1 = {sign}24.5", f"a_1 = {sign}1.58"]


def answers_of(sack: str = "up", counterweight: str = "down", slip: str = "") -> dict[str, Any]:
    """A student's answers to the feed-sack scene. slip: "", "flipped", "missing" (both in the sack's equation), "half",
    "empty", "unread"."""
    if slip == "empty":
        return {}
    answers: dict[str, Any] = {
        "directions": {"sack": sack, "counterweight": counterweight},
        "forces": {"sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]},
        "equations": {"sack": equation(1, sack, slip), "counterweight": equation(2, counterweight)},
    }
    if slip == "half":
        return answers
    if slip == "unread":
        answers["equations"]["sack"] = "T ++ = (("
    same = sack == counterweight
    answers["working"] = working(sack, counterweight)
    answers["ties"] = ["a_1 = -a_2" if same else "a_1 = a_2"]
    answers["results"] = {"a": "1.58 m/s^2", "T": "74.0 N"}
    answers["sense"] = ["T < W_2"]
    return answers


@pytest.fixture(scope="session")
def planned() -> assign.Plan:
    """An assignment with one problem."""
    return assign.plan("ps1", [SCENE])


@pytest.fixture(scope="session")
def source(planned: assign.Plan) -> dict[str, Any]:
    """The teacher's notebook as JSON."""
    found: dict[str, Any] = json.loads(json.dumps(planned.notebook))
    return found


@pytest.fixture
def copy_of(source: dict[str, Any]) -> Copy:
    """A student's copy of the notebook with these answers in its record."""

    def make(answers: dict[str, Any], **record: Any) -> dict[str, Any]:
        notebook = copy.deepcopy(source)
        notebook["metadata"]["plusway"].update(answers={SCENE: answers}, **record)
        return notebook

    return make


@pytest.fixture
def source_file(tmp_path: Path) -> Path:
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    return path


@pytest.fixture
def job(source: dict[str, Any]) -> Job:
    return Job(assignment_from(source, "source.ipynb"))


@pytest.fixture
def collected(tmp_path: Path, copy_of: Copy) -> Path:
    """Six mailed notebooks: right, wrong, half, empty, one that is none, one with a journal only."""
    folder = tmp_path / "collected"
    for student, answers in {"right": answers_of(), "wrong": answers_of(slip="flipped"), "half": answers_of(slip="half"),
                             "empty": {}, "mailed": {}}.items():
        put(folder / f"{student}.ipynb", copy_of(answers))
    put(folder / "broken.ipynb", '{"cells": [')
    journal = Journal(beside(folder / "mailed.ipynb"))
    journal.append(SCENE, "ties", ["a_1 = -a_2"])
    return folder


@pytest.fixture(scope="session")
def feed_sack() -> Any:
    return catalogue.find(SCENE)


@pytest.fixture(scope="session")
def run_in() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run a program of this environment in a folder; nbgrader looks for its helpers on the PATH."""

    def run(folder: Path, *command: str, code: int | None = 0) -> subprocess.CompletedProcess[str]:
        path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
        done = subprocess.run([sys.executable, "-m", *command], cwd=folder, env={**os.environ, "PATH": path},
                              capture_output=True, text=True, timeout=600, check=False)
        assert code is None or done.returncode == code, done.stdout + done.stderr
        return done

    return run


@pytest.fixture(scope="session")
def template(planned: assign.Plan, tmp_path_factory: pytest.TempPathFactory, run_in: Callable[..., Any]) -> Path:
    """A course with a released assignment, to be copied (`fresh`), never changed."""
    from .courses import course_of

    return course_of(planned, tmp_path_factory.mktemp("template") / "course", run_in)


def put(path: Path, contents: Any) -> Path:
    """A file that holds a notebook (or a text, or bytes), with the folders that it needs."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = contents if isinstance(contents, str | bytes) else json.dumps(contents)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def points(folder: Path, name: str = "results.jsonl") -> dict[str, Any]:
    """{student: record} from results.jsonl."""
    lines = (folder / name).read_text(encoding="utf-8").splitlines()
    return {record["student"]: record for record in map(json.loads, lines)}
