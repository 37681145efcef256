"""Write a scene as a TOML file that reads back as the same scene: for variants that a teacher keeps."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from .model import Body, Friction, Quantity, Scene, Strand, Wheel
from .quantities import plain


def scene_toml(scene: Scene) -> str:
    """The scene's TOML text. Comments and layout of the file that it came from are not kept; its digest is."""
    write = _Writer(decimal_comma=scene.decimal_comma)
    blocks = [
        list(write.head(scene)),
        *([f"[bodies.{_key(b.name)}]", *write.body(b)] for b in scene.bodies.values()),
        *([f"[wheels.{_key(w.name)}]", *write.wheel(w)] for w in scene.wheels.values()),
    ]
    for rope in scene.ropes:
        hauled = ["hauled = true"] if rope.hauled else []
        blocks.append(["[[ropes]]", _pair("symbol", rope.symbol), f"pulls = {write.strands(rope.pulls)}", *hauled])
    for contact in scene.contacts:
        blocks.append(["[[contacts]]", _pair("symbol", contact.symbol), f"pushes = {write.strands(contact.pushes)}"])
    for roll in scene.rolling:
        blocks.append(
            ["[[rolling]]", _pair("body", roll.body), _pair("wheel", roll.wheel), _pair("symbol", roll.symbol)]
        )
    for force in scene.forces:
        words = [_pair("symbol", force.symbol), _pair("on", force.on), _pair("direction", force.direction)]
        blocks.append(["[[forces]]", *words, *write.quantities(size=force.size, angle=force.angle)])
    blocks.append(["[ask]", f"values = [{', '.join(map(_text, scene.asked))}]"])
    if scene.distance is not None:
        blocks.append(["[ask.motion]", *write.quantities(distance=scene.distance)])
    return "\n\n".join("\n".join(lines) for lines in blocks) + "\n"


@dataclass(frozen=True)
class _Writer:
    """Writes tables, each figure with the decimal mark of the class."""

    decimal_comma: bool

    def quantity(self, quantity: Quantity) -> str:
        text = plain(quantity)
        return text.replace(".", ",") if self.decimal_comma else text

    def quantities(self, **named: Quantity | None) -> Iterator[str]:
        for key, quantity in named.items():
            if quantity is not None:
                yield _pair(key, self.quantity(quantity))

    def head(self, scene: Scene) -> Iterator[str]:
        yield _pair("title", scene.title)
        for key, value in (("story", scene.story), ("topic", scene.topic)):
            if value:
                yield _pair(key, value)
        yield from self.quantities(g=scene.g)
        if scene.decimal_comma:
            yield "decimal_comma = true"
        if scene.notation:
            yield f"notation = {{ {', '.join(_pair(k, v) for k, v in scene.notation.items())} }}"

    def body(self, body: Body) -> Iterator[str]:
        if body.index is not None:
            yield f"index = {body.index}"
        yield from self.quantities(mass=body.mass)
        yield _pair("moves", body.moves)
        yield from self.quantities(angle=body.angle)
        if body.friction is not None:
            yield f"friction = {{ {', '.join(_coefficients(body.friction))} }}"
        for key, pair in (("acceleration", body.acceleration), ("starts", body.starts)):
            if pair is not None:
                yield f"{key} = [{_text(pair[0])}, {_text(self.quantity(pair[1]))}]"
        if body.rests_on is not None:
            yield _pair("rests_on", body.rests_on)

    def wheel(self, wheel: Wheel) -> Iterator[str]:
        if wheel.index is not None:
            yield f"index = {wheel.index}"
        yield from self.quantities(radius=wheel.radius, inertia=wheel.inertia, mass=wheel.mass)
        if wheel.shape is not None:
            yield _pair("shape", wheel.shape)
        yield from self.quantities(drag=wheel.drag)

    def strands(self, strands: Iterable[Strand]) -> str:
        rows = []
        for s in strands:
            own = [self.quantity(s.radius)] if s.radius is not None else []
            rows.append(f"[{', '.join(map(_text, [s.thing, s.direction, *own]))}]")
        return f"[{', '.join(rows)}]"


def _coefficients(friction: Friction) -> Iterator[str]:
    for key, value in (("kinetic", friction.kinetic), ("static", friction.static)):
        if value is not None:
            # A bare number where TOML keeps its figures, else a text.
            bare = re.fullmatch(r"(0|[1-9]\d*)(\.\d+)?", value.text)
            yield f"{key} = {value.text}" if bare else _pair(key, value.text)


def _pair(key: str, value: str) -> str:
    return f"{key} = {_text(value)}"


def _text(value: str) -> str:
    # JSON's escapes are TOML's too, but TOML wants one for DEL as well.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _key(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else _text(name)
