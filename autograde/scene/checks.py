"""What must fit together in a scene: each check refuses with one sentence that says what would do."""

from __future__ import annotations

from fractions import Fraction

from .build import strands
from .error import Path, Trouble, listed, near
from .model import DIRECTIONS, OPPOSITE, Body, Contact, Quantity, Rope, Scene, Strand, Wheel

MOST_THINGS = 250
MOST_STRANDS = 1000
_MOVES = {"vertical": "moves vertically", "level": "moves on the level", "slope": "moves on a slope"}


def check(scene: Scene) -> None:
    """Raise Trouble at the first thing that does not fit."""
    if scene.g.value <= 0:
        raise Trouble(("g",), f"{scene.g.text} {scene.g.unit} must be more than zero")
    if not scene.bodies and not scene.wheels:
        raise Trouble(("bodies",), "there is nothing that can move; add a body, like [bodies.sack]")
    for name in scene.wheels:
        if name in scene.bodies:
            raise Trouble(("wheels", name), f"there is a body named {name} too; give the wheel another name")
    if len(strands(scene)) > MOST_STRANDS:
        raise Trouble(("ropes",), f"{len(strands(scene))} strands in all; at most {MOST_STRANDS} will do")
    for body in scene.bodies.values():
        _body(scene, body)
    for wheel in scene.wheels.values():
        _wheel(wheel)
    _links(scene)
    _rolling(scene)
    _forces(scene)
    if scene.distance is not None:
        _positive(("ask", "motion", "distance"), scene.distance, "a distance")
    if not scene.asked:
        raise Trouble(("ask", "values"), 'nothing is asked; name at least one symbol, like values = ["a"]')


def _positive(path: Path, quantity: Quantity, what: str) -> None:
    if quantity.value <= 0:
        raise Trouble(path, f"{what} must be more than zero, not {quantity.text} {quantity.unit}".rstrip())


def _not_negative(path: Path, quantity: Quantity, what: str) -> None:
    if quantity.value < 0:
        raise Trouble(path, f"{what} can't be negative ({quantity.text} {quantity.unit})".replace(" )", ")"))


def _body(scene: Scene, body: Body) -> None:
    where = ("bodies", body.name)
    _mass(scene, body)
    _angle(body)
    if body.friction is not None:
        _friction(body)
    for key, pair in (("acceleration", body.acceleration), ("starts", body.starts)):
        if pair is not None:
            word, size = pair
            _direction((*where, key), body.name, body.moves, word)
            opposite = OPPOSITE[word]
            if size.value < 0:
                raise Trouble(
                    (*where, key), f'{size.text} {size.unit} is negative; write "{opposite}" with the size instead'
                )
    if body.rests_on is not None:
        _carried(scene, body)


def _mass(scene: Scene, body: Body) -> None:
    where = ("bodies", body.name, "mass")
    _not_negative(where, body.mass, "a mass")
    if body.mass.value == 0:
        ropes = [r for r in scene.ropes if any(s.thing == body.name for s in r.pulls)]
        if len(ropes) < 2:
            raise Trouble(where, "zero only for a massless movable pulley that joins two ropes; a body needs a mass")
        if body.friction is not None:
            raise Trouble(("bodies", body.name, "friction"), "a massless pulley can't have friction")


def _angle(body: Body) -> None:
    where = ("bodies", body.name)
    if body.moves == "slope":
        if body.angle is None:
            raise Trouble((*where, "angle"), 'missing; moves = "slope" needs one, like angle = "30 deg"')
        if not 0 <= body.angle.value <= 90:
            raise Trouble((*where, "angle"), f"{body.angle.text} deg is not from 0 to 90 deg")
    elif body.angle is not None:
        raise Trouble((*where, "angle"), f'only for moves = "slope", but {body.name} {_MOVES[body.moves]}')


def _friction(body: Body) -> None:
    where = ("bodies", body.name, "friction")
    assert body.friction is not None
    if body.moves == "vertical":
        raise Trouble(where, f"{body.name} moves vertically, so nothing presses it to a surface; leave friction out")
    kinetic, static = body.friction.kinetic, body.friction.static
    for key, value in (("kinetic", kinetic), ("static", static)):
        if value is not None:
            _not_negative((*where, key), value, "a coefficient of friction")
    if kinetic is not None and static is not None and static.value < kinetic.value:
        raise Trouble(
            (*where, "static"),
            f"static {static.text} is less than kinetic {kinetic.text}; it is never less",
        )


def _carried(scene: Scene, body: Body) -> None:
    where = ("bodies", body.name, "rests_on")
    if body.moves == "vertical":
        raise Trouble(where, f"{body.name} moves vertically; only a body on the level or a slope can rest on another")
    lower = scene.bodies.get(body.rests_on or "")
    if lower is None:
        raise Trouble(where, f"no body is named '{body.rests_on}'{near(body.rests_on or '', scene.bodies)}")
    if lower.moves != body.moves or (body.angle and lower.angle and body.angle.value != lower.angle.value):
        raise Trouble(
            where, f"{body.name} and {lower.name} must move along the same line; give both the same moves and angle"
        )
    seen = [body.name]
    while lower is not None:
        if lower.name in seen:
            raise Trouble(where, f"{' rests on '.join([*seen, lower.name])}: one of them must rest on the ground")
        seen.append(lower.name)
        lower = scene.bodies.get(lower.rests_on) if lower.rests_on is not None else None


def _direction(path: Path, name: str, moves: str, word: str) -> None:
    words = DIRECTIONS[moves]
    if word not in words:
        does = _MOVES.get(moves, "is a wheel")
        raise Trouble(path, f"'{word}' is no direction of {name}, which {does}; use {words[0]} or {words[1]}")


def _wheel(wheel: Wheel) -> None:
    where = ("wheels", wheel.name)
    _positive((*where, "radius"), wheel.radius, "a radius")
    if wheel.inertia is not None:
        if wheel.mass is not None or wheel.shape is not None:
            raise Trouble(where, "has both inertia and mass with shape; keep one of the two")
        _positive((*where, "inertia"), wheel.inertia, "a rotational inertia")
    elif wheel.mass is None and wheel.shape is None:
        raise Trouble(where, 'needs inertia = "0.03 kg m^2", or mass = "4 kg" with shape = "disk"')
    elif wheel.mass is None or wheel.shape is None:
        missing = "mass" if wheel.mass is None else "shape"
        raise Trouble(where, f"{missing} is missing; mass and shape go together")
    else:
        _positive((*where, "mass"), wheel.mass, "a wheel's mass")
    if wheel.drag is not None:
        _not_negative((*where, "drag"), wheel.drag, "a bearing's friction torque")


def _links(scene: Scene) -> None:
    links: list[tuple[str, str, int, Rope | Contact, tuple[Strand, ...]]] = []
    links += [("ropes", "pulls", n, r, r.pulls) for n, r in enumerate(scene.ropes)]
    links += [("contacts", "pushes", n, c, c.pushes) for n, c in enumerate(scene.contacts)]
    for table, key, n, link, rows in links:
        where = (table, n, key)
        if not rows:
            what = "rope pulls" if table == "ropes" else "contact pushes"
            raise Trouble(where, f'empty; list what the {what}, like {key} = [["sack", "up"]] ({link.symbol})')
        for i, strand in enumerate(rows):
            _strand(scene, (*where, i), strand)
        if table == "ropes":
            _both_sides(scene, where, link.symbol, rows)


def _strand(scene: Scene, where: Path, strand: Strand) -> None:
    _thing(scene, where, strand.thing)
    _direction(where, strand.thing, _kind(scene, strand.thing), strand.direction)
    if strand.radius is not None:
        if strand.thing not in scene.wheels:
            raise Trouble(where, f"a radius only goes with a wheel, and {strand.thing} is a body; leave it out")
        _positive(where, strand.radius, "a radius")


def _both_sides(scene: Scene, where: Path, symbol: str, rows: tuple[Strand, ...]) -> None:
    """A rope has one tension, so the two sides of a wheel with inertia can't be one rope: it would never turn."""
    ways: dict[tuple[str, Fraction | None], str] = {}
    for i, strand in enumerate(rows):
        if strand.thing not in scene.wheels:
            continue
        arm = (strand.thing, strand.radius.value if strand.radius is not None else None)
        if ways.setdefault(arm, strand.direction) != strand.direction:
            raise Trouble(
                (*where, i),
                f"{symbol} turns {strand.thing} both ways; a wheel with inertia has a rope on each side, each with a symbol "
                "of its own (T_1, T_2); a light pulley is no wheel and is left out",
            )


def _kind(scene: Scene, thing: str) -> str:
    return scene.bodies[thing].moves if thing in scene.bodies else "wheel"


def _thing(scene: Scene, where: Path, name: str) -> None:
    if name not in scene.bodies and name not in scene.wheels:
        known = scene.things
        raise Trouble(where, f"nothing is named '{name[:60]}'; there is {listed(known)}{near(name, known)}")


def _rolling(scene: Scene) -> None:
    used: set[str] = set()
    for n, roll in enumerate(scene.rolling):
        where = ("rolling", n)
        body = scene.bodies.get(roll.body)
        if body is None:
            raise Trouble((*where, "body"), f"no body is named '{roll.body[:60]}'{near(roll.body, scene.bodies)}")
        if roll.wheel not in scene.wheels:
            raise Trouble((*where, "wheel"), f"no wheel is named '{roll.wheel[:60]}'{near(roll.wheel, scene.wheels)}")
        if body.moves == "vertical":
            raise Trouble(
                (*where, "body"), f"{body.name} moves vertically and has no surface to roll on; use a level or a slope"
            )
        if roll.wheel in used:
            raise Trouble((*where, "wheel"), f"{roll.wheel} rolls already; a wheel rolls in one place only")
        used.add(roll.wheel)


def _forces(scene: Scene) -> None:
    for n, force in enumerate(scene.forces):
        where = ("forces", n)
        _thing(scene, (*where, "on"), force.on)
        _direction((*where, "direction"), force.on, _kind(scene, force.on), force.direction)
        if force.size.value < 0:
            raise Trouble(
                (*where, "size"), f"{force.size.text} {force.size.unit} is negative; turn the direction round instead"
            )
        if force.is_torque and force.on in scene.bodies:
            raise Trouble((*where, "size"), f"'{force.size.unit}' is a torque, and {force.on} is a body; use N")
        if force.angle is not None:
            _tilt(scene, where, force.on, force.angle)


def _tilt(scene: Scene, where: Path, on: str, angle: Quantity) -> None:
    if on in scene.wheels:
        raise Trouble(
            (*where, "angle"), f"{on} is a wheel; a force on a wheel acts along the rim, so leave the angle out"
        )
    if scene.bodies[on].moves == "vertical":
        raise Trouble(
            (*where, "angle"), f"{on} moves vertically and has no surface to tilt away from; leave the angle out"
        )
    if not -90 <= angle.value <= 90:
        raise Trouble((*where, "angle"), f"{angle.text} deg is not from -90 to 90 deg")
