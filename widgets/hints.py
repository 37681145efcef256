"""Three hints for each step, asked for one after the other: where to look, why it is so, how to go on.

They are made from the scene and from this student's own directions, and none of them is the answer itself. A slip has explanations of
its own, which come from the judge.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..autograde.scene.model import Scene
from .words import DIRECTION_LABELS, thing_name


def hints_for(scene: Scene, answers: Mapping[str, Any], step: str, item: str | None) -> tuple[str, str, str]:
    """The three hints for one item of a step."""
    name = thing_name(item) if item else ""
    if step == "directions":
        return (
            "Look at the ropes: if one thing moves a little, which way does the other go?",
            "A positive direction is only a promise about signs. If the motion turns out the other way, its value comes out negative.",
            "Guess the motion and choose plus along it for each thing; then one letter for the acceleration will often do.",
        )
    if step == "forces":
        return (
            f"Go round the {name}: what touches it? And what pulls it without touching?",
            f"A force in its diagram needs something else that exerts it on the {name} itself. "
            f"The motion, and forces on its neighbours, do not count.",
            f"Draw its weight if it has mass, one pull for every strand of rope that ends on it, and a push for every surface that it "
            f"touches{' with friction along it' if _rough(scene, item) else ''}.",
        )
    if step == "equations":
        word = (answers.get("directions") or {}).get(item or "", "")
        plus = DIRECTION_LABELS.get(word, "the plus direction")
        return (
            f"Take your own diagram of the {name} and go from arrow to arrow.",
            f"The sum of the forces on the {name} along its line equals its own inertia times its own acceleration; nothing of the "
            f"other things belongs here.",
            f"Plus is {plus}. Write a plus for each arrow that points {plus}, a minus for each that points against it, and set the sum "
            f"equal to {_inertia(scene, item)}.",
        )
    if step == "ties":
        return (
            "Follow each rope from end to end: if one thing gives way by 1 cm, how far does the other come?",
            "The rope keeps its length, so the displacements along its pulls add up to zero, and so do the accelerations.",
            "Write the accelerations of both ends with a sign: the same sign if both plus directions go with one motion, else opposite.",
        )
    if step == "working":
        return (
            "Count the unknowns in your equations and ties, and find one that stands in two of them.",
            "Each line should be drawn from lines above, and each step should lose an unknown or collect like terms.",
            "Solve one equation for the tension, put that whole expression, in parentheses, into the other, then collect the terms "
            "with the acceleration.",
        )
    if step == "results":
        return (
            "Look at the last lines of your working.",
            "A value without a unit says nothing about size; a value with too few figures can't be checked.",
            f"Write the number, a space, and the unit{_unit(scene, item)}.",
        )
    return (
        "Compare the tension with each weight, and the acceleration with g.",
        "A thing that gains speed upwards is pulled up harder than its weight; a body that is held back falls slower than freely.",
        "Write an inequality between two forces, or a limiting case such as: equal masses, so no acceleration.",
    )


def _rough(scene: Scene, item: str | None) -> bool:
    return item in scene.bodies and scene.bodies[item].friction is not None


def _inertia(scene: Scene, item: str | None) -> str:
    return "its moment of inertia times its angular acceleration" if item in scene.wheels else "its mass times its acceleration"


def _unit(scene: Scene, item: str | None) -> str:
    symbol = scene.symbols.get(item or "")
    return f" of {_KINDS[symbol.kind]}" if symbol and symbol.kind in _KINDS else ""


_KINDS = {
    "acceleration": "an acceleration", "shared_acceleration": "an acceleration", "tension": "a force", "normal": "a force",
    "friction": "a force", "contact": "a force", "weight": "a force", "speed": "a speed", "time": "a time",
}  # fmt: skip
