"""The sentences and names that the steps show: plain words for steps, symbols and directions."""

from __future__ import annotations

from collections.abc import Mapping

from ..autograde.method import step_title
from ..autograde.reading.greek import GREEK
from ..autograde.scene.model import Scene, Symbol
from ..autograde.scene.notation import class_letter
from ..autograde.scene.words import DIRECTION_LABELS, thing_name

COST_BEFORE = "This takes no points here: such a slip has cost some already, and costs once."
"""What is said of a slip that has all of its points."""

_DECIMAL = "Give it as a decimal number with its unit: work the fraction out, and round it once, at the end."
FRACTION: dict[str, str] = {
    "right": f"The value is right. {_DECIMAL}",
    "follows": _DECIMAL,
    "slip": f"The value of the fraction is right. {_DECIMAL}",
}
"""What is said of a result that is a fraction of two numbers, by the verdict on it; "slip": one of the unit alone."""

CLOSING: dict[str, str] = {
    "title": "How it moves",
    "held": "Your answers are kept. This picture shows what comes of them, so it waits until they are marked.",
    "waits": "This picture is made of your own answers. First:",
    "directions": "choose the plus direction for {things};",
    "forces": "draw the forces on {things};",
    "results": "give your results.",
    "slip": "{symbol} = {text} does not hold. The picture takes it at its word: see what it would mean.",
    "unit": "{symbol} = {text} has the right number; only its unit needs mending. The picture takes it in {unit}.",
    "follows": "{symbol} = {text} follows from your own lines, but an earlier line needs mending.",
    "unread": "{symbol}: “{text}” gives no number that could be shown.",
    "missing": "There is no result for {symbol} yet, so nothing that hangs on it is shown.",
    "still-unknown": "Your results don’t say yet how everything moves, so only the forces are shown.",
    "long": "By your numbers it takes {time} s. The first {shown} s are shown.",
    "rest": "By your numbers nothing moves.",
    "rate": "One second of the picture is one second: the motion takes {time} s. All paths are drawn to one scale.",
    "rate-wheels": " Wheels turn as far as they do.",
    "goes": "{thing}: {begins}, {symbol} = {a} m/s² with plus {plus}. After {time} s it has gone {distance} {way}; its speed is then {speed}.",
    "turns": "{thing}: {begins}, {symbol} = {a} rad/s² with plus {plus}. After {time} s it has turned {distance} {way}; its angular speed is then {speed}.",
    "from-rest": "from rest",
    "starts": "it starts with {speed} {way}",
    "stops": "After {time} s it stands still for a moment. What it does then is another problem.",
    "no-force": "No force of a known size.",
    "unknown": "Not drawn, because your results give no size for it: {symbols}.",
    "fits": "{net}: its mass times its acceleration.",
    "fits-turn": "{net}: its moment of inertia times its angular acceleration.",
    "needs": "Its mass times its acceleration is {size} {way}.",
    "needs-turn": "Its moment of inertia times its angular acceleration is {size} {way}.",
}
"""What the closing picture says."""

FORCE_KINDS = ("weight", "normal", "friction", "rolling", "tension", "contact", "outside", "drag")

_FORCE_NAMES: dict[str, str] = {
    "weight": "weight of the {thing}",
    "normal": "push of the surface on the {thing}",
    "friction": "friction on the {thing}",
    "rolling": "friction at the rim",
    "tension": "pull of the rope",
    "contact": "push at the contact",
    "outside": "the given force",
    "drag": "friction torque of the bearing",
}

_SPOKEN: dict[str, tuple[str, ...]] = {
    "weight": ("weight", "gravity", "W", "F_g", "mg", "G"),
    "normal": ("normal force", "normal", "N", "F_N"),
    "friction": ("friction", "friction force", "f", "F_f"),
    "rolling": ("friction", "friction force", "f", "F_f"),
    "tension": ("tension", "pull of the rope", "rope", "T", "F_T"),
    "contact": ("contact force", "push", "P"),
    "outside": ("given force", "F"),
    "drag": ("drag", "friction torque"),
}

WAYS_TYPED: dict[str, tuple[str, ...]] = {
    "up": ("upward", "upwards", "↑"), "down": ("downward", "downwards", "↓"), "left": ("leftward", "leftwards", "←"),
    "right": ("rightward", "rightwards", "→"), "upslope": ("up slope", "uphill"), "downslope": ("down slope", "downhill"),
    "clockwise": ("cw", "↻"), "counterclockwise": ("ccw", "anticlockwise", "↺"),
    "away": ("away from the surface", "out of the slope", "straight out of the slope", "perpendicular to the slope", "perpendicular", "away", "out"),
    "into": ("into the surface", "straight into the slope", "into", "in"),
}  # fmt: skip
"""How else a direction may be typed in a force diagram, beside its word and its label."""

NONE_OF_THESE = "other"
"""The symbol kept for a force that is none of the scene's."""


def title_of(step: str, item: str | None) -> str:
    return step_title(step, thing_name(item) if item else "")


def force_symbols(scene: Scene) -> list[tuple[str, str, str]]:
    """(symbol, plain words, the class's letters) for every force of the scene; the student picks from all of them."""
    out = [(s.name, force_name(s, scene), letters(scene, s.name)) for s in scene.symbols.values() if s.kind in FORCE_KINDS]
    return [*out, (NONE_OF_THESE, "another force, none of these", "another force")]


def typed_names(scene: Scene, symbol: str, thing: str | None) -> str:
    """How else a force may be typed in the diagram of one thing, with "; " between: "weight" on the sack is the sack's own, "m_2 g" is
    that of body 2 in every diagram, "R T" on a wheel is its rope's."""
    found = scene.symbols.get(symbol)
    if found is None:
        return ""
    mass = scene.symbol_of("mass", found.thing) if found.kind == "weight" and found.thing else None
    product: tuple[str, ...] = (f"{mass} g",) if mass else ()
    radius = scene.symbol_of("radius", thing) if thing in scene.wheels and found.kind == "tension" else None
    if radius:  # the torque of a pull is drawn as the pull
        product = (f"{radius} {symbol}", f"{symbol} {radius}")
    if thing is not None and found.thing not in (None, thing):
        return "; ".join(product)
    return "; ".join((*_SPOKEN[found.kind], *product))


def letters(scene: Scene, name: str) -> str:
    """A symbol in the letters of this class, or the words for none of its forces."""
    return "another force" if name == NONE_OF_THESE else class_letter(scene, name)


def force_name(symbol: Symbol, scene: Scene) -> str:
    name = _FORCE_NAMES[symbol.kind].format(thing=thing_name(symbol.thing or "thing"))
    several = sum(s.kind == symbol.kind for s in scene.symbols.values() if s.kind in ("tension", "contact", "outside"))
    return f"{name} {symbol.name}" if several > 1 else name


def force_directions(scene: Scene, thing: str) -> list[tuple[str, str]]:
    """(word, label) for each direction in which a force on this thing may be drawn."""
    if thing in scene.wheels:
        words: tuple[str, ...] = ("clockwise", "counterclockwise")
    elif scene.bodies[thing].moves == "slope":
        words = ("upslope", "downslope", "away", "into", "up", "down")
    else:
        words = ("up", "down", "left", "right")
    return [(w, DIRECTION_LABELS[w]) for w in words]


MEANINGS: dict[str, str] = {
    "shared_acceleration": "the size that all accelerations share; with your directions their signs differ",
    "distance": "the distance that is covered",
    "time": "the time to cover it",
    "speed": "the speed at its end, a size",
}
"""What letters stand for that no datum explains, by the kind of the symbol."""


def implication(scene: Scene, directions: Mapping[str, str]) -> str:
    """What the chosen directions mean for signs, said once they are kept. It gives away neither the tie nor the motion."""
    parts = []
    for thing in scene.things:
        word = directions.get(thing)
        if word is None or word not in scene.directions(thing):
            continue
        label = DIRECTION_LABELS[word]
        if thing in scene.wheels:
            symbol = (scene.symbol_of("alpha", thing) or "alpha").replace("alpha", GREEK["alpha"])
            what, when = "torques that turn it", f"its angular acceleration is {label}"
        else:
            symbol, what, when = scene.symbol_of("acceleration", thing) or "a", "forces that act", f"its acceleration points {label}"
        parts.append(f"In the equation for the {thing_name(thing)}, {what} {label} enter with a plus; {symbol} is positive if {when}.")
    return " ".join(parts)
