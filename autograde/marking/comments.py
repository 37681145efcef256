"""The reasons for a cell's points as a few lines of Markdown: what nbgrader shows under a step. Nothing of the key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..printable import printable
from .cells import cell_of, item_name

SAID = {"right": "right", "follows": "follows from what you wrote before", "slip": "a slip",
        "unread": "could not be read", "blank": "left blank"}
LONGEST = 300


def comment_on(verdicts: Mapping[str, Any], step: str, item: str | None) -> str:
    """The comment for one grade cell; "" where the judge has no such item."""
    steps = [s for s in verdicts["steps"] if cell_of(s) == (step, item)]
    lines = [line for s in steps for line in _lines(s)]
    if steps and not any(s["text"] for s in steps):
        lines = ["left blank"]
    points, of = sum(s["points"] for s in steps), sum(s["of"] for s in steps)
    worth = [f"{points:g} of {of:g}"] if of else []
    return "\n\n".join([*lines, *worth]) if lines else ""


def to_student(error: str) -> str:
    """Why a notebook could not be marked, said to whom it belongs; the error itself speaks to the teacher.

    >>> to_student("the file is empty; ask for the .ipynb file that JupyterLab saves")
    'Your notebook could not be marked: the file is empty; hand in the .ipynb file that JupyterLab saves.'
    """
    said = error.replace("; ask for ", "; hand in ").replace("; mark it yourself", "; your teacher will mark it")
    return f"Your notebook could not be marked: {said}."


def _lines(step: Mapping[str, Any]) -> Iterator[str]:
    if not step["text"]:
        return
    name = item_name(step) or str(step["item"] + 1)
    yield f"{plain(name)}: {code(step['text'])}: {SAID.get(step['verdict'], plain(step['verdict']))}"
    for says in reasons(step):
        yield plain(says)
    if "override" in step:
        decided = step["override"]
        yield f"Decided by your teacher on {plain(str(decided['date']))}: {plain(decided['reason'])}"


def reasons(step: Mapping[str, Any]) -> Iterator[str]:
    """What the judge says about an item, where and why; how to mend it is left to the student."""
    if step.get("says"):
        yield step["says"]
    for slip in step["slips"]:
        yield " ".join(part for part in (slip["says"], slip.get("why", "")) if part)
    yield from step.get("remarks", ())


def code(text: str) -> str:
    """A student's text as a code span: shown as it is, whatever it is."""
    shown = printable(text[:LONGEST], "·").replace("`", "ˋ").replace("$", "＄")
    return f"`{shown}{'…' if len(text) > LONGEST else ''}`"


def plain(text: str) -> str:
    """A sentence that may quote the student, for Markdown that lets HTML through."""
    shown = printable(text, " ")
    for mark in "\\`<&":
        shown = shown.replace(mark, "\\" + mark)
    return shown.replace("$", "＄").replace("](", "] (")
