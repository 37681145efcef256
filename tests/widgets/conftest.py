"""A problem in a folder of its own, as a kernel beside a notebook has it; and a student at the first lesson in a browser."""

from __future__ import annotations

import json
import re
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from plusway.widgets import Problem
from plusway.widgets.place import read_metadata
from plusway.widgets.problem import forget_all
from plusway.widgets.static import css

from ..conftest import ask_server, kernel_of, set_theme, shot

NAME = "two-hanging-bodies"
PAGE = "<!doctype html><html lang=en><title>drawn</title><body style=margin:0><div class=plusway><div class=pw-picture id=here></div></div>"


@pytest.fixture
def notebook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:
    """notebook(settings={…}, entries=[…]) writes a notebook with that metadata.plusway and makes it this kernel's own."""

    def make(name: str = "lesson.ipynb", **plusway: Any) -> Path:
        path = tmp_path / name
        metadata = {"plusway": plusway} if plusway else {}
        path.write_text(json.dumps({"nbformat": 4, "nbformat_minor": 5, "cells": [], "metadata": metadata}), encoding="utf-8")
        monkeypatch.setenv("JPY_SESSION_NAME", str(path))
        return path

    make()
    return make


@pytest.fixture
def new_kernel() -> Callable[[], None]:
    """Forget all that lives in memory, as a restarted kernel has."""
    forget_all()
    return forget_all


@pytest.fixture
def problem(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> Problem:
    """The two hanging bodies of "feed-sack", nothing answered yet."""
    return Problem("feed-sack", id="feed-sack")


@pytest.fixture
def ask() -> Callable[..., dict[str, Any]]:
    """ask(widget, "commit", item=…, value=…) sends a message as a browser does and returns the answer."""

    def send(widget: Any, kind: str, **rest: Any) -> dict[str, Any]:
        answer = widget.reply_to({"kind": kind, "id": 7, **rest})
        assert answer is not None
        assert answer["id"] == 7
        return dict(answer)

    return send


@dataclass
class Lesson:
    """The lesson open in a page: `file` on the disk, `page`, and the server's own interface."""

    page: Any
    file: Path
    url: str
    token: str

    def open(self, url: str = "") -> None:
        self.page.goto(url or self.url)
        self.step("directions").locator("input").first.wait_for()
        self.step("sense").locator("input").first.wait_for()

    def reload(self) -> None:
        """Load the page anew, saving nothing on the way."""
        self.page.on("dialog", lambda dialog: dialog.accept())
        self.page.reload()
        self.step("sense").locator("input").first.wait_for()

    def step(self, step: str, item: str | None = None) -> Any:
        extra = "" if item is None else f'[data-item="{item}"]'
        return self.page.locator(f'.plusway[data-step="{step}"]{extra}')

    def choose(self, **directions: str) -> None:
        for thing, word in directions.items():
            self.step("directions").get_by_role("group", name=f"Plus for the {thing}").get_by_label(word, exact=True).check()
        self.step("directions").get_by_role("button", name="Use these directions").click()

    def draw(self, item: str, *arrows: tuple[str, str]) -> None:
        diagram = self.step("forces", item)
        for symbol, word in arrows:
            diagram.get_by_label("force", exact=True).select_option(symbol)
            diagram.get_by_label("direction", exact=True).select_option(word)
            diagram.get_by_role("button", name="Add arrow").click()
        diagram.get_by_role("button", name="Check the diagram").click()

    def write(self, item: str, line: str) -> None:
        field = self.step("equations", item).get_by_role("textbox")
        field.fill(line)
        field.press("Enter")

    def lines(self, step: str, *lines: str) -> None:
        for line in lines:
            field = self.step(step).get_by_role("textbox").last
            field.fill(line)
            field.press("Enter")
            self.expect_rows(step, lambda rows, line=line: line in rows)

    def expect_rows(self, step: str, met: Callable[[list[str]], bool]) -> None:
        """Wait until the rows that have a verdict are as wanted."""
        deadline = 60
        while True:
            rows = self.step(step).locator(".pw-ledger").evaluate_all(
                "rows => rows.filter(r => r.querySelector('.pw-verdict')).map(r => r.querySelector('input').value)")
            if met(rows):
                return
            deadline -= 1
            assert deadline > 0, f"{step}: the rows with a verdict are {rows}"
            self.page.wait_for_timeout(250)

    def result(self, symbol: str, number: str, unit: str) -> None:
        group = self.step("results").get_by_role("group", name=symbol, exact=True)
        group.get_by_label("number").fill(number)
        group.get_by_label("unit").fill(unit)
        group.get_by_label("unit").press("Enter")

    def state(self, step: str, state: str, item: str | None = None) -> None:
        """Wait until a step shows that it is in a state."""
        extra = "" if item is None else f'[data-item="{item}"]'
        self.page.locator(f'.plusway[data-step="{step}"]{extra}[data-state="{state}"]').wait_for()

    def shot(self, name: str, target: Any = None) -> None:
        shot(target or self.page, name)

    def metadata(self) -> dict[str, Any]:
        """The notebook's own record, as it is on the disk just now ({} while it is being saved)."""
        return read_metadata(self.file)

    def journal(self) -> list[dict[str, Any]]:
        """The entries beside the notebook, oldest first."""
        path = self.file.with_name(f"{self.file.stem}.plusway.jsonl")
        return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()] if path.exists() else []

    def kernel(self, action: str) -> None:
        """Restart or kill (delete) the notebook's kernel behind the page's back."""
        kernel = self.kernel_id()
        method, tail = ("POST", "/restart") if action == "restart" else ("DELETE", "")
        ask_server(self.url, self.token, f"api/kernels/{kernel}{tail}", method)

    def kernel_id(self) -> str:
        return str(kernel_of(self.url, self.token, self.file)["id"])

    def finish(self) -> None:
        """All steps, right at the first go, with plus against the motion for the stone."""
        self.choose(grain="up", stone="up")
        self.state("directions", "done")
        self.draw("grain", ("T", "up"), ("W_1", "down"))
        self.draw("stone", ("T", "up"), ("W_2", "down"))
        self.write("grain", "T - 117.6 = 12.0a_1")
        self.write("stone", "T - m_2 g = m_2 a_2")
        self.lines("ties", "a_1 = -a_2")
        self.lines("working", "T = 12.0a_1 + 117.6", "(12.0a_1 + 117.6) - 147 = -15.0a_1", "27.0a_1 = 29.4", "a_1 = 1.089")
        self.result("a", "1.09", "m/s^2")
        self.result("T", "131", "N")
        self.lines("sense", "W_1 < T", "T < W_2")

    def answers(self) -> dict[str, Any]:
        """What stands in the fields of every step, as a student sees it."""
        return dict(self.page.evaluate("""() => Object.fromEntries([...document.querySelectorAll('.plusway[data-step]')].map(root => [
            root.dataset.step + ' ' + root.dataset.item,
            [root.dataset.state, ...[...root.querySelectorAll('input[type=text]')].map(i => i.value).filter(v => v),
             ...[...root.querySelectorAll('input:checked')].map(i => i.value),
             ...[...root.querySelectorAll('.pw-forcelist li')].map(li => li.querySelector('span').textContent)]]))"""))

    def run_all(self) -> None:
        """Kernel > Restart and Run All, through the menu, as the notice says."""
        self.page.get_by_role("menuitem", name="Kernel", exact=True).click()
        self.page.get_by_role("menuitem", name=re.compile("Restart Kernel and Run All Cells")).click()
        self.page.locator(".jp-Dialog").get_by_role("button", name="Confirm Kernel Restart").click()

    def theme(self, name: str) -> None:
        """Choose a theme of JupyterLab, as its settings editor does."""
        set_theme(self.url, self.token, name)
        self.reload()
        light = "true" if name.endswith("Light") else "false"
        self.page.locator(f'body[data-jp-theme-light="{light}"]').wait_for(state="attached")


@pytest.fixture
def lesson(lab: Any, page: Any) -> Lesson:
    """A lesson of one whole problem, two hanging bodies, open in JupyterLab, each step shown."""
    opened = lesson_in(lab, page)
    opened.open()
    return opened


@pytest.fixture
def set_lesson(lab: Any, page: Any) -> Callable[..., Lesson]:
    """set_lesson(verdicts="after marking") is the same lesson with a teacher's settings, not open yet."""
    return lambda **settings: lesson_in(lab, page, **settings)


def lesson_in(lab: Any, page: Any, **settings: Any) -> Lesson:
    """A fresh lesson in a folder of its own."""
    from plusway.lessons import catalogue
    from plusway.lessons.notebook import ProblemSpec, build

    file = lab.fresh() / f"{NAME}.ipynb"
    problem = ProblemSpec("mill-hoist", catalogue.find("mill-hoist"), catalogue.text("mill-hoist"))
    notebook = build("Two hanging bodies", [problem], assignment=NAME, settings=settings)
    # Its own id, as a student's copy has after its first opening: drafts of another test must not show up here.
    notebook.metadata["plusway"]["id"] = uuid.uuid4().hex
    file.write_text(json.dumps(notebook), encoding="utf-8")
    return Lesson(page, file, lab.address(f"{file.parent.name}/{file.name}"), lab.token)


def serve_modules(page: Any, document: str) -> None:
    """This document at http://plusway.test/, and beside it the modules in `static/` as they are."""

    def answer(route: Any) -> None:
        name = route.request.url.rpartition("/")[2]
        if name.endswith(".js"):
            route.fulfill(body=(resources.files("plusway.widgets") / "static" / name).read_text(encoding="utf-8"), content_type="text/javascript")
        else:
            route.fulfill(body=document, content_type="text/html")

    page.route("http://plusway.test/**", answer)


@pytest.fixture
def modules(page: Any) -> Any:
    """A page that can import the modules in `static/`."""
    serve_modules(page, PAGE)
    page.goto("http://plusway.test/")
    page.add_style_tag(content=css())
    return page
