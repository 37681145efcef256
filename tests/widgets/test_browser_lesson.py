"""The first lesson in a real JupyterLab, done as a student does it: by mouse, by keyboard alone, and through reloads and dead kernels.

Each test has a folder of its own in the one server; screenshots go to tests/shots, to be looked at.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from ..conftest import on_disk

pytestmark = pytest.mark.browser

def test_a_student_does_the_lesson(lesson: Any) -> None:
    """Plus against the motion for one body, a slip of sign, its reason read and mended, and everything holds at the end."""
    lesson.choose(grain="up", stone="up")
    lesson.state("directions", "done")
    lesson.shot("lesson-1-directions", lesson.step("directions"))
    lesson.draw("grain", ("T", "up"), ("W_1", "up"))
    lesson.state("forces", "slip", "grain")
    lesson.shot("lesson-2-forces-slip", lesson.step("forces", "grain"))
    lesson.step("forces", "grain").get_by_role("button", name="Remove W₁ up").click()
    lesson.draw("grain", ("W_1", "down"))
    lesson.state("forces", "done", "grain")
    lesson.draw("stone", ("T", "up"), ("W_2", "down"))
    lesson.state("forces", "done", "stone")
    lesson.shot("lesson-3-forces", lesson.step("forces", "grain"))

    lesson.write("grain", "T + 117.6 = 12.0a_1")
    lesson.state("equations", "slip", "grain")
    grain = lesson.step("equations", "grain")
    reason = grain.locator(".pw-reasons")
    assert "You chose up as plus for the grain" in reason.text_content()
    assert grain.locator("mark").text_content() == "+ 117.6"
    grain.get_by_role("button", name="Why is that so?").click()
    grain.get_by_role("button", name="How do I mend it?").click()
    assert "Turn the sign" in reason.text_content()
    lesson.shot("lesson-4-equation-slip", grain)
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    lesson.state("equations", "done", "grain")
    lesson.write("stone", "T - m_2 g = m_2 a_2")
    lesson.state("equations", "done", "stone")
    lesson.shot("lesson-5-equation", lesson.step("equations", "stone"))
    lesson.lines("ties", "a_1 = -a_2")
    lesson.state("ties", "done")
    lesson.lines("working", "T = 12.0a_1 + 117.6", "12.0a_1 + 117.6 - 147 = 15.0a_1")
    lesson.state("working", "slip")
    lesson.shot("lesson-6-working-slip", lesson.step("working"))
    second = lesson.step("working").get_by_role("textbox").nth(1)
    second.fill("(12.0a_1 + 117.6) - 147 = -15.0a_1")
    second.press("Enter")
    lesson.lines("working", "27.0a_1 = 29.4", "a_1 = 1.089")
    lesson.state("working", "done")
    lesson.shot("lesson-7-working", lesson.step("working"))
    lesson.result("a", "1.09", "m/s^2")
    lesson.result("T", "131", "N")
    lesson.state("results", "done")
    lesson.shot("lesson-8-results", lesson.step("results"))
    lesson.lines("sense", "W_1 < T", "T < W_2")
    lesson.state("sense", "done")
    lesson.shot("lesson-9-sense", lesson.step("sense"))
    assert lesson.page.evaluate("globalThis[Symbol.for('plusway.scripts')].size") == 1  # all its widgets share one script
    # Which hints were read is recorded with the answer that followed.
    mended = [e for e in lesson.journal() if e["step"] == "equations" and e["item"] == "grain"]
    assert [e["hints"] for e in mended] == [0, 3]


@pytest.mark.parametrize("accident", ["reload", "restart", "kill"])
def test_no_committed_answer_is_lost(lesson: Any, accident: str) -> None:
    """After a reload, or a kernel restarted or killed behind the page's back and everything run again, all is there."""
    lesson.finish()
    lesson.state("sense", "done")
    before = lesson.answers()
    assert [state for state, *_ in before.values()] == ["done"] * 9
    if accident == "reload":
        lesson.reload()
    else:
        lesson.kernel(accident)
        lesson.page.wait_for_timeout(1500)
        if accident == "restart":
            lesson.run_all()
        else:
            lesson.reload()
    lesson.state("sense", "done")
    lesson.state("directions", "done")
    assert lesson.answers() == before


WATCH = """() => {
  globalThis.seen = {};
  const look = () => document.querySelectorAll('.pwlab-step').forEach((row) => {
    const [name, state] = ['name', 'state'].map((part) => row.querySelector(`.pwlab-step-${part}`).textContent);
    (globalThis.seen[name] ??= new Set()).add(state);
  });
  new MutationObserver(look).observe(document, {subtree: true, childList: true, characterData: true});
}"""


def test_the_panel_and_the_cards_agree_after_a_reload(lesson: Any) -> None:
    """A step whose card is not there yet reads "answered" until the kernel has judged it, and then what its card says; it is never said
    to be right or wrong on the word of the file."""
    lesson.choose(grain="up", stone="up")
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    lesson.write("stone", "T + m_2 g = m_2 a_2")
    lesson.state("equations", "slip", "stone")
    lesson.page.wait_for_timeout(1500)  # the notebook's own save
    lesson.page.add_init_script(f"({WATCH})()")
    lesson.reload()
    lesson.state("equations", "slip", "stone")
    seen = {name: set(states) for name, states in lesson.page.evaluate("Object.entries(seen).map(([name, states]) => [name, [...states]])")}
    told = {"Positive directions": "done", "Equations: grain": "done", "Equations: stone": "something to mend"}
    assert {name: states for name, states in seen.items() if states != {"not begun"}} == {name: {"answered", word} for name, word in told.items()}
    cards = lesson.page.locator(".plusway[data-step] .pw-state > span:first-of-type").all_text_contents()
    assert lesson.page.locator(".pwlab-step-state").all_text_contents() == cards


def test_a_dead_kernel_is_told_and_the_typed_line_stays(lesson: Any) -> None:
    """The notice says the one thing to do; the line is in its field, also after a reload, and is checked then: it had been sent."""
    lesson.page.route("**/api/kernels/**", lambda route: route.abort())
    lesson.kernel("restart")
    lesson.page.wait_for_timeout(500)
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    notice = lesson.step("equations", "grain").locator(".pw-notice")
    notice.wait_for()
    assert "The kernel isn’t answering. Your typed line is still here." in notice.text_content()
    lesson.shot("lesson-silent", lesson.step("equations", "grain"))
    assert lesson.journal() == []
    lesson.page.unroute("**/api/kernels/**")
    lesson.reload()
    field = lesson.step("equations", "grain").get_by_role("textbox")
    assert field.input_value() == "T - 117.6 = 12.0a_1"
    lesson.state("equations", "done", "grain")
    assert notice.count() == 0
    assert [entry["value"] for entry in lesson.journal()] == ["T - 117.6 = 12.0a_1"]


def test_what_is_changed_after_it_was_sent_into_silence_waits_for_its_student(lesson: Any) -> None:
    """A line that was sent, not answered and then changed is a draft again: nothing is checked that nobody sent."""
    lesson.page.route("**/api/kernels/**", lambda route: route.abort())
    lesson.kernel("restart")
    lesson.page.wait_for_timeout(500)
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    lesson.step("equations", "grain").locator(".pw-notice").wait_for()
    lesson.step("equations", "grain").get_by_role("textbox").fill("T - 117.6 = 12.0")
    lesson.page.unroute("**/api/kernels/**")
    lesson.reload()
    lesson.write("stone", "T - m_2 g = m_2 a_2")
    lesson.state("equations", "done", "stone")
    assert lesson.step("equations", "grain").get_by_role("textbox").input_value() == "T - 117.6 = 12.0"
    assert [entry["item"] for entry in lesson.journal()] == ["stone"]


def test_all_that_was_sent_into_silence_is_checked_when_the_lesson_is_back(lesson: Any) -> None:
    """Directions, a diagram, lines and a result, sent while nobody answered: each is kept once, in its own place."""
    lesson.page.route("**/api/kernels/**", lambda route: route.abort())
    lesson.kernel("restart")
    lesson.page.wait_for_timeout(500)
    lesson.choose(grain="up", stone="up")
    lesson.step("directions").locator(".pw-notice").wait_for()
    lesson.draw("grain", ("T", "up"), ("W_1", "down"))
    field = lesson.step("ties").get_by_role("textbox").last
    field.fill("a_1 = -a_2")
    field.press("Enter")
    lesson.result("a", "1.09", "m/s^2")
    lesson.page.wait_for_timeout(3500)  # patience with the kernel has run out in each step
    lesson.page.unroute("**/api/kernels/**")
    lesson.reload()
    lesson.state("directions", "done")
    lesson.state("forces", "done", "grain")
    lesson.state("ties", "done")
    lesson.step("results").locator(".pw-verdict").first.wait_for()
    lesson.page.reload()
    lesson.state("directions", "done")
    kept = sorted((entry["step"], entry["item"] or "", str(entry["value"])) for entry in lesson.journal())
    assert kept == [
        ("directions", "grain", "up"), ("directions", "stone", "up"), ("forces", "grain", "[['T', 'up'], ['W_1', 'down']]"),
        ("results", "a", "1.09 m/s^2"), ("ties", "", "['a_1 = -a_2']")]


def test_a_busy_kernel_is_told_of_and_answers_in_the_end(lesson: Any) -> None:
    """While a cell runs on and on the notice stands; then the verdict comes, the notice goes, and nothing was lost."""
    lesson.page.keyboard.press("Escape")
    lesson.page.locator(".jp-Cell").last.click(position={"x": 5, "y": 5})
    lesson.page.keyboard.press("Escape")
    lesson.page.keyboard.press("b")
    lesson.page.keyboard.press("Enter")
    lesson.page.keyboard.type("import time; time.sleep(9)")
    lesson.page.keyboard.press("Shift+Enter")
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    notice = lesson.step("equations", "grain").locator(".pw-notice")
    notice.wait_for()
    lesson.state("equations", "done", "grain")
    notice.wait_for(state="detached")
    assert [e["value"] for e in lesson.journal()] == ["T - 117.6 = 12.0a_1"]


def test_every_step_by_keyboard_alone(lesson: Any) -> None:
    """From the first radio button to the last sense check without a mouse, and out again: no step holds the focus."""
    page = lesson.page
    press, write = page.keyboard.press, page.keyboard.type
    lesson.step("directions").locator("input").first.focus()
    press("Space")
    press("Tab")
    press("Space")
    press("Enter")
    lesson.state("directions", "done")
    # The diagram, typed: no list has to be gone through.
    lesson.step("forces", "grain").get_by_label("or type them").focus()
    write("T up, W1 down")
    press("Enter")
    for _ in range(8):
        press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Check the diagram":
            break
    press("Enter")
    lesson.state("forces", "done", "grain")
    lesson.step("equations", "grain").get_by_role("textbox").focus()
    write("T - m1g = m1a1")
    press("Enter")
    lesson.state("equations", "done", "grain")
    lesson.step("equations", "stone").get_by_role("textbox").focus()
    write("T - m2g = m2a2")
    press("Enter")
    lesson.state("equations", "done", "stone")
    lesson.step("ties").get_by_role("textbox").first.focus()
    write("a1 = -a2")
    press("Enter")
    lesson.state("ties", "done")
    # In the ledger Enter leads from a line that holds to the next one.
    lesson.step("working").get_by_role("textbox").first.focus()
    for line in ("T = 12.0a1 + 117.6", "12.0a1 + 117.6 - 147 = -15.0a1", "27.0a1 = 29.4", "a1 = 1.089"):
        write(line)
        press("Enter")
        lesson.expect_rows("working", lambda rows, line=line: line in rows)
        page.wait_for_function("() => document.activeElement.value === ''")
    lesson.state("working", "done")
    lesson.step("results").get_by_role("textbox").first.focus()
    for text in ("1.09", "m/s^2"):
        write(text)
        press("Tab")
    press("Enter")  # the Check button
    lesson.step("results").locator(".pw-verdict").first.wait_for()
    for _ in range(6):
        if page.evaluate("document.activeElement.matches('.pw-number') && document.activeElement.value === ''"):
            break
        press("Tab")
    write("131")
    press("Tab")
    write("N")
    press("Enter")
    lesson.state("results", "done")
    lesson.step("sense").get_by_role("textbox").first.focus()
    write("W1 < T")
    press("Enter")
    lesson.state("sense", "done")
    for _ in range(12):
        press("Tab")
    assert not page.evaluate("document.querySelector('.plusway[data-step=sense]').contains(document.activeElement)")


def test_a_ledger_is_mended_moved_and_cut_by_keyboard(lesson: Any) -> None:
    """Lines are inserted above, moved and deleted by buttons that keep the focus and say what they did."""
    lesson.choose(grain="up", stone="down")
    lesson.write("grain", "T - 117.6 = 12.0a")
    lesson.write("stone", "147 - T = 15.0a")
    working = lesson.step("working")
    lesson.lines("working", "29.4 = 27.0a", "a = 1.089")
    tool = working.get_by_role("button", name="Insert a line above line 1")
    tool.focus()
    lesson.page.keyboard.press("Enter")
    lesson.page.keyboard.type("147 - (12.0a + 117.6) = 15.0a")
    lesson.page.keyboard.press("Enter")
    lesson.expect_rows("working", lambda rows: rows == ["147 - (12.0a + 117.6) = 15.0a", "29.4 = 27.0a", "a = 1.089"])
    working.get_by_role("button", name="Move line 1 down").focus()
    lesson.page.keyboard.press("Enter")
    assert lesson.page.evaluate("document.activeElement.getAttribute('aria-label')") == "Move line 2 down"
    working.get_by_role("button", name="Delete line 1").focus()
    lesson.page.keyboard.press("Enter")
    working.get_by_role("button", name="Check all lines").focus()
    lesson.page.keyboard.press("Enter")
    lesson.expect_rows("working", lambda rows: rows == ["147 - (12.0a + 117.6) = 15.0a", "a = 1.089"])


def test_the_notebook_carries_its_answers(lesson: Any) -> None:
    """What was committed is in the file's own metadata soon after, so that the notebook alone can be handed in."""
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    lesson.state("equations", "done", "grain")
    for _ in range(80):
        stored = lesson.metadata()
        if stored.get("entries"):
            break
        lesson.page.wait_for_timeout(250)
    assert stored["answers"]["mill-hoist"]["equations"] == {"grain": "T - 117.6 = 12.0a_1"}
    assert stored["entries"] == lesson.journal()


def test_two_tabs_show_the_same_answers(lesson: Any) -> None:
    """A line checked in one tab stands in the other, judged; what is being typed there is left alone."""
    second = type(lesson)(lesson.page.context.new_page(), lesson.file, lesson.url, lesson.token)
    second.open()
    second.step("equations", "stone").get_by_role("textbox").fill("half a li")
    lesson.write("grain", "T - 117.6 = 12.0a_1")
    second.state("equations", "done", "grain")
    assert second.step("equations", "grain").get_by_role("textbox").input_value() == "T - 117.6 = 12.0a_1"
    assert second.step("equations", "stone").get_by_role("textbox").input_value() == "half a li"
    lesson.write("stone", "T - m_2 g = m_2 a_2")
    second.state("equations", "done", "stone")
    assert second.step("equations", "stone").get_by_role("textbox").input_value() == "half a li"


def test_notebook_7_does_the_whole_lesson_too(lesson: Any) -> None:
    """The same widgets in the other front end, from the first step to the last."""
    lesson.open(lesson.url.replace("/doc/tree/", "/notebooks/"))
    lesson.finish()
    lesson.state("sense", "done")
    lesson.shot("notebook-7")
    assert [state for state, *_ in lesson.answers().values()] == ["done"] * 9


def test_verdicts_that_wait_for_the_marking_are_not_in_the_page(lesson: Any) -> None:
    """With that setting the student reads that the answer is kept, and the page holds no verdict to be found."""
    lesson.page.wait_for_timeout(2000)  # the extension's own save is done with
    lesson.page.goto("about:blank")
    stored = on_disk(lesson.file)
    stored["metadata"]["plusway"]["settings"] = {"verdicts": "after marking", "hints": False}
    lesson.file.write_text(json.dumps(stored), encoding="utf-8")
    lesson.kernel("restart")
    lesson.open()
    if lesson.step("equations", "grain").locator(".pw-hints button").count():
        lesson.run_all()
        lesson.page.locator(".pw-hints button").first.wait_for(state="detached")
    lesson.write("grain", "T + 117.6 = 12.0a_1")
    lesson.state("equations", "kept", "grain")
    grain = lesson.step("equations", "grain")
    assert grain.locator(".pw-kept").text_content() == "Kept: T + 117.6 = 12.0a_1"
    assert grain.locator(".pw-verdict").count() == 0
    assert [grain.get_by_role("button", name=name, exact=True).count() for name in ("Keep", "Check")] == [1, 0]  # nothing is checked now
    lesson.shot("kept", grain)
