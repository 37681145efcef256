"""The script that all widgets share, as a page meets it: in notebooks that are no lessons, so that nothing runs unless it is told to."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from nbformat import write
from nbformat.v4 import new_code_cell, new_notebook

from ..conftest import on_disk

pytestmark = pytest.mark.browser

IN_SCRIPT = b"const widget_equation = "  # stands in the script once
STEPS = ["problem.directions()", 'problem.equation("sack")', 'problem.equation("counterweight")', "problem.working()"]
# A version whose widgets are told apart at a glance: one class more at the root.
ANOTHER = """
import pathlib
read = pathlib.Path.read_text
pathlib.Path.read_text = lambda self, *a, **k: read(self, *a, **k).replace('class: "plusway"', 'class: "plusway later-version"')
"""


@pytest.fixture
def folder(lab: Any) -> Path:
    made: Path = lab.folder / uuid.uuid4().hex[:8]
    made.mkdir()
    return made


@pytest.fixture
def plain(folder: Path) -> Callable[..., Path]:
    """plain("a", before="…") writes a notebook of one problem that is no lesson."""

    def make(name: str, before: str = "") -> Path:
        cells = [f'{before}from plusway.widgets import Problem\nproblem = Problem("feed-sack", id="{name}")', *STEPS]
        kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
        file = folder / f"{name}.ipynb"
        write(new_notebook(cells=[new_code_cell(cell) for cell in cells], metadata={"kernelspec": kernel}), file)
        return file

    return make


def run_all(page: Any, problem: str) -> None:
    page.locator(r"text=/Python 3 .*\| Idle/").first.wait_for()
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.locator('.lm-Menu-item[data-command="runmenu:run-all"]').click()
    drawn(page, problem)


def drawn(page: Any, problem: str) -> None:
    """Wait until every widget of the problem is there."""
    page.wait_for_function("([problem, count]) => document.querySelectorAll(`.plusway[data-problem=\"${problem}\"][data-state]`).length === count", arg=[problem, len(STEPS)])


def judged(page: Any, problem: str, line: str, state: str) -> None:
    """Commit an equation and wait for what the kernel says of it: the widget is not only drawn."""
    step = f'.plusway[data-problem="{problem}"][data-step="equations"][data-item="sack"]'
    field = page.locator(f"{step} input[type=text]")
    field.fill(line)
    field.press("Enter")
    page.locator(f'{step}[data-state="{state}"]').wait_for()


def scripts(page: Any) -> int:
    return int(page.evaluate("() => globalThis[Symbol.for('plusway.scripts')].size"))


def test_a_page_gets_the_script_once_and_again_when_it_is_loaded_anew(lab: Any, page: Any, plain: Callable[..., Path]) -> None:
    """The kernel lives on, no cell is run again: the page asks it for its models, the script among them, and draws every widget."""
    file = plain("alone")
    seen: list[int] = []
    page.on("websocket", lambda socket: socket.on("framereceived", lambda frame: seen.append(_bytes(frame).count(IN_SCRIPT))))
    page.goto(lab.address(f"{file.parent.name}/{file.name}"))
    run_all(page, "alone")
    judged(page, "alone", "T + W_1 = m_1 a", "slip")
    assert sum(seen) == 1
    page.keyboard.press("Control+s")
    while not any(cell.get("outputs") for cell in on_disk(file)["cells"][1:]):
        page.wait_for_timeout(100)
    seen.clear()
    page.reload()
    drawn(page, "alone")
    judged(page, "alone", "T - W_1 = m_1 a", "done")
    assert sum(seen) == 1


@pytest.mark.parametrize(("before", "versions"), [("", 1), (ANOTHER, 2)], ids=["one version", "two versions"])
def test_two_notebooks_on_one_page(lab: Any, page: Any, plain: Callable[..., Path], before: str, versions: int) -> None:
    """Each has a kernel of its own. They share a script of the same text, and none of another version's."""
    first, second = plain("first"), plain("second", before)
    address = lab.address(f"{first.parent.name}/{first.name}").replace("/doc/tree/", "/lab/tree/")
    page.goto(f"{address}&reset")  # nothing of an earlier page is to be open beside them
    run_all(page, "first")
    files = page.locator(".jp-DirListing-item", has_text=second.name)
    if not files.is_visible():
        page.locator('.jp-SideBar [data-id="filebrowser"]').click()
    files.dblclick()
    page.locator(".lm-TabBar-tab.lm-mod-current", has_text=second.name).first.wait_for()
    page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Cell").first.wait_for()
    run_all(page, "second")
    assert scripts(page) == versions
    assert page.locator(".plusway.later-version").count() == (len(STEPS) if versions == 2 else 0)
    judged(page, "second", "T + W_1 = m_1 a", "slip")
    page.locator(".lm-DockPanel-tabBar .lm-TabBar-tab", has_text=first.name).click()
    judged(page, "first", "T + W_1 = m_1 a", "slip")


def _bytes(frame: bytes | str) -> bytes:
    return frame.encode() if isinstance(frame, str) else frame
