"""The closing picture in a real browser: its true rate, pause and start by keyboard, stillness where it is asked for, axe in both themes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

PICTURE = ".pw-closing .pw-player .pw-picture"


def time_of(lesson: Any) -> float:
    return float(lesson.page.locator(PICTURE).get_attribute("data-time"))


def test_the_students_own_motion_at_its_true_rate(lesson: Any) -> None:
    """Not there at first; then it runs by itself, each second of it a second of the page's clock, and can be stopped and started."""
    page = lesson.page
    closing = page.locator(".pw-closing")
    closing.scroll_into_view_if_needed()
    closing.get_by_text("First:").wait_for()
    assert closing.locator("svg").count() == 0
    lesson.finish()
    closing.locator(".pw-player").wait_for()
    closing.scroll_into_view_if_needed()
    page.wait_for_function(f"() => Number(document.querySelector('{PICTURE}').dataset.time) > 0")
    closing.get_by_role("button", name="From the start").focus()
    page.keyboard.press("Enter")
    rate = page.evaluate(f"""() => new Promise((done) => {{
        const box = document.querySelector('{PICTURE}');
        let first = null;
        const look = () => {{
          const at = [Number(box.dataset.time), performance.now() / 1000];
          if (at[0] > 0.1 && first === null) first = at;
          if (first && at[0] > first[0] + 0.5) done((at[0] - first[0]) / (at[1] - first[1]));
          else requestAnimationFrame(look);
        }};
        look();
      }})""")
    assert rate == pytest.approx(1, abs=0.1)
    page.wait_for_function(f"() => Number(document.querySelector('{PICTURE}').dataset.time) > 1.35")
    button = closing.get_by_role("button", name="Play")
    expect(closing.get_by_role("status")).to_have_text("The motion has ended, at 1.35 seconds.")
    button.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Space")  # stopped again at once, and it stays so
    stopped = time_of(lesson)
    assert closing.get_by_role("button", name="Play").count() == 1
    page.wait_for_timeout(300)
    assert time_of(lesson) == stopped < 1.35
    slider = closing.get_by_role("slider", name="time")
    slider.focus()
    page.keyboard.press("Home")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext") == "0.30 s"
    moved = page.locator('.pw-closing [data-thing="grain"]').get_attribute("transform")
    assert moved != "translate(0.00 0.00)"
    lesson.shot("closing", closing)


def test_it_stands_still_for_those_who_asked_for_stillness(lesson: Any) -> None:
    """With reduced motion it starts paused and says so; Play still plays it."""
    lesson.page.emulate_media(reduced_motion="reduce")
    lesson.finish()
    closing = lesson.page.locator(".pw-closing")
    closing.locator(".pw-player").wait_for()
    closing.scroll_into_view_if_needed()
    closing.get_by_text("nothing moves until you press Play").wait_for()
    lesson.page.wait_for_timeout(500)
    assert time_of(lesson) == 0
    closing.get_by_role("button", name="Play").click()
    lesson.page.wait_for_function(f"() => Number(document.querySelector('{PICTURE}').dataset.time) > 0")


def test_it_changes_with_the_students_numbers(lesson: Any) -> None:
    """Another result, and the picture is another one at once, with what is wrong said above it."""
    lesson.finish()
    closing = lesson.page.locator(".pw-closing")
    closing.locator(".pw-player").wait_for()
    lesson.result("a", "2.5", "m/s^2")
    closing.locator("p", has_text="2.5 m").filter(has_text="does not hold.").wait_for()
    closing.locator("p", has_text="a₁ = 2.50 m/s²").wait_for()
    closing.get_by_text("Its mass times its acceleration is 30.0 N up.").wait_for()


def test_the_picture_is_read_out_in_order(lesson: Any, axe: Callable[..., list[str]]) -> None:
    """Heading, picture, controls with names and values, the motion in words, and each diagram with its forces; axe finds nothing."""
    lesson.page.emulate_media(reduced_motion="reduce")
    lesson.finish()
    closing = lesson.page.locator(".pw-closing")
    closing.locator(".pw-player").wait_for()
    closing.scroll_into_view_if_needed()
    tree = closing.aria_snapshot()
    wanted = [
        '- region "How it moves"', 'heading "How it moves" [level=3]', 'img "How it moves: Hoist at the mill', 'button "Play"', 'button "From the start"',
        'slider "time"', 'paragraph: "Grain: from rest', 'paragraph: "Stone: from rest', 'figure "Forces on the grain"', 'img "The forces on the grain, to scale', "paragraph: T = 131 N up; W₁ = 118 N down.",
        'figure "Forces on the stone"',
    ]  # fmt: skip
    places = [tree.find(part) for part in wanted]
    assert -1 not in places, tree
    assert places == sorted(places), tree
    assert axe(lesson.page, ".pw-closing") == []
