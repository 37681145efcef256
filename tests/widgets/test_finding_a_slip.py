"""Find the slip as messages: each stage with what is said, kept in the journal, and no answer of any problem."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import PluswayError
from plusway.autograde.records.entries import assemble, entry_of
from plusway.autograde.records.journal import Journal, beside
from plusway.widgets import Problem
from plusway.widgets.messages import Hunt
from plusway.widgets.slipfinder import SlipFinder

ITEM = "undistributed 1"


@pytest.fixture
def finder(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> SlipFinder:
    """A minus sign that was not carried over a parenthesis, in line 7 of 13."""
    return Problem("mill-hoist").find_slip("undistributed", seed=1)


def hunt(finder: SlipFinder) -> Hunt:
    found: Hunt = finder.shown["hunt"]
    return found


@pytest.mark.parametrize(
    ("value", "stage", "state", "says"),
    [
        (["0", "", ""], "point", "some", "This line is right. With up as plus"),
        (["7", "", ""], "point", "some", "This line follows from an earlier one"),
        (["6", "", ""], "name", "some", "Yes: here it goes wrong"),
        (["6", "lost-term", ""], "name", "some", "With that slip the line would look different"),
        (["6", "undistributed", ""], "mend", "some", "so every sign in it turns"),
        (["6", "undistributed", "147 - 12a - 117.6 = 15a"], "done", "done", "Mended."),
        (["6", "undistributed", "147 - T = 15a"], "mend", "some", "True, but"),
        (["6", "nonsense", "x"], "name", "some", "Yes: here it goes wrong"),
        (["99", "", ""], "point", "some", ""),
        (["-1", "", ""], "point", "some", ""),
        (["6"], "name", "some", "Yes"),
        (["<b>", "<i>", "<u>"], "point", "some", ""),
        ("words", "point", "some", ""),
        ({"a": 1}, "point", "blank", ""),
    ],
)
def test_each_choice_is_answered(finder: SlipFinder, ask: Callable[..., dict[str, Any]], value: Any, stage: str, state: str, says: str) -> None:
    """Whatever comes, the stage and the words fit it."""
    assert ask(finder, "commit", item=ITEM, value=value)["kind"] == "committed"
    shown = hunt(finder)
    assert (shown["stage"], finder.shown["state"]) == (stage, state)
    assert says in " ".join([shown["pointed"]["says"], shown["named"]["says"], shown["mended"]["says"]])


def test_a_mended_line_is_judged(finder: SlipFinder, ask: Callable[..., dict[str, Any]]) -> None:
    """With the judge's verdict, and no points: nothing is marked here."""
    ask(finder, "commit", item=ITEM, value=["6", "undistributed", "147 - 12a - 17.6 = 15a"])
    verdict = hunt(finder)["verdict"]
    assert verdict is not None
    assert (verdict["verdict"], verdict["of"]) == ("slip", 0.0)


def test_what_was_done_is_kept_but_no_answer(finder: SlipFinder, ask: Callable[..., dict[str, Any]], notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """The journal has it, a new kernel shows it, and it is none of the problem's answers."""
    record = ask(finder, "commit", item=ITEM, value=["6", "", ""])["record"]
    assert entry_of(record) is not None
    written = Journal(beside(finder._desk.place.notebook)).read().entries
    assert [(e.step, e.item, e.value) for e in written] == [("found", ITEM, ["6", "", ""])]
    assert assemble(written) == {}
    new_kernel()
    problem = Problem("mill-hoist")
    assert hunt(problem.find_slip("undistributed", seed=1))["stage"] == "name"
    assert problem.answers() == {"scene": "mill-hoist"}


def test_running_the_cell_again_shows_the_same_model(finder: SlipFinder) -> None:
    """So that two views can't disagree; another seed is another exercise."""
    problem = Problem("mill-hoist")
    assert problem.find_slip("undistributed", seed=1) is finder
    assert problem.find_slip("undistributed", seed=2) is not finder


def test_a_kind_that_the_scene_has_not_is_refused(finder: SlipFinder) -> None:
    """In one line that says which there are."""
    with pytest.raises(PluswayError, match="no slip of the kind 'radius'"):
        Problem("mill-hoist").find_slip("radius")


@pytest.mark.parametrize("message", [{"kind": "hint", "id": 1}, {"kind": "commit"}, "x", None, {"kind": "commit", "id": "1"}])
def test_what_is_no_message_of_ours_is_let_pass(finder: SlipFinder, message: Any) -> None:
    """No hint is given here: the feedback is the hint."""
    assert finder.reply_to(message) is None


def test_numbers_are_shown_as_the_class_writes_them(notebook: Callable[..., Path], new_kernel: Callable[[], None], ask: Callable[..., dict[str, Any]]) -> None:
    """With decimal commas in the lines, in what is said, and read so in the mended line."""
    finder = Problem("mill-hoist", settings={"decimal_comma": True}).find_slip("undistributed", seed=1)
    assert hunt(finder)["rows"][6]["text"] == "147 - 12a + 117,6 = 15a"
    assert "<mn>117,6</mn>" in hunt(finder)["rows"][6]["mathml"]
    ask(finder, "commit", item=ITEM, value=["6", "undistributed", "147 - 12a - 117,6 = 15a"])
    assert hunt(finder)["mended"]["says"].endswith("the solution ends in a = 1,09 m/s², T = 131 N.")
