"""Find the slip while the kernel is silent: what was picked is sent again when it is back, and after a reload too.

The widget's own module runs in the page, and its model is the exercise itself, in this process: no JupyterLab is needed to be silent.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from plusway.widgets import Problem
from plusway.widgets.slipfinder import SlipFinder

from .conftest import serve_modules

pytestmark = pytest.mark.browser

PAGE = """<!doctype html><html lang=en><title>hunt</title><body><div id=here></div><script type=module>
import widget from "/slipfinder.js";
const heard = new Map();
const model = {
  shown: await window.kernelShown(),
  get(name) { return this[name]; },
  on(kind, call) { heard.set(kind, [...(heard.get(kind) ?? []), call]); },
  off() {},
  async send(message) {
    const answer = await window.kernelAsk(message);
    if (!answer) return;
    this.shown = await window.kernelShown();
    for (const call of heard.get("change:shown") ?? []) call();
    for (const call of heard.get("msg:custom") ?? []) call(answer);
  },
};
widget.render({ model, el: document.getElementById("here") });
</script>"""


@dataclass
class Kernel:
    """The exercise behind the page; `silent`: messages are lost, as with a kernel that has died."""

    finder: SlipFinder
    silent: bool = False
    lost: list[Any] = field(default_factory=list)
    values: list[Any] = field(default_factory=list)

    def ask(self, message: Any) -> Any:
        if self.silent:
            self.lost.append(message)
            return None
        if message["kind"] == "commit":
            self.values.append(message["value"])
        return self.finder.reply_to(message)


@pytest.fixture
def kernel(page: Any, notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> Kernel:
    """A page with one exercise, whose clock stands in the test's hand."""
    made = Kernel(Problem("mill-hoist").find_slip("undistributed", seed=1))
    serve_modules(page, PAGE)
    page.expose_function("kernelAsk", made.ask)
    page.expose_function("kernelShown", lambda: made.finder.shown)
    page.clock.install()
    page.goto("http://plusway.test/")
    page.get_by_role("radio").first.wait_for()
    return made


def pick(page: Any, line: int) -> None:
    page.get_by_role("radio").nth(line).check()
    page.get_by_role("button", name="This line is wrong").click()


def told_of_silence(page: Any) -> None:
    page.clock.run_for(3_500)
    page.get_by_text("The kernel isn’t answering").wait_for()


def test_a_pick_made_in_silence_is_sent_when_the_kernel_is_back(page: Any, kernel: Kernel) -> None:
    """The notice says so; the answer comes without another press; it is sent once."""
    kernel.silent = True
    pick(page, 6)
    told_of_silence(page)
    assert [message["value"] for message in kernel.lost if message["kind"] == "commit"] == [["6", "", ""]]
    kernel.silent = False
    page.clock.run_for(4_500)
    page.locator('[data-remark="pointed"]', has_text="Yes: here it goes wrong.").wait_for()
    assert kernel.values == [["6", "", ""]]
    page.clock.run_for(20_000)
    assert kernel.values == [["6", "", ""]]


def test_after_a_reload_it_is_sent_too(page: Any, kernel: Kernel) -> None:
    """As whoever restarts the kernel and opens the page anew expects; and not once more after that."""
    kernel.silent = True
    pick(page, 6)
    told_of_silence(page)
    kernel.silent = False
    page.reload()
    page.locator('[data-remark="pointed"]', has_text="Yes: here it goes wrong.").wait_for()
    page.reload()
    page.locator('[data-remark="pointed"]', has_text="Yes: here it goes wrong.").wait_for()
    page.clock.run_for(10_000)
    assert kernel.values == [["6", "", ""]]


def test_of_two_picks_in_silence_the_last_one_counts(page: Any, kernel: Kernel) -> None:
    """Who changes their mind meanwhile is answered to what they sent last."""
    kernel.silent = True
    pick(page, 2)
    told_of_silence(page)
    pick(page, 6)
    page.clock.run_for(3_500)
    kernel.silent = False
    page.clock.run_for(4_500)
    page.locator('[data-remark="pointed"]', has_text="Yes: here it goes wrong.").wait_for()
    assert kernel.values == [["6", "", ""]]


def test_a_pick_that_was_answered_is_not_sent_again(page: Any, kernel: Kernel) -> None:
    """Nothing is owed then, in silence or after a reload."""
    pick(page, 0)
    page.locator('[data-remark="pointed"]', has_text="This line is right.").wait_for()
    page.reload()
    page.get_by_role("radio").first.wait_for()
    page.clock.run_for(10_000)
    assert kernel.values == [["0", "", ""]]
