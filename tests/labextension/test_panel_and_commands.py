"""The side panel, the launcher's card, the palette and the keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from plusway.lessons import catalogue

pytestmark = pytest.mark.browser

Make = Callable[..., Any]


def rows(page: Any) -> list[str]:
    """The panel's rows as they are read out: name and state."""
    return [" ".join(text.split()) for text in page.locator(".pwlab-step").all_text_contents()]


def test_the_panel_says_each_step_and_how_far_it_is(desk: Make) -> None:
    """Names and states in words; a widget's state shows in its row."""
    lesson = desk().open().ran()
    lesson.page.locator(".pwlab-step").first.wait_for()
    assert rows(lesson.page) == ["Positive directions not begun", "Equations: sack not begun", "Working not begun"]
    lesson.show("directions", state="done")
    lesson.show("equations", "sack", state="slip")
    lesson.page.locator(".pwlab-step", has_text="to mend").wait_for()
    assert rows(lesson.page) == ["Positive directions done", "Equations: sack something to mend", "Working not begun"]
    assert lesson.page.locator(".pwlab-count").text_content() == "1 of 3 steps finished"


def test_what_is_shown_worked_is_not_counted_as_the_students(desk: Make, own_cell: Callable[[str], Any]) -> None:
    """A lesson that gives the directions and an equation begins with none of its two steps finished, and the panel says why."""
    given = 'from plusway.widgets import Problem\nproblem = Problem("feed-sack", settings={"worked": ["directions", "equations"]})'
    cells = [given, "problem.directions()", 'problem.equation("sack")', "problem.working()", "problem.results()"]
    lesson = desk("lab", *map(own_cell, cells)).open().ran()
    lesson.page.locator(".pwlab-step", has_text="given").nth(1).wait_for()
    assert rows(lesson.page) == ["Positive directions given", "Equations: sack given", "Working not begun", "Results not begun"]
    assert lesson.page.locator(".pwlab-count").text_content() == "0 of 2 steps finished"
    assert lesson.page.get_by_role("button", name="Go to the next unfinished step").is_visible()


def test_answers_of_an_earlier_day_show_before_the_kernel_answers(desk: Make) -> None:
    """A step with an entry in the notebook reads "answered" until the kernel has judged it; it is not counted as finished."""
    entry = {"format": 1, "id": "c1", "when": "2024-01-01T00:00:01Z", "n": 1, "problem": "feed-sack",
             "step": "working", "item": None, "value": ["T = 1"], "hints": 0, "lesson": "l1"}  # fmt: skip
    lesson = desk("lab", entries=[entry]).open()
    lesson.page.route("**/api/kernels**", lambda route: route.abort())
    lesson.page.locator(".pwlab-step", has_text="answered").wait_for()
    assert rows(lesson.page)[2] == "Working answered"
    assert lesson.page.locator(".pwlab-count").text_content() == "0 of 3 steps finished, 1 answered"


def test_titles_and_names_stand_in_the_panel_as_people_read_them(desk: Make, own_cell: Callable[[str], Any]) -> None:
    """The title of the scene, not its file's name; the "red lantern", not `red_lantern`."""
    cells = ['from plusway.widgets import Problem\nproblem = Problem("lanterns-on-a-line")', 'problem.forces("red_lantern")',
             'other = Problem("feed-sack", id="check-feed-sack")', "other.ties()"]
    problems = {"lanterns-on-a-line": {"scene": "lanterns-on-a-line", "scene_toml": catalogue.text("lanterns-on-a-line")},
                "check-feed-sack": {"scene": "feed-sack", "scene_toml": catalogue.text("feed-sack")}}
    lesson = desk("lab", *map(own_cell, cells), problems=problems).open()
    lesson.page.locator(".pwlab-step").nth(1).wait_for()
    assert lesson.page.locator(".pwlab-problem").all_text_contents() == ["Two lanterns over a branch", "Check yourself: Feed sack and counterweight"]
    assert rows(lesson.page)[0].startswith("Force diagrams: red lantern")


@pytest.mark.parametrize("front", ["lab", pytest.param("notebook", marks=pytest.mark.thorough)])
def test_a_row_leads_to_its_step_by_keyboard(desk: Make, front: str) -> None:
    """Enter on a row puts the focus into that step's widget."""
    lesson = desk(front).open().ran()
    lesson.show("equations", "sack")
    row = lesson.page.locator(".pwlab-step", has_text="Equations")
    row.wait_for()
    row.focus()
    lesson.page.keyboard.press("Enter")
    lesson.page.wait_for_function("() => document.activeElement?.matches('.plusway[data-step=equations] input')")


def test_a_key_leads_to_the_next_unfinished_step(desk: Make) -> None:
    """Alt+Shift+N in the notebook goes on past what is done."""
    lesson = desk().open().ran()
    lesson.show("directions", state="done")
    lesson.show("equations", "sack", state="some")
    lesson.page.locator(".jp-Cell").first.click()
    lesson.page.keyboard.press("Alt+Shift+N")
    lesson.page.wait_for_function("() => document.activeElement?.matches('.plusway[data-step=equations] input')")


def test_a_key_shows_the_steps(desk: Make) -> None:
    """Alt+Shift+L shows the panel in Notebook 7, where it starts hidden on a narrow window, and focuses its first row."""
    lesson = desk("notebook")
    lesson.page.set_viewport_size({"width": 800, "height": 700})
    lesson.open().ran()
    assert lesson.page.locator(".pwlab-panel").is_visible() is False
    lesson.page.keyboard.press("Alt+Shift+L")
    lesson.page.wait_for_function("() => document.activeElement?.matches('.pwlab-step')")


def test_the_palette_saves_answers_now(desk: Make) -> None:
    """The command is found by its name, and the file is written."""
    lesson = desk().open().ran()
    lesson.clean()
    before = lesson.file.stat().st_mtime_ns
    lesson.page.keyboard.press("Control+Shift+C")
    lesson.page.keyboard.type("plusway: save answers")
    lesson.page.keyboard.press("Enter")
    lesson.saved(lambda _: lesson.file.stat().st_mtime_ns > before)
    assert lesson.file.stat().st_mtime_ns > before


def test_the_launchers_card_opens_the_lesson_of_the_folder(desk: Make) -> None:
    """In a folder with lessons the card offers them by title; choosing opens the notebook."""
    lesson = desk("lab", title="The feed sack")
    lesson.page.goto(lesson.address.replace("/lesson.ipynb", ""))
    lesson.page.locator(".jp-LauncherCard", has_text="plusway lesson").click()
    offered = lesson.page.locator(".jp-Dialog select, .jp-Dialog input").first
    offered.wait_for()
    choices = lesson.page.locator(".jp-Dialog option").evaluate_all("(all) => all.map((one) => one.value || one.textContent)")
    mine = f"The feed sack ({lesson.file.parent.name}/lesson.ipynb)"
    assert mine in choices
    lesson.page.locator(".jp-Dialog select").first.select_option(label=mine)
    lesson.page.locator(".jp-Dialog .jp-mod-accept").click()
    lesson.page.wait_for_selector(".jp-Notebook .jp-Cell")
    lesson.started()


def sides(page: Any) -> list[bool]:
    """Whether the file browser and the panel are in sight."""
    return [page.locator(side).is_visible() for side in ("#filebrowser", ".pwlab-panel")]


def test_on_a_narrow_window_the_lesson_has_the_room(desk: Make) -> None:
    """At 400 pixels the file browser folds away when a lesson opens, also where the layout of before had it open; whoever wants it opens it."""
    lesson = desk().open().ran()
    lesson.page.locator("#filebrowser").wait_for()
    lesson.page.wait_for_timeout(1500)  # JupyterLab has kept its layout
    lesson.page.set_viewport_size({"width": 400, "height": 800})
    lesson.page.locator("#filebrowser").wait_for(state="hidden")
    lesson.page.reload()
    lesson.ran()
    assert sides(lesson.page) == [False, False]
    step = lesson.page.locator('.plusway[data-step="equations"]')
    step.scroll_into_view_if_needed()
    assert step.evaluate("root => [root.clientWidth > 250, root.scrollWidth <= root.clientWidth + 1]") == [True, True]
    lesson.page.get_by_role("tab", name="File Browser").click()
    lesson.page.locator("#filebrowser").wait_for()


def test_the_panel_leaves_the_room_to_the_lesson_when_the_page_is_zoomed(desk: Make) -> None:
    """A window that becomes 640 pixels wide, as by 200 % zoom, keeps its lesson and banner in sight."""
    lesson = desk("notebook").open().ran()
    lesson.page.locator(".pwlab-panel").wait_for()
    lesson.page.set_viewport_size({"width": 640, "height": 450})
    lesson.page.locator(".pwlab-panel").wait_for(state="hidden")


def test_the_launchers_card_is_reached_and_opened_by_keyboard(desk: Make) -> None:
    """The card says what it is, in its face and in its tip; Enter on it offers the lessons, and Enter again opens the one that is chosen."""
    lesson = desk("lab", title="The feed sack")
    lesson.page.goto(lesson.address.replace("/lesson.ipynb", ""))
    card = lesson.page.locator(".jp-LauncherCard", has_text="plusway lesson")
    card.wait_for()
    assert card.get_attribute("title") == "Open a guided lesson in the mechanics of connected bodies"
    assert card.get_attribute("tabindex") is not None
    card.focus()
    lesson.page.keyboard.press("Enter")
    chosen = lesson.page.locator(".jp-Dialog select").first
    chosen.wait_for()
    lesson.page.wait_for_function("() => document.querySelector('.jp-Dialog').contains(document.activeElement)")
    chosen.select_option(label=f"The feed sack ({lesson.file.parent.name}/lesson.ipynb)")
    chosen.focus()
    lesson.page.keyboard.press("Enter")
    lesson.page.wait_for_selector(".jp-Notebook .jp-Cell")
    lesson.started()


COMMANDS = {
    "plusway: open a lesson": "() => document.querySelector('.jp-Dialog') !== null",
    "plusway: go to next unfinished step": "() => document.activeElement?.matches('.plusway[data-step=directions] input')",
    "plusway: show the steps of the lesson": "() => document.activeElement?.matches('.pwlab-step')",
}


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_works_from_the_palette_by_keyboard(desk: Make, name: str) -> None:
    """Found by its name, run with Enter, and the focus is where the command has led."""
    lesson = desk().open().ran()
    lesson.page.locator(".jp-Cell").first.click()
    lesson.page.keyboard.press("Control+Shift+C")
    lesson.page.keyboard.type(name)
    lesson.page.locator(".lm-CommandPalette-item.lm-mod-active", has_text=name).wait_for()
    lesson.page.keyboard.press("Enter")
    lesson.page.wait_for_function(COMMANDS[name])
