"""Verdicts as text for a terminal: each line as the student wrote it, the verdict, the place and the reason."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from textwrap import wrap

from ..autograde.judging.verdicts import BLANK, FOLLOWS, RIGHT, SLIP, UNREAD, Step, Verdicts
from ..autograde.method import step_title
from ..autograde.printable import printable
from ..autograde.scene.model import Scene

WIDTH = 96
SAID = {RIGHT: "right", FOLLOWS: "follows", SLIP: "slip", UNREAD: "not readable", BLANK: "left blank"}


def verdict_text(verdicts: Verdicts, scene: Scene) -> str:
    """The whole of one student's verdicts; ends without a newline."""
    lines = [f"{scene.title}: {figure(verdicts.points)} of {figure(verdicts.of)} points"]
    for name, steps in groupby(verdicts.steps, key=lambda step: step.step):
        lines += ["", step_title(name)]
        for step in steps:
            lines += _step(step)
    lines += ["", *verdicts.remarks] if verdicts.remarks else []
    return "\n".join(lines)


def figure(points: float) -> str:
    """Points without needless decimals.

    >>> figure(2.0), figure(1 / 3)
    ('2', '0.33')
    """
    return f"{round(points, 2):g}"


def _step(step: Step) -> Iterator[str]:
    place = str(step.item + 1) if isinstance(step.item, int) else step.item
    head = f"  {printable(place)}  "
    text = printable(step.text) if step.text else "-"
    yield f"{head}{text}"
    for at, says in _reasons(step):
        if at is not None and step.text:
            yield " " * (len(head) + at[0]) + "^" * max(1, min(at[1], len(text)) - at[0])
        yield from (f"      {line}" for line in wrap(says, WIDTH - 6))
    points = f", {figure(step.points)} of {figure(step.of)}" if step.of else ""
    source = f" (from {', '.join(step.follows_from)})" if step.follows_from else ""
    yield f"      {SAID.get(step.verdict, step.verdict)}{source}{points}"


def _reasons(step: Step) -> Iterator[tuple[tuple[int, int] | None, str]]:
    if step.says:
        yield step.at, step.says
    for slip in step.slips:
        yield slip.at, f"{slip.kind}: {slip.says}" + (f" {slip.why}" if slip.why else "")
    for remark in step.remarks:
        yield None, remark
