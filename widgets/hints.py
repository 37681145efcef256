"""Three hints for each step, asked for one after the other: where to look, why it is so, how to go on.

They are made from the scene and from this student's own directions, and none of them is the answer itself. What the scene has not (a
rope, a wheel, a second body) no hint speaks of. A slip has explanations of its own, which come from the judge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ..autograde.scene.model import Scene
from ..autograde.scene.words import DIRECTION_LABELS, thing_name
from .words import letters

Three = tuple[str, str, str]


def hints_for(scene: Scene, answers: Mapping[str, Any], step: str, item: str | None) -> Three:
    """The three hints for one item of a step."""
    if step == "directions":
        return _directions(scene)
    if step == "forces":
        return _forces(scene, item)
    if step == "equations":
        return _equations(scene, item, (answers.get("directions") or {}).get(item or "", ""))
    if step == "ties":
        return _ties(scene)
    if step == "working":
        return _working(scene)
    if step == "results":
        return (
            "Look at the last lines of your working.",
            "A value without a unit says nothing about size; a value with too few figures can't be checked.",
            f"Write the number, a space, and the unit{_unit(scene, item)}.",
        )
    return _sense(scene)


# --- step by step ---------------------------------------------------------------------------------------------------------


def _directions(scene: Scene) -> Three:
    promise = "A positive direction is only a promise about signs. If the motion turns out the other way, its value comes out negative."
    if len(scene.things) == 1:
        return (
            f"Look at the line along which the {thing_name(scene.things[0])} can move, and at what acts along it.",
            promise,
            "Guess which way the motion goes, and choose plus along it; its acceleration then comes out positive.",
        )
    return (
        f"Look at {_joints(scene)}: if one thing moves a little, which way does the other go?",
        promise,
        "Guess the motion and choose plus along it for each thing; then one letter for the acceleration will often do.",
    )


def _forces(scene: Scene, item: str | None) -> Three:
    name = thing_name(item or "thing")
    if item in scene.wheels:
        return (
            f"Go round the {name}: what touches its rim or its axle, and can turn it?",
            f"Only what turns the {name} about its axis belongs here. Its weight and the push of its axle act at the axis, and turn nothing.",
            f"Draw {_listed(_on_wheel(scene, item))}.",
        )
    return (
        f"Go round the {name}: what touches it? And what pulls it without touching?",
        f"A force in its diagram needs something else that exerts it on the {name} itself. {_no_force(scene)}",
        f"{_massless(scene, item)} {_listed(_on_body(scene, item))}.".strip(),
    )


def _no_force(scene: Scene) -> str:
    return "The motion, and forces on its neighbours, do not count." if len(scene.things) > 1 else "The motion does not count."


def _massless(scene: Scene, item: str | None) -> str:
    return "It has no mass, so no weight acts on it. Draw" if item in scene.bodies and not scene.bodies[item].mass.value else "Draw"


def _on_body(scene: Scene, item: str | None) -> list[str]:
    """What is to be drawn on a body, without saying which way it acts."""
    body = scene.bodies.get(item or "")
    out = ["its weight"] if body is None or body.mass.value else []
    ropes = [[s.direction for s in rope.pulls if s.thing == item] for rope in scene.ropes]
    bent = [len(words) for words in ropes if len(words) > 1 and len(set(words)) == 1]
    if any(len(words) == 1 or len(set(words)) > 1 for words in ropes if words):
        out.append("one pull for every rope that ends on it")
    if bent:
        out.append("one pull for each side of a rope that bends round its pulley: two sides, two pulls")
    if body is not None and body.rests_on:
        out.append(f"a push of the {thing_name(body.rests_on)} below it")
    elif body is not None and body.moves != "vertical":
        out.append("a push of the surface straight out of it")
    if any(other.rests_on == item for other in scene.bodies.values()):
        out.append("a push of what lies on it")
    if any(s.thing == item for c in scene.contacts for s in c.pushes):
        out.append("a push for every body that it touches")
    if _rubs(scene, item):
        out.append("friction along each rough surface")
    if any(r.body == item for r in scene.rolling):
        out.append("the friction where its wheel meets the ground")
    if any(f.on == item for f in scene.forces):
        out.append("what is given to act on it")
    return out or ["what pulls or pushes it"]


def _on_wheel(scene: Scene, item: str) -> list[str]:
    out = ["one pull for every rope that leaves its rim"] if any(s.thing == item for rope in scene.ropes for s in rope.pulls) else []
    out += ["the friction where it meets the ground"] if any(r.wheel == item for r in scene.rolling) else []
    out += ["the friction torque of its bearing"] if scene.wheels[item].drag is not None else []
    out += ["what is given to act on it"] if any(f.on == item for f in scene.forces) else []
    return out or ["whatever turns it"]


def _equations(scene: Scene, item: str | None, word: str) -> Three:
    name, plus = thing_name(item or "thing"), DIRECTION_LABELS.get(word, "the plus direction")
    others = "; nothing of the other things belongs here" if len(scene.things) > 1 else ""
    if item in scene.wheels:
        return (
            f"Take your own diagram of the {name} and go from arrow to arrow.",
            f"The sum of the torques on the {name} about its axis equals its own moment of inertia times its own angular acceleration{others}.",
            f"Plus is {plus}. Each force at a rim gives a torque: the force times its radius. Write a plus for each that turns it {plus}, a minus for "
            "each that turns it the other way, and set the sum equal to its moment of inertia times its angular acceleration.",
        )
    body = scene.bodies.get(item or "")
    inertia = "its mass times its acceleration" if body is None or body.mass.value else "zero, for it has no mass"
    return (
        f"Take your own diagram of the {name} and go from arrow to arrow.",
        f"The sum of the forces on the {name} along its line equals its own inertia times its own acceleration{others}.",
        f"Plus is {plus}. Write a plus for each arrow that points {plus}, a minus for each that points against it, and set the sum equal to {inertia}.",
    )


def _ties(scene: Scene) -> Three:
    if len(scene.things) == 1:
        name = thing_name(scene.things[0])
        return (
            f"Is there anything else here that moves together with the {name}?",
            "A tie says how the accelerations of two things hang together. Where one thing moves alone there is nothing to tie.",
            f"Go on: the {name} has one acceleration, and its own equation is enough.",
        )
    looks, why = [], []
    if any(len(rope.pulls) > 1 for rope in scene.ropes):
        looks.append("Follow each rope from end to end: if one thing gives way by 1 cm, how far does the other come?")
        why.append("A rope keeps its length, so the displacements along its pulls add up to zero, and so do the accelerations.")
    if scene.contacts:
        looks.append("Look where bodies touch: if one moves by 1 cm, how far does the other?")
        why.append("As long as two bodies touch, neither can go ahead of the other.")
    if scene.rolling:
        looks.append("Look at the wheel that rolls: while it turns by a small angle, how far does its axle go?")
        why.append("A wheel that rolls without slipping goes as far as its rim turns.")
    if any(body.rests_on for body in scene.bodies.values()):
        looks.append("Look at the bodies that lie on each other: does one slide on the other, or do they go together?")
        why.append("Only as long as friction holds it does the upper body go as the lower one does.")
    how = "Write the accelerations of both with a sign: the same sign if both plus directions go with one motion, else opposite."
    if scene.wheels:
        how += " At a rim, the angular acceleration times the radius stands for an acceleration."
    return " ".join(looks), " ".join(why), how


def _working(scene: Scene) -> Three:
    where = "Where there is friction, find the normal force first. " if any(_rubs(scene, name) for name in scene.bodies) else ""
    if len(scene.things) == 1:
        return (
            "There is one equation. Which of its letters is not given, and has not been found yet?",
            "Each line should be drawn from lines above, and each step should put in what is known, or collect like terms.",
            f"{where}Put what is given into the equation, with its signs, and solve it for the acceleration.",
        )
    look = "Count the unknowns in your equations and ties, and find one that stands in two of them."
    step = "Each line should be drawn from lines above, and each step should lose an unknown or collect like terms."
    given = any(body.acceleration is not None for body in scene.bodies.values())
    begin = "The acceleration is given: put it, with its sign, into each equation. " if given else where
    end = "then solve for what is left." if given else "then collect the terms with the acceleration."
    unknown = _unknown_forces(scene)
    if not unknown:
        return look, step, f"{begin}Put the friction, with its sign, into each equation, {end}"
    alone = _alone(scene)
    if len(unknown) > 1 and len(alone) > 1:
        how = (f"Begin with the equations in which only one of {_listed(letters(scene, u) for u in alone)} stands: solve them for it, put the whole expressions, in "
               f"parentheses, into the equation that is left, {end}")  # fmt: skip
    else:
        first = next(iter(alone), unknown[0])
        where = f"the equation in which it is the only unknown force, for {_called(scene, first)}" if alone and len(unknown) > 1 else f"one equation for {_called(scene, first)}"
        how = f"Solve {where}, put that whole expression, in parentheses, into {'the other' if len(scene.things) == 2 else 'the others'}, {end}"
    return look, step, begin + how


def _sense(scene: Scene) -> Three:
    vertical = any(body.moves == "vertical" for body in scene.bodies.values())
    if scene.ropes:
        several = len(scene.ropes) > 1
        look = f"Compare the tension{'s' if several else ''} with {'each weight' if vertical else 'each other force'}, and the acceleration with g."
        if not vertical:
            look = f"Compare the tension{'s' if several else ''} with the other forces along the line, and the acceleration with g."
    else:
        look = "Compare the forces with each other, and the acceleration with g."
    if scene.ropes and vertical:
        why = "A thing that gains speed upwards is pulled up harder than its weight; a body that is held back falls slower than freely."
    elif vertical:
        why = "A thing that gains speed upwards is pulled or pushed up harder than its weight; one that is held back falls slower than freely."
    elif any(body.moves == "slope" for body in scene.bodies.values()):
        why = "On a slope only a part of the weight acts along the line, so that a body that slides by itself gains speed more slowly than one that falls freely."
    else:
        why = "On the level the weight does not act along the line; what acts there is shared out over all the mass that it sets moving."
    return look, why, f"Write an inequality between two forces, or a limiting case such as: {_limit(scene)}"


# --- what the scene has -----------------------------------------------------------------------------------------------------


def _joints(scene: Scene) -> str:
    """What joins the things of a scene: "the rope", "the ropes", "the place where they touch"."""
    out = []
    joining = [rope for rope in scene.ropes if len({s.thing for s in rope.pulls}) > 1]
    if joining:
        out.append("the rope" if len(joining) == 1 else "the ropes")
    if scene.contacts or any(body.rests_on for body in scene.bodies.values()):
        out.append("the place where they touch" if len(scene.things) == 2 else "the places where things touch")
    if scene.rolling:
        out.append("the wheel that rolls")
    return " and ".join(out) or "how they are joined"


def _rubs(scene: Scene, item: str | None) -> bool:
    """Whether there is dry friction on a body, below it or where another lies on it."""
    on = [body for name, body in scene.bodies.items() if name == item or body.rests_on == item]
    return item in scene.bodies and any(body.friction is not None and (body.friction.kinetic or body.friction.static) for body in on) and not any(r.body == item for r in scene.rolling)


def _unknown_forces(scene: Scene) -> list[str]:
    """Letters of the forces that only the equations can give: tensions, contacts, the friction of a wheel that rolls."""
    return [s.name for s in scene.symbols.values() if s.kind in ("tension", "contact", "rolling")]


def _alone(scene: Scene) -> list[str]:
    """Those of these forces that are the only one on some thing, so that its equation gives them first."""
    acting = {thing: {r.symbol for r in scene.ropes for s in r.pulls if s.thing == thing} for thing in scene.things}
    for contact in scene.contacts:
        for strand in contact.pushes:
            acting[strand.thing].add(contact.symbol)
    for rolling in scene.rolling:
        for thing in (rolling.body, rolling.wheel):
            acting[thing].add(rolling.symbol)
    alone = {symbol for some in acting.values() if len(some) == 1 for symbol in some}
    return [symbol for symbol in _unknown_forces(scene) if symbol in alone]


def _called(scene: Scene, symbol: str) -> str:
    """ "the tension T", "the push P" """
    word = {"tension": "the tension", "contact": "the push", "rolling": "the friction"}[scene.symbols[symbol].kind]
    return f"{word} {letters(scene, symbol)}"


def _limit(scene: Scene) -> str:
    bodies = list(scene.bodies.values())
    over = [rope for rope in scene.ropes if len(rope.pulls) == 2 and all(s.direction == "up" for s in rope.pulls)]
    if over and len(bodies) == 2 and not any(body.acceleration for body in bodies):
        return "equal masses, so no acceleration."
    if any(body.acceleration is not None for body in bodies):
        return "without any acceleration the forces on each thing are in balance."
    if scene.forces:
        return f"what would happen without {letters(scene, scene.forces[0].symbol)}?"
    if any(body.moves == "slope" for body in bodies):
        return "what would happen on a slope that is almost level?"
    return "what would happen if one mass were very small?"


def _listed(parts: Iterable[str]) -> str:
    some = list(parts)
    return some[0] if len(some) == 1 else f"{', '.join(some[:-1])} and {some[-1]}"


def _unit(scene: Scene, item: str | None) -> str:
    symbol = scene.symbols.get(item or "")
    return f" of {_KINDS[symbol.kind]}" if symbol and symbol.kind in _KINDS else ""


_KINDS = {
    "acceleration": "an acceleration", "shared_acceleration": "an acceleration", "alpha": "an angular acceleration", "tension": "a force", "normal": "a force",
    "friction": "a force", "rolling": "a force", "contact": "a force", "weight": "a force", "speed": "a speed", "time": "a time",
}  # fmt: skip
