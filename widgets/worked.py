"""The answers that a teacher may have shown worked out (fading): directions, forces, equations and ties."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..autograde.algebra import Poly
from ..autograde.judging.diagrams import true_arrows
from ..autograde.mechanics import derive
from ..autograde.mechanics.agreeing import agreeing_directions
from ..autograde.mechanics.setup import Equation, Setup
from ..autograde.scene.model import Scene
from .words import force_directions


def worked_answers(scene: Scene, answers: Mapping[str, Any], step: str) -> Iterator[tuple[str | None, Any]]:
    """(item, value) for each part of a step, for the directions that the student has chosen (where there are none, along the motion).

    Steps that have no single worked form (working, results, sense) yield nothing: they stay the student's.
    """
    setup = derive(scene, agreeing_directions(scene, answers.get("directions")))
    if step == "directions":
        yield from dict(setup.positive).items()
    elif step == "forces":
        for thing in scene.things:
            yield thing, arrows(setup, thing)
    elif step == "equations":
        for thing, equation in setup.equations.items():
            yield thing, equation_text(setup, equation)
    elif step == "ties" and setup.ties:
        yield None, [tie_text(tie.poly) for tie in setup.ties]


def arrows(setup: Setup, thing: str) -> list[list[str]]:
    """Every force on a thing with one of its direction words, once for each strand that pulls."""
    order = [word for word, _ in force_directions(setup.scene, thing)]
    out: list[list[str]] = []
    for arrow in true_arrows(setup, thing):
        out += [[arrow.symbol, min(arrow.words & set(order), key=order.index)]] * arrow.count
    return out


def equation_text(setup: Setup, equation: Equation) -> str:
    """ "T - m_1*g = m_1*a_1", with one letter a where the directions allow it."""
    left = Poly.sum(term.poly for term in equation.terms)
    shared = {name: Poly.symbol("a") for name in setup.shared}
    return f"{left} = {equation.inertia.substitute(shared)}"


def tie_text(poly: Poly) -> str:
    """ "a_1 - a_2 = 0": the relation as the ropes give it."""
    return f"{poly} = 0"
