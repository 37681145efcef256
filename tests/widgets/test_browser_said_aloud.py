"""What a screen reader is told, and when: each verdict once, in the one status region of its step; hints one after the other."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = pytest.mark.browser

LISTEN = """() => {
  globalThis.heard = [];
  for (const root of document.querySelectorAll('.plusway[data-step]'))
    for (const region of root.querySelectorAll('[role=status], [aria-live], [role=alert]'))
      new MutationObserver(() => {
        const said = region.textContent.trim();
        if (said) globalThis.heard.push([root.dataset.step, region.getAttribute('role') ?? 'reading', said]);
      }).observe(region, {childList: true, characterData: true, subtree: true});
}"""


def enter(lesson: Any, step: str, line: str) -> None:
    """Type a line into the last row and press Enter in that row; a new one is the last by then."""
    row = lesson.step(step).get_by_role("textbox").last.element_handle()
    row.fill(line)
    row.press("Enter")
    lesson.expect_rows(step, lambda rows: line in rows)


def heard(lesson: Any, step: str) -> list[str]:
    """What the step's regions have said since the last time, readings of half-typed lines left out; there must be something."""
    lesson.page.wait_for_function("() => heard.some(([step, role]) => role === 'status')")
    lesson.page.wait_for_timeout(1200)  # a region that speaks late would speak by now
    said = lesson.page.evaluate("heard.splice(0)")
    assert {one for one, _, _ in said} <= {step}, said
    return [text for _, role, text in said if role == "status"]


def test_each_verdict_is_announced_once(lesson: Any) -> None:
    """One text in the step that was checked, and none anywhere else, also where a check changes other steps' verdicts."""
    lesson.page.evaluate(LISTEN)
    lesson.choose(grain="up", stone="up")
    lesson.state("directions", "done")
    (said,) = heard(lesson, "directions")
    assert said.startswith("holds. Any choice is right.")
    assert "forces that act up enter with a plus" in said
    lesson.draw("grain", ("T", "up"), ("T", "up"))
    lesson.state("forces", "slip", "grain")
    told = heard(lesson, "forces")
    assert told[:-1] == ["Added: T up.", "Added: T up."]
    assert told[-1].startswith("Diagram of the grain: a slip.")
    for line, state, begin in (("T + 117.6 = 12.0a_1", "slip", "Equation for the grain: a slip. 1 of 2 points. You chose up"),
                               ("T - = 5", "slip", "Equation for the grain: can’t be read yet."),
                               ("T - 117.6 = 12.0a_1", "done", "Equation for the grain: holds. 2 of 2 points.")):
        lesson.write("grain", line)
        lesson.state("equations", state, "grain")
        (said,) = heard(lesson, "equations")
        assert said.startswith(begin)
    lesson.write("stone", "T - m_2 g = m_2 a_2")
    assert len(heard(lesson, "equations")) == 1
    enter(lesson, "ties", "a_1 = -a_2")
    assert heard(lesson, "ties") == ["tie 1: holds."]
    enter(lesson, "working", "T = 12.0a_1 + 117.6")
    (said,) = heard(lesson, "working")
    assert said.startswith("line 1: holds.")
    enter(lesson, "working", "T = 12.0a_1 - 117.6")
    (said,) = heard(lesson, "working")
    assert said.startswith("line 2: a slip.")
    for check in (lambda: lesson.step("working").get_by_role("button", name="Check all lines").click(),
                  lambda: lesson.step("working").get_by_role("textbox").last.press("Enter")):
        check()
        (said,) = heard(lesson, "working")
        assert said.startswith("line 1: holds. line 2: a slip.")
    lesson.result("a", "1.09", "m/s^2")
    assert heard(lesson, "results") == ["a: holds. 1 of 1 point."]
    enter(lesson, "sense", "W_1 < T")
    assert heard(lesson, "sense") == ["check 1: holds."]


def test_hints_come_one_by_one_by_keyboard_and_are_recorded(lesson: Any) -> None:
    """Where to look, why, how to go on: each is shown below the one before and said once, the button changes its name, and the answer
    that follows carries how many were read."""
    lesson.choose(grain="up", stone="up")
    lesson.state("directions", "done")
    step = lesson.step("equations", "grain")
    lesson.page.evaluate(LISTEN)
    shown = step.locator(".pw-hintlist li")
    for count, name in enumerate(("A hint: where to look", "A hint: why", "A hint: how to go on"), 1):
        button = step.get_by_role("button", name=name, exact=True)
        button.focus()
        lesson.page.keyboard.press("Enter")
        shown.nth(count - 1).wait_for()
        assert shown.count() == count
        assert heard(lesson, "equations") == [shown.nth(count - 1).text_content()]
        field = step.get_by_role("textbox")
        field.fill(f"T = {count}")
        field.press("Enter")
        assert len(heard(lesson, "equations")) == 1
    assert step.locator(".pw-hints button").count() == 0
    assert [(e["value"], e["hints"]) for e in lesson.journal() if e["step"] == "equations"] == [("T = 1", 1), ("T = 2", 2), ("T = 3", 3)]
    assert len(set(shown.all_text_contents())) == 3


def test_after_the_last_hint_the_focus_is_on_it(lesson: Any) -> None:
    """Its button is gone, and whoever works by keyboard is not thrown to the top of the page."""
    step = lesson.step("ties")
    step.get_by_role("button", name="A hint: where to look").focus()
    for count in (1, 2, 3):
        lesson.page.keyboard.press("Enter")
        step.locator(".pw-hintlist li").nth(count - 1).wait_for()
    lesson.page.wait_for_function("() => document.activeElement.matches('.plusway[data-step=ties] .pw-hintlist li:last-child')")
