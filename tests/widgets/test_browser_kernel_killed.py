"""kill -9 of a real kernel while a student answers in a real JupyterLab page: what the page had said is kept is kept.

Twice here; PLUSWAY_KILLS=20 in the environment does it that many times and prints the figures (see tests/faults/README.md).
"""

from __future__ import annotations

import os
import random
import signal
from pathlib import Path
from typing import Any

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.thorough]

KILLS = int(os.environ.get("PLUSWAY_KILLS", "2"))
FIELD = '.plusway[data-step="equations"][data-item="grain"]'
LISTEN = """() => { window.said = []; document.addEventListener('plusway:commit', (event) => window.said.push(event.detail.record)); }"""
PAUSE = 11_000 if KILLS > 4 else 0  # ms: Jupyter gives up a kernel that dies five times, each within ten seconds of its start
MARK_OLD = "() => document.querySelectorAll('.plusway').forEach((one) => one.setAttribute('data-old', ''))"


def kernel_process(lesson: Any) -> int:
    """The process of this lesson's kernel: the one that works in the lesson's folder; 0 while there is none."""
    for folder in Path("/proc").iterdir():
        try:
            if folder.name.isdigit() and (folder / "cwd").resolve() == lesson.file.parent.resolve() \
                    and b"ipykernel" in (folder / "cmdline").read_bytes():
                return int(folder.name)
        except OSError:
            continue
    return 0


def until(lesson: Any, met: Any, what: str) -> Any:
    """Wait for a condition outside the page."""
    for _ in range(600):
        if found := met():
            return found
        lesson.page.wait_for_timeout(100)
    pytest.fail(f"{what}: not within a minute")


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel's process in /proc")
def test_a_kernel_killed_at_any_moment_loses_no_answer_that_the_page_had_confirmed(lesson: Any) -> None:
    """The kernel comes back by itself with the lesson; each confirmed line is in the journal and in the notebook, and the newest is
    in its field; a line that was sent while nobody answered is checked when the lesson is back."""
    draw = random.Random(5)
    # JupyterLab says in a dialog that the kernel has died; until it is closed it takes every key, as from a person.
    lesson.page.add_locator_handler(lesson.page.locator(".jp-Dialog"), lambda dialog: dialog.get_by_role("button", name="Ok").click())
    lesson.page.evaluate(LISTEN)
    said: dict[str, Any] = {}
    during = 0
    for place in range(KILLS):
        lesson.page.wait_for_timeout(PAUSE)
        lesson.page.evaluate(MARK_OLD)
        old = until(lesson, lambda: kernel_process(lesson), "the kernel's process")
        line = f"T - 117.6 = 12.0a_1 + {place}"
        lesson.write("grain", line)
        lesson.page.wait_for_timeout(draw.uniform(0, 250))
        os.kill(old, signal.SIGKILL)
        confirmed = {r["id"]: r["value"] for r in lesson.page.evaluate("() => window.said")}
        during += line not in confirmed.values()
        until(lesson, lambda old=old: kernel_process(lesson) not in (0, old), "a new kernel")
        lesson.page.locator(f"{FIELD}:not([data-old])").get_by_role("textbox").wait_for()
        until(lesson, lambda line=line: line in [entry["value"] for entry in lesson.journal()], "the line that was sent")
        said |= {r["id"]: r["value"] for r in lesson.page.evaluate("() => window.said")}
        assert set(said) >= set(confirmed)
        kept = {entry["id"]: entry["value"] for entry in lesson.journal()}
        assert {name: kept.get(name) for name in said} == said
    last = "T - 117.6 = 12.0a_1"
    lesson.write("grain", last)
    until(lesson, lambda: lesson.metadata().get("answers", {}).get("mill-hoist", {}).get("equations") == {"grain": last},
          "the last answer in the notebook")
    lesson.reload()
    assert lesson.step("equations", "grain").get_by_role("textbox").input_value() == last
    entries = lesson.journal()
    assert len({entry["n"] for entry in entries}) == len(entries)
    print(f"{KILLS} kernels killed: {len(said)} answers confirmed by the page, all in the journal ({len(entries)} entries); "
          f"{during} killed before the page had its answer")
