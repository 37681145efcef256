"""From the judge's verdicts to what they tell of the skills: pure.

Only the first verdict on an item counts, as in Corbett and Anderson's tutor: mending a line after reading what is wrong with it is
learning, not a test. `right` and `follows` are right answers; `slip` is a wrong one, for the skills that the slips speak against;
`unread` and `blank` tell nothing and leave the item open. A right answer after a hint counts as `helped`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ...autograde.judging.verdicts import FOLLOWS, SLIP
from ...autograde.judging.verdicts import RIGHT as RIGHT_VERDICT
from ...autograde.method import LISTS
from ...autograde.scene.model import Scene
from .skills import failed, takes
from .tracing import HELPED, RIGHT, WRONG

MOST_LINES = 4
"""Of one list (working, ties, sense) no more lines count than this: one long calculation is one occasion, not ten."""


@dataclass(frozen=True)
class Evidence:
    """One occasion. step, item: where in the problem ("equations", "sack"); text: the line, so that it is not counted twice."""

    skill: str
    outcome: str
    step: str
    item: str
    text: str = ""


def new_evidence(
    scene: Scene,
    verdicts: Iterable[Mapping[str, Any]],
    before: Iterable[Evidence],
    hints: Callable[[str, str | None], int] = lambda step, item: 0,
) -> tuple[Evidence, ...]:
    """What these verdicts (the judge's steps in the contract's JSON) tell beyond the evidence `before` from the same problem.

    hints: how many hints were shown for (step, item) by now; item None where a whole step is one list.
    """
    known = list(before)
    places = {(e.step, e.item) for e in known}
    lines = {(e.step, e.text) for e in known if e.text}
    found: list[Evidence] = []
    for verdict in verdicts:
        step, item, text = verdict["step"], str(verdict["item"]), str(verdict["text"])
        taken = takes(scene, step, item)
        if not text.strip():
            continue  # credited without having been written, as the tie that one letter `a` implies: it tells nothing
        if not taken or verdict["verdict"] not in (RIGHT_VERDICT, FOLLOWS, SLIP) or (step, item) in places:
            continue
        is_line = step in LISTS
        if is_line and ((step, text) in lines or len({p for p in places if p[0] == step}) >= MOST_LINES):
            continue
        if verdict["verdict"] == SLIP:
            kinds = tuple(str(slip.get("kind", "")) for slip in verdict["slips"])
            told = [(skill, WRONG) for skill in failed(taken, kinds)]
        else:
            told = [(skill, HELPED if hints(step, None if is_line else item) else RIGHT) for skill in taken]
        found += [Evidence(skill, outcome, step, item, text if is_line else "") for skill, outcome in told]
        places.add((step, item))
        lines.add((step, text))
    return tuple(found)
