"""A lesson whose every text is one that somebody wrote to do harm, in a real JupyterLab: shown as text, nothing runs, nothing is fetched."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest

from plusway.autograde.scene import load_text
from plusway.lessons import catalogue
from plusway.lessons.notebook import ProblemSpec, build

from ..house.injections import HOST, INJECTIONS, PWNED
from .conftest import Lesson

pytestmark = pytest.mark.browser

SCENE = "mill-hoist"
MADE = """() => [...document.querySelectorAll('.jp-Notebook *')].flatMap((one) => [
  ...(['SCRIPT', 'IFRAME', 'OBJECT', 'EMBED', 'BASE', 'FORM', 'VIDEO', 'AUDIO'].includes(one.tagName.toUpperCase()) ? [one.outerHTML.slice(0, 99)] : []),
  ...[...one.attributes].filter(({name, value}) => /^on/i.test(name) || /^(href|src|action|formaction|xlink:href)$/i.test(name)
      && !value.startsWith('#') && (/javascript:/i.test(value) || /evil\\.example/i.test(value) && one.localName !== 'a')).map(({name, value}) => `${one.localName} ${name}=${value.slice(0, 80)}`)])"""


def written(text: str) -> str:
    """A TOML string; the few control characters that no TOML file may hold are left out."""
    return json.dumps("".join(c for c in text if c in "\n\t" or ord(c) >= 32), ensure_ascii=True)


def entries(texts: list[str]) -> list[dict[str, Any]]:
    """Every text committed in every step."""
    values = [("equations", "grain", texts[0]), ("equations", "stone", " ".join(texts)[:390]), ("working", None, texts), ("ties", None, texts),
              ("sense", None, texts), ("results", "a", texts[1]), ("results", "T", texts[2]), ("directions", "grain", texts[0]),
              ("forces", "grain", [[text, text] for text in texts])]
    return [{"format": 1, "id": f"{place} {texts[0]}", "when": texts[0], "n": place + 1, "problem": SCENE, "step": step, "item": item,
             "value": value, "hints": 0, "lesson": ""} for place, (step, item, value) in enumerate(values)]


@pytest.mark.parametrize("part", range(3))
def test_nothing_of_it_runs_and_nothing_is_fetched(lab: Any, page: Any, part: int) -> None:
    """Title and story of the scene, title of the notebook, and every answer that comes back into its field."""
    texts = list(INJECTIONS.values())[part::3]
    text = " ".join(texts)
    scene_lines = [line for line in catalogue.text(SCENE).splitlines() if not line.startswith(("title", "story", "topic"))]
    toml = "\n".join([f"title = {written(text)}", f"story = {written(text)}", *scene_lines])
    notebook = build(text, [ProblemSpec(SCENE, load_text(toml, name=SCENE, file="x"), toml)], assignment="ps1", settings={})
    notebook.metadata["plusway"].update(id=uuid.uuid4().hex, entries=entries(texts))
    folder = lab.fresh()
    (folder / "x.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    asked: list[str] = []
    page.add_init_script(PWNED)
    page.on("dialog", lambda dialog: (asked.append(f"dialog {dialog.message}"), dialog.dismiss()))
    page.on("request", lambda request: asked.append(request.url) if HOST in request.url else None)
    opened = Lesson(page, folder / "x.ipynb", lab.address(f"{folder.name}/x.ipynb"), lab.token)
    opened.open()
    field = opened.step("working").get_by_role("textbox").first
    field.wait_for()
    opened.step("equations", "stone").get_by_role("textbox").fill(text[:300])
    opened.step("equations", "stone").get_by_role("textbox").press("Enter")
    opened.step("equations", "stone").locator(".pw-verdict").wait_for()
    assert page.evaluate("() => window.top.wasPwned") is None
    assert page.evaluate(MADE) == []
    assert asked == []
    assert any(text in value for value in field.evaluate_all("fields => fields.map((one) => one.value)")) or field.input_value()


def test_the_look_finds_what_a_page_made_of_a_text(lesson: Any) -> None:
    """Put into the page as HTML, the texts are found."""
    lesson.page.evaluate("html => { document.querySelector('.jp-Notebook .jp-Cell').innerHTML = html; }",
                         INJECTIONS["an image from elsewhere"] + INJECTIONS["a frame with a page in it"] + INJECTIONS["a link that runs"])
    assert len(lesson.page.evaluate(MADE)) == 3
