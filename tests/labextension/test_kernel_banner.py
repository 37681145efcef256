"""When the kernel is gone the banner says so, with the one thing to do about it; nothing answered is lost."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeout

pytestmark = pytest.mark.browser

Make = Callable[..., Any]
BUTTON = "Restart the kernel and run the lesson"


def own_process(lesson: Any) -> int:
    """The process id of this lesson's kernel: the one whose working folder is the lesson's."""
    folders = {int(p.name): p / "cwd" for p in Path("/proc").iterdir() if p.name.isdigit()}
    for number, folder in folders.items():
        try:
            if folder.resolve() == lesson.file.parent.resolve() and b"ipykernel" in (folder.parent / "cmdline").read_bytes():
                return number
        except OSError:
            continue
    pytest.fail("the kernel's process was not found")


@pytest.mark.parametrize("front", ["lab", pytest.param("notebook", marks=pytest.mark.thorough)])
def test_a_shut_down_kernel_is_said_and_started_again_by_one_button(desk: Make, front: str) -> None:
    """The kernel is shut down behind the page's back: a banner, one button, and the lesson runs again."""
    lesson = desk(front).open().ran()
    before = lesson.kernel()["id"]
    lesson.ask("DELETE", f"kernels/{before}")
    button = lesson.page.get_by_role("button", name=BUTTON)
    button.wait_for()
    assert "answers are kept" in lesson.page.locator(".pwlab-banner").inner_text()
    lesson.forget_run()
    button.click()
    lesson.ran()
    lesson.page.locator(".pwlab-banner").wait_for(state="hidden")
    assert lesson.prompts() == ["", "1", "2", "3", "4"]
    assert lesson.kernel()["id"] != before


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel's process in /proc")
def test_a_killed_kernel_comes_back_with_the_lesson(desk: Make) -> None:
    """Killed outright, the kernel is restarted by the server; the lesson's cells are then run without a click."""
    lesson = desk().open().ran()
    lesson.forget_run()
    lesson.commit(1, "directions", "sack", "up")
    os.kill(own_process(lesson), signal.SIGKILL)
    lesson.ran()
    lesson.page.locator(".pwlab-banner").wait_for(state="hidden")
    assert [e["value"] for e in lesson.saved(lambda record: bool(record.get("entries")))["entries"]] == ["up"]


def test_a_widget_that_nobody_answers_raises_the_banner(desk: Make) -> None:
    """A widget's "silent" shows the banner, its "alive" takes it away."""
    lesson = desk().open().ran().clean()
    say = "(what) => document.querySelector('.jp-CodeCell').dispatchEvent(new CustomEvent(what, {bubbles: true, composed: true}))"
    lesson.page.evaluate(say, "plusway:silent")
    lesson.page.get_by_role("button", name=BUTTON).wait_for()
    lesson.page.evaluate(say, "plusway:alive")
    lesson.page.locator(".pwlab-banner").wait_for(state="hidden")


def test_the_banner_is_announced_and_reached_by_keyboard(desk: Make) -> None:
    """Its text is a live region that was there before; its button takes the keyboard's focus and Enter."""
    lesson = desk().open().started()
    assert lesson.page.locator(".pwlab-banner [role=status]").count() == 1
    lesson.ask("DELETE", f"kernels/{lesson.kernel()['id']}")
    button = lesson.page.get_by_role("button", name=BUTTON)
    button.focus()
    assert button.evaluate("(one) => one === document.activeElement")
    for _ in range(3):  # a kernel that is only just going may need a second press, as it would from a person
        button.press("Enter")
        with suppress(PlaywrightTimeout):
            lesson.page.locator(".pwlab-banner").wait_for(state="hidden", timeout=40_000)
            break
    assert not lesson.page.locator(".pwlab-banner").is_visible()
