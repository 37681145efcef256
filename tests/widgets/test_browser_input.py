"""What is pasted or pressed in a step: text of any kind in every field, and the notebook's own single keys."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = pytest.mark.browser

TEXTS = {
    "a script tag": "<script>document.title='run'</script>",
    "markup": "<img src=x onerror=\"document.title='run'\"> = 5",
    "emoji": "🐐🐐 = a",
    "from right to left": "\u202e5 = T \u05d0\u05d1",
    "10,000 characters": "T = " + "9" * 9_996,
    "a formula of Python": "__import__('os').system('true') = a",
}
RICH = {"text/html": "<b>T</b> <script>document.title='run'</script>- 117.6 = <i>12.0a_1</i>", "text/plain": "T - 117.6 = 12.0a_1"}


def test_whatever_is_typed_is_only_text_in_every_field(lesson: Any) -> None:
    """Equation, tie, line, check, result and diagram: shown as it is, complained about in words, never run, never markup."""
    for text in TEXTS.values():
        lesson.write("grain", text)
        lesson.page.wait_for_function(
            "(text) => { const root = document.querySelector('.plusway[data-step=equations][data-item=grain]');"
            " return root.querySelector('input').value === text && root.querySelector('[data-verdict=unread]') !== null; }", arg=text)
        for step in ("ties", "working", "sense"):
            field = lesson.step(step).get_by_role("textbox").first
            field.fill(text)
            field.press("Enter")
            # Some of it is a readable line, and simply wrong; none of it is taken for right.
            lesson.page.wait_for_function(
                "([step, text]) => { const row = document.querySelector(`.plusway[data-step=${step}] .pw-ledger`); const said = row.querySelector('.pw-verdict');"
                " return row.querySelector('input').value === text && said !== null && ['unread', 'slip'].includes(said.dataset.verdict) && said.textContent.length > 20; }",
                arg=[step, text])
        group = lesson.step("results").get_by_role("group", name="T", exact=True)
        for label in ("number", "unit"):
            group.get_by_label(label).fill(text[:2000])
        group.get_by_label("unit").press("Enter")
        lesson.page.wait_for_function("() => document.querySelector('.plusway[data-step=results] .pw-entry:nth-child(2) [data-verdict]:is([data-verdict=unread], [data-verdict=slip])') !== null")
        diagram = lesson.step("forces", "grain")
        diagram.get_by_label("or type them").fill(text[:2000])
        diagram.get_by_label("or type them").press("Enter")
        diagram.locator(".pw-complaint", has_text="can’t be read as a force and a direction").wait_for()
        assert diagram.locator(".pw-forcelist li").count() == 0
    found = lesson.page.evaluate("""() => [document.title, document.querySelectorAll('.plusway :is(script, img, b, i)').length]""")
    assert found[0] != "run"
    assert found[1] == 0


def test_rich_text_is_pasted_as_plain_text(lesson: Any) -> None:
    """A formula copied out of a web page: the words of it, and no markup."""
    lesson.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    lesson.page.evaluate(
        "(parts) => navigator.clipboard.write([new ClipboardItem(Object.fromEntries(Object.entries(parts).map(([kind, text]) => [kind, new Blob([text], {type: kind})])))])",
        RICH)
    lesson.choose(grain="up", stone="up")
    for field in (lesson.step("equations", "grain").get_by_role("textbox"), lesson.step("working").get_by_role("textbox").first):
        field.click()
        lesson.page.keyboard.press("Control+V")
        assert field.input_value() == RICH["text/plain"]
        field.press("Enter")
    lesson.state("equations", "done", "grain")
    assert lesson.page.evaluate("document.querySelectorAll('.plusway :is(script, b, i)').length") == 0
    assert lesson.page.title() != "run"


def test_several_lines_are_pasted_as_several_lines(lesson: Any) -> None:
    """A working copied from elsewhere becomes one row a line."""
    lesson.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    lesson.page.evaluate("navigator.clipboard.writeText('T = 5\\r\\n\\na = 2\\nT = 6')")
    lesson.step("working").get_by_role("textbox").first.click()
    lesson.page.keyboard.press("Control+V")
    rows = lesson.step("working").locator("input").evaluate_all("(all) => all.map((one) => one.value)")
    assert rows == ["T = 5", "a = 2", "T = 6", ""]


def test_single_keys_of_the_notebook_do_nothing_in_any_widget(lesson: Any) -> None:
    """dd would delete a cell, a and b insert one, m and y change one, x cut one, 00 restart: here they are letters, or nothing."""
    page = lesson.page
    lesson.finish()
    page.locator(".pw-closing .pw-player").wait_for()
    before = page.locator(".jp-Cell").count()
    field = lesson.step("equations", "grain").get_by_role("textbox")
    field.fill("")
    field.click()
    page.keyboard.type("ddabxmyz00")
    assert field.input_value() == "ddabxmyz00"
    kinds = page.evaluate("""() => {
      const seen = new Set();
      const found = [];
      for (const root of document.querySelectorAll('.plusway'))
        for (const one of root.querySelectorAll('input, select, button, [tabindex]')) {
          if (!one.getClientRects().length || one.closest('[hidden]')) continue;
          const kind = [root.dataset.step ?? root.className, one.tagName, one.type, one.className].join(' ');
          if (seen.has(kind)) continue;
          seen.add(kind);
          one.dataset.tried = found.length;
          found.push(kind);
        }
      return found;
    }""")
    assert len(kinds) > 20, kinds
    assert {kind.split()[0] for kind in kinds} >= {"directions", "forces", "equations", "ties", "working", "results", "sense", "plusway"}
    for place, kind in enumerate(kinds):
        control = page.locator(f'[data-tried="{place}"]')
        if control.count() == 0:
            continue
        control.evaluate("(one) => one.focus()")
        page.keyboard.type("ddabxmyz00cv")
        assert page.locator(".jp-Cell").count() == before, kind
    assert page.locator(".jp-Dialog").count() == 0
    assert page.locator(".jp-Notebook.jp-mod-editMode .jp-MarkdownCell.jp-mod-active").count() == 0


TYPED = {
    "tension upwards, weight ↓": ["T up", "W₁ down"],
    "T upward; W1 downwards": ["T up", "W₁ down"],
    "Fg ↓, T: up": ["W₁ down", "T up"],
    "m1g down": ["W₁ down"],
    "m_1 g down": ["W₁ down"],
    "m1·g, down": ["W₁ down"],
    "T, up, m1 g, downwards": ["T up", "W₁ down"],
    "down: weight": ["W₁ down"],
    "T pulls up": ["T up"],
    "2T up": ["T up", "T up"],
    "m2g down": ["W₂ down"],  # it does not act on the grain: the judge says so, not the field
}
REFUSED = {"t up": "Did you mean T?", "N up": "“N” is no force of this problem. Its forces: W₁ (weight of the grain)", "up": "Write for example: W₁ down",
           "T up down": "“T up down” names two directions", "m1g": "In which direction does W₁ act?", "m3g down": "“m3g” is no force of this problem"}


def test_forces_are_typed_as_they_are_said_and_any_other_is_refused_at_once(lesson: Any) -> None:
    """Names, letters and arrows that mean one force of the diagram; else the problem's own forces are listed, and nothing is added."""
    diagram = lesson.step("forces", "grain")
    typed, rows = diagram.get_by_label("or type them"), diagram.locator(".pw-forcelist li > span")
    assert typed.get_attribute("placeholder") == "W₁ down, …"
    for text, arrows in TYPED.items():
        typed.fill(text)
        typed.press("Enter")
        assert rows.all_text_contents() == arrows, text
        for _ in arrows:
            diagram.locator(".pw-forcelist button").first.click()
    for text, says in REFUSED.items():
        typed.fill(text)
        typed.press("Enter")
        assert says in diagram.locator(".pw-complaint").text_content(), text
        assert rows.count() == 0


def test_a_direction_chosen_in_the_list_fills_in_for_one_that_is_not_typed_and_is_told_of_where_it_differs(lesson: Any) -> None:
    """What is typed says it all and is taken; a direction that an arrow has used already is no choice any more."""
    diagram = lesson.step("forces", "grain")
    typed, rows, said = diagram.get_by_label("or type them"), diagram.locator(".pw-forcelist li > span"), diagram.locator(".pw-complaint")
    way = diagram.get_by_label("direction", exact=True)
    way.select_option("up")
    typed.fill("m1g down")
    typed.press("Enter")
    assert rows.all_text_contents() == ["W₁ down"]
    assert said.text_content() == "Added as you typed it: W₁ down. The direction chosen in the list is another one, up; it was not used."
    typed.fill("W1 down")
    typed.press("Enter")
    assert said.text_content() == ""
    way.select_option("left")
    way.select_option("up")
    typed.fill("T")
    typed.press("Enter")
    assert rows.all_text_contents() == ["W₁ down", "W₁ down", "T up"]
    assert typed.input_value() == ""


def test_a_line_that_cannot_be_read_is_complained_about_once_and_shows_no_older_formula(lesson: Any) -> None:
    """The verdict has the complaint; the box above it is quiet, and the formula of the text before is gone."""
    lesson.choose(grain="up", stone="up")
    step = lesson.step("equations", "grain")
    field = step.get_by_role("textbox")
    field.fill("T = 5")
    step.locator(".pw-reading math").wait_for()
    field.fill("T = = 5")
    step.locator(".pw-complaint", has_text="=").wait_for()
    assert step.locator(".pw-reading math").count() == 0
    field.press("Enter")
    step.locator("[data-verdict=unread]").wait_for()
    assert step.locator(".pw-complaint").text_content() == ""


def test_a_unit_written_in_both_boxes_is_one_unit(lesson: Any) -> None:
    """ "134.4 N" beside "N": the number box keeps its number."""
    group = lesson.step("results").get_by_role("group", name="T", exact=True)
    group.get_by_label("number").fill("12 N")
    group.get_by_label("unit").fill("N")
    group.get_by_label("unit").press("Enter")
    lesson.page.wait_for_function("() => document.querySelector('.plusway[data-step=results] .pw-entry:nth-child(2) [data-verdict]') !== null")
    assert [group.get_by_label(label).input_value() for label in ("number", "unit")] == ["12", "N"]


SPLIT = {"283/165": ["283/165", ""], "49/31 m/s^2": ["49/31", "m/s^2"], "-1.2e3 N": ["-1.2e3", "N"], "1.2 x 10^3 N": ["1.2 x 10^3", "N"], "5/s": ["5/s", ""], "about 2": ["about 2", ""]}


def test_only_a_unit_moves_into_the_units_box(lesson: Any) -> None:
    """What is typed into the number's box in one go: a fraction is one number, and what is no number with a unit stays as it is."""
    group = lesson.step("results").get_by_role("group", name="a", exact=True)
    for text, boxes in SPLIT.items():
        group.get_by_label("unit").fill("")
        group.get_by_label("number").fill(text)
        group.get_by_label("number").press("Tab")
        assert [group.get_by_label(label).input_value() for label in ("number", "unit")] == boxes
    group.get_by_label("number").fill("9.8/9")
    group.get_by_label("unit").fill("m/s^2")
    group.get_by_label("unit").press("Enter")
    lesson.step("results").locator(".pw-remark", has_text="The value is right. Give it as a decimal number with its unit").wait_for()
    assert "The value is right. Give it as a decimal number" in lesson.step("results").get_by_role("status").text_content()


def test_what_is_read_aloud_is_never_of_an_older_text(lesson: Any) -> None:
    """The spoken reading of a line goes once the line has its verdict, and when the line is mended it is that of the mended one."""
    lesson.choose(grain="up", stone="up")
    step = lesson.step("equations", "grain")
    field, spoken = step.get_by_role("textbox"), step.locator('[aria-live="polite"]')
    field.press_sequentially("T + 117.6 = 12.0a_1")
    field.press("Enter")
    lesson.state("equations", "slip", "grain")
    lesson.page.wait_for_timeout(1500)  # by then a reading that was on its way has come
    assert spoken.text_content() == ""
    field.fill("T - 117.6 = 12.0a_1")
    lesson.page.wait_for_function("one => one.textContent === 'T minus 117.6 equals 12.0 a 1'", arg=spoken.element_handle())
    field.press("Enter")
    lesson.state("equations", "done", "grain")
    lesson.page.wait_for_timeout(1500)
    assert spoken.text_content() == ""
    assert step.get_by_role("status").text_content() == "Equation for the grain: holds. 2 of 2 points."
    assert step.locator("math").get_attribute("alttext") == "T minus 117.6 equals 12.0 a 1"


def test_the_points_of_sense_checks_stand_once_for_them_all(lesson: Any) -> None:
    """In the header of the step, and not as a share beside each, which would shrink as more is written."""
    step = lesson.step("sense")
    step.get_by_role("textbox").first.fill("W_1 < W_2")
    step.get_by_role("textbox").first.press("Enter")
    step.locator("[data-verdict]").first.wait_for()
    assert step.locator(".pw-state .pw-points").text_content().endswith(" of 1 point")
    assert step.locator(".pw-verdicts .pw-points").count() == 0
