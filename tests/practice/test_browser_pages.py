"""Practice, exploring and the lab in a real JupyterLab, as their reader uses them. Screenshots go to tests/shots."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ..conftest import shipped, shot

pytestmark = pytest.mark.browser


@pytest.fixture
def opened(page: Any, lab: Any) -> Callable[[str], Path]:
    """opened("91-explore") copies that notebook into a folder of its own and opens it; returns the folder."""

    def open_page(name: str) -> Path:
        folder = shipped(lab, name).parent
        page.goto(lab.address(f"{folder.name}/{name}.ipynb"))
        page.locator(".jp-CodeCell").first.wait_for()
        page.get_by_text("Python 3 (ipykernel) | Idle").wait_for()
        return folder

    return open_page


def run_cell(page: Any, place: int) -> None:
    """Click into a code cell and press Shift+Enter."""
    cell = page.locator(".jp-CodeCell").nth(place)
    cell.locator(".cm-content").click()
    page.keyboard.press("Shift+Enter")
    cell.locator(".jp-InputPrompt", has_text=re.compile(r"\[(\*|\d+)\]")).wait_for()


@pytest.mark.thorough
def test_five_problems_of_practice(page: Any, opened: Callable[[str], Path]) -> None:
    """The page begins by itself; one after the other by the keyboard, directions are answered, the file follows; a reload finds the last."""
    folder = opened("90-free-practice")
    top = page.locator(".pw-bar").first
    seen = []
    for number in range(1, 6):
        heading = top.get_by_role("heading", name=f"Problem {number}:")
        heading.wait_for()
        seen.append(heading.text_content())
        step = page.locator('.plusway[data-step="directions"]')
        for group in step.get_by_role("group").all():
            group.get_by_role("radio").first.check()
        step.get_by_role("button", name=re.compile("Use (this|these) direction")).click()
        page.locator('.plusway[data-step="directions"][data-state="done"]').wait_for()
        shot(page, f"practice-{number}")
        following = page.get_by_role("button", name="Next problem")
        following.focus()
        page.keyboard.press("Enter")
        top.get_by_role("heading", name=f"Problem {number + 1}:").wait_for()
        assert page.evaluate("document.activeElement.tagName") == "H3"
    assert len(set(seen)) == 5
    kept = json.loads((folder / "plusway-practice.json").read_text(encoding="utf-8"))
    assert len(kept["problems"]) == 6
    page.on("dialog", lambda dialog: dialog.accept())
    page.reload()
    page.locator(".jp-CodeCell").first.wait_for()
    top.get_by_role("heading", name="Problem 6:").wait_for()
    table = page.get_by_role("table", name="What you know so far").first
    assert table.get_by_role("row").count() == 13


def test_a_right_line_shows_in_the_table(page: Any, opened: Callable[[str], Path]) -> None:
    """The first problem is a body that hangs; a wrong equation for it makes the skill shaky in the table."""
    opened("90-free-practice")
    page.locator(".pw-bar").first.get_by_role("heading", name="Problem 1:").wait_for()
    step = page.locator('.plusway[data-step="directions"]')
    for group in step.get_by_role("group").all():
        group.get_by_role("radio").first.check()
    step.get_by_role("button", name=re.compile("Use (this|these) direction")).click()
    page.locator('.plusway[data-step="directions"][data-state="done"]').wait_for()
    field = page.locator('.plusway[data-step="equations"]').get_by_role("textbox").first
    field.fill("g = 0")
    field.press("Enter")
    page.get_by_role("row", name="Equation of a hanging body").get_by_role("cell", name="shaky", exact=True).wait_for()
    page.get_by_role("table", name="What you know so far").scroll_into_view_if_needed()
    shot(page, "practice-known")


def test_exploring_by_keyboard(page: Any, opened: Callable[[str], Path]) -> None:
    """Predict, commit, see the curve, move a slider with the arrow keys: the notebook's own keys stay out of it."""
    opened("91-explore")
    panel = page.locator(".pw-explorer").first
    panel.get_by_label("a will").wait_for()
    assert panel.locator("img").count() == 0
    panel.get_by_label("a will").select_option("shrink")
    panel.get_by_label("T will").select_option("grow")
    commit = panel.get_by_role("button", name="Commit my prediction")
    commit.focus()
    page.keyboard.press("Enter")
    panel.locator("img").wait_for()
    assert "As you predicted: when m₁ grows, a shrinks." in panel.text_content()
    assert "a = 1.58 m/s²" in panel.text_content()
    assert "sack up" in panel.locator("img").get_attribute("alt")
    slider = panel.get_by_role("slider").first
    before = slider.input_value()
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    panel.get_by_text("a = 1.58 m/s²").wait_for(state="detached")
    assert float(slider.input_value()) > float(before)
    assert page.evaluate("document.activeElement.type") == "range"
    shot(page, "explore")


@pytest.mark.thorough
def test_the_lab_from_top_to_bottom(page: Any, opened: Callable[[str], Path]) -> None:
    """Plan and measurements are there by themselves, with the caution in sight, and can be changed; the rest is run with Shift+Enter, and
    plots appear with a text that says the same."""
    opened("92-lab")
    begun = ["[1]:", "[2]:", "[3]:", "[4]:", "[ ]:", "[ ]:"]
    page.get_by_role("table", name="Measured: invented-runs").wait_for()
    prompts = [text.replace("\xa0", " ") for text in page.locator(".jp-CodeCell .jp-InputPrompt").all_text_contents()]
    assert prompts == begun
    assert page.locator(".jp-MarkdownCell").first.locator("strong", has_text="Take care.").is_visible()
    assert page.locator(".pwlab-banner").is_hidden()
    first = page.locator(".jp-CodeCell").first
    first.locator(".cm-content").click()
    page.keyboard.press("Control+End")
    page.keyboard.type("  # mine")
    assert "# mine" in first.locator(".cm-content").text_content()
    count = page.locator(".jp-CodeCell").count()
    for place in range(count):
        run_cell(page, place)
    page.get_by_role("table", name="Fitted to invented-photogate").wait_for()
    for name in ("Models fitted to invented-runs", "Measured: invented-runs"):
        assert page.get_by_role("table", name=name).count() == 1
    pictures = page.locator(".jp-OutputArea-output img[alt]")
    assert pictures.count() == 2
    pictures.first.scroll_into_view_if_needed()
    assert page.locator('[data-mime-type="application/vnd.jupyter.error"]').count() == 0
    shot(page, "lab")


@pytest.mark.parametrize("name", [pytest.param("dark", marks=pytest.mark.thorough), "light"])
def test_axe_finds_nothing_in_practice(
    page: Any, opened: Callable[[str], Path], axe: Callable[..., list[str]], theme: Callable[[str], None], name: str
) -> None:
    """No violation of WCAG 2.2 A and AA, nor of axe's good practice: the bars, the steps and the table of what is known."""
    theme(name)
    opened("90-free-practice")
    page.locator(".pw-bar").first.get_by_role("heading", name="Problem 1:").wait_for()
    page.locator(f'body[data-jp-theme-light="{str(name == "light").lower()}"]').wait_for(state="attached")
    page.get_by_role("table", name="What you know so far").first.scroll_into_view_if_needed()
    assert axe(page, ".jp-OutputArea-output") == []
    shot(page, f"practice-{name}")


@pytest.mark.parametrize("name", [pytest.param("dark", marks=pytest.mark.thorough), "light"])
def test_axe_finds_nothing_in_exploring(
    page: Any, opened: Callable[[str], Path], axe: Callable[..., list[str]], theme: Callable[[str], None], name: str
) -> None:
    """Before the prediction, when one is missing, and with the curve on show."""
    theme(name)
    opened("91-explore")
    panel = page.locator(".pw-explorer").first
    panel.get_by_label("a will").wait_for()
    page.locator(f'body[data-jp-theme-light="{str(name == "light").lower()}"]').wait_for(state="attached")
    assert axe(page, ".pw-explorer") == []
    shot(page, f"explore-{name}-before")
    panel.get_by_label("a will").select_option("shrink")
    panel.get_by_role("button", name="Commit my prediction").click()
    panel.locator(".pw-notice").wait_for()
    assert axe(page, ".pw-explorer") == []
    panel.get_by_label("T will").select_option("grow")
    panel.get_by_role("button", name="Commit my prediction").click()
    panel.locator("img").wait_for()
    panel.locator("summary").click()
    assert axe(page, ".pw-explorer") == []
    shot(panel, f"explore-{name}-curve")
