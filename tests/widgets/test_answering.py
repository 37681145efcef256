"""Every widget that answers the browser does it in one way: the id goes back, a ping is a pong, and what is no message gets no answer."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import PluswayError
from plusway.lessons.explore import explore
from plusway.widgets import Problem, WorkedExample
from plusway.widgets.answering import Answering
from plusway.widgets.bar import Bar


def bar() -> Bar:
    made = Bar(lambda name: f"{name} was pressed")
    made.show(buttons=[("next", "Next problem")])
    return made


def bar_that_fails() -> Bar:
    def press(_name: str) -> str:
        raise PluswayError("practice.json: can't be written; free some room")

    made = Bar(press)
    made.show(buttons=[("next", "Next problem")])
    return made


WIDGETS: dict[str, Callable[[], Answering]] = {
    "a worked example": lambda: WorkedExample("feed-sack"),
    "an explorer": lambda: explore("feed-sack"),
    "a bar": bar,
    "a slip to be found": lambda: Problem("mill-hoist").find_slip("undistributed", seed=1),
    "a step": lambda: Problem("mill-hoist").sense(),
}


@pytest.fixture(autouse=True)
def _own_notebook(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """Every test has a notebook and a kernel of its own."""


@pytest.mark.parametrize("make", WIDGETS.values(), ids=WIDGETS.keys())
def test_a_ping_is_a_pong_with_its_id(make: Callable[[], Answering]) -> None:
    """Whatever the widget is."""
    assert make().reply_to({"kind": "ping", "id": 41}) == {"kind": "pong", "id": 41}


@pytest.mark.parametrize("make", WIDGETS.values(), ids=WIDGETS.keys())
@pytest.mark.parametrize("message", [None, [], "ping", 7, {}, {"kind": "ping"}, {"kind": "ping", "id": "1"}, {"kind": "ping", "id": None}, {"kind": "burn", "id": 1},
                                     {"kind": ["ping"], "id": 1}, {"id": 3}, {"kind": "reply_to", "id": 1}, {"kind": "__init__", "id": 1}])  # fmt: skip
def test_what_is_no_message_of_ours_gets_no_answer(make: Callable[[], Answering], message: Any) -> None:
    """And changes nothing."""
    widget = make()
    before = widget.shown
    assert widget.reply_to(message) is None
    assert widget.shown == before


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (bar, {"kind": "press", "id": 1, "name": "delete"}),
        (bar, {"kind": "press", "id": 1}),
        (lambda: explore("feed-sack"), {"kind": "set", "id": 1, "values": [1, 2]}),
        (lambda: explore("feed-sack"), {"kind": "predict", "id": 1}),
    ],
)
def test_a_message_that_fits_nothing_shown_gets_no_answer(make: Callable[[], Answering], message: dict[str, Any]) -> None:
    """A button that is not there, values that are none."""
    assert make().reply_to(message) is None


def test_an_error_of_ours_is_told_in_one_sentence() -> None:
    """With the id, so that whoever asked is not left waiting."""
    assert bar_that_fails().reply_to({"kind": "press", "id": 5, "name": "next"}) == {"kind": "trouble", "id": 5, "says": "practice.json: can't be written; free some room"}
