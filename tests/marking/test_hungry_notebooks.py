"""Notebooks made to eat memory or time: `plusway mark` gets by with a gigabyte and a minute of the processor for all of them."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.records import beside
from plusway.lessons import assign

from .conftest import SCENE, answers_of

pytestmark = [pytest.mark.slow, pytest.mark.thorough, pytest.mark.skipif(sys.platform != "linux", reason="limits a process's memory as Linux does")]

MEMORY = 1_200_000_000  # bytes of addresses, of which Python with the judge takes a third
SECONDS = 100  # of the processor


def with_output(notebook: dict[str, Any], inside: bytes) -> bytes:
    """The notebook with these bytes as the value of an output at its end."""
    return json.dumps(notebook).encode().rstrip()[:-1] + b', "more": {"outputs": ' + inside + b"}}"


HUNGRY: dict[str, Callable[[dict[str, Any]], bytes]] = {
    "100 MB of escaped line ends": lambda nb: with_output(nb, b'"' + b"\\n" * 50_000_000 + b'"'),
    "100 MB of backslashes": lambda nb: with_output(nb, b'"' + b"\\\\" * 50_000_000 + b'"'),
    "100 MB without an end": lambda nb: with_output(nb, b'"' + b'\\"' * 50_000_000),
    "15 MB of brackets": lambda nb: with_output(nb, b"[" + b"[]," * 4_900_000 + b"[]]"),
    "15 MB of one number": lambda nb: with_output(nb, b"1" * 15_000_000),
    "15 MB of lines to be read": lambda nb: with_output(
        {**nb, "metadata": {"plusway": {**nb["metadata"]["plusway"], "answers": {SCENE: {"working": ["T = (a + 1)^4 (b + 2)^4 " * 15] * 40_000}}}}}, b"0"),
    "millions of parts that are none": lambda nb: with_output(
        {**nb, "metadata": {"plusway": {"answers": {f"p{k}": {"forces": {f"t{j}": [0] * 200 for j in range(150)}} for k in range(150)}}}}, b"0"),
    "two hundred lines that are hard to tell": lambda nb: with_output(
        {**nb, "metadata": {"plusway": {**nb["metadata"]["plusway"], "answers": {SCENE: {**answers_of(), "working": [
            f"T - 6.5a_1 - {k}.7 + " + " + ".join(f"{j}.{k}a_{1 + j % 2} - {k}T" for j in range(1, 20)) + " = 9a_2" for k in range(200)]}}}}}, b"0"),
}


def limited() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


def test_memory_and_time_are_bounded_and_the_honest_are_marked(source: dict[str, Any], tmp_path: Path) -> None:
    """Each hungry notebook is a line in the table; the honest one has its marks."""
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path)
    notebook = json.loads(json.dumps(source))
    notebook["metadata"]["plusway"]["answers"] = {SCENE: answers_of()}
    folder = tmp_path / "in"
    folder.mkdir()
    for name, make in HUNGRY.items():
        (folder / f"{name}.ipynb").write_bytes(make(notebook))
    (folder / "honest.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    entry = json.dumps({"n": 1, "problem": "x", "step": "working", "value": [0] * 20}).encode() + b"\n"
    beside(folder / "honest.ipynb").write_bytes(entry * (15_000_000 // len(entry)))
    command = [sys.executable, "-m", "plusway", "mark", str(folder), "--assignment", str(path), "--json"]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", preexec_fn=limited, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    found = {row["student"]: row for row in json.loads(done.stdout)["notebooks"]}
    assert set(found) == {*HUNGRY, "honest"}
    assert found["honest"]["points"] == found["honest"]["of"] == 12.0
    assert found["100 MB of escaped line ends"]["points"] == found["100 MB of backslashes"]["points"] == 12.0
    assert "more than can be read" in found["100 MB without an end"]["error"]
    assert "a number too long to read" in found["15 MB of one number"]["error"]
    assert all(len(row["remarks"]) < 30 for row in found.values())
    assert not [flag for row in found.values() for flag in row["flags"] if flag["kind"] == "unjudged"]
