"""Every text that somebody else wrote, on every page that we make, opened in a real browser: no script runs, nothing is fetched."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.marking.assignment import Assignment, Problem
from plusway.autograde.marking.feedback import page as feedback_page
from plusway.autograde.marking.mark import mark_notebook
from plusway.autograde.marking.marked import Flag, Marked
from plusway.autograde.marking.overrides import Override
from plusway.autograde.marking.run import Job, mark_folder
from plusway.autograde.marking.statistics import Statistics
from plusway.autograde.scene import load_text
from plusway.lessons import catalogue
from plusway.lessons.command import main
from plusway.lessons.report import page as report_page
from plusway.lessons.report.gather import Report, gather
from plusway.lessons.report.page import _class as class_page
from plusway.lessons.sheets import sheets

from .injections import INJECTIONS, Watch

pytestmark = pytest.mark.browser

SCENE = "feed-sack"


@pytest.fixture
def watch(page: Any) -> Watch:
    return Watch(page)


def scene_text(text: str) -> str:
    """The feed-sack scene with this title, story and topic."""
    written = json.dumps("".join(c for c in text if c in "\n\t" or ord(c) >= 32)).replace("\x7f", "")
    lines = [line for line in catalogue.text(SCENE).splitlines() if not line.startswith(("title", "story", "topic"))]
    return "\n".join([f"title = {written}", f"story = {written}", f"topic = {written}", *lines]) + "\n"


def answers_with(text: str) -> dict[str, Any]:
    """The text in every step, alone and within something that can be read."""
    return {"directions": {"sack": text, "counterweight": "down", text: "up"}, "forces": {"sack": [[text, text], ["T", text]]},
            "equations": {"sack": f"T - 63.7 = 6.5a {text}", "counterweight": text, text: text}, "ties": [text, f"a_1 = a_2 {text}"],
            "working": [text, f"T = 5 {text}", "T = 70"], "results": {"a": f"1.58 m/s^2 {text}", "T": text, text: text},
            "sense": [text, f"a < g {text}"]}


def notebook_with(text: str) -> dict[str, Any]:
    """A notebook whose every field of ours is the text."""
    entry = {"format": 1, "id": text, "when": text, "n": 1, "problem": SCENE, "step": "ties", "item": None, "value": [text], "lesson": text}
    record = {"id": text, "assignment": text, "student": text, "seed": text, "answers": {SCENE: answers_with(text), text: answers_with(text)},
              "entries": [], "problems": {SCENE: {"scene": text, "scene_toml": text}, text: {"scene": text}}, text: text}
    return {"nbformat": 4, "nbformat_minor": 5, "cells": [{"cell_type": "markdown", "metadata": {}, "source": text}],
            "metadata": {"plusway": record, "more": [entry]}}


def assignment_with(text: str) -> Assignment:
    return Assignment(text, (Problem(SCENE, text, scene_text(text)),))


def marked_with(text: str) -> Marked:
    overrides = (Override(SCENE, "equations", "slip", text, text, item="sack"), Override(SCENE, "working", "right", text, text, item="0"))
    marked = mark_notebook(json.dumps(notebook_with(text)).encode(), assignment_with(text), student=text, file=text, overrides=overrides)
    assert marked.error == ""
    return marked


def test_the_watch_sees_what_is_not_escaped(watch: Watch) -> None:
    """Each text that is HTML at all is found where it is put into a page as it is."""
    staying = {name: text for name, text in INJECTIONS.items() if name != "a page that moves on"}
    harmless = {name for name, text in staying.items() if not watch.look(f"<!DOCTYPE html><title>x</title><body>{text}", name)}
    assert len(staying) - len(harmless) >= 33
    assert not {"a script", "an image that fails", "an event of its own", "a style that fetches", "a drawing that loads", "a frame",
                "a formula that changes how the rest is read", "all at once"} & harmless


def test_feedback_pages(watch: Watch) -> None:
    """The student's name, the assignment's, the scene's title and story, every answer, every remark, every override's reason."""
    from plusway.autograde.marking.feedback import shown

    everything = " ".join(INJECTIONS.values())
    work = [marked_with(text) for text in INJECTIONS.values()]
    work += [Marked(text, text, text, error=text, remarks=(text,), flags=(Flag("seed", text),)) for text in INJECTIONS.values()]
    scene = shown(scene_text(everything), SCENE)
    assert watch.look(feedback_page(everything, work, {SCENE: scene}), "with the scene") == []
    assert watch.look(feedback_page(everything, work, {}), "without the scene") == []


def test_the_class_report(watch: Watch) -> None:
    """All of them in one class, with names; and each as the name of an assignment, with an override."""
    classes, rows = {}, []
    for text in INJECTIONS.values():
        statistics = Statistics()
        for _ in range(3):
            statistics.add(marked_with(text))
        classes[text] = statistics.to_json()
        rows.append({"student": text, "assignments": {text: {"points": 1.0, "of": 2.0}}, "flags": [text]})
    some = dict(list(classes.items())[:8])  # the pictures of a class take a second
    for data in classes.values():
        data["tenths"] = data["tenths"] if data in some.values() else [0] * 10
    look = [{"assignment": text, "kind": text, "says": text, "students": [text, text]} for text in INJECTIONS.values()]
    page = report_page(Report(Path(), some, rows, look, True))
    rest = "".join(class_page(name, {**data, "steps": [], "kinds": {}}) for name, data in classes.items())
    assert watch.look(page, "the report") == []
    assert watch.look(rest, "its sections") == []


def test_a_folder_of_students_of_such_names(watch: Watch, tmp_path: Path) -> None:
    """From the files to the pages on the disk, as `plusway mark` and `plusway report` make them."""
    folder = tmp_path / "in"
    folder.mkdir()
    for text in INJECTIONS.values():
        name = text.replace("/", "∕").replace("\x00", "").encode()[:200].decode(errors="ignore")
        (folder / f"{name}.ipynb").write_text(json.dumps(notebook_with(text)), encoding="utf-8")
    mark_folder(folder, tmp_path / "out", Job(Assignment("ps1", (Problem(SCENE, SCENE, catalogue.text(SCENE)),))))
    pages = sorted((tmp_path / "out" / "feedback").iterdir())
    assert len(pages) == len(INJECTIONS)
    # Without their heads, so that all fit into one page; a text that got out would show in it all the same.
    bodies = [page.read_text(encoding="utf-8").partition("<body>")[2].partition("</body>")[0] for page in pages]
    assert watch.look("<!DOCTYPE html><title>x</title>" + "".join(bodies), "the pages") == []
    assert watch.look(report_page(gather(tmp_path / "out", names=True)), "the report") == []


def grouped() -> list[str]:
    """The texts, a dozen in one."""
    texts = list(INJECTIONS.values())
    return [" ".join(texts[k: k + 12]) for k in range(0, len(texts), 12)]


def test_problem_sheets_and_keys(watch: Watch) -> None:
    """A scene's title and story on paper, and in the pictures."""
    (sheet,) = sheets([load_text(scene_text(text), name=text, file=text) for text in grouped()])
    assert [*watch.look(sheet.problems, "the sheet"), *watch.look(sheet.key, "the key")] == []


def test_a_dry_run_that_can_be_looked_at(watch: Watch, tmp_path: Path) -> None:
    """`plusway assign --dry-run --out`: what students will see, and the key."""
    scenes = []
    for place, text in enumerate(grouped()):
        scenes.append(str(tmp_path / f"mine{place}.toml"))
        Path(scenes[-1]).write_text(scene_text(text), encoding="utf-8")
    title = " ".join(INJECTIONS.values())
    assert main(["assign", "--scene", *scenes, "--name", "ps1", "--title", title, "--dry-run", "--out", str(tmp_path / "dry")]) == 0
    pages = sorted((tmp_path / "dry").glob("*.html"))
    assert pages
    assert [line for page in pages for line in watch.look(page.read_text(encoding="utf-8"), page.name)] == []
