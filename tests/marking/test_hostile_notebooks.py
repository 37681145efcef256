"""Notebooks made to break the marking, to fool it or to wear it out: each is a line in the table, and the rest is marked.

Every one starts from the same honest notebook of 11 points of 12 (one sign flipped) and does one thing to it.
"""

from __future__ import annotations

import copy
import io
import json
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.records import Journal, beside
from plusway.lessons import assign

from .conftest import SCENE, answers_of
from .courses import PLANT, PLANTED, committed

HONEST = 11.0
Make = Callable[[dict[str, Any]], Any]


@dataclass(frozen=True)
class Case:
    """make: changes the notebook in place, or returns what the file holds instead; points: what it must come to; says: a part
    of what the teacher is told ("": nothing)."""

    make: Make
    points: float | None = HONEST
    says: str = ""
    journal: Callable[[Path], object] | None = None


def record(nb: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = nb["metadata"]["plusway"]
    return found


def setting(**new: Any) -> Make:
    """Other values in the notebook's plusway record."""
    return lambda nb: record(nb).update(copy.deepcopy(new))


def at_top(**new: Any) -> Make:
    return lambda nb: nb.update(copy.deepcopy(new))


def raw(change: Callable[[bytes], bytes]) -> Make:
    """Other bytes in the place of the file's."""
    return lambda nb: change(json.dumps(nb, ensure_ascii=False).encode())


def answer(step: str, value: Any) -> Make:
    """Another answer in one step, and no entries, so that it counts."""
    def make(nb: dict[str, Any]) -> None:
        record(nb)["answers"][SCENE][step] = value
        record(nb).pop("entries", None)

    return make


def entry(n: Any, value: Any, step: str = "equations", item: Any = "sack", **more: Any) -> dict[str, Any]:
    return {"format": 1, "id": f"x{n}"[:20], "when": "2025-03-01T12:00:00.000+00:00", "n": n, "problem": SCENE, "step": step,
            "item": item, "value": value, "hints": 0, "lesson": "", **more}


def adding(*entries: dict[str, Any]) -> Make:
    """More entries behind the honest ones."""
    return lambda nb: record(nb)["entries"].extend(entries)


def output(data: dict[str, Any]) -> Make:
    """An output in every code cell."""
    def make(nb: dict[str, Any]) -> None:
        for cell in nb["cells"]:
            if cell["cell_type"] == "code":
                cell["outputs"] = [{"output_type": "execute_result", "execution_count": 1, "metadata": {}, "data": data}]

    return make


def cells(change: Callable[[list[Any]], Any]) -> Make:
    def make(nb: dict[str, Any]) -> None:
        nb["cells"] = change(nb["cells"])

    return make


def twice(key: bytes, value: bytes) -> Make:
    """The same key once more, at the end of the file's top level."""
    return raw(lambda text: text.rstrip()[:-1] + b", " + key + b": " + value + b"}")


def bomb() -> bytes:
    """A zip of a few kilobytes that unpacks to many megabytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("x.ipynb", b"0" * 30_000_000)
    return packed.getvalue()


GOOD = "T - 63.7 = 6.5a_1"
EASY = 'title = "Easy"\nstory = "Nothing to do."\n[bodies.sack]\nmass = "1 kg"\nmoves = "level"\n[ask]\nvalues = ["a"]\n'
CODE = [f"__import__('os').system('touch {PLANTED}')", f"exec({PLANT!r})", "{{7*7}}", "${7*7}", "%run x", "!touch " + PLANTED]
ANY = None  # points that depend on what was cut off; never more than the honest ones

CASES: dict[str, Case] = {
    "honest": Case(lambda nb: None),
    # --- wrong shapes of the record, level by level
    "metadata is a list": Case(at_top(metadata=[]), 0.0),
    "metadata is missing": Case(lambda nb: nb.pop("metadata"), 0.0),
    "metadata is text": Case(at_top(metadata="plusway"), 0.0),
    "the record is a number": Case(lambda nb: nb["metadata"].update(plusway=7), 0.0, "the notebook's plusway record is a bare number"),
    "the record is a list of records": Case(lambda nb: nb["metadata"].update(plusway=[record(nb)]), 0.0, "plusway record is a list"),
    "the record is null": Case(lambda nb: nb["metadata"].update(plusway=None), 0.0),
    "answers are null": Case(setting(answers=None)),
    "answers are true": Case(setting(answers=True), says="the notebook's answers are true or false"),
    "a problem's answers are a number": Case(setting(answers={SCENE: 5}), says="the answers are a bare number"),
    "entries are a number": Case(setting(entries=3), says="the notebook's record has a bare number where a list of entries"),
    "entries are a table of entries": Case(lambda nb: record(nb).update(entries={str(e["n"]): e for e in record(nb)["entries"]}),
                                           says="has a table where a list of entries was expected"),
    "an entry is a list of entries": Case(lambda nb: record(nb).update(entries=[record(nb)["entries"]]),
                                          says="1 entry of no known shape"),
    "a step is a table of tables": Case(answer("equations", {"sack": {"sack": GOOD}, "counterweight": {}}), 8.0,
                                        "equations, sack: a table where text was expected"),
    "lines are numbers": Case(answer("working", [1, 2.5, None, True]), 9.0, "working, line 1: a bare number where text"),
    "a direction is a number": Case(answer("directions", {"sack": 1, "counterweight": None}), says="directions, sack: a bare number"),
    "forces are a table": Case(answer("forces", {"sack": {"T": "up"}}), 9.0, "a table where a list of forces was expected"),
    "problems are a list": Case(setting(problems=[SCENE])),
    "settings are text": Case(setting(settings="all marks")),
    "names are numbers and lists": Case(setting(student=5, seed=[1], id={}, assignment=1.5)),
    # --- absurd numbers
    "n is minus one": Case(adding(entry(-1, GOOD)), says="1 entry of no known shape"),
    "n is a fraction": Case(adding(entry(99.5, GOOD)), says="1 entry of no known shape"),
    "n is text": Case(adding(entry("99", GOOD)), says="1 entry of no known shape"),
    "n is true": Case(adding(entry(True, GOOD)), says="1 entry of no known shape"),
    "n is not a number": Case(adding(entry(float("nan"), GOOD)), says="1 entry of no known shape"),
    "n is infinite": Case(adding(entry(float("inf"), GOOD)), says="1 entry of no known shape"),
    "n has a thousand figures": Case(adding(entry(10**999, GOOD)), says="1 entry of no known shape"),
    "n has five thousand figures": Case(raw(lambda text: text.replace(b'"n": 1,', b'"n": ' + b"9" * 5000 + b",", 1)), 0.0,
                                        "a number too long to read"),
    "when is no time": Case(lambda nb: [e.update(when="yesterday") for e in record(nb)["entries"]]),
    "when is in the year 9999": Case(lambda nb: [e.update(when="9999-12-31T23:59:59.999+14:00") for e in record(nb)["entries"]]),
    "when is before our era": Case(lambda nb: [e.update(when="-0044-03-15T00:00:00Z") for e in record(nb)["entries"]]),
    "when is a number": Case(lambda nb: [e.update(when=10**400) for e in record(nb)["entries"]]),
    "minus a million hints": Case(lambda nb: [e.update(hints=-10**6) for e in record(nb)["entries"]]),
    "results are not numbers": Case(answer("results", {"a": float("nan"), "T": float("inf")}), 9.0, "results, a: a bare number where text"),
    "a result of a thousand figures": Case(answer("results", {"a": "9" * 1000 + " m/s^2", "T": 10**400}), 9.0, "results, T: a bare number where text"),
    "a power tower": Case(answer("working", ["T = 9^9^9^9", "a = 9**9**9"]), 9.0),
    # --- the file itself
    "the same key twice, the second empty": Case(twice(b'"metadata"', b"{}"), 0.0),
    "the same step twice": Case(raw(lambda text: text.replace(b'"answers": {', b'"answers": {"feed-sack": {"ties": ["T = 1"]}, ', 1))),
    "half a character in a line": Case(answer("ties", ["a_1 = \ud800a_2"]), 10.0),
    "a byte order mark": Case(raw(lambda text: b"\xef\xbb\xbf" + text)),
    "UTF-16": Case(raw(lambda text: text.decode().encode("utf-16"))),
    "UTF-32": Case(raw(lambda text: text.decode().encode("utf-32"))),
    "Latin-1": Case(raw(lambda text: text.replace(b'"title"', b'"title\xfc"') + b"\xfc"), 0.0, "the file is not text"),
    "line ends of Windows": Case(lambda nb: json.dumps(nb, indent=1).replace("\n", "\r\n").encode()),
    "null bytes": Case(raw(lambda text: b"\x00" * 100 + text), 0.0, "the file is"),
    "a null byte in a line": Case(answer("ties", ["a_1\x00 = a_2"]), 10.0),
    "text behind the end": Case(raw(lambda text: text + b"}\n<script>"), 0.0, "broken JSON"),
    "nested a hundred thousand deep": Case(raw(lambda text: b'{"a":' * 100_000 + b"1" + b"}" * 100_000), 0.0, "nested too deeply"),
    "an archive that unpacks to megabytes": Case(lambda nb: bomb(), 0.0, "a zip archive"),
    "compressed": Case(lambda nb: b"\x1f\x8b\x08rest", 0.0, "a gzip archive"),
    "a picture of the notebook": Case(lambda nb: b"\x89PNG\r\n\x1a\n", 0.0, "a picture"),
    "a pickle": Case(lambda nb: b"\x80\x04\x95c" + b"os\nsystem\n", 0.0, "the file is"),
    "a page that says sign in": Case(lambda nb: b"<html><body>Please sign in", 0.0, "a web page"),
    "a Python file": Case(lambda nb: PLANT.encode(), 0.0, "broken JSON"),
    # --- the notebook's form
    "format 3": Case(at_top(nbformat=3, worksheets=[]), 0.0, "the old format 3"),
    "format 5": Case(at_top(nbformat=5), 0.0, "does not say that it is a notebook of format 4"),
    "format 4 in words": Case(at_top(nbformat="4"), 0.0, "does not say that it is a notebook of format 4"),
    "no minor format": Case(lambda nb: nb.pop("nbformat_minor")),
    "a minor format of minus a million": Case(at_top(nbformat_minor=-(10**6))),
    "cells are a table": Case(at_top(cells={"0": {}})),
    "cells are null": Case(at_top(cells=None)),
    "cells are missing": Case(lambda nb: nb.pop("cells")),
    "cells have no form": Case(at_top(cells=[None, 5, "x", [], {}, {"cell_type": {}}, {"metadata": 3, "source": [[]]}])),
    "every cell has the same id": Case(cells(lambda all_: [{**c, "id": "same"} for c in all_])),
    "ids are lists": Case(cells(lambda all_: [{**c, "id": [1]} for c in all_])),
    "ten thousand cells": Case(cells(lambda all_: all_ + [{"cell_type": "code", "metadata": {}, "source": PLANT, "outputs": []}] * 10_000)),
    "attachments": Case(cells(lambda all_: [{**c, "attachments": {"x.svg": {"image/svg+xml": "<svg onload=alert(1)>"}}} for c in all_])),
    "code in every cell": Case(cells(lambda all_: [{**c, "source": PLANT, "cell_type": "code"} for c in all_]), says="9 grading cells were rewritten"),
    # --- forged
    "an easier scene in the record": Case(lambda nb: record(nb)["problems"][SCENE].update(scene="easy", scene_toml=EASY)),
    "an easier scene and its answers": Case(lambda nb: (record(nb)["problems"].update(easy={"scene": "easy", "scene_toml": EASY}),
                                                       record(nb)["answers"].update(easy={"results": {"a": "0 m/s^2"}}))[0],
                                            says="answers to easy, not a problem of this assignment: not read"),
    "the problem once more under another name": Case(
        lambda nb: (record(nb)["problems"].update(more=record(nb)["problems"][SCENE]), record(nb)["answers"].update(more=answers_of()))[0],
        says="answers to more, not a problem of this assignment"),
    "a scheme of its own": Case(setting(settings={"scheme": {"equations": 100, "results": 100}})),
    "fewer steps asked for": Case(lambda nb: record(nb)["problems"][SCENE].update(steps=["ties"])),
    "steps that it was shown worked": Case(setting(settings={"worked": ["equations", "results"]})),
    "marks of its own": Case(setting(marked={"points": 12.0}, points=12.0, score=12, verdicts={SCENE: {"points": 12.0, "of": 12.0}}),
                              says="the file's own data has marked, points, score, verdicts written into it"),
    "overrides of its own": Case(setting(overrides=[{"problem": SCENE, "step": "equations", "verdict": "right"}]),
                                  says="the file's own data has overrides written into it"),
    "points in its cells": Case(cells(lambda all_: [{**c, "metadata": {**c["metadata"], "nbgrader": {"points": 99, "grade": True}}} for c in all_]),
                                says="9 grading cells were taken out"),
    "outputs that say twelve": Case(output({"text/plain": "12.0"}), says="a grading cell shows 12 points where there are 0"),
    "entries in its outputs": Case(output({"application/vnd.plusway.entries+json": [entry(99, GOOD)]})),
    "answers edited after the last commit": Case(lambda nb: record(nb)["answers"][SCENE]["equations"].update(sack=GOOD),
                                                 says="the answers in the notebook are not those last committed"),
    "somebody else's name and seed": Case(setting(student="honest", seed="0123456789abcdef")),
    "an answer to a thing that there is not": Case(answer("equations", {**answers_of(slip="flipped")["equations"], "ghost": "T = 0"}),
                                                   says="equations: there is no 'ghost' in this scene: not read"),
    "a result that nobody asked for": Case(answer("results", {"a": "1.58 m/s^2", "T": "74.0 N", "x": "1 m", "v": "2 m/s"})),
    "a step that there is not": Case(adding(entry(99, ["x"], step="bonus", item=None)), says="1 entry of no known shape"),
    "a problem called __proto__": Case(adding(entry(99, GOOD, problem="__proto__")), says="not a problem of this assignment"),
    "an item that is a list": Case(adding(entry(99, GOOD, item=["sack"])), says="1 entry of no known shape"),
    "the greatest n with an emptied line": Case(adding(entry(2**53 - 1, "")), ANY),
    "code for answers": Case(answer("working", CODE), 9.0),
    "code for names": Case(answer("equations", {code: code for code in CODE}), 8.0, "in this scene: not read"),
    # --- too much of everything
    "a million entries": Case(lambda nb: _many_entries(nb, 1_000_000), 0.0, "more than can be read"),
    "two hundred thousand entries": Case(lambda nb: _many_entries(nb, 200_000), 0.0, "metadata are too large to be read"),
    "thirty thousand entries": Case(lambda nb: _many_entries(nb, 30_000), ANY, "only the last 20000 were read"),
    "a thousand problems": Case(lambda nb: record(nb)["answers"].update({f"p{k}": {"ties": ["a"]} for k in range(1000)}), ANY,
                                "only the first 200 were read"),
    "a line of a million characters": Case(answer("ties", ["a" * 1_000_000]), ANY, "1000000 characters; only the first 1000 were read"),
    "a hundred thousand lines": Case(answer("working", ["a = 1.58"] * 100_000), ANY, "100000 lines; only the first 200 were read"),
    "a name of a million characters": Case(lambda nb: record(nb)["answers"].update({"x" * 10**6: {"ties": ["a"]}}), says="not the name of a problem"),
    "ten thousand parentheses": Case(answer("ties", ["(" * 9_000 + "a" + ")" * 9_000]), ANY),
    "20 MB of output": Case(output({"text/plain": "x\n" * 1_000_000}), says="nearly all of it output"),
    "a journal that says otherwise": Case(lambda nb: None, 12.0, journal=lambda path: Journal(path).append(
        SCENE, "equations", "T - m_1 g = m_1 a_1", item="sack", above=100)),
    "a journal with marks": Case(lambda nb: None, says="the journal has 1 line that can't be read",
                                 journal=lambda path: path.write_text('{"points": 12, "verdict": "right"}\n')),
}


def _many_entries(nb: dict[str, Any], count: int) -> bytes:
    """Entries without end before the honest ones."""
    one = json.dumps({"n": 1, "problem": SCENE, "step": "ties", "item": None, "value": ["a_1 = a_2"]}) + ","
    return json.dumps(nb).replace('"entries": [', '"entries": [' + one * count, 1).encode()


def honest_notebook(source: dict[str, Any]) -> dict[str, Any]:
    """A notebook as the lesson saves it: the answers, and the entry of each commit."""
    return committed(copy.deepcopy(source), {SCENE: answers_of(slip="flipped")})


def name_of(case: str) -> str:
    return case.replace(" ", "-").replace(",", "")


@pytest.fixture(scope="module")
def class_of_cheats(source: dict[str, Any], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with one notebook for each case, and the assignment beside it."""
    home = tmp_path_factory.mktemp("cheats")
    assign.write(assign.plan("ps1", [SCENE]), home)
    folder = home / "collected"
    folder.mkdir()
    for case, made in CASES.items():
        notebook = honest_notebook(source)
        given = made.make(notebook)
        path = folder / f"{name_of(case)}.ipynb"
        path.write_bytes(given if isinstance(given, bytes) else json.dumps(notebook).encode())
        if made.journal is not None:
            made.journal(beside(path))
    return home


def mark(home: Path, out: str, *more: str) -> dict[str, dict[str, Any]]:
    """{student: record}, marked by a process of its own that must end well."""
    command = [sys.executable, "-m", "plusway", "mark", "collected", "--out", out, "--json", *more]
    done = subprocess.run(command, cwd=home, capture_output=True, text=True, encoding="utf-8", check=False)
    assert (done.returncode, done.stderr) == (0, "")
    return {row["student"]: row for row in json.loads(done.stdout)["notebooks"]}


@pytest.fixture(scope="module")
def marked(class_of_cheats: Path) -> dict[str, dict[str, Any]]:
    return mark(class_of_cheats, "out", "--assignment", "source/ps1/ps1.ipynb", "--jobs", "2")


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_a_hostile_notebook_gets_what_its_text_is_worth_and_a_clear_line(marked: dict[str, dict[str, Any]], case: str) -> None:
    """No forgery raises a mark, whatever is wrong is told in one line, and the file costs nobody but its sender."""
    row, made = marked[name_of(case)], CASES[case]
    told = [row["error"], *row["remarks"], *(flag["says"] for flag in row["flags"])]
    assert row["points"] == made.points if made.points is not None else row["points"] <= HONEST
    assert row["of"] == 12.0
    assert any(made.says in line for line in told), told
    assert made.says or not row["error"]
    assert not [line for line in told if "\n" in line or len(line) > 500]
    assert "unjudged" not in [flag["kind"] for flag in row["flags"]]


@pytest.mark.slow
def test_nothing_of_theirs_ran(class_of_cheats: Path, marked: dict[str, Any]) -> None:
    """The planted file never appears."""
    assert len(marked) == len(CASES) > 80
    assert not list(class_of_cheats.rglob(PLANTED))


@pytest.mark.slow
def test_without_an_assignment_no_scene_of_theirs_counts(class_of_cheats: Path, marked: dict[str, Any], tmp_path: Path) -> None:
    """The notebooks may name shipped scenes, and nothing else: whoever brings one along is marked for what ships. One process or
    two: no difference."""
    (tmp_path / "collected").mkdir()
    for name in ("honest", "an-easier-scene-in-the-record"):
        shutil.copy(class_of_cheats / "collected" / f"{name}.ipynb", tmp_path / "collected")
    found = mark(tmp_path, "out")
    assert found["honest"]["problems"] == marked["honest"]["problems"]
    easier = found["an-easier-scene-in-the-record"]
    assert (easier["points"], "does not ship" in easier["error"]) == (0.0, True)
