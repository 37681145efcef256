"""The skills that practice follows: which there are, how they are called, and what each item of a problem takes.

The list, the parameters and the table of blame are ours, from the judge's own steps and slips. Guess and slip stay within the bounds
that are usual for this model, 0.3 and 0.1 (from memory: the bounds of Corbett and Anderson's tutor, as later papers report them), so
that a right answer always speaks for a skill.
"""

from __future__ import annotations

from dataclasses import dataclass

from ...autograde.scene.model import Scene
from .tracing import Parameters


@dataclass(frozen=True)
class Skill:
    """name: as the learner's file has it. label: as the learner reads it. needs: skills that should be on their way first."""

    name: str
    label: str
    parameters: Parameters
    needs: tuple[str, ...] = ()


def _skill(name: str, label: str, guess: float, needs: tuple[str, ...] = (), known: float = 0.3, learn: float = 0.15, slip: float = 0.1) -> Skill:
    return Skill(name, label, Parameters(known, learn, guess, slip), needs)


# A line of one's own is hard to guess; one of two signs, or one of few relations, is not.
SKILLS: dict[str, Skill] = {
    s.name: s
    for s in (
        _skill("directions", "Positive directions, and keeping to them", guess=0.3),
        _skill("forces", "Force diagrams", guess=0.1),
        _skill("hanging", "Equation of a hanging body", guess=0.1),
        _skill("level", "Equation on the level", guess=0.1, needs=("hanging",)),
        _skill("slope", "Equation on a slope", guess=0.1, needs=("hanging",)),
        _skill("friction", "Friction", guess=0.15, needs=("level",)),
        _skill("wheel", "Equation of a wheel with inertia", guess=0.1, needs=("ties",)),
        _skill("ties", "Ties between the accelerations", guess=0.3),
        _skill("movable", "Ties at a movable pulley", guess=0.15, needs=("ties",)),
        _skill("substitution", "Substitution and working", guess=0.15),
        _skill("results", "Results with units", guess=0.1),
        _skill("sense", "Does it make sense?", guess=0.3),
    )
}

TARGETS = ("hanging", "level", "slope", "friction", "ties", "wheel", "movable")
"""Skills that only some scenes take, so that a scene can be chosen for them; the others come with every problem."""

_BLAME = {
    "flipped-inertia": "directions", "clashing-directions": "directions",
    "flipped-friction": "friction", "static-kinetic": "friction",
    "sine-cosine": "slope", "whole-weight": "slope",
    "one-tension": "wheel", "radius": "wheel", "strand-count": "movable",
}  # fmt: skip
_SURFACES = {"vertical": "hanging", "level": "level", "slope": "slope"}


def takes(scene: Scene, step: str, item: str | int) -> tuple[str, ...]:
    """The skills that an item takes, the main one first. () for an item that tells nothing: any direction is a right choice,
    and whether it is kept to shows in the equations and the ties."""
    if step == "forces":
        return ("forces",)
    if step == "equations":
        return (*_equation(scene, str(item)), "directions")
    if step == "ties":
        return ("movable" if has_movable_pulley(scene) else "ties", *(["wheel"] if scene.wheels else []), "directions")
    return {"working": ("substitution",), "results": ("results",), "sense": ("sense",)}.get(step, ())


def skills_of(scene: Scene) -> frozenset[str]:
    """All skills that a scene takes."""
    found = {"directions", "forces", "substitution", "results", "sense"}
    for thing in scene.things:
        found.update(_equation(scene, thing))
    if len(scene.things) > 1:
        found.add("movable" if has_movable_pulley(scene) else "ties")
    return frozenset(found)


def extras_of(scene: Scene) -> int:
    """How much a scene asks for beside its skills: an acceleration that is given, contacts, bodies that carry bodies, slanting forces, rolling,
    speed at the start, the letters of another class."""
    bodies = scene.bodies.values()
    return sum((
        any(body.acceleration is not None for body in bodies), bool(scene.contacts), any(body.rests_on for body in bodies),
        any(force.angle is not None for force in scene.forces), bool(scene.rolling), any(body.starts is not None for body in bodies),
        bool(scene.notation),
    ))  # fmt: skip


def failed(taken: tuple[str, ...], kinds: tuple[str, ...]) -> tuple[str, ...]:
    """The skills that slips of these kinds speak against, out of those that the item takes: the named ones, else the main one."""
    blamed = {_BLAME.get(kind, "") for kind in kinds}
    return tuple(skill for skill in taken if skill in blamed) or taken[:1]


def has_movable_pulley(scene: Scene) -> bool:
    """A rope that bends round a body, or a massless body that joins two ropes."""
    ends = [[strand.thing for strand in rope.pulls if strand.thing in scene.bodies] for rope in scene.ropes]
    return any(body.mass.value == 0 for body in scene.bodies.values()) or any(len(set(e)) < len(e) for e in ends)


def _equation(scene: Scene, thing: str) -> tuple[str, ...]:
    body = scene.bodies.get(thing)
    if body is None:
        return ("wheel",)
    if body.mass.value == 0:
        return ("movable",)
    rough = body.friction is not None and (body.friction.kinetic is not None or body.friction.static is not None)
    return (_SURFACES[body.moves], *(["friction"] if rough else []))
