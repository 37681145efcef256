"""Find the slip in a real JupyterLab, by the keyboard alone: a wrong line, a wrong kind, then right, mended, and still there after a reload."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_notebook

from ..conftest import shot

pytestmark = pytest.mark.browser
SOURCE = 'from plusway.widgets import Problem\nproblem = Problem("mill-hoist")\nproblem.find_slip("undistributed", seed=1)'


@pytest.fixture
def hunt(page: Any, lab: Any) -> Callable[[], tuple[Any, Path]]:
    """hunt() opens a lesson with one exercise, whose cell runs by itself; returns the widget and the notebook."""

    def begin() -> tuple[Any, Path]:
        folder = lab.fresh()
        cell = new_code_cell(SOURCE, metadata={"plusway": {}, "editable": False, "deletable": False})
        notebook = new_notebook(cells=[cell], metadata={
            "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
            "plusway": {"format": 1, "id": folder.name, "problems": {}, "entries": []},
        })
        path = folder / "slips.ipynb"
        path.write_text(nbformat.writes(notebook), encoding="utf-8")
        page.goto(lab.address(f"{folder.name}/slips.ipynb"))
        widget = page.locator('.plusway[data-step="found"]')
        widget.get_by_role("radio").first.wait_for()
        return widget, path

    return begin


def press(page: Any, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def told(widget: Any, which: str, words: str) -> None:
    """Wait until this is said of the last choice."""
    widget.locator(f'[data-remark="{which}"]', has_text=words).wait_for()


def to_the_wrong_line(page: Any, widget: Any) -> None:
    """First a right line, then one that follows, then the one that is wrong: the seventh."""
    widget.get_by_role("radio").first.focus()
    press(page, "Space", "Enter")
    told(widget, "pointed", "This line is right. With up as plus for the grain")
    press(page, *["ArrowDown"] * 7, "Enter")
    told(widget, "pointed", "This line follows from an earlier one")
    press(page, "ArrowUp", "Enter")
    told(widget, "pointed", "Yes: here it goes wrong.")


def to_the_kind(page: Any, widget: Any) -> None:
    """The slip that it is not, then the one that it is."""
    group = widget.get_by_role("group", name=re.compile("What is wrong in line 7"))
    group.get_by_role("radio", name=re.compile("dropped or doubled")).focus()
    press(page, "Space", "Enter")
    told(widget, "named", "With that slip the line would look different")
    group.get_by_role("radio", name=re.compile("did not carry a minus sign")).focus()
    press(page, "Space", "Enter")
    told(widget, "named", "The minus belongs to all that stands in the parenthesis")


def test_a_slip_is_found_by_the_keyboard(page: Any, hunt: Callable[[], tuple[Any, Path]]) -> None:
    """Each answer is met with a reason; the mended line is judged; a reload brings all of it back."""
    widget, path = hunt()
    assert widget.get_by_role("radio").count() == 13
    to_the_wrong_line(page, widget)
    assert page.evaluate("document.activeElement.dataset.remark") == "pointed"
    press(page, "Tab")
    assert page.evaluate("document.activeElement.type") == "radio"
    to_the_kind(page, widget)
    assert page.evaluate("document.activeElement.dataset.remark") == "named"
    press(page, "Tab")
    page.keyboard.type("147 - (12a + 117.6) = 15a")
    press(page, "Enter")
    page.locator('.plusway[data-step="found"][data-state="done"]').wait_for()
    told(widget, "mended", "Mended. With this line right, the solution ends in a = 1.09 m/s²")
    shot(widget, "find-slip-done")
    assert page.locator(".jp-Cell").count() == 1
    journal = path.with_name("slips.plusway.jsonl").read_text(encoding="utf-8").splitlines()
    last = json.loads(journal[-1])
    assert (last["step"], last["item"], last["value"]) == ("found", "undistributed 1", ["6", "undistributed", "147 - (12a + 117.6) = 15a"])
    page.on("dialog", lambda dialog: dialog.accept())
    page.reload()
    page.locator('.plusway[data-step="found"][data-state="done"]').wait_for()
    assert widget.get_by_role("textbox").input_value() == "147 - (12a + 117.6) = 15a"


@pytest.mark.parametrize("name", [pytest.param("dark", marks=pytest.mark.thorough), "light"])
def test_axe_finds_nothing_at_any_stage(
    page: Any, hunt: Callable[[], tuple[Any, Path]], axe: Callable[..., list[str]], theme: Callable[[str], None], name: str
) -> None:
    """No violation of WCAG 2.2 A and AA, nor of axe's good practice: pointing, naming, mending, with what is said of each."""
    theme(name)
    widget, _ = hunt()
    page.locator(f'body[data-jp-theme-light="{str(name == "light").lower()}"]').wait_for(state="attached")
    assert axe(page, ".plusway") == []
    shot(widget, f"find-slip-{name}-point")
    to_the_wrong_line(page, widget)
    assert axe(page, ".plusway") == []
    shot(widget, f"find-slip-{name}-name")
    to_the_kind(page, widget)
    widget.get_by_role("textbox").fill("147 - 12a - 17.6 = 15a")
    widget.get_by_role("textbox").press("Enter")
    widget.get_by_text("a slip", exact=True).wait_for()
    assert axe(page, ".plusway") == []
    shot(widget, f"find-slip-{name}-mend")
