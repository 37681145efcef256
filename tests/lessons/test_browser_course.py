"""The lessons in a real JupyterLab, as a student meets them: a worked example flipped by keyboard, a slip made and mended. Screenshots go
to tests/shots, to be looked at."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ..conftest import shipped, shot

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.thorough]
WAIT = 30_000  # ms


@pytest.fixture
def opened(page: Any, lab: Any) -> Callable[..., Path]:
    """opened("01-one-body") copies that lesson into a folder of its own and opens it; returns the notebook's path."""

    def open_lesson(name: str) -> Path:
        file = shipped(lab, name)
        page.set_viewport_size({"width": 1280, "height": 3000})  # a whole worked example is in view, for axe and for the shots
        page.goto(lab.address(f"{file.parent.name}/{file.name}"))
        page.locator(".plusway.pw-example").wait_for()
        return file

    return open_lesson


def part(page: Any, name: str) -> Any:
    """One part of the worked example's solution."""
    return page.locator(f'.pw-example .pw-solved[data-part="{name}"]')


def step(page: Any, problem: str, name: str, item: str | None = None) -> Any:
    """A step of one problem."""
    extra = "" if item is None else f'[data-item="{item}"]'
    return page.locator(f'.plusway[data-problem="{problem}"][data-step="{name}"]{extra}')


def reached(page: Any, problem: str, name: str, state: str) -> None:
    """Wait until a step shows a state."""
    page.locator(f'.plusway[data-problem="{problem}"][data-step="{name}"][data-state="{state}"]').wait_for(timeout=WAIT)


def line(page: Any, problem: str, name: str, text: str, place: int = 0) -> None:
    """Type a line into a ledger and press Enter."""
    field = step(page, problem, name).get_by_role("textbox").nth(place)
    field.wait_for(timeout=WAIT)
    field.fill(text)
    field.press("Enter")


def flip(page: Any, thing: str, to: str) -> str:
    """By keyboard alone: Tab to the thing's buttons, an arrow key, and wait for what is said. Returns it."""
    example = page.locator(".pw-example")
    group = example.get_by_role("group", name=f"Plus for the {thing}", exact=True)
    status = example.get_by_role("status")
    before = status.text_content()
    group.locator("input:checked").focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_function("([element, before]) => element.textContent !== before", arg=[status.element_handle(), before], timeout=WAIT)
    assert group.locator("input:checked").get_attribute("value") == to
    assert page.evaluate("document.activeElement.value") == to  # the focus stays where it was
    return str(status.text_content())


def test_the_first_lesson_as_a_student(page: Any, opened: Callable[..., Path]) -> None:
    """Plus turned to down by keyboard and the solution rewritten; in the half-finished problem one mistake, made and mended."""
    file = opened("01-one-body")
    assert part(page, "equations").text_content().count("reel") == 1
    up = part(page, "equations").locator("math").get_attribute("alttext")
    assert flip(page, "reel", "down") == "Plus for the reel is now down. In its equation every force has turned its sign. a is now −1.72 m/s². The motion is the same."
    assert (up, part(page, "equations").locator("math").get_attribute("alttext")) == ("F minus m g equals m a", "m g minus F equals m a")
    assert part(page, "results").locator("math").first.get_attribute("alttext") == "a equals minus 1.72 metres per second squared"
    assert "On the reel, with plus down" in part(page, "forces").text_content()
    shot(page.locator(".pw-example"), "course-first-flipped")
    # Back again, by a click on the picture's arrow this time.
    page.locator('.pw-example .pw-arrow[data-word="up"]').click()
    page.locator(".pw-example").get_by_role("status").filter(has_text="Plus for the reel is now up.").wait_for(timeout=WAIT)
    assert part(page, "equations").locator("math").get_attribute("alttext") == up

    reached(page, "tea-trolley", "equations", "done")  # given
    line(page, "tea-trolley", "working", "18 = 24a")
    line(page, "tea-trolley", "working", "a = 24/18 = 1.33", 1)
    reached(page, "tea-trolley", "working", "slip")
    shot(step(page, "tea-trolley", "working"), "course-first-slip")
    line(page, "tea-trolley", "working", "a = 18/24 = 0.750", 1)
    reached(page, "tea-trolley", "working", "done")
    results = step(page, "tea-trolley", "results")
    for symbol, number, unit in (("a", "0.750", "m/s^2"), ("N", "235", "N")):
        group = results.get_by_role("group", name=symbol, exact=True)
        group.get_by_label("number").fill(number)
        group.get_by_label("unit").fill(unit)
        group.get_by_label("unit").press("Enter")
    reached(page, "tea-trolley", "results", "done")
    line(page, "tea-trolley", "sense", "N = W")
    reached(page, "tea-trolley", "sense", "done")
    kept = [json.loads(row) for row in file.with_name(f"{file.stem}.plusway.jsonl").read_text(encoding="utf-8").splitlines()]
    assert {entry["problem"] for entry in kept} == {"tea-trolley"}
    without_a_kernel(page)


def without_a_kernel(page: Any) -> None:
    """The buttons of the worked example go back to the solution that is shown, and the notice says what to do."""
    page.route("**/api/kernels/**", lambda route: route.abort())
    page.get_by_role("menuitem", name="Kernel", exact=True).click()
    page.get_by_role("menuitem", name="Shut Down Kernel", exact=True).click()
    example = page.locator(".pw-example")
    example.get_by_role("radio", name="up").focus()
    page.keyboard.press("ArrowDown")
    example.get_by_role("alert").filter(has_text="The kernel isn’t answering, so the solution can’t be rewritten.").wait_for(timeout=WAIT)
    example.locator('input[value="up"]:checked').wait_for(timeout=WAIT)


def test_the_lesson_with_a_wheel_as_a_student(page: Any, opened: Callable[..., Path], axe: Callable[..., list[str]]) -> None:
    """The wheel's direction turned: alpha and the ties turn, nothing else; then the tie of bucket and drum, wrong first."""
    opened("11-wheels")
    said = flip(page, "wheel", "counterclockwise")
    assert said.startswith("Plus for the wheel is now counterclockwise. In its equation every torque has turned its sign.")
    assert said.endswith("α is now −5.27 rad/s². a₁, a₂, T₁ and T₂ stay as they were. The motion is the same.")
    said = flip(page, "large cask", "up")
    assert "each body has an acceleration of its own" in said
    assert [m.get_attribute("alttext") for m in part(page, "ties").locator("math").all()] == ["a 1 equals minus R alpha", "a 2 equals R alpha"]
    shot(page.locator(".pw-example"), "course-wheel-flipped")

    reached(page, "well-bucket", "directions", "done")  # given: up, clockwise
    line(page, "well-bucket", "ties", "a_1 = R alpha")
    reached(page, "well-bucket", "ties", "slip")
    shot(step(page, "well-bucket", "ties"), "course-wheel-slip")
    line(page, "well-bucket", "ties", "a_1 = -R alpha")
    reached(page, "well-bucket", "ties", "done")
    for thing, equation in (("bucket", "T - m_1 g = m_1 a_1"), ("drum", "R T = I alpha")):
        field = step(page, "well-bucket", "equations", thing).get_by_role("textbox")
        field.fill(equation)
        field.press("Enter")
        page.locator(f'.plusway[data-problem="well-bucket"][data-step="equations"][data-item="{thing}"][data-state="done"]').wait_for(timeout=WAIT)
    read_by_axe(page, axe)


THEMES = {"dark": ("false", "#111111"), "light": ("true", "#ffffff")}


def read_by_axe(page: Any, axe: Callable[..., list[str]]) -> None:
    """No violation of WCAG 2.2 A and AA, nor of axe's good practice, with the further checks unfolded, dark and light; and at 320 pixels
    nothing of the worked example is cut off."""
    example = page.locator(".pw-example")
    example.get_by_text("Further checks").click()
    for theme, (light, paper) in THEMES.items():
        # The theme's own mark on the page and its paper, as JupyterLab sets them, without changing the setting for other tests.
        page.evaluate("light => document.body.setAttribute('data-jp-theme-light', light)", light)
        page.evaluate("colour => document.documentElement.style.setProperty('--jp-layout-color1', colour)", paper)
        assert axe(page, ".pw-example") == [], theme
        shot(example, f"course-example-{theme}")
    page.evaluate("() => { const r = document.querySelector('.pw-example'); r.parentElement.style.width = '320px'; r.style.width = '320px'; }")
    page.wait_for_function("() => getComputedStyle(document.querySelector('.pw-example .pw-side')).gridTemplateColumns.split(' ').length === 1", timeout=WAIT)
    wide = example.evaluate("""root => [...root.querySelectorAll('*')].filter(e => !e.closest('.pw-sr, svg, math') && e.getClientRects().length
        && e.getBoundingClientRect().right > root.getBoundingClientRect().right + 1).map(e => e.className || e.tagName)""")
    shot(example, "course-example-narrow")
    assert wide == []
