"""Sentences: the table of slips filled in with this student's force, body and chosen direction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..mechanics.setup import Setup, Term
from ..scene.model import OPPOSITE
from ..scene.notation import class_letter
from ..scene.words import thing_name, way
from .pieces import INERTIA, say_force
from .slips import SLIPS, UNNAMED
from .verdicts import Slip


class _Words(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "it"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


USUAL = {
    "against": ", against the sliding",
    "rub_why": "Kinetic friction on a body points against its sliding over the surface, whatever you chose as plus.",
    "rub_how": "Find out which way it slides over what it lies on; friction is the other way.",
    "trig_test": "Test with a flat slope: at 0 degrees nothing should pull along it.",
    "whole": "the whole weight stands where only a part of it counts",
    "split": "Split the weight first, and take the normal force from the balance across the line.",
    "turned": "one term",
    "arm": "a radius is missing, or stands where none belongs",
    "arm_why": "A torque is force times radius, and the equation of a wheel balances torques; the equation of a body balances forces.",
    "arm_how": "Check the units of each term: N m on a wheel, N on a body.",
    "paper": "line",
    "page": "equation",
    "normal": "N",
}
"""What a message says where a force, a body or a tie does not call for other words."""

RUBBING: dict[str, dict[str, str]] = {
    "drag": {
        "against": ", against the turning",
        "rub_why": "The drag of a bearing acts against the turning, whatever you chose as plus.",
        "rub_how": "Find out which way the {body} turns; the drag is the other way.",
    },
    "rolling": {
        "against": "",
        "rub_why": "Nothing slides where a wheel rolls: friction there is what keeps the rolling and the motion together, so it may point along the motion.",
        "rub_how": "Leave it out for a moment: which way would the rim slip? On the wheel friction is the other way, and on what carries the wheel it does the rest.",
    },
    "holds": {
        "against": "",
        "rub_why": "Static friction points against the way in which the body would slide without it.",
        "rub_how": "Leave it out for a moment: which way would the {body} slide? Friction is the other way.",
    },
    "over another": {
        "against": ", against its sliding over the {other_body}",
        "rub_why": "Kinetic friction points against the sliding of one surface over the other; on a body that is carried along it points along the motion.",
        "rub_how": "Find out which way the {body} slides as seen from the {other_body}; friction on the {body} is the other way.",
    },
    "slides": {"rub_how": "Find out which way the {body} slides; friction is the other way."},
}
"""How a rubbing force is told, by what it does there."""


def slip(
    kind: str, words: Mapping[str, str], at: tuple[int, int] | None = None, term: str | None = None, extra: str = ""
) -> Slip:
    """A slip of this kind, said in this student's terms: where and why first, then the principle, then what to do."""
    entry = SLIPS[kind]
    fields = _Words({**USUAL, "named": words.get("force", "it"), **words})
    for key in ("force", "wrote"):
        if key in words:
            fields[_capital(key)] = _capital(words[key])
    says = _capital(entry.says.format_map(fields).strip())
    return Slip(
        kind, f"{says} {extra}".strip(), at, term, entry.why.format_map(fields), _capital(entry.how.format_map(fields))
    )


def either(first: Slip, rival: str) -> Slip:
    """A slip told together with another kind that explains the line as well."""
    return replace(first, says=f"Either this: {first.says} Or you {SLIPS[rival].means}.")


def unnamed(says: str, at: tuple[int, int] | None = None, guessed: bool = False) -> Slip:
    """A line that is wrong in a way that the table has no kind for; guessed: nothing explains it, so that only a fresh start is left."""
    if not guessed:
        return Slip(UNNAMED, says, at, None)
    return Slip(
        UNNAMED,
        says,
        at,
        None,
        "No single slip explains this line, so none is guessed at.",
        "Build it again from your diagram: one term for each arrow, then the sign of each, then mass times acceleration.",
    )


IN_A_LINE = {
    "paper": "line",
    "page": "equation",
    "lacks": "your line has no term",
    "along": " along its line",
    "needs": "Newton's second law needs the sum of all the forces on the body along its line.",
    "gather": "Go round your diagram of the {body} and write one term for each arrow along its line.",
}
OF_A_WHEEL = {
    "along": ": it does not turn it",
    "needs": "The second law of a turning wheel needs the sum of all the torques on it.",
    "gather": "Go round your diagram of the {body} and write one torque for each arrow, and its bearing's drag if it has one.",
}
"""What is said of a wheel, which has no line of motion."""
IN_A_DIAGRAM = {
    "paper": "diagram",
    "page": "diagram",
    "lacks": "your diagram has no arrow",
    "along": "",
    "needs": "A force diagram shows every force on the body, across its line of motion too: those across it give the normal force.",
    "gather": "Ask what touches the {body}, what pulls it and what attracts it, and draw one arrow for each.",
}


ARROWS = {
    "weight": "The earth pulls every body straight down, on a slope and in a lift too, whichever way it moves.",
    "tension": "A rope can only pull: on each thing that it is tied to, its arrow points from that thing along the rope.",
    "contact": "A contact can only push: its arrow points from the surface that pushes into the thing that is pushed.",
    "normal": "A surface can only push, straight out of itself.",
    "outside": "Which way this force acts is told by the problem; it does not hang on what you chose as plus.",
}
"""Why the arrow of a force points as it does, by the kind of force; a friction's reason is its slip's own."""


TURNING = {
    "arm_why": "When a wheel turns by an angle, its rim (and the rope on it) goes the radius times that angle: so a = R alpha.",
    "arm_how": "Check the units: alpha is in rad/s^2, and times a length it becomes an acceleration in m/s^2.",
}
"""What is said of a radius between the acceleration of a rim and that of its wheel."""


def force_words(setup: Setup, thing: str, symbol: str | None) -> dict[str, str]:
    """The words of a message about one force on one thing."""
    plus = setup.positive.get(thing, "")
    words = {"body": thing_name(thing), "plus": way(plus), "chose": f"You chose {way(plus)} as plus for the {thing_name(thing)}. "}
    inertia = next((str_inertia(setup, t) for t in (thing,) if t in setup.equations), "m a")
    words["inertia"] = inertia
    words["force"] = f"the term {inertia}" if symbol == INERTIA else say_force(setup, symbol) if symbol else "one term"
    words["normal"] = setup.scene.notation.get("normal", "N")
    words.update(IN_A_LINE | (OF_A_WHEEL if thing in setup.scene.wheels else {}))
    words["gather"] = words["gather"].format(body=words["body"])
    known = setup.scene.symbols.get(symbol or "")
    rubs = known is not None and known.kind == "friction"
    words["weighs"] = f"{words['force']} {'is a coefficient times a force, ' + words['normal'] if rubs else 'is a force, mass times g'}"
    words["counted"] = f"{words['force']} enters once for each of them"
    body = setup.scene.bodies.get(thing)
    if body is not None and body.moves != "slope":
        words["whole"] = "the normal force is taken as m g, but more than the weight acts across the surface"
        words["split"] = "Take the normal force from the balance across the line: every force that has a part there counts."
    if (known is not None and known.kind == "outside") or (body is not None and body.moves != "slope"):
        words["trig_test"] = "Test with no tilt: at 0 degrees all of the force acts along the line, and nothing across it."
    if symbol and thing in setup.equations:
        for t in setup.equations[thing].terms:
            if t.symbol == symbol:
                along = plus if t.sign > 0 else OPPOSITE[plus]
                words["acts"] = way(t.direction if t.direction in (plus, OPPOSITE[plus]) else along)
                words.update(_rubbing(setup, t))
                words["enters"] = "a plus" if t.sign > 0 else "a minus"
    return words


def _rubbing(setup: Setup, term: Term) -> dict[str, str]:
    """The words for a friction, a rolling friction or a drag."""
    if term.kind not in ("friction", "rolling", "drag"):
        return {}
    holds = setup.regime.friction.get(term.symbol, ("slides", None))[0] == "holds"
    how = term.kind if term.kind != "friction" else "holds" if holds else "over another" if term.other else "slides"
    names = {"body": thing_name(term.thing), "other_body": thing_name(term.other or "")}
    return {key: text.format_map(names) for key, text in RUBBING[how].items()}


def across_words(setup: Setup, thing: str, symbol: str) -> dict[str, str]:
    """The words of a message about one force in the balance across a body's line, which gives its normal force."""
    balance = setup.balances[thing]
    sign, size = next((sign, size) for name, _, sign, size in balance.terms if name == symbol)
    tilted = any("(" in s for s in size.symbols)
    own = class_letter(setup.scene, balance.symbol)
    return {
        "force": say_force(setup, symbol) + (" has a part across the surface, which" if tilted else ""),
        "named": f"that part of {say_force(setup, symbol)}" if tilted else say_force(setup, symbol),
        "chose": f"{own} balances what acts across the surface. ",
        "acts": "away from the surface" if sign > 0 else "into the surface",
        "enters": f"{'a minus' if sign > 0 else 'a plus'} in {own}",
        "lacks": f"your {own} has no term",
        "gather": f"Go round your diagram of the {thing_name(thing)} and write the part of each arrow across the surface.",
    }


def str_inertia(setup: Setup, thing: str) -> str:
    """m_1 a_1 or I alpha, as the equation has it."""
    poly = setup.equations[thing].inertia
    for monomial in poly.terms:
        names = [s for s, _ in monomial]
        names.sort(key=lambda s: s.startswith(("a", "alpha")))
        return " ".join(class_letter(setup.scene, n) for n in names)
    return "m a"
