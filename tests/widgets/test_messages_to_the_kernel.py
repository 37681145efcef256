"""What the kernel answers to each message of a step, without a browser."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.widgets import Problem

Ask = Callable[..., dict[str, Any]]


def journal(folder: Path) -> list[dict[str, Any]]:
    """The entries in the journal beside lesson.ipynb."""
    path = folder / "lesson.plusway.jsonl"
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()] if path.exists() else []


def verdicts(widget: Any) -> list[str]:
    """The verdict words that a widget shows, field by field."""
    return [v["verdict"] for f in widget.shown["fields"] for v in f["verdicts"]]


def test_a_preview_reads_the_line_and_keeps_nothing(problem: Problem, ask: Ask, tmp_path: Path) -> None:
    """While a line is typed it is shown as a formula and in words, and neither judged nor kept."""
    widget = problem.equation("sack")
    answer = ask(widget, "preview", text="T - m_1 g = m_1 a")
    assert (answer["kind"], answer["text"], answer["complaint"]) == ("previewed", "T - m_1 g = m_1 a", None)
    assert answer["mathml"].startswith("<math")
    assert "minus" in answer["speech"]
    assert widget.shown["state"] == "blank"
    assert journal(tmp_path) == []


@pytest.mark.parametrize(("text", "at"), [("T - = 6.5a", [2, 3]), ("T + (2a = 3", [4, 5])])
def test_a_line_that_cannot_be_read_yet_says_where(problem: Problem, ask: Ask, text: str, at: list[int]) -> None:
    """The complaint carries the characters that it is about."""
    answer = ask(problem.equation("sack"), "preview", text=text)
    assert answer["mathml"] == ""
    assert answer["complaint"]["at"] == at
    assert answer["complaint"]["says"]


@pytest.mark.parametrize("text", ["<script>alert(1)</script>", "x" * 10_000, "🐐 = 🐐", "\u202eT = 5", "", "__import__('os')"])
def test_hostile_text_is_only_text(problem: Problem, ask: Ask, text: str) -> None:
    """Nothing that is pasted gets into a formula as markup, and every line gets a verdict or a complaint."""
    widget = problem.equation("sack")
    assert "<script" not in ask(widget, "preview", text=text)["mathml"]
    assert ask(widget, "commit", item="sack", value=text, hints=0)["kind"] == "committed"
    assert verdicts(widget) in (["unread"], [])


def test_a_commit_is_on_the_disk_before_it_is_answered(problem: Problem, ask: Ask, tmp_path: Path) -> None:
    """The answer's record is the journal's line, whole."""
    answer = ask(problem.equation("sack"), "commit", item="sack", value="T - 63.7 = 6.5a", hints=2)
    assert answer["kept"] is True
    assert journal(tmp_path) == [answer["record"]]
    wanted = {"problem": "feed-sack", "step": "equations", "item": "sack", "value": "T - 63.7 = 6.5a", "hints": 2, "format": 1, "n": 1}
    assert wanted.items() <= answer["record"].items()


COMMITS = [
    ("directions", None, "sack", "up", "some"),
    ("forces", "sack", "sack", [["T", "up"], ["W_1", "down"]], "done"),
    ("forces", "sack", "sack", [["T", "up"]], "slip"),
    ("equation", "sack", "sack", "T - 63.7 = 6.5a", "done"),
    ("equation", "sack", "sack", "T + 63.7 = 6.5a", "slip"),
    ("equation", "sack", "sack", "T + = 6.5a", "slip"),
    ("results", None, "a", "1.58 m/s^2", "some"),
    ("sense", None, None, ["W_1 < T", "T < W_2"], "done"),
]


@pytest.mark.parametrize(("method", "thing", "item", "value", "state"), COMMITS)
def test_each_step_shows_what_the_judge_says(
    problem: Problem, ask: Ask, method: str, thing: str | None, item: str | None, value: Any, state: str
) -> None:
    """After a commit the step shows its value, the verdict and its state."""
    widget = getattr(problem, method)(*([thing] if thing else []))
    ask(widget, "commit", item=item, value=value, hints=0)
    field = next(f for f in widget.shown["fields"] if f["item"] == item)
    assert field["value"] == value
    assert field["verdicts"]
    assert widget.shown["state"] == state


def test_a_changed_earlier_answer_judges_the_later_steps_again(problem: Problem, ask: Ask) -> None:
    """Turning the plus of one body makes its old equation a slip, in the widget that already shows it."""
    directions, equation = problem.directions(), problem.equation("sack")
    ask(directions, "commit", item="sack", value="up", hints=0)
    ask(directions, "commit", item="counterweight", value="down", hints=0)
    ask(equation, "commit", item="sack", value="T - 63.7 = 6.5a_1", hints=0)
    assert verdicts(equation) == ["right"]
    assert problem.points("equations", "sack") == 2.0
    ask(directions, "commit", item="sack", value="down", hints=0)
    assert verdicts(equation) == ["slip"]
    assert problem.points("equations", "sack") < 2.0


def test_earlier_answers_are_carried_forward(problem: Problem, ask: Ask) -> None:
    """The equation shows the chosen direction and the student's own diagram; the working shows the equations."""
    ask(problem.directions(), "commit", item="sack", value="up", hints=0)
    ask(problem.forces("sack"), "commit", item="sack", value=[["T", "up"], ["W_1", "down"]], hints=0)
    ask(problem.equation("sack"), "commit", item="sack", value="T - 63.7 = 6.5a", hints=0)
    assert [(e["label"], e["text"]) for e in problem.equation("sack").shown["earlier"]] == [
        ("given", "m_1 = 6.5 kg (sack), m_2 = 9 kg (counterweight), g = 9.8 m/s²"),
        ("plus for the sack", "up"), ("your diagram of the sack", "T up, W_1 down")]  # fmt: skip
    assert [(e["label"], e["text"]) for e in problem.working().shown["earlier"][1:]] == [("sack", "T - 63.7 = 6.5a")]


@pytest.mark.parametrize("step", ["directions", "forces", "equation", "ties", "working", "results", "sense"])
def test_three_hints_for_every_step(problem: Problem, ask: Ask, step: str) -> None:
    """Each level says something else, and a level beyond the last is the last."""
    widget = getattr(problem, step)(*(["sack"] if step in ("forces", "equation") else []))
    item = widget.shown["fields"][0]["item"]
    said = [ask(widget, "hint", item=item, level=level) for level in (1, 2, 3, 9)]
    assert [s["level"] for s in said] == [1, 2, 3, 3]
    assert len({s["says"] for s in said}) == 3


def test_a_ping_is_answered(problem: Problem, ask: Ask) -> None:
    """The browser asks whether the kernel lives."""
    assert ask(problem.sense(), "ping") == {"kind": "pong", "id": 7}


FOREIGN = [None, [], "commit", {}, {"kind": "commit"}, {"kind": "commit", "id": "1"}, {"kind": "run", "id": 1}, {"kind": ["commit"], "id": 1}]


@pytest.mark.parametrize("content", FOREIGN)
def test_what_is_no_message_gets_no_answer(problem: Problem, content: Any) -> None:
    """Foreign contents on the channel change nothing and raise nothing."""
    assert problem.equation("sack").reply_to(content) is None


ODD = [("equation", "sack", ["a", "list"]), ("equation", "sack", 5), ("equation", "nobody", "T = 5"), ("ties", None, {"a": 1}),
       ("forces", "sack", [["T"], 3, None]), ("directions", "sack", "sideways"), ("results", "zeta", "5 N")]  # fmt: skip


@pytest.mark.parametrize(("method", "item", "value"), ODD)
def test_a_value_of_the_wrong_shape_harms_nothing(problem: Problem, ask: Ask, method: str, item: str | None, value: Any) -> None:
    """Whatever is committed, the next good answer is judged as usual."""
    widget = getattr(problem, method)(*(["sack"] if method in ("forces", "equation") else []))
    assert ask(widget, "commit", item=item, value=value, hints="many")["kind"] in ("committed", "trouble")
    ask(problem.equation("sack"), "commit", item="sack", value="T - 63.7 = 6.5a", hints=0)
    assert verdicts(problem.equation("sack")) == ["right"]
