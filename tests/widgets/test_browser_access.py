"""The steps for everybody: axe's rules in light and dark, what a screen reader meets, narrow screens, high contrast."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

pytestmark = pytest.mark.browser

THEMES = {"dark": "JupyterLab Dark", "light": "JupyterLab Light"}  # light last: the server keeps the theme


def begin(lesson: Any) -> None:
    """Every kind of verdict on show: right, a slip with its explanations, unread, and hints opened."""
    lesson.choose(grain="up", stone="up")
    lesson.draw("grain", ("T", "up"), ("W_1", "up"))
    lesson.draw("stone", ("T", "up"), ("W_2", "down"))
    lesson.write("grain", "T + 117.6 = 12.0a_1")
    lesson.step("equations", "grain").get_by_role("button", name="Why is that so?").click()
    lesson.write("stone", "T - = 5")
    lesson.lines("working", "T = 12.0a_1 - 117.6", "T = 12.0a_1 + 117.6", "T/12.0 = a_1 - 9.8")
    lesson.result("a", "1.09", "")
    lesson.lines("sense", "T < W_2", "T < 0")
    lesson.step("ties").get_by_role("button", name="A hint: where to look").click()
    lesson.step("ties").locator(".pw-hintlist li").wait_for()


@pytest.mark.parametrize("name", [name if name == "light" else pytest.param(name, marks=pytest.mark.thorough) for name in THEMES])
def test_axe_finds_nothing(lesson: Any, axe: Callable[..., list[str]], name: str) -> None:
    """No violation of WCAG 2.2 A and AA, nor of axe's good practice, in any step with any verdict."""
    lesson.theme(THEMES[name])
    begin(lesson)
    for step in ("directions", "forces", "equations", "ties", "working", "results", "sense"):
        lesson.step(step).first.scroll_into_view_if_needed()
        lesson.page.wait_for_timeout(100)
        lesson.shot(f"{name}-{step}", lesson.step(step).first)
        assert axe(lesson.page, ".plusway") == []


def test_a_screen_reader_meets_the_steps_in_order(lesson: Any) -> None:
    """Headings, groups, fields and buttons with their names, in the order of the method; the pictures are told in words."""
    begin(lesson)
    lesson.step("directions").locator("input").first.scroll_into_view_if_needed()
    tree = lesson.step("directions").aria_snapshot()
    wanted = [
        '- region "Positive directions"', 'heading "Positive directions" [level=3]', 'img "Hoist at the mill', 'group "Plus for the grain"', 'radio "up" [checked]',
        'radio "down"', 'group "Plus for the stone"', 'button "Use these directions"', "holds",
    ]  # fmt: skip
    places = [tree.find(part) for part in wanted]
    assert -1 not in places, tree
    assert places == sorted(places), tree
    equation = lesson.step("equations", "grain").aria_snapshot()  # half a point: the same slip is in the diagram, and has cost there
    wanted = ['heading "Equation for the grain"', "plus for the grain", "T up, W₁ up", 'textbox "Equation for the grain"', 'button "Check"', "a slip", "1.5 of 2 points",
              "The weight W₁ acts down on it", "Every force enters with a plus", 'button "How do I mend it?"']  # fmt: skip
    places = [equation.find(part) for part in wanted]
    assert -1 not in places, equation
    assert places == sorted(places), equation
    lesson.step("working").locator("input").first.scroll_into_view_if_needed()
    working = lesson.step("working").aria_snapshot()
    wanted = ['heading "Working" [level=3]', '- term: "grain:"', 'textbox "line 1": T = 12.0a_1 - 117.6', 'button "Move line 1 down"', 'button "Insert a line above line 1"',
              'button "Delete line 1"', "carries on", "an earlier line needs mending", 'textbox "line 2": T = 12.0a_1 + 117.6', 'button "Delete line 2"', "holds", 'textbox "line 3"', 'textbox "line 4"',
              'button "Check all lines"']  # fmt: skip
    places = [working.find(part) for part in wanted]
    assert -1 not in places, working
    assert places == sorted(places), working
    assert (working.count("strong: carries on"), working.count("an earlier line needs mending")) == (2, 1)  # explained once is enough
    diagram = lesson.step("forces", "grain").aria_snapshot()
    assert "Your force diagram of the grain" in diagram
    assert 'button "Remove W₁ up"' in diagram


def test_a_verdict_is_announced(lesson: Any) -> None:
    """The status region says verdict, points and reason once a line is checked, and the reading is spoken while it is typed."""
    lesson.choose(grain="up", stone="up")
    grain = lesson.step("equations", "grain")
    grain.get_by_role("textbox").press_sequentially("T + 117.6 = 12.0a_1")
    spoken = grain.locator('[aria-live="polite"]')
    lesson.page.wait_for_function("element => element.textContent !== ''", arg=spoken.element_handle())
    assert spoken.text_content() == "T plus 117.6 equals 12.0 a 1"
    assert grain.locator(".pw-verdict").count() == 0
    grain.get_by_role("textbox").press("Enter")
    lesson.state("equations", "slip", "grain")
    status = grain.get_by_role("status")
    lesson.page.wait_for_function("element => element.textContent !== ''", arg=status.element_handle())
    assert (status.text_content() or "").startswith("Equation for the grain: a slip. 1 of 2 points. You chose up as plus")


def test_leaving_a_field_is_no_commit(lesson: Any) -> None:
    """Typing and tabbing away judges nothing and keeps nothing."""
    field = lesson.step("equations", "grain").get_by_role("textbox")
    field.fill("T + 117.6 = 12.0a_1")
    field.press("Tab")
    lesson.page.wait_for_timeout(1500)
    assert lesson.step("equations", "grain").get_attribute("data-state") == "blank"
    assert lesson.journal() == []


@pytest.mark.parametrize("width", [320, 640])
def test_narrow_screens_need_no_scrolling_sideways(lesson: Any, width: int) -> None:
    """At 320 CSS pixels nothing is cut off and nothing scrolls sideways, and every target is at least 24 pixels wide and high."""
    begin(lesson)
    lesson.page.evaluate(
        "width => document.querySelectorAll('.plusway').forEach(root => { root.parentElement.style.width = width + 'px'; root.style.width = width + 'px'; })",
        width)
    lesson.page.wait_for_timeout(300)
    for step in ("directions", "forces", "equations", "working", "results"):
        lesson.step(step).first.scroll_into_view_if_needed()
        lesson.page.wait_for_timeout(150)
        lesson.shot(f"narrow-{width}-{step}", lesson.step(step).first)
        too_wide = lesson.step(step).first.evaluate("""root => [...root.querySelectorAll('*')].filter(e => !e.closest('.pw-sr') && !e.closest('.pw-formula, svg')
            && e.getClientRects().length && e.getBoundingClientRect().right > root.getBoundingClientRect().right + 1).map(e => e.className)""")
        assert too_wide == []
        small = lesson.step(step).first.evaluate("""root => [...root.querySelectorAll('button, input, select')].map(e => (e.closest('label') ?? e).getBoundingClientRect())
            .filter(r => r.width && (r.width < 24 || r.height < 24)).map(r => [r.width, r.height])""")
        assert small == []


def test_high_contrast_keeps_every_sign(lesson: Any) -> None:
    """With the system's own colours arrows, bodies and verdict signs are still drawn."""
    begin(lesson)
    lesson.page.emulate_media(forced_colors="active")
    for step in ("directions", "forces"):
        lesson.step(step).first.scroll_into_view_if_needed()
        lesson.shot(f"contrast-{step}", lesson.step(step).first)
    colours = lesson.step("directions").evaluate("""root => ['.pw-thing', '.pw-rope', '[data-chosen] .pw-shaft'].map(sign => {
        const style = getComputedStyle(root.querySelector(sign)); return style.stroke !== 'none' && style.stroke !== style.backgroundColor; })""")
    assert colours == [True, True, True]


def test_nothing_moves_for_those_who_asked_for_stillness(lesson: Any) -> None:
    """With reduced motion no control has a transition."""
    lesson.page.emulate_media(reduced_motion="reduce")
    durations = lesson.page.evaluate("[...document.querySelectorAll('.plusway button')].map(b => getComputedStyle(b).transitionDuration)")
    assert set(durations) == {"0s"}
