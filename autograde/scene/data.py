"""The same scene with other data: for variants, and for limiting cases."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from .checks import check
from .digest import digest_of
from .error import SceneError, Trouble, listed, near
from .model import Body, Friction, OutsideForce, Quantity, Scene, Strand, Symbol, Wheel
from .quantities import parse_quantity

_KINDS = {
    "mass": "mass", "wheel_mass": "mass", "acceleration": "acceleration", "gravity": "acceleration", "angle": "angle",
    "force_angle": "angle", "mu_k": "coefficient", "mu_s": "coefficient", "radius": "length", "strand_radius": "length",
    "inertia": "inertia", "drag": "torque", "distance": "length",
}  # fmt: skip


def with_data(scene: Scene, data: Mapping[str, str]) -> Scene:
    """The same scene with other data: with_data(scene, {"m_1": "7.25 kg", "mu_k": "0.25", "theta": "35 deg"}).

    Only what the file gives can be changed, and the letters stay as they are. Checked like a file: SceneError.
    The starting speed of a body has no letter of its own and is reached by its thing's name: {"starts sack": "2 m/s"}.
    """
    new: dict[str, Quantity] = {}
    starts: dict[str, Quantity] = {}
    for name, text in data.items():
        try:
            if name.startswith("starts "):
                starts[_starting(scene, name)] = parse_quantity("speed", text, decimal_comma=scene.decimal_comma)
            else:
                symbol = _datum(scene, name)
                kind = _KINDS.get(symbol.kind) or ("torque" if symbol.unit == "N m" else "force")
                new[name] = parse_quantity(kind, text, decimal_comma=scene.decimal_comma)
        except ValueError as why:
            raise SceneError(scene.name, name, str(why)) from None
    changed = _changed(scene, new, starts)
    try:
        check(changed)
    except Trouble as trouble:
        raise SceneError(scene.name, ".".join(str(p) for p in trouble.path), trouble.says) from None
    symbols = {n: replace(s, given=new[n]) if n in new else s for n, s in scene.symbols.items()}
    changed = replace(changed, symbols=symbols)
    return replace(changed, digest=digest_of(changed))


def _datum(scene: Scene, name: str) -> Symbol:
    symbol = scene.symbols.get(name)
    if symbol is None or symbol.given is None:
        given = [s.name for s in scene.symbols.values() if s.given is not None]
        raise ValueError(f"is no datum of this scene; there is {listed(given)}{near(name, given)}")
    return symbol


def _starting(scene: Scene, name: str) -> str:
    thing = name.removeprefix("starts ")
    if thing not in scene.bodies or scene.bodies[thing].starts is None:
        raise ValueError(f"no body named '{thing[:60]}' is already moving")
    return thing


def _changed(scene: Scene, new: Mapping[str, Quantity], starts: Mapping[str, Quantity]) -> Scene:
    of = {(s.kind, s.thing): new[n] for n, s in scene.symbols.items() if n in new}

    def body(b: Body) -> Body:
        friction = b.friction and Friction(
            kinetic=of.get(("mu_k", b.name), b.friction.kinetic), static=of.get(("mu_s", b.name), b.friction.static)
        )
        given = ("acceleration", b.name)
        letter = scene.symbol_of("angle", b.name)
        return replace(
            b,
            mass=of.get(("mass", b.name), b.mass),
            angle=new.get(letter, b.angle) if letter else b.angle,
            friction=friction,
            acceleration=b.acceleration and (b.acceleration[0], of.get(given, b.acceleration[1])),
            starts=b.starts and (b.starts[0], starts.get(b.name, b.starts[1])),
        )

    def wheel(w: Wheel) -> Wheel:
        return replace(
            w,
            radius=of.get(("radius", w.name), w.radius),
            inertia=of.get(("inertia", w.name), w.inertia),
            mass=of.get(("wheel_mass", w.name), w.mass),
            drag=of.get(("drag", w.name), w.drag),
        )

    def strand(s: Strand) -> Strand:
        return replace(s, radius=new.get(s.radius_symbol, s.radius)) if s.radius_symbol else s

    def force(f: OutsideForce) -> OutsideForce:
        angle = new.get(f.angle_symbol, f.angle) if f.angle_symbol else f.angle
        return replace(f, size=new.get(f.symbol, f.size), angle=angle)

    return replace(
        scene,
        g=new.get("g", scene.g),
        bodies={n: body(b) for n, b in scene.bodies.items()},
        wheels={n: wheel(w) for n, w in scene.wheels.items()},
        ropes=tuple(replace(r, pulls=tuple(map(strand, r.pulls))) for r in scene.ropes),
        contacts=tuple(replace(c, pushes=tuple(map(strand, c.pushes))) for c in scene.contacts),
        forces=tuple(map(force, scene.forces)),
        distance=new.get("d", scene.distance),
    )
