"""Which letter stands for what in a scene: one index over its symbols, with the usual letters where it names none."""

from __future__ import annotations

from fractions import Fraction

from ..scene.model import Body, Quantity, Scene, Wheel

_USUAL: dict[str, str] = {
    "mass": "m",
    "weight": "W",
    "acceleration": "a",
    "normal": "N",
    "friction": "f",
    "angle": "theta",
    "force_angle": "phi",
    "mu_k": "mu_k",
    "mu_s": "mu_s",
    "radius": "R",
    "strand_radius": "r",
    "inertia": "I",
    "wheel_mass": "M",
    "alpha": "alpha",
    "drag": "tau_f",
    "gravity": "g",
    "time": "t",
    "speed": "v",
    "distance": "d",
    "shared_acceleration": "a",
}


class Letters:
    """Look-ups of symbol names, and `given`: every datum that was looked up, with its exact SI value."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.given: dict[str, Fraction] = {s.name: s.given.value for s in scene.symbols.values() if s.given is not None}
        self._by: dict[tuple[str, str | None], list[str]] = {}
        for s in scene.symbols.values():
            self._by.setdefault((s.kind, s.thing), []).append(s.name)
        self._of_kind: dict[str, list[str]] = {}
        for s in scene.symbols.values():
            self._of_kind.setdefault(s.kind, []).append(s.name)

    def name(self, kind: str, thing: str | None) -> str:
        """The letter of that kind for that thing."""
        own = self._by.get((kind, thing))
        if own:
            return own[0]
        index = None
        if thing is not None:
            holder: Body | Wheel | None = self.scene.bodies.get(thing) or self.scene.wheels.get(thing)
            index = holder.index if holder is not None else None
        return f"{_USUAL[kind]}_{index}" if index is not None else _USUAL[kind]

    def datum(self, kind: str, thing: str | None, quantity: Quantity, *, also: tuple[str, ...] = ()) -> str:
        """The letter of a datum: the thing's own with this value, else any of the kind with it, else the usual one."""
        near: list[str] = [n for t in (thing, *also, None) for n in self._by.get((kind, t), [])]
        for known in [*near, *self._of_kind.get(kind, [])]:
            if self.given.get(known) == quantity.value:
                return known
        name = self.name(kind, thing)
        while self.given.setdefault(name, quantity.value) != quantity.value:
            name += "'"
        return name
