"""How far a working has come: fewer things in one equation, one unknown alone, its value."""

from __future__ import annotations

from collections.abc import Sequence

from .context import Context
from .verdicts import FOLLOWS, RIGHT
from .working import LineFinding

GOALS = {
    "combined": "an equation that two things share, an unknown gone",
    "alone": "an equation with one unknown alone",
    "value": "the value of an unknown",
}


def milestones(context: Context) -> list[str]:
    """The milestones of the working, keys of GOALS, by the number of unknowns."""
    setup = context.setup
    forces = [u for u in setup.unknowns if u not in context.accelerations]
    free = {k for a in context.accelerations for k in context.actual.accelerations.get(a, {}) if k}
    count = len(forces) + (len(free) if setup.regime.moves else 0)
    if count <= 1:
        return ["value"]
    return ["alone", "value"] if count == 2 else ["combined", "alone", "value"]


def reaches(f: LineFinding, goal: str) -> bool:
    """Whether a line is at a milestone, or beyond it."""
    if goal == "value":
        return bool(f.value)
    if goal == "alone":
        return f.unknowns == 1
    return f.combined and f.unknowns >= 1


def going_round(f: LineFinding, before: Sequence[LineFinding | None]) -> tuple[str, ...]:
    """A remark on a line that only says again what an earlier line of working says, when another has come further; none on one that
    puts numbers or a tie into an equation."""
    held = {f"line {n}": e.unknowns for n, e in enumerate(before, 1) if e is not None and e.verdict in (RIGHT, FOLLOWS)}
    again = len(f.follows_from) == 1 and held.get(f.follows_from[0]) == f.unknowns
    if again and f.unknowns > min(held.values()) and not f.combined:
        return ("This holds, but it brings no unknown nearer.",)
    return ()
