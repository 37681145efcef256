"""The letters of a scene: one table from canonical name to what it stands for; letters that clash are refused."""

from __future__ import annotations

from .build import strands
from .error import Path, Trouble, listed, near
from .letters import base
from .model import Body, Quantity, Scene, Symbol

_RESERVED = {"e": "the number e", "pi": "the number pi"}
_NOTATION_KIND = {"weight": "W", "normal": "N", "friction": "f", "inertia": "I"}


class _Table:
    """Symbols collected so far, and the key in the file that brought each."""

    def __init__(self) -> None:
        self.symbols: dict[str, Symbol] = {}
        self.origin: dict[str, Path] = {}

    def add(
        self, path: Path, name: str, kind: str, thing: str | None, unit: str, given: Quantity | None = None
    ) -> None:
        if name in _RESERVED:
            raise Trouble(path, f"'{name}' is {_RESERVED[name]}; take another letter")
        old = self.symbols.get(name)
        if old is not None:
            if kind == old.kind and thing is None and kind in _EACH:
                raise Trouble(path, f"two {_EACH[kind]} are both called {name}; give each its own symbol, like {base(name)}_1 and {base(name)}_2")
            what, other = _called(kind, thing), _called(old.kind, old.thing)
            raise Trouble(
                path, f"'{name}' for {what} and '{name}' for {other} can't be told apart; take another letter"
            )
        self.symbols[name] = Symbol(name, kind, thing, unit, given)
        self.origin[name] = path


_EACH = {"tension": "ropes", "contact": "contacts", "outside": "forces"}
_WORDS = {
    "tension": "a tension", "contact": "a contact force", "rolling": "a rolling wheel's friction",
    "outside": "an outside force", "gravity": "the acceleration of free fall", "time": "the time", "speed": "the speed",
    "distance": "the distance", "shared_acceleration": "the acceleration", "angle": "the angle of a slope",
    "force_angle": "the tilt of a force", "strand_radius": "a strand's radius", "normal": "the normal force",
    "mu_k": "the coefficient of kinetic friction", "mu_s": "the coefficient of static friction",
    "friction": "the friction force", "alpha": "the angular acceleration", "drag": "the bearing's friction",
    "inertia": "the rotational inertia", "wheel_mass": "the mass",
}  # fmt: skip


def _called(kind: str, thing: str | None) -> str:
    word = _WORDS.get(kind, f"the {kind}")
    return (
        f"{word} of {thing}"
        if thing is not None and kind not in ("outside", "rolling", "angle", "strand_radius")
        else word
    )


def symbol_table(scene: Scene) -> dict[str, Symbol]:
    """Every letter of the scene; Trouble where two of them can't be told apart or an index is missing."""
    table = _Table()
    table.add(("g",), "g", "gravity", None, "m/s^2", scene.g)
    _bodies(table, scene)
    _angles(table, scene)
    _wheels(table, scene)
    if "a" not in table.symbols and scene.bodies:
        table.add(("bodies",), "a", "shared_acceleration", None, "m/s^2")
    if scene.distance is not None:
        where = ("ask", "motion")
        table.add(where, "t", "time", None, "s")
        table.add(where, "v", "speed", None, "m/s")
        table.add((*where, "distance"), "d", "distance", None, "m", scene.distance)
    own = set(table.symbols)
    _chosen(table, scene)
    _bare_letters(table, own)
    _notation(table, scene)
    return table.symbols


def _suffix(index: int | None) -> str:
    return "" if index is None else f"_{index}"


def _bodies(table: _Table, scene: Scene) -> None:
    several = len(scene.bodies) > 1
    seen: dict[int, str] = {}
    for body in scene.bodies.values():
        where = ("bodies", body.name)
        if body.index is None and several:
            raise Trouble((*where, "index"), "missing; with several bodies each needs one, to tell m_1 from m_2")
        if body.index is not None:
            if body.index in seen:
                raise Trouble(
                    (*where, "index"),
                    f"{seen[body.index]} has the index {body.index} already; give {body.name} another",
                )
            seen[body.index] = body.name
        i = _suffix(body.index)
        table.add(where, f"m{i}", "mass", body.name, "kg", body.mass)
        table.add(
            where, f"a{i}", "acceleration", body.name, "m/s^2", body.acceleration[1] if body.acceleration else None
        )
        table.add(where, f"W{i}", "weight", body.name, "N")
        if body.moves != "vertical":
            table.add(where, f"N{i}", "normal", body.name, "N")
    _frictions(table, scene)


def is_rough(body: Body) -> bool:
    """Whether a body has a coefficient of friction other than 0."""
    return body.friction is not None and any(
        c is not None and c.value != 0 for c in (body.friction.kinetic, body.friction.static)
    )


def _frictions(table: _Table, scene: Scene) -> None:
    rolling = {r.body for r in scene.rolling}
    rough = [b for b in scene.bodies.values() if b.friction is not None]
    for body in rough:
        where = ("bodies", body.name, "friction")
        if is_rough(body) and body.name not in rolling:
            table.add(where, f"f{_suffix(body.index)}", "friction", body.name, "N")
        i = _suffix(body.index) if len(rough) > 1 else ""
        assert body.friction is not None
        for kind, value in (("mu_k", body.friction.kinetic), ("mu_s", body.friction.static)):
            if value is not None:
                table.add(where, f"{kind}{i}", kind, body.name, "1", value)


def _angles(table: _Table, scene: Scene) -> None:
    sloping = [b for b in scene.bodies.values() if b.angle is not None]
    if len({b.angle.value for b in sloping if b.angle}) == 1:
        thing = sloping[0].name if len(sloping) == 1 else None
        table.add(("bodies", sloping[0].name, "angle"), "theta", "angle", thing, "deg", sloping[0].angle)
    else:
        for b in sloping:
            table.add(("bodies", b.name, "angle"), f"theta{_suffix(b.index)}", "angle", b.name, "deg", b.angle)
    for n, force in enumerate(scene.forces):
        if force.angle is not None and force.angle_symbol is not None:
            table.add(("forces", n, "angle"), force.angle_symbol, "force_angle", force.on, "deg", force.angle)


def _wheels(table: _Table, scene: Scene) -> None:
    several = len(scene.wheels) > 1
    seen: dict[int, str] = {}
    for wheel in scene.wheels.values():
        where = ("wheels", wheel.name)
        if wheel.index is None and several:
            raise Trouble((*where, "index"), "missing; with several wheels each needs one, to tell R_1 from R_2")
        if wheel.index is not None:
            if wheel.index in seen:
                raise Trouble(
                    (*where, "index"),
                    f"{seen[wheel.index]} has the index {wheel.index} already; give {wheel.name} another",
                )
            seen[wheel.index] = wheel.name
        i = _suffix(wheel.index) if several else ""
        table.add(where, f"R{i}", "radius", wheel.name, "m", wheel.radius)
        table.add(where, f"I{i}", "inertia", wheel.name, "kg m^2", wheel.inertia)
        if wheel.mass is not None:
            table.add(where, f"M{i}", "wheel_mass", wheel.name, "kg", wheel.mass)
        table.add(where, f"alpha{i}", "alpha", wheel.name, "rad/s^2")
        if wheel.drag is not None:
            table.add(where, f"tau_f{i}", "drag", wheel.name, "N m", wheel.drag)
    for strand in strands(scene):
        name = strand.radius_symbol
        if name is not None and name not in table.symbols:
            table.add(("wheels", strand.thing), name, "strand_radius", strand.thing, "m", strand.radius)


def _chosen(table: _Table, scene: Scene) -> None:
    """The letters that the file itself chooses."""
    for n, rope in enumerate(scene.ropes):
        table.add(("ropes", n, "symbol"), rope.symbol, "tension", None, "N")
    for n, contact in enumerate(scene.contacts):
        table.add(("contacts", n, "symbol"), contact.symbol, "contact", None, "N")
    for n, roll in enumerate(scene.rolling):
        table.add(("rolling", n, "symbol"), roll.symbol, "rolling", roll.body, "N")
    for n, force in enumerate(scene.forces):
        unit = "N m" if force.is_torque else "N"
        table.add(("forces", n, "symbol"), force.symbol, "outside", force.on, unit, force.size)


def _bare_letters(table: _Table, own: set[str]) -> None:
    """Refuse a chosen bare letter that is also the letter of another kind of quantity: N beside N_1, I beside I_1."""
    for name, symbol in table.symbols.items():
        if name in own or "_" in name:
            continue
        for other in own:
            old = table.symbols[other]
            if base(other) == name and other != name and {symbol.kind, old.kind} != {"rolling", "friction"}:
                raise Trouble(
                    table.origin[name],
                    f"'{name}' for {_called(symbol.kind, symbol.thing)} and '{other}' for "
                    f"{_called(old.kind, old.thing)} can't be told apart without the index; take another letter",
                )


def _notation(table: _Table, scene: Scene) -> None:
    """Refuse letters of the class that are another symbol's, or each other's."""
    taken: dict[str, str] = {}
    for kind, usual in _NOTATION_KIND.items():
        letter = scene.notation.get(kind, usual)
        ours = [s for s in table.symbols.values() if s.kind == kind or (kind == "friction" and s.kind == "rolling")]
        if not ours:
            continue
        where = ("notation", kind)
        if letter in taken:
            raise Trouble(where, f"'{letter}' stands for {taken[letter]} already; take another letter")
        taken[letter] = kind
        for s in ours:
            _, _, index = s.name.partition("_")
            written = f"{letter}_{index}" if index else letter
            old = table.symbols.get(written)
            if letter != usual and old is not None and old not in ours:
                raise Trouble(where, f"'{written}' would also be {_called(old.kind, old.thing)}; take another letter")


def check_asked(scene: Scene) -> None:
    """Refuse asked symbols that the scene does not have or that its file already gives."""
    seen: set[str] = set()
    for n, name in enumerate(scene.asked):
        where: Path = ("ask", "values", n)
        if name in seen:
            raise Trouble(where, f"'{name}' is asked twice")
        seen.add(name)
        symbol = scene.symbols.get(name)
        if symbol is None and name in ("t", "v", "d"):
            raise Trouble(where, f"'{name}' needs [ask.motion] with a distance, like distance = \"1.2 m\"")
        if symbol is None:
            free = [s.name for s in scene.symbols.values() if s.given is None]
            raise Trouble(where, f"'{name}' is no symbol of this scene; use some of {listed(free)}{near(name, free)}")
        if symbol.given is not None:
            raise Trouble(
                where, f"'{name}' is given ({symbol.given.text} {symbol.given.unit}); ask for something that is not"
            )
