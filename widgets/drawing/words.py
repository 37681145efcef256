"""What the drawings show, in words: for whoever does not see them, for search, and for a screen reader."""

from __future__ import annotations

from collections.abc import Mapping

from ...autograde.scene.model import Quantity, Scene, Strand
from ...autograde.scene.words import DIRECTION_LABELS, thing_name
from .lifts import wheel_in

_UNITS = {"m/s^2": "m/s²", "kg m^2": "kg m²", "deg": "°", "rad/s^2": "rad/s²"}


_COUNTS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}

ROUNDED_RESULT = "{symbol} = {text} is right but for its rounding. The picture takes it as it stands."
ROUNDED_SUM = "From your rounded results: {mine}. The difference is rounding only."
"""What the closing picture says where a student's number and the true one differ by rounding alone."""


def shown(quantity: Quantity) -> str:
    """A given value as it is printed: "6.5 kg", "30°"."""
    unit = pretty_unit(quantity.unit)
    return quantity.text.replace("-", "\N{MINUS SIGN}") + (unit if unit == "°" else f" {unit}" if unit not in ("", "1") else "")


def pretty_unit(unit: str) -> str:
    return _UNITS.get(unit, unit)


def tilt_in_words(degrees: float) -> str:
    """ "tilted 35° away from the surface" """
    return f"tilted {abs(degrees):g}° {'away from' if degrees > 0 else 'into'} the surface"


def scene_text(scene: Scene, positive: Mapping[str, str], *, values: bool) -> str:
    """One sentence for each thing, rope, contact and given force of a scene, and for each positive direction shown."""
    said = [_thing(scene, thing, values) for thing in scene.things]
    for rope in scene.ropes:
        hauled = ", and is reeled in or out at its other end" if rope.hauled else ""
        said.append(f"The rope {rope.symbol} pulls {strands(rope.pulls, values=values)}{hauled}.")
    said += [f"At a contact a force {c.symbol} pushes {strands(c.pushes)}." for c in scene.contacts]
    said += [f"The {thing_name(r.wheel)} rolls without slipping, held by the friction {r.symbol}." for r in scene.rolling]
    for force in scene.forces:
        size = f" = {shown(force.size)}" if values else ""
        tilt = f", tilted by {force.angle_symbol} = {shown(force.angle)} {'away from' if force.angle.value >= 0 else 'into'} the surface" if force.angle else ""
        kind = "torque" if force.is_torque else "force"
        said.append(f"A given {kind} {force.symbol}{size} acts on the {thing_name(force.on)}, {DIRECTION_LABELS[force.direction]}{tilt}.")
    if positive:
        ways = ", ".join(f"{DIRECTION_LABELS[w]} for the {thing_name(t)}" for t, w in positive.items())
        said.append(f"An arrow with a plus shows the positive direction: {ways}.")
    return " ".join(said)


def strands(pulls: tuple[Strand, ...], *, values: bool = True) -> str:
    """ "the sack up and the crate up with two strands"; on a wheel also "at r = 0.10 m from its axis", with values, where that is not its rim."""
    counted: dict[tuple[str, str, str], int] = {}
    for s in pulls:
        at = f" at {s.radius_symbol}{f' = {shown(s.radius)}' if values else ''} from its axis" if s.radius is not None and s.radius_symbol else ""
        counted[(s.thing, s.direction, at)] = counted.get((s.thing, s.direction, at), 0) + 1
    parts = [f"the {thing_name(t)} {DIRECTION_LABELS[d]}{at}" + (f" with {_COUNTS.get(n, n)} strands" if n > 1 else "") for (t, d, at), n in counted.items()]
    return ", ".join(parts[:-1]) + (" and " if len(parts) > 1 else "") + parts[-1]


def _thing(scene: Scene, thing: str, values: bool) -> str:
    name = f"The {thing_name(thing)}"
    if thing in scene.wheels:
        data = wheel_data(scene, thing, values)
        return f"{name} ({', '.join(data)}) {_axis(scene, thing)}."
    body = scene.bodies[thing]
    symbol = scene.symbol_of("mass", thing)
    data = [f"{symbol} = {shown(body.mass)}" if values else symbol] if symbol and body.mass.value else ["massless"]
    stands = {
        "vertical": "moves up or down", "level": "stands on a level surface",
        "slope": f"stands on a slope of {scene.symbol_of('angle', thing)}" + (f" = {shown(body.angle)}" if values and body.angle else ""),
    }[body.moves]  # fmt: skip
    if body.rests_on:
        stands = f"rests on the {thing_name(body.rests_on)}"
    rough = ", which is rough" if body.friction is not None and (body.friction.kinetic or body.friction.static) else ""
    out = f"{name} ({', '.join(data)}) {stands}{rough}."
    if body.starts is not None and body.starts[1].value:
        out += f" At the start it moves {DIRECTION_LABELS[body.starts[0]]} with {shown(body.starts[1])}."
    if body.acceleration is not None:
        out += f" Its acceleration is given: {shown(body.acceleration[1])} {DIRECTION_LABELS[body.acceleration[0]]}."
    return out


def _axis(scene: Scene, wheel: str) -> str:
    lift = wheel_in(scene, wheel)
    if lift is not None:
        return f"turns about an axis that the {thing_name(lift)} carries"
    return "rolls with its body" if any(r.wheel == wheel for r in scene.rolling) else "turns about a fixed axis"


def wheel_data(scene: Scene, thing: str, values: bool) -> list[str]:
    """The letters of a wheel with their values: ["M = 10 kg", "R = 0.40 m"]."""
    out = []
    for kind in ("wheel_mass", "inertia", "radius", "drag"):
        name = scene.symbol_of(kind, thing)
        symbol = scene.symbols.get(name) if name else None
        if symbol is not None and (symbol.given is not None or not values):
            out.append(f"{symbol.name} = {shown(symbol.given)}" if values and symbol.given else symbol.name)
    return out
