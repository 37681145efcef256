"""nbgrader's own feedback pages, made of our comments and our layout, in a real browser: no text of a student's runs or fetches."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ..house.injections import INJECTIONS, Watch
from .conftest import SCENE, answers_of
from .courses import Run, filled, fresh, hand_in, released

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


@pytest.mark.slow
def test_formulas_are_seen_without_a_network(watch: Watch, template: Path, tmp_path: Path, run_in: Run, axe: Callable[..., list[str]]) -> None:
    """nbgrader's page asks for a MathJax elsewhere; nobody answers, and the formulas are there all the same."""
    course = fresh(template, tmp_path)
    hand_in(course, "s1", filled(course, answers_of(slip="flipped")))
    run_in(course, "nbgrader", "autograde", "ps1")
    run_in(course, "nbgrader", "generate_feedback", "ps1")
    watch._html = (course / "feedback" / "s1" / "ps1" / "ps1.html").read_text(encoding="utf-8")
    watch.page.goto("https://pages.test/page.html")
    assert [url for url in watch.asked if "mathjax" in url]
    sizes = watch.page.evaluate("[...document.querySelectorAll('.plusway math')].map(m => m.getBoundingClientRect()).map(m => [m.width, m.height])")
    assert len(sizes) == 10
    assert all(width > 20 and height > 8 for width, height in sizes)
    lower = watch.page.evaluate("""() => { const sub = document.querySelector('.plusway math msub'), [base, index] = sub.children;
        return index.getBoundingClientRect().bottom > base.getBoundingClientRect().bottom; }""")
    assert lower  # set as a formula, not as a row of letters
    assert axe(watch.page, ".plusway") == []
