"""What in a scene is allowed and probably not meant: notes for whoever writes it. Pure; a scene is never refused for any of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from ..autograde.mechanics.story import strays
from ..autograde.scene.model import Quantity, Scene
from ..autograde.scene.words import thing_name

MASSES_APART = 200  # times; a goods lift and a lamp in it are 140 times apart
ROUGHEST = Fraction("1.2")  # rubber on dry concrete has 1.0
FARTHEST, FASTEST = 100, 50  # m, m/s
STEEPEST, FLATTEST = 85, 1  # degrees
G_FROM, G_TO = Fraction("1.6"), 25  # m/s^2: the Moon and Jupiter
RADIUS_FROM, RADIUS_TO = Fraction(1, 1000), 3  # m
DOWN = ("down", "downslope")
_TIME = re.compile(r" ?(?:s|seconds?|minutes?|min|hours?)$", re.IGNORECASE)  # a scene asks for times and has none


def doubts(scene: Scene) -> Iterator[str]:
    """One sentence for each thing that is probably not meant."""
    yield from _masses(scene)
    for name, body in scene.bodies.items():
        for kind, mu in (("kinetic", body.friction.kinetic), ("static", body.friction.static)) if body.friction else ():
            if mu is not None and mu.value > ROUGHEST:
                yield f"the coefficient of {kind} friction of the {thing_name(name)} is {mu.text}; rubber on dry concrete has about 1"
        if body.angle is not None and not FLATTEST <= body.angle.value <= STEEPEST:
            yield f"the slope of the {thing_name(name)} has {_said(body.angle)}; a level or vertical line is moves = \"level\" or \"vertical\""
        if body.starts is not None and body.starts[1].value > FASTEST:
            yield f"the {thing_name(name)} starts with {_said(body.starts[1])}: is the unit meant?"
    for name, wheel in scene.wheels.items():
        if not RADIUS_FROM <= wheel.radius.value <= RADIUS_TO:
            yield f"the radius of the {thing_name(name)} is {_said(wheel.radius)}: is the unit meant?"
    if scene.distance is not None and scene.distance.value > FARTHEST:
        yield f"the distance is {_said(scene.distance)}, longer than a rope of such a machine: is the unit meant?"
    if not G_FROM <= scene.g.value <= G_TO:
        yield f"g is {_said(scene.g)}; the Moon has 1.6 m/s^2, Jupiter 25 m/s^2"
    yield from _untied(scene)
    yield from _pulled_down(scene)


def untold(scene: Scene) -> Iterator[str]:
    """One sentence for the quantities of a story that the scene does not have: a figure that was changed in one place only."""
    if found := [said for said in strays(scene) if re.search(r"[^\d.,/ ]", said) and not _TIME.search(said)]:
        yield f"the story says {', '.join(found)}, which is no datum of the scene: was one of the two changed, or another unit meant?"


def _masses(scene: Scene) -> Iterator[str]:
    """A gram for a kilogram, or the other way round."""
    masses = [(name, body.mass) for name, body in scene.bodies.items() if body.mass.value]
    masses += [(name, wheel.mass) for name, wheel in scene.wheels.items() if wheel.mass is not None]
    if len(masses) < 2:
        return
    (light, small), (heavy, large) = min(masses, key=lambda one: one[1].value), max(masses, key=lambda one: one[1].value)
    if large.value > MASSES_APART * small.value:
        yield (f"the {thing_name(light)} has {_said(small)} beside {_said(large)} of the {thing_name(heavy)}, so it hardly matters: "
               "is the unit meant?")


def _untied(scene: Scene) -> Iterator[str]:
    """Things that nothing joins to the others."""
    tied = {strand.thing for rope in scene.ropes for strand in rope.pulls}
    tied |= {strand.thing for contact in scene.contacts for strand in contact.pushes}
    tied |= {thing for rolls in scene.rolling for thing in (rolls.body, rolls.wheel)}
    tied |= {thing for name, body in scene.bodies.items() if body.rests_on is not None for thing in (name, body.rests_on)}
    for name in scene.things:
        if name in tied or len(scene.things) == 1:
            continue
        body = scene.bodies.get(name)
        if body is not None and body.acceleration is not None:
            yield f"the {thing_name(name)} is driven, and nothing hangs from it, stands in it or is tied to it: it changes nothing for the others"
        else:
            yield f"the {thing_name(name)} is tied to nothing: no rope, contact or surface joins it to the others"


def _pulled_down(scene: Scene) -> Iterator[str]:
    """Ropes that pull where nothing could hold against them, most likely on the wrong side of a body."""
    held = {strand.thing for rope in scene.ropes for strand in rope.pulls if strand.direction not in DOWN}
    held |= {strand.thing for contact in scene.contacts for strand in contact.pushes if strand.direction not in DOWN}
    held |= {force.on for force in scene.forces if force.direction not in DOWN}
    held |= {name for name, body in scene.bodies.items() if body.acceleration is not None}
    for rope in scene.ropes:
        bodies = [(strand.thing, strand.direction) for strand in rope.pulls if strand.thing in scene.bodies]
        if len(bodies) > 1 and all(direction in DOWN for _, direction in bodies):
            yield f"the rope {rope.symbol} pulls everything down: a rope over a pulley pulls what hangs on it up"
        elif alone := next((thing for thing, direction in bodies
                            if direction == "down" and scene.bodies[thing].moves == "vertical" and thing not in held), None):
            yield f"the rope {rope.symbol} pulls the {thing_name(alone)} down, and nothing holds it up: is the rope above it?"
        elif len(rope.pulls) == 2 == len({thing for thing, _ in bodies if scene.bodies[thing].moves == "level"}) and bodies[0][1] == bodies[1][1]:
            yield f"the rope {rope.symbol} pulls both bodies to the {bodies[0][1]}; a rope between two bodies pulls them towards each other"


def _said(quantity: Quantity) -> str:
    return f"{quantity.text} {quantity.unit}".strip()
