"""Each thing that stands in the way of keeping answers is said at once, with the one thing to do about it."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeout

pytestmark = pytest.mark.browser

Make = Callable[..., Any]


def write_protected(route: Any) -> None:
    """The server's answer about a file as it is where the file may not be written."""
    if route.request.method != "GET":
        route.fallback()
        return
    answer = route.fetch()
    body = answer.json()
    if isinstance(body, dict) and body.get("type") == "notebook":
        body["writable"] = False
    route.fulfill(response=answer, body=json.dumps(body))


@pytest.mark.parametrize("front", ["lab", pytest.param("notebook", marks=pytest.mark.thorough)])
def test_a_write_protected_notebook_is_said_at_once(desk: Make, front: str) -> None:
    """Before any answer: what is wrong, and a button that saves a copy elsewhere."""
    lesson = desk(front)
    lesson.page.route("**/api/contents/**", write_protected)
    lesson.open()
    lesson.page.locator(".pwlab-banner", has_text="write-protected here: answers can't be kept in it").wait_for()
    lesson.page.get_by_role("button", name="Save a copy elsewhere").click()
    lesson.page.locator(".jp-Dialog").wait_for()
    lesson.page.unroute_all(behavior="ignoreErrors")


def test_a_folder_that_keeps_no_journal_is_said_in_the_first_step(desk: Make) -> None:
    """Something in the journal's place, as a read-only folder would be: the step says so before the first answer, and what to do."""
    lesson = desk()
    (lesson.file.parent / "lesson.plusway.jsonl").mkdir()
    lesson.open()
    notice = lesson.page.locator('.plusway[data-step="directions"] .pw-notice')
    notice.wait_for()
    assert "your answers can't be" in notice.text_content()
    assert "rename it" in notice.text_content()


@pytest.mark.thorough
def test_a_server_that_stops_and_starts_again(make_lab: Callable[..., Any], tmp_path: Path, page: Any, write_lesson: Callable[..., Path]) -> None:
    """The page says that the connection is lost, then what to do; the new address has every answer that was kept."""
    write_lesson(tmp_path / "lesson.ipynb")
    first = make_lab(tmp_path)
    page.goto(first.address("lesson.ipynb"))
    step = page.locator('.plusway[data-step="directions"]')
    step.locator("input").first.wait_for()
    step.get_by_role("group", name="Plus for the sack").get_by_label("down", exact=True).check()
    step.get_by_role("group", name="Plus for the counterweight").get_by_label("down", exact=True).check()
    step.get_by_role("button", name="Use these directions").click()
    page.locator('.plusway[data-step="directions"][data-state="done"]').wait_for()
    first.stop()
    page.locator(".pwlab-banner", has_text="connection to the kernel is lost").wait_for()
    for _ in range(3):  # JupyterLab puts a message of its own over the page
        with suppress(PlaywrightTimeout):
            page.locator(".jp-Dialog button").last.click(timeout=2000)
    page.get_by_role("button", name="Connect again").click()
    page.locator(".pwlab-banner", has_text="Start plusway learn again, and open the address that it prints").wait_for()
    again = make_lab(tmp_path)
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(again.address("lesson.ipynb"))
    page.locator('.plusway[data-step="directions"][data-state="done"]').wait_for()
    assert step.locator("input:checked").evaluate_all("(all) => all.map((one) => one.value)") == ["down", "down"]
    assert page.locator(".pwlab-banner").is_visible() is False


@pytest.mark.parametrize("name", [pytest.param("dark", marks=pytest.mark.thorough), "light"])
def test_axe_finds_nothing_in_panel_banner_and_card(
    desk: Make, axe: Callable[..., list[str]], theme: Callable[[str], None], name: str
) -> None:
    """The steps at the side, a grave banner with its button, and the launcher's card, in light and dark."""
    lesson = desk()
    theme(name)
    lesson.open().ran()
    lesson.page.locator(f'body[data-jp-theme-light="{str(name == "light").lower()}"]').wait_for(state="attached")
    lesson.page.evaluate("document.querySelector('.jp-CodeCell').dispatchEvent(new CustomEvent('plusway:silent', {bubbles: true, composed: true}))")
    lesson.page.locator(".pwlab-banner.pwlab-grave").wait_for()
    lesson.page.locator(".pwlab-step").first.wait_for()
    assert axe(lesson.page, ".pwlab-panel", ".pwlab-banner") == []
    lesson.page.goto(lesson.address.replace("/lesson.ipynb", "").replace("/workspaces/", "/workspaces/card-"))
    card = lesson.page.locator(".jp-LauncherCard", has_text="plusway lesson")
    card.wait_for()
    card.evaluate("(one) => (one.dataset.ours = 'yes')")
    assert axe(lesson.page, '[data-ours="yes"]') == []
