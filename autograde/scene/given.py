"""The data of a scene as a student reads them: each symbol with its number and unit; how a body starts or is driven, in words.

With numbers of each student's own this is the only place where they stand, so every step shows it.
"""

from __future__ import annotations

from ..languages import written
from .letters import GREEK
from .model import Quantity, Scene
from .notation import class_letter
from .words import DIRECTION_LABELS, thing_name

_LAST = ("gravity",)
_LETTERS = {name: letter for letter, name in reversed(GREEK.items())}  # of several letters of a name the first
_SHAPES = {"disk": "a solid disk", "hoop": "a thin hoop", "sphere": "a solid sphere"}


def given(scene: Scene) -> str:
    """ "m_1 = 12.0 kg (grain), m_2 = 15.0 kg (stone), g = 9.8 m/s²", with the decimal mark of the class."""
    data = [s for s in scene.symbols.values() if s.given is not None and s.kind != "acceleration"]
    data.sort(key=lambda s: s.kind in _LAST)
    alone = {s.name for s in data if sum(o.kind == s.kind for o in data) == 1}
    parts = []
    for symbol in data:
        if symbol.given is None:
            continue
        whose = f" ({thing_name(symbol.thing)})" if symbol.thing and symbol.name not in alone else ""
        parts.append(f"{_readable(class_letter(scene, symbol.name))} = {_size(symbol.given)}{whose}")
    for name, body in scene.bodies.items():
        if body.acceleration:
            parts.append(f"the acceleration of the {thing_name(name)} is {_size(body.acceleration[1])} {DIRECTION_LABELS[body.acceleration[0]]}")
        if body.starts:
            parts.append(f"the {thing_name(name)} starts with {_size(body.starts[1])} {DIRECTION_LABELS[body.starts[0]]}")
    parts += [f"the {thing_name(name)} is {_SHAPES[wheel.shape]}" for name, wheel in scene.wheels.items() if wheel.shape in _SHAPES]
    return written(", ".join(parts), scene.decimal_comma)


def _size(quantity: Quantity) -> str:
    unit, number = quantity.unit.replace("^2", "²").replace("^3", "³"), quantity.text.replace("-", "\N{MINUS SIGN}")
    return f"{number}°" if unit == "deg" else f"{number} {unit}".strip()


def _readable(name: str) -> str:
    """Greek by its letter: "mu_k_1" -> "μ_k1"."""
    stem, _, index = name.partition("_")
    stem = _LETTERS.get(stem, stem)
    return f"{stem}_{index.replace('_', '')}" if index else stem
