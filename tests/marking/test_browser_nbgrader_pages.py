"""nbgrader's own feedback pages, made of our comments and our layout, in a real browser: no text of a student's runs or fetches."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ..house.injections import INJECTIONS, Watch
from .conftest import SCENE
from .courses import Run, fresh, hand_in, released

pytestmark = [pytest.mark.browser]


@pytest.fixture
def watch(page: Any) -> Watch:
    return Watch(page)


@pytest.mark.slow
def test_nbgraders_own_feedback_pages(watch: Watch, template: Path, tmp_path: Path, run_in: Run) -> None:
    """What nbgrader makes of our comments and of the notebook that we lay out, for a student whose every field is one of them.

    nbgrader's page brings scripts and styles of its own from elsewhere; only what a text made is looked for.
    """
    course = fresh(template, tmp_path)
    texts = list(INJECTIONS.values())
    for k in range(0, len(texts), 12):
        some = texts[k: k + 12]
        notebook = released(course)
        answers = {"working": [line for text in some for line in (text, f"T = 5 {text}")], "ties": some, "sense": some,
                   "equations": {"sack": " ".join(some), "counterweight": some[0]}, "results": {"a": some[1], "T": some[2]},
                   "directions": {"sack": some[3]}, "forces": {"sack": [[text, "up"] for text in some]}}
        notebook["metadata"]["plusway"]["answers"] = {SCENE: answers}
        notebook["cells"] += [{"cell_type": "markdown", "id": f"n{place}", "metadata": {}, "source": text} for place, text in enumerate(some)]
        hand_in(course, f"s{k}", notebook)
    run_in(course, "nbgrader", "autograde", "ps1")
    run_in(course, "nbgrader", "generate_feedback", "ps1")
    pages = sorted((course / "feedback").rglob("*.html"))
    assert len(pages) == -(-len(texts) // 12)
    for page in pages:
        watch._html = page.read_text(encoding="utf-8")
        assert "pwned" in watch._html
        watch.page.goto("https://pages.test/page.html")
        watch.page.wait_for_load_state("load")
        assert watch.page.evaluate("() => window.top.wasPwned") is None
        assert watch.page.evaluate("() => document.querySelectorAll('[onerror], [onload], [onfocus], [onmouseover], [ontoggle], iframe,"
                                   " object, a[href^=javascript], img[src*=evil]').length") == 0
    assert not [url for url in watch.asked if "evil.example" in url]
