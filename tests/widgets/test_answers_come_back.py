"""Restart, reload, a moved notebook, a folder that can't be written: the committed answers are there, or the student is told."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.widgets import Problem
from plusway.widgets.place import read_metadata

Ask = Callable[..., dict[str, Any]]
RIGHT = "T - 63.7 = 6.5a"


def value(problem: Problem) -> Any:
    """The sack's equation as its widget shows it."""
    return problem.equation("sack").shown["fields"][0]["value"]


def test_a_new_kernel_finds_the_answers_in_the_journal(problem: Problem, ask: Ask, new_kernel: Callable[[], None]) -> None:
    """A restarted kernel that runs the first cell again has everything, hints included."""
    ask(problem.equation("sack"), "commit", item="sack", value="T + 63.7 = 6.5a", hints=0)
    ask(problem.equation("sack"), "commit", item="sack", value=RIGHT, hints=2)
    new_kernel()
    again = Problem("feed-sack", id="feed-sack")
    assert value(again) == RIGHT
    assert again.equation("sack").shown["fields"][0]["hints"] == 2
    assert again.points("equations", "sack") == 2.0


def test_running_the_first_cell_again_gives_the_same_widgets(problem: Problem, ask: Ask) -> None:
    """Two Problems of one notebook share one desk, so their widgets can't disagree."""
    again = Problem("feed-sack", id="feed-sack")
    ask(again.equation("sack"), "commit", item="sack", value=RIGHT, hints=0)
    assert value(problem) == RIGHT
    assert again.equation("sack") is problem.equation("sack")


def test_the_notebook_alone_brings_its_answers(
    problem: Problem, ask: Ask, notebook: Callable[..., Path], new_kernel: Callable[[], None], tmp_path: Path
) -> None:
    """Mailed to another folder, without its journal, the notebook's metadata are enough."""
    record = ask(problem.equation("sack"), "commit", item="sack", value=RIGHT, hints=0)["record"]
    (tmp_path / "lesson.plusway.jsonl").unlink()
    new_kernel()
    notebook("mailed.ipynb", id="f00", entries=[record])
    assert value(Problem("feed-sack", id="feed-sack")) == RIGHT


def test_the_browser_restores_what_the_kernel_lacks(problem: Problem, ask: Ask, new_kernel: Callable[[], None], tmp_path: Path) -> None:
    """Entries from unsaved metadata count where they are newer; older and foreign ones change nothing."""
    old = ask(problem.equation("sack"), "commit", item="sack", value="T = 0", hints=0)["record"]
    new = ask(problem.equation("sack"), "commit", item="sack", value=RIGHT, hints=0)["record"]
    (tmp_path / "lesson.plusway.jsonl").unlink()
    new_kernel()
    fresh = Problem("feed-sack", id="feed-sack")
    other = {**new, "id": "b", "n": 99, "problem": "another"}
    assert ask(fresh.equation("sack"), "restore", entries=[new, other, "rubbish", {"n": "x"}])["taken"] == 1
    assert value(fresh) == RIGHT
    assert ask(fresh.equation("sack"), "restore", entries=[old])["taken"] == 0
    assert value(fresh) == RIGHT
    # The counter goes on above all that was restored, so that the next answer is the newest.
    assert ask(fresh.equation("sack"), "commit", item="sack", value="T = 1", hints=0)["record"]["n"] > new["n"]
    assert value(fresh) == "T = 1"


def test_an_answer_of_another_kernel_is_seen(problem: Problem, ask: Ask, new_kernel: Callable[[], None]) -> None:
    """Two kernels on one notebook write to one journal; running the first cell again shows the newest."""
    shown = problem.equation("sack")
    new_kernel()
    ask(Problem("feed-sack", id="feed-sack").equation("sack"), "commit", item="sack", value=RIGHT, hints=0)
    problem._desk.reread()
    assert shown.shown["fields"][0]["value"] == RIGHT


def test_a_journal_that_cannot_be_written_is_told_at_once(problem: Problem, ask: Ask, tmp_path: Path) -> None:
    """The student reads what to do, the answer still counts, and the record still goes to the browser for the notebook's metadata."""
    (tmp_path / "lesson.plusway.jsonl").mkdir()
    answer = ask(problem.equation("sack"), "commit", item="sack", value=RIGHT, hints=0)
    assert answer["kept"] is False
    assert answer["record"]["value"] == RIGHT
    widget = problem.equation("sack")
    assert "lesson.plusway.jsonl: your answers can't be written here" in widget.shown["trouble"]
    assert widget.shown["state"] == "done"
    (tmp_path / "lesson.plusway.jsonl").rmdir()
    ask(widget, "commit", item="sack", value=RIGHT, hints=0)
    assert widget.shown["trouble"] == ""


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder that even the superuser can't write to")
def test_a_read_only_folder_is_told_before_the_first_answer(
    monkeypatch: pytest.MonkeyPatch, new_kernel: Callable[[], None]
) -> None:
    """Opening the lesson already says so, not only the first lost answer."""
    monkeypatch.setenv("JPY_SESSION_NAME", "/proc/self/lesson.ipynb")
    assert "can't be written here" in Problem("feed-sack", id="feed-sack").directions().shown["trouble"]


def test_without_a_session_name_the_working_folder_serves(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, ask: Ask, new_kernel: Callable[[], None]
) -> None:
    """Another front end, or a plain Python: the journal lies in the working folder under the problem's id."""
    monkeypatch.delenv("JPY_SESSION_NAME", raising=False)
    monkeypatch.chdir(tmp_path)
    ask(Problem("feed-sack", id="mine").equation("sack"), "commit", item="sack", value=RIGHT, hints=0)
    assert (tmp_path / "mine.plusway.jsonl").exists()


def test_a_failing_judge_loses_no_answer(problem: Problem, ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    """Should the judge itself break on a line, the answer is kept, and the student reads that it is not their fault."""

    def broken(*_: Any) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("plusway.autograde.judging.paper.judge", broken)
    assert ask(problem.equation("sack"), "commit", item="sack", value=RIGHT, hints=0)["kept"] is True
    assert "a fault of plusway" in problem.equation("sack").shown["trouble"]
    assert value(problem) == RIGHT


def test_a_notebook_met_half_saved_is_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The server saves in place: a kernel that starts meanwhile still gets the notebook's settings."""
    path = tmp_path / "lesson.ipynb"
    whole = '{"metadata": {"plusway": {"id": "f00"}}}'
    path.write_text(whole[:20], encoding="utf-8")
    monkeypatch.setattr("plusway.widgets.place.time.sleep", lambda _: path.write_text(whole, encoding="utf-8"))
    assert read_metadata(path) == {"id": "f00"}


def test_a_broken_notebook_holds_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that stays broken is given up; the journal still counts."""
    monkeypatch.setattr("plusway.widgets.place.time.sleep", lambda _: None)
    (tmp_path / "lesson.ipynb").write_text("{", encoding="utf-8")
    assert read_metadata(tmp_path / "lesson.ipynb") == {}


ALONE = {
    "directions": {"sack": "up", "counterweight": "down"}, "forces": {"sack": [["T", "up"], ["W_1", "down"]]},
    "equations": {"sack": RIGHT}, "ties": ["a_1 = a_2"], "results": {"a": "1.58 m/s^2"}, "sense": ["a < g"],
}  # fmt: skip


def test_answers_alone_come_back(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """A notebook that carries `answers` and no entries, as the contract allows, shows every one of them."""
    notebook(id="f00", answers={"feed-sack": ALONE, "another": {"ties": ["a = g"]}})
    problem = Problem("feed-sack", id="feed-sack")
    assert problem.answers() == {"scene": "feed-sack", **ALONE}
    assert problem.sense().shown["fields"][0]["value"] == ["a < g"]
    assert problem.equation("sack").shown["state"] == "done"


def test_a_commit_is_newer_than_answers_alone(notebook: Callable[..., Path], new_kernel: Callable[[], None], ask: Ask) -> None:
    """What is checked after the opening counts, also for the next kernel, which reads the journal; the rest stays."""
    notebook(id="f00", answers={"feed-sack": ALONE})
    ask(Problem("feed-sack", id="feed-sack").equation("sack"), "commit", item="sack", value="T = 1", hints=0)
    new_kernel()
    again = Problem("feed-sack", id="feed-sack")
    assert value(again) == "T = 1"
    assert again.answers()["ties"] == ["a_1 = a_2"]


@pytest.mark.parametrize("answers", [None, [], "up", {"feed-sack": []}, {"feed-sack": {"directions": "up", "ties": {"a": 1}, "forces": {"sack": 3}}}], ids=str)
def test_answers_of_any_shape_do_no_harm(notebook: Callable[..., Path], new_kernel: Callable[[], None], answers: Any) -> None:
    """A mailed file is not to be trusted: what has not the shape is left out, and the lesson opens."""
    notebook(id="f00", answers=answers)
    assert Problem("feed-sack", id="feed-sack").answers() == {"scene": "feed-sack"}


@pytest.mark.parametrize("with_id", [True, False], ids=["renamed", "renamed, with an id that it got later"])
def test_a_renamed_notebook_keeps_its_answers(
    notebook: Callable[..., Path], new_kernel: Callable[[], None], ask: Ask, tmp_path: Path, with_id: bool
) -> None:
    """Its id finds them in the journal of its old name, where the notebook itself holds none yet."""
    old = notebook(id="f00" if with_id else "")
    record = ask(Problem("feed-sack", id="feed-sack").equation("sack"), "commit", item="sack", value=RIGHT, hints=0)["record"]
    old.unlink()
    new_kernel()
    notebook("week 3.ipynb", id="f00", **({} if with_id else {"entries": [record]}))
    assert value(Problem("feed-sack", id="feed-sack")) == RIGHT


def test_a_copy_in_the_same_folder_begins_with_the_answers_and_goes_its_own_way(
    notebook: Callable[..., Path], new_kernel: Callable[[], None], ask: Ask
) -> None:
    """What is checked in the copy is written beside the copy; the newest wins in both, and nothing is lost in either."""
    notebook(id="f00")
    ask(Problem("feed-sack", id="feed-sack").equation("sack"), "commit", item="sack", value=RIGHT, hints=0)
    new_kernel()
    notebook("lesson-Copy1.ipynb", id="f00")
    copy = Problem("feed-sack", id="feed-sack")
    assert value(copy) == RIGHT
    ask(copy.ties(), "commit", item=None, value=["a_1 = a_2"], hints=0)
    new_kernel()
    notebook(id="f00")
    assert value(Problem("feed-sack", id="feed-sack")) == RIGHT
