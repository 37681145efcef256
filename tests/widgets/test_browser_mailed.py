"""The notebook alone, without its journal and its folder, in a real browser."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from ..conftest import on_disk

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("carries", ["entries", "answers alone"])
def test_a_mailed_notebook_reopens_with_its_answers(lesson: Any, carries: str) -> None:
    """In another folder under another name every step shows what was checked; a commit there takes nothing away."""
    lesson.finish()
    lesson.state("sense", "done")
    before = lesson.answers()
    for _ in range(120):
        if len(lesson.metadata().get("answers", {}).get("mill-hoist", {}).get("sense", [])) == 2:
            break
        lesson.page.wait_for_timeout(250)
    mailed = on_disk(lesson.file)
    whole = mailed["metadata"]["plusway"]["answers"]["mill-hoist"]
    if carries == "answers alone":
        mailed["metadata"]["plusway"]["entries"] = []
    mailed["metadata"]["plusway"]["id"] = f"{mailed['metadata']['plusway']['id']}x"  # no draft of this browser belongs to it
    folder = lesson.file.parent.with_name(f"{lesson.file.parent.name}-mailed")
    folder.mkdir()
    file = folder / "from Ana.ipynb"
    file.write_text(json.dumps(mailed), encoding="utf-8")
    other = replace(lesson, page=lesson.page.context.new_page(), file=file, url=lesson.url.replace(f"{lesson.file.parent.name}/{lesson.file.name}", f"{folder.name}/from%20Ana.ipynb"))
    other.open()
    other.state("sense", "done")
    assert other.answers() == before
    other.write("grain", "T - 117.6 = 12a_1")
    for _ in range(120):
        stored = other.metadata().get("answers", {}).get("mill-hoist", {})
        if stored.get("equations", {}).get("grain") == "T - 117.6 = 12a_1":
            break
        other.page.wait_for_timeout(250)
    assert stored == {**whole, "equations": {**whole["equations"], "grain": "T - 117.6 = 12a_1"}}
