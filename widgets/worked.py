"""The answers that a teacher may have shown worked out (fading), for every step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..autograde.judging.diagrams import true_arrows
from ..autograde.mechanics import derive
from ..autograde.mechanics.setup import Setup
from ..autograde.mechanics.wording import rounded
from ..autograde.mechanics.worked import solution_json, unit_of
from ..autograde.scene.model import Scene
from .words import force_directions


def worked_answers(scene: Scene, answers: Mapping[str, Any], step: str) -> Iterator[tuple[str | None, Any]]:
    """(item, value) for each part of a step, for the directions that the student has chosen (else the scene's own)."""
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
    elif step == "results":
        yield from ((s, f"{rounded(setup.values[s])} {unit_of(scene, s)}".strip()) for s in scene.asked if s in setup.values)
    elif step == "working":
        lines = _lines(scene, setup, "surfaces", "numbers", "working", "motion")
        yield from [(None, lines)] if lines else []
    elif step == "sense":
        yield None, _lines(scene, setup, "sense") or _compared(scene, setup)


def _compared(scene: Scene, setup: Setup) -> list[str]:
    """Where there is nothing better to say: which of two values asked for is the larger."""
    units = {s: scene.symbols[s].unit for s in scene.asked if s in setup.values}
    for first in units:
        for second in units:
            if units[first] == units[second] and setup.values[first] < setup.values[second]:
                return [f"{first} < {second}"]
    return []


def _lines(scene: Scene, setup: Setup, *parts: str) -> list[str]:
    """The lines of formulas in parts of the worked solution, each once."""
    steps = solution_json(scene, setup.positive)["steps"]
    return list(dict.fromkeys(line["text"] for step in steps if step["step"] in parts for line in step["lines"] if line["kind"] == "math"))


def arrows(setup: Setup, thing: str) -> list[list[str]]:
    """Every force on a thing with one of its direction words, once for each strand that pulls."""
    order = [word for word, _ in force_directions(setup.scene, thing)]
    out: list[list[str]] = []
    for arrow in true_arrows(setup, thing):
        out += [[arrow.symbol, min(arrow.words & set(order), key=order.index)]] * arrow.count
    return out
