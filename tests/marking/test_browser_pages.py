"""plusway's own pages (feedback, report, worked key) in a real browser: on a narrow screen and in the dark too."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.lessons import assign
from plusway.lessons.command import main

from .conftest import Copy, put

pytestmark = [pytest.mark.browser]

BALE = "hay-bale-on-ramp"
LONG = "T - m_1 g sin(theta) - mu_k m_1 g cos(theta) + 0 = m_1 a"


@pytest.fixture
def pages(tmp_path: Path, copy_of: Copy) -> list[Path]:
    """Made of a line that is wider than a telephone, and of one without a blank in it."""
    planned = assign.plan("ps1", [BALE])
    source, _ = assign.write(planned, tmp_path / "course")
    notebook = copy_of({})
    notebook["metadata"]["plusway"].update(problems=planned.notebook.metadata.plusway.problems, answers={BALE: {
        "directions": {"bale": "upslope", "trough": "down"}, "equations": {"bale": LONG, "trough": "T" * 300}}})
    put(tmp_path / "in" / "s1.ipynb", notebook)
    main(["mark", str(tmp_path / "in"), "--assignment", str(source)])
    main(["report", str(tmp_path / "in"), "--names"])
    main(["sheet", BALE, "--out", str(tmp_path / "sheet")])
    marks = tmp_path / "in" / "marks"
    return [marks / "feedback" / "s1.html", marks / "report.html", *sorted((tmp_path / "sheet").glob("key*.html"))]


def test_pages_fit_a_narrow_screen_and_can_be_read_by_all(pages: list[Path], page: Any, axe: Callable[..., list[str]]) -> None:
    """At 320 pixels nothing makes the page wider than the screen, and a formula breaks at its equals sign; light and dark, axe finds nothing."""
    assert len(pages) == 3
    for path in pages:
        page.set_viewport_size({"width": 320, "height": 700})
        page.goto(path.as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") == 320, path.name
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            # To axe a cell with nothing but a formula in it is empty; MathML is read all the same.
            assert [found for found in axe(page) if not found.startswith("empty-table-header")] == [], (path.name, scheme)
    page.goto(pages[0].as_uri())
    assert page.evaluate("""() => { const [left, equals, right] = document.querySelector('.formula math > mrow').children;
        return right.getBoundingClientRect().top >= left.getBoundingClientRect().bottom - 2; }""")
