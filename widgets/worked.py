"""The answers that a teacher may have shown worked out (fading): directions, forces, equations and ties."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..autograde.algebra import Poly
from ..autograde.mechanics import derive
from ..autograde.mechanics.setup import Equation, Setup
from ..autograde.scene.model import Scene

# Terms that are no force with a symbol of their own in a diagram: the weight's parts share one arrow.
_ALONG = {"up", "down", "left", "right", "upslope", "downslope", "clockwise", "counterclockwise"}


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
        for thing, equation in setup.equations.items():
            yield thing, equation_text(setup, equation)
    elif step == "ties" and setup.ties:
        yield None, [tie_text(tie.poly) for tie in setup.ties]


def arrows(setup: Setup, thing: str) -> list[list[str]]:
    """Every force on a thing with its direction, each once for each strand that pulls."""
    out: list[list[str]] = []
    if thing in setup.equations:
        for term in setup.equations[thing].terms:
            out += [[term.symbol, term.direction]] * term.strands
    if thing in setup.balances:
        here = {symbol for symbol, _ in out}
        balance = setup.balances[thing]
        upright = "up" if setup.scene.bodies[thing].moves == "level" else "away"
        out += [[symbol, direction] for symbol, direction, _, _ in balance.terms if symbol not in here]
        out.append([balance.symbol, upright])
    return [list(pair) for pair in dict.fromkeys(map(tuple, out))] if not _doubled(out) else out


def _doubled(pairs: list[list[str]]) -> bool:
    return any(pairs.count(pair) > 1 for pair in pairs)


def equation_text(setup: Setup, equation: Equation) -> str:
    """ "T - m_1*g = m_1*a_1", with one letter a where the directions allow it."""
    left = Poly.sum(term.poly for term in equation.terms)
    shared = {name: Poly.symbol("a") for name in setup.shared}
    return f"{left} = {equation.inertia.substitute(shared)}"


def tie_text(poly: Poly) -> str:
    """ "a_1 - a_2 = 0": the relation as the ropes give it."""
    return f"{poly} = 0"
