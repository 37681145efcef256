"""From the tables of a scene file to the frozen records of `model`: nothing but renaming."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from .document import BodyTable, FrictionTable, SceneTable
from .model import Body, Contact, Friction, OutsideForce, Quantity, Rolling, Rope, Scene, Strand, Wheel

STANDARD_G = Quantity(Fraction(98, 10), "9.8", "m/s^2")


def build(table: SceneTable, name: str) -> Scene:
    """The scene of those tables, still without symbols and unchecked."""
    asked = list(table.ask.values)
    if table.ask.motion is not None and not {"t", "v"} & set(asked):
        asked += ["t", "v"]
    notation = {k: v for k, v in table.notation.model_dump().items() if v is not None}
    scene = Scene(
        name=name,
        title=table.title,
        story=table.story,
        topic=table.topic,
        g=table.g or STANDARD_G,
        bodies=_with_indices({n: _body(n, b) for n, b in table.bodies.items()}),
        wheels={
            n: Wheel(n, w.index, w.radius, inertia=w.inertia, mass=w.mass, shape=w.shape, drag=w.drag)
            for n, w in table.wheels.items()
        },
        ropes=tuple(Rope(r.symbol, tuple(r.pulls), hauled=bool(r.hauled)) for r in table.ropes),
        contacts=tuple(Contact(c.symbol, tuple(c.pushes)) for c in table.contacts),
        rolling=tuple(Rolling(r.body, r.wheel, r.symbol) for r in table.rolling),
        forces=tuple(OutsideForce(f.symbol, f.on, f.direction, f.size, f.angle) for f in table.forces),
        asked=tuple(asked),
        distance=table.ask.motion.distance if table.ask.motion else None,
        notation=notation,
        decimal_comma=table.decimal_comma,
    )
    return _with_letters(scene)


def _body(name: str, table: BodyTable) -> Body:
    return Body(
        name=name,
        index=table.index,
        mass=table.mass,
        moves=table.moves,
        angle=table.angle,
        friction=_friction(table.friction),
        acceleration=table.acceleration,
        starts=table.starts,
        rests_on=table.rests_on,
    )


def _with_indices(bodies: dict[str, Body]) -> dict[str, Body]:
    """A massless pulley that has no index gets the next free one: nobody calls it by a letter but for its acceleration."""
    if len(bodies) < 2:
        return bodies
    used = {b.index for b in bodies.values()}
    free = (i for i in range(1, 1000) if i not in used)
    return {n: replace(b, index=next(free)) if b.index is None and not b.mass.value else b for n, b in bodies.items()}


def _friction(table: FrictionTable | None) -> Friction | None:
    if table is None or (table.kinetic is None and table.static is None):
        return None
    return Friction(kinetic=table.kinetic, static=table.static)


def _with_letters(scene: Scene) -> Scene:
    """Name the tilt angles (phi) and the strands' own radii (r), numbered in the order of the file where several."""
    tilted = [f.symbol for f in scene.forces if f.angle is not None]
    angles = _numbered("phi", tilted)
    # Two strands at the same radius of the same wheel have the same letter.
    arms: list[tuple[str, Fraction]] = []
    for strand in strands(scene):
        if strand.radius is not None and (strand.thing, strand.radius.value) not in arms:
            arms.append((strand.thing, strand.radius.value))
    radii = _numbered("r", arms)

    def lettered(strand: Strand) -> Strand:
        if strand.radius is None:
            return strand
        return replace(strand, radius_symbol=radii[strand.thing, strand.radius.value])

    return replace(
        scene,
        ropes=tuple(replace(r, pulls=tuple(map(lettered, r.pulls))) for r in scene.ropes),
        contacts=tuple(replace(c, pushes=tuple(map(lettered, c.pushes))) for c in scene.contacts),
        forces=tuple(replace(f, angle_symbol=angles[f.symbol]) if f.angle is not None else f for f in scene.forces),
    )


def _numbered(letter: str, items: list) -> dict:  # type: ignore[type-arg]  # any hashable
    if len(items) == 1:
        return {items[0]: letter}
    return {item: f"{letter}_{i}" for i, item in enumerate(items, start=1)}


def strands(scene: Scene) -> list[Strand]:
    """All strands of ropes and contacts, in the order of the file."""
    return [s for r in scene.ropes for s in r.pulls] + [s for c in scene.contacts for s in c.pushes]
