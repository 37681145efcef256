"""The answers that a teacher may have shown worked out (fading): directions, forces, equations and ties."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..autograde.judging.diagrams import true_arrows
from ..autograde.mechanics import derive
from ..autograde.mechanics.setup import Setup
from ..autograde.mechanics.worked import solution_json
from ..autograde.scene.model import Scene
from .words import force_directions


def worked_answers(scene: Scene, answers: Mapping[str, Any], step: str) -> Iterator[tuple[str | None, Any]]:
    """(item, value) for each part of a step, for the directions that the student has chosen (else the scene's own).

    Steps that have no single worked form (working, results, sense) yield nothing: they stay the student's.
    """
    setup = derive(scene, answers.get("directions") or None)
    if step == "directions":
        yield from dict(setup.positive).items()
    elif step == "forces":
        for thing in scene.things:
            yield thing, arrows(setup, thing)
    elif step == "equations":
        yield from solution_json(scene, setup.positive)["equations"].items()
    elif step == "ties" and setup.ties:
        yield None, solution_json(scene, setup.positive)["ties"]


def arrows(setup: Setup, thing: str) -> list[list[str]]:
    """Every force on a thing with one of its direction words, once for each strand that pulls."""
    order = [word for word, _ in force_directions(setup.scene, thing)]
    out: list[list[str]] = []
    for arrow in true_arrows(setup, thing):
        out += [[arrow.symbol, min(arrow.words & set(order), key=order.index)]] * arrow.count
    return out
