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
