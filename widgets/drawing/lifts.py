"""What hangs in a lift: a lamp from its ceiling, or bodies over a wheel or a pulley whose axle the lift carries. No scene file says so;
it follows from what the ropes pull. Such a lift is drawn as a car round all that, so that nothing in it looks fixed to the house.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ...autograde.scene.model import Body, Rope, Scene

_CALLED = {"lift", "elevator", "cabin", "cage"}


@dataclass(frozen=True)
class Lift:
    """name: the body that is the lift; inside: a scene of what hangs in it, for which its roof is the ceiling; outside: all the rest."""

    name: str
    inside: Scene
    outside: Scene


def lift_of(scene: Scene) -> Lift | None:
    """The lift of a scene in which something hangs, if there is one."""
    if any(body.moves != "vertical" for body in scene.bodies.values()):
        return None
    for name, body in scene.bodies.items():
        ropes = [rope for rope in scene.ropes if _hangs_in(rope, name)]
        if ropes and body.mass.value and not any(s.thing == name for c in scene.contacts for s in c.pushes) and _is_lift(scene, name, body, ropes):
            return _split(scene, name, ropes)
    return None


def wheel_in(scene: Scene, wheel: str) -> str | None:
    """The lift that carries a wheel's axle."""
    lift = lift_of(scene)
    return lift.name if lift is not None and wheel in lift.inside.wheels else None


def _hangs_in(rope: Rope, lift: str) -> bool:
    """Whether a rope pulls this body down and others up: it hangs from it, or passes a wheel or a pulley that is fixed to it."""
    return any(s.thing == lift and s.direction == "down" for s in rope.pulls) and any(s.thing != lift and s.direction == "up" for s in rope.pulls)


def _is_lift(scene: Scene, name: str, body: Body, ropes: list[Rope]) -> bool:
    """A body that carries a wheel's axle or, with a given motion, a pulley; or one that is called a lift."""
    carries = any(s.thing in scene.wheels for rope in ropes for s in rope.pulls)
    passed = any(sum(s.thing == name for s in rope.pulls) > 1 for rope in ropes) and body.acceleration is not None
    return carries or passed or bool(_CALLED & set(name.replace("-", "_").lower().split("_")))


def _split(scene: Scene, name: str, ropes: list[Rope]) -> Lift:
    held = {s.thing for rope in ropes for s in rope.pulls} - {name}
    while more := {s.thing for rope in scene.ropes for s in rope.pulls if _ties(rope, held)} - held - {name}:
        held |= more
    inner = [replace(rope, pulls=tuple(s for s in rope.pulls if s.thing != name)) for rope in scene.ropes if _ties(rope, held)]
    inside = replace(
        scene, bodies={n: b for n, b in scene.bodies.items() if n in held}, wheels={n: w for n, w in scene.wheels.items() if n in held},
        ropes=tuple(inner), contacts=tuple(c for c in scene.contacts if all(s.thing in held for s in c.pushes)), rolling=(), forces=(),
    )  # fmt: skip
    outside = replace(
        scene, bodies={n: b for n, b in scene.bodies.items() if n not in held}, wheels={n: w for n, w in scene.wheels.items() if n not in held},
        ropes=tuple(r for r in scene.ropes if not _ties(r, held)),
        contacts=tuple(c for c in scene.contacts if not any(s.thing in held for s in c.pushes)), rolling=(), forces=(),
    )  # fmt: skip
    return Lift(name, inside, outside)


def _ties(rope: Rope, held: set[str]) -> bool:
    return any(s.thing in held for s in rope.pulls)
