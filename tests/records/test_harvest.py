"""Harvesting: the student's own text and nothing else, from a file of any shape."""

from __future__ import annotations

import json
import os
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plusway.autograde.records import (
    OUTPUT_MIME,
    Entry,
    Harvest,
    NotebookError,
    harvest,
    parse_notebook,
    read_notebook,
)
from plusway.autograde.records import notebook as notebook_module

ANSWERS = {"directions": {"sack": "up"}, "equations": {"sack": "T - 63.7 = 6.5a"}, "ties": ["a_1 = a_2"]}


def record(n: int, step: str, value: Any, item: str | None = None, problem: str = "p") -> dict[str, Any]:
    return {"format": 1, "id": f"{n}", "when": "2025-03-01T10:00:00+00:00", "n": n, "problem": problem, "step": step,
            "item": item, "value": value, "hints": 0, "lesson": "L"}


def notebook(plusway: Any, cells: Any = ()) -> dict[str, Any]:
    return {"nbformat": 4, "nbformat_minor": 5, "metadata": {"plusway": plusway}, "cells": list(cells)}


def widget(value: Any, mine: bool = True) -> dict[str, Any]:
    meta = {"plusway": {"problem": "p", "step": "ties", "item": None}} if mine else {}
    return {"cell_type": "code", "metadata": meta, "source": "", "outputs": [{"data": {OUTPUT_MIME: value}}]}


def test_answers_in_the_metadata_are_taken() -> None:
    """The plain case."""
    found = harvest(notebook({"answers": {"p": ANSWERS}, "student": "s017", "seed": "abc", "id": "L"}))
    assert (found.answers, found.sources, found.student, found.seed) == ({"p": ANSWERS}, {"p": "metadata"}, "s017", "abc")


def test_entries_count_above_answers_and_the_difference_is_told() -> None:
    """Answers edited by hand after the last commit: the committed ones count, and the teacher is told."""
    found = harvest(notebook({"answers": {"p": {"ties": ["forged"]}}, "entries": [record(1, "ties", ["a_1 = a_2"])]}))
    assert (found.answers, found.edited) == ({"p": {"ties": ["a_1 = a_2"]}}, ("p",))


def test_answers_that_agree_with_the_entries_are_not_flagged() -> None:
    """The usual state of a saved notebook."""
    found = harvest(notebook({"answers": {"p": {"ties": ["a"]}}, "entries": [record(1, "ties", ["a"])]}))
    assert found.edited == ()


def test_outputs_are_taken_where_the_metadata_say_nothing() -> None:
    """A front end without the extension may still have saved the outputs."""
    found = harvest(notebook(None, [widget([record(1, "ties", ["a"])])]))
    assert (found.answers, found.sources) == ({"p": {"ties": ["a"]}}, {"p": "outputs"})


def test_outputs_of_cells_that_are_no_widgets_are_not_looked_at() -> None:
    """Whatever else a student prints is no answer."""
    assert harvest(notebook(None, [widget([record(1, "ties", ["a"])], mine=False)])).answers == {}


def test_outputs_do_not_stand_against_the_metadata() -> None:
    """Forged outputs change nothing where the notebook's record speaks."""
    found = harvest(notebook({"answers": {"p": {"ties": ["a"]}}}, [widget([record(9, "ties", ["forged"])])]))
    assert found.answers == {"p": {"ties": ["a"]}}


def test_a_newer_journal_entry_wins_over_the_metadata() -> None:
    """The page was closed before the notebook was saved."""
    later = Entry("9", "2025-03-01T11:00:00+00:00", 9, "p", "ties", None, ["later"], 0, "L")
    found = harvest(notebook({"id": "L", "entries": [record(1, "ties", ["a"])]}), [later])
    assert found.answers == {"p": {"ties": ["later"]}}


def test_the_journal_of_another_lesson_is_not_taken() -> None:
    """Same folder, other notebook."""
    other = Entry("9", "2025-03-01T11:00:00+00:00", 9, "p", "ties", None, ["theirs"], 0, "M")
    assert harvest(notebook({"id": "L"}), [other]).answers == {}


FORGED = [
    pytest.param({"points": 100, "verdicts": {"p": "right"}, "scene": "mine"}, id="points and verdicts"),
    pytest.param({"problems": {"p": {"scene": "x", "scene_toml": "a = 1", "points": {"a": 9}}}}, id="a scene of their own"),
]


@pytest.mark.parametrize("claims", FORGED)
def test_claims_are_not_taken(claims: dict[str, Any]) -> None:
    """Nothing but text typed by the student comes out."""
    found = harvest(notebook({**claims, "answers": {"p": ANSWERS}}))
    assert found.answers == {"p": ANSWERS}
    assert "toml" not in repr(found)


WRONG_SHAPES = [
    ("answers that are a list", {"answers": ["p"]}, "the notebook's answers are a list where a table of problems"),
    ("a record that is text", "answers", "the notebook's plusway record is text where a table"),
    ("a step that is a number", {"answers": {"p": {"ties": 5}}}, "p: ties: a bare number where a list of lines"),
    ("a line that is a table", {"answers": {"p": {"equations": {"sack": {}}}}}, "p: equations, sack: a table where text"),
    ("a force of three", {"answers": {"p": {"forces": {"sack": [["T", "up", "x"]]}}}}, "a force that is not a symbol and a"),
    ("a line of 20,000", {"answers": {"p": {"ties": ["x" * 20_000]}}}, "20000 characters; only the first 1000"),
    ("2,000 lines", {"answers": {"p": {"working": ["a = 1"] * 2000}}}, "2000 lines; only the first 200"),
    ("entries that are a table", {"entries": {}}, "the notebook's record has a table where a list of entries"),
    ("an entry of no shape", {"entries": [7]}, "1 entry of no known shape"),
    ("300 problems", {"answers": {f"p{n}": ANSWERS for n in range(300)}}, "to 300 problems; only the first 200"),
    ("a name with a line break", {"answers": {"p\nq": {"ties": 5}}}, "p·q: ties"),
]


@pytest.mark.parametrize(("plusway", "remark"), [case[1:] for case in WRONG_SHAPES], ids=[case[0] for case in WRONG_SHAPES])
def test_a_wrong_shape_ends_in_one_clear_remark(plusway: Any, remark: str) -> None:
    """What could not be used is told in one line, and the rest is."""
    found = harvest(notebook(plusway))
    assert any(remark in said for said in found.remarks), found.remarks
    assert not any("\n" in said for said in found.remarks)


def test_what_stands_in_several_records_is_told_once() -> None:
    """A lesson keeps an answer as an entry and among the answers, and a journal may have it too: one line too long, one remark."""
    long = Entry("1", "2025-03-01T10:00:00+00:00", 1, "p", "ties", None, ["x" * 20_000])
    found = harvest(notebook({"answers": {"p": {"ties": long.value}}, "entries": [long.to_json(), {**long.to_json(), "id": "2", "n": 2}]}))
    assert found.remarks == ("p: ties, line 1: 20000 characters; only the first 1000 were read",)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(
        st.sampled_from(["metadata", "plusway", "answers", "entries", "cells", "outputs", "data", "problem", "step", "n", "p",
                         "ties", "equations", "forces", "value", OUTPUT_MIME]) | st.text(max_size=5), inner, max_size=5),
    max_leaves=40)


@settings(max_examples=300)
@given(JSON)
def test_any_json_can_be_harvested(document: Any) -> None:
    """Never an exception, and only text comes out."""
    found = harvest(document)
    assert isinstance(found, Harvest)
    json.dumps(found.answers).encode()


@settings(max_examples=300)
@given(JSON, JSON, JSON)
def test_any_record_in_a_notebook_can_be_harvested(answers: Any, entries: Any, outputs: Any) -> None:
    """The same, with the rubbish where answers are expected."""
    document = notebook({"answers": answers, "entries": entries}, [widget(outputs)])
    for answer in harvest(document).answers.values():
        assert set(answer) <= {"directions", "forces", "equations", "ties", "working", "results", "sense"}


@given(st.binary(max_size=400))
def test_any_bytes_are_a_notebook_or_one_line_says_why_not(raw: bytes) -> None:
    """parse_notebook raises NotebookError and nothing else."""
    said = ""
    try:
        parse_notebook(raw)
    except NotebookError as error:
        said = str(error)
    assert "\n" not in said


NO_NOTEBOOKS = [
    (b"", "the file is empty"),
    (b"  \n ", "the file is empty"),
    (b'{"cells": [', "broken JSON at line 1, column"),
    (b"[1, 2]", "JSON but no notebook"),
    (b"PK\x03\x04rest", "a zip archive, not a notebook"),
    (b"%PDF-1.7", "a PDF, not a notebook"),
    (b"<!DOCTYPE html>", "a web page"),
    (b"[" * 200_000, "nested too deeply"),
    (b'{"nbformat": ' + b"9" * 5000 + b"}", "a number too long"),
    (b"\xff\xfe\xfa\x00\x81", "not text"),
    (json.dumps({"nbformat": 3, "worksheets": []}).encode(), "the old format 3"),
    (json.dumps({"cells": []}).encode(), "does not say that it is a notebook of format 4"),
]


@pytest.mark.parametrize(("raw", "says"), NO_NOTEBOOKS, ids=[says for _, says in NO_NOTEBOOKS])
def test_a_file_that_is_no_notebook_is_said_to_be_what_it_is(raw: bytes, says: str) -> None:
    """One line that helps to mend it."""
    with pytest.raises(NotebookError, match=says):
        parse_notebook(raw)


def test_a_zip_with_a_notebooks_name_is_said_to_be_one(tmp_path: Path) -> None:
    """The commonest wrong upload."""
    path = tmp_path / "x.ipynb"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("x.ipynb", "{}")
    with pytest.raises(NotebookError, match="a zip archive"):
        read_notebook(path)


LINKS = [("out of the folder", "../secret.ipynb", "out of its folder"), ("to nowhere", "gone.ipynb", "leads nowhere"),
         ("to itself", "x.ipynb", "can't be read")]


@pytest.mark.parametrize(("target", "says"), [case[1:] for case in LINKS], ids=[case[0] for case in LINKS])
def test_a_link_is_not_followed(tmp_path: Path, target: str, says: str) -> None:
    """Other people's files are not read by way of a submission."""
    (tmp_path / "secret.ipynb").write_text(json.dumps(notebook({"answers": {"p": ANSWERS}})))
    folder = tmp_path / "s017"
    folder.mkdir()
    os.symlink(target, folder / "x.ipynb")
    with pytest.raises(NotebookError, match=says):
        read_notebook(folder / "x.ipynb")


@pytest.mark.parametrize("fill", [b"x", b"\\n"], ids=["one long string", "escaped line ends"])
def test_answers_beside_100_mb_of_output_are_found(fill: bytes) -> None:
    """Somebody printed in a loop: only the record is cut out, and that is said."""
    big = fill * (100_000_000 // len(fill))
    raw = (b'{"cells":[{"cell_type":"code","outputs":[{"text":"' + big + b'"}]}],"metadata":{"plusway":'
           + json.dumps({"answers": {"p": ANSWERS}}).encode() + b'},"nbformat":4,"nbformat_minor":5}')
    found = parse_notebook(raw)
    assert harvest(found.json).answers == {"p": ANSWERS}
    assert "nearly all of it output" in found.remarks[0]


def test_half_characters_do_not_come_through() -> None:
    """A lone surrogate can stand in JSON but in no file."""
    found = harvest(notebook({"answers": {"p": {"ties": ["a\ud800b"]}}}))
    json.dumps(found.answers, ensure_ascii=False).encode()
    assert found.answers["p"]["ties"] == ["a?b"]


def test_an_entry_that_differs_from_the_journals_is_flagged_and_the_journal_counts() -> None:
    """The journal is only ever appended to: whoever changes an entry in the notebook is marked by what was committed."""
    committed = Entry("1", "2025-03-01T10:00:00+00:00", 1, "p", "ties", None, ["committed"], 0, "L")
    record = {"id": "L", "answers": {"p": {"ties": ["changed"]}}, "entries": [{**committed.to_json(), "value": ["changed"]}]}
    found = harvest(notebook(record), [committed])
    assert (found.answers, found.edited) == ({"p": {"ties": ["committed"]}}, ("p",))


HUGE = [
    pytest.param(b'{"cells":[ ' + b'\\"' * 10_000_000, "more than can be read", id="escaped quotes without end"),
    pytest.param(b'{"cells":[' + b"[]," * 7_000_000, "more than can be read", id="brackets without end"),
    pytest.param(b'{"cells":["' + b"\\" * 20_000_000, "does not say that it is a notebook", id="backslashes without end"),
]


@pytest.mark.parametrize(("raw", "says"), HUGE)
def test_a_huge_file_made_to_hang_the_reader_is_given_up(raw: bytes, says: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bytes are gone through once, and no further than a limit (a small one here, to be quick)."""
    monkeypatch.setattr(notebook_module, "MOST_MARKS", 100_000)
    with pytest.raises(NotebookError, match=says):
        parse_notebook(raw)


def test_a_huge_file_takes_hardly_more_memory_than_itself() -> None:
    """100 MB of escaped line ends and quotes; measured by Python's own count of what it allocates."""
    import tracemalloc

    raw = (b'{"cells":[{"outputs":[{"text":"' + b"\\n" * 50_000_000 + b'\\"' * 10_000 + b'"}]}],"metadata":{"plusway":'
           + json.dumps({"answers": {"p": ANSWERS}}).encode() + b'},"nbformat":4}')
    tracemalloc.start()
    try:
        found = parse_notebook(raw)
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert harvest(found.json).answers == {"p": ANSWERS}
    assert most < 10_000_000
