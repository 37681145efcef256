"""The shape of a scene file: which keys there are, what each holds, and one sentence for each.

This is only about single keys; what must fit together is in `checks`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainValidator, StrictBool, ValidationInfo
from pydantic_core import PydanticCustomError

from .cures import MEANT
from .error import listed, near, shown
from .letters import canonical
from .model import OPPOSITE, Quantity, Strand
from .quantities import parse_quantity


def _reading(read: Callable[[Any, bool], Any]) -> PlainValidator:
    """A validator whose ValueError's text is the message; it learns from the context whether commas are decimal."""

    def validate(value: Any, info: ValidationInfo) -> Any:
        try:
            return read(value, bool((info.context or {}).get("decimal_comma")))
        except ValueError as why:
            raise PydanticCustomError("scene", "{says}", {"says": str(why)}) from None

    return PlainValidator(validate)


def _quantity(*kinds: str) -> PlainValidator:
    def read(value: Any, comma: bool) -> Quantity:
        for kind in kinds[:-1]:
            try:
                return parse_quantity(kind, value, decimal_comma=comma)
            except ValueError:  # the last kind tells what is wrong
                continue
        return parse_quantity(kinds[-1], value, decimal_comma=comma)

    return _reading(read)


def one_of(word: Any, known: list[str]) -> str:
    if not isinstance(word, str) or word not in known:
        hint = ""
        if isinstance(word, str):
            meant = MEANT.get(word.lower())
            hint = f"; did you mean '{meant}'?" if meant in known else near(word, known)
        raise ValueError(f"{shown(word)} is not one of {listed(known)}{hint}")
    return word


def _choice(*known: str) -> PlainValidator:
    return _reading(lambda value, _: one_of(value, list(known)))


def _index(value: Any, _: bool) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 999:
        raise ValueError(f"{shown(value)} is not an index; write a whole number from 1 to 999")
    return value


def _symbol(value: Any, _: bool) -> str:
    name = canonical(value) if isinstance(value, str) else None
    if name is None:
        raise ValueError(
            f"{shown(value)} is not a symbol; write one letter or a Greek name, with a subscript after _ (T, T_1, beta)"
        )
    return name


def _notation(value: Any, comma: bool) -> str:
    return "mg" if value == "mg" else _symbol(value, comma)


def _strand(value: Any, comma: bool) -> Strand:
    if not isinstance(value, list) or len(value) not in (2, 3) or not all(isinstance(v, str) for v in value[:2]):
        raise ValueError(
            f'{shown(value)} is not a strand; write [thing, direction], like ["sack", "up"], '
            'or with a radius of its own on a wheel: ["drum", "clockwise", "0.05 m"]'
        )
    thing, direction = value[0], one_of(value[1], list(OPPOSITE))
    radius = parse_quantity("length", value[2], decimal_comma=comma) if len(value) == 3 else None
    return Strand(thing, direction, radius)


def _directed(kind: str, example: str) -> PlainValidator:
    def read(value: Any, comma: bool) -> tuple[str, Quantity]:
        if not isinstance(value, list) or len(value) != 2:
            raise ValueError(f"{shown(value)} is not a direction with a size; write it like {example}")
        return one_of(value[0], list(OPPOSITE)), parse_quantity(kind, value[1], decimal_comma=comma)

    return _reading(read)


def _name(value: Any) -> Any:
    if not isinstance(value, str) or not re.fullmatch(r"[^\W\d_][\w-]{0,39}", value):
        raise PydanticCustomError(
            "scene", "{says}",
            {"says": f"{shown(value)} is not a name; write a letter, then letters, digits, - or _, at most 40"},
        )  # fmt: skip
    return value


def _text(value: Any, _: bool) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text; put it in quotation marks")
    if len(value) > 4000:
        raise ValueError(f"the text has {len(value)} characters; at most 4000 will do")
    return value


Name = Annotated[str, BeforeValidator(_name)]
Text = Annotated[str, _reading(_text)]
Index = Annotated[int, _reading(_index)]
SymbolName = Annotated[str, _reading(_symbol)]
Letter = Annotated[str, _reading(_notation)]
StrandRow = Annotated[Strand, _reading(_strand)]
Mass = Annotated[Quantity, _quantity("mass")]
Length = Annotated[Quantity, _quantity("length")]
Inertia = Annotated[Quantity, _quantity("inertia")]
Torque = Annotated[Quantity, _quantity("torque")]
ForceOrTorque = Annotated[Quantity, _quantity("torque", "force")]
Angle = Annotated[Quantity, _quantity("angle")]
Acceleration = Annotated[Quantity, _quantity("acceleration")]
Coefficient = Annotated[Quantity, _quantity("coefficient")]


def key(sentence: str, **more: Any) -> Any:
    return Field(description=sentence, **more)


class Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True)


class FrictionTable(Table):
    kinetic: Coefficient | None = key("Coefficient of kinetic friction, a plain number: symbol mu_k.", default=None)
    static: Coefficient | None = key(
        "Coefficient of static friction, not smaller than the kinetic one: symbol mu_s.", default=None
    )


class BodyTable(Table):
    index: Index | None = key(
        "Whole number that gives the body its letters (1: m_1, a_1, W_1, N_1, f_1); a single body or massless pulley needs none.",
        default=None,
    )
    mass: Mass = key('Mass, like "6.5 kg"; "0 kg" only for a massless movable pulley that joins two ropes.')
    moves: Annotated[str, _choice("vertical", "level", "slope")] = key(
        "Line of motion: vertical (up, down), level (right, left) or slope (upslope, downslope)."
    )
    angle: Angle | None = key(
        'Angle of the slope to the level, like "30 deg", with moves = "slope": symbol theta.', default=None
    )
    friction: FrictionTable | None = key(
        "Dry friction with whatever carries the body; {} or nothing: frictionless.", default=None
    )
    acceleration: Annotated[tuple[str, Quantity], _directed("acceleration", '["up", "1.5 m/s^2"]')] | None = key(
        'Acceleration where it is given, with its direction (a lift): ["up", "1.5 m/s^2"].', default=None
    )
    starts: Annotated[tuple[str, Quantity], _directed("speed", '["upslope", "2 m/s"]')] | None = key(
        'Speed that the body already has, with its direction: ["upslope", "2 m/s"].', default=None
    )
    rests_on: Text | None = key(
        "Name of the body that carries this one in place of the ground; friction is then that between the two.",
        default=None,
    )


class WheelTable(Table):
    index: Index | None = key(
        "Whole number that gives the wheel its letters (1: R_1, I_1, alpha_1); used where there are several.",
        default=None,
    )
    radius: Length = key('Radius of the rim, like "0.12 m": symbol R.')
    inertia: Inertia | None = key('Rotational inertia, like "0.03 kg m^2": symbol I.', default=None)
    mass: Mass | None = key('Mass of the wheel, like "4 kg", together with shape: symbol M.', default=None)
    shape: Annotated[str, _choice("disk", "hoop", "sphere")] | None = key(
        "Shape of the wheel, together with mass: disk, hoop or sphere.", default=None
    )
    drag: Torque | None = key('Friction torque of the bearing, like "0.1 N m": symbol tau_f.', default=None)


class RopeTable(Table):
    symbol: SymbolName = key("Letter of the tension, like T or T_1.")
    pulls: list[StrandRow] = key(
        'Every strand on a thing that can move, with the direction in which it pulls that thing: [["sack", "up"], …]; '
        'a third entry is a radius of its own on a wheel: ["drum", "clockwise", "0.05 m"].'
    )
    hauled: StrictBool | None = key(
        "true where somebody or a motor reels the rope in or out, so that its length is not kept.", default=None
    )


class ContactTable(Table):
    symbol: SymbolName = key("Letter of the contact force, like P.")
    pushes: list[StrandRow] = key(
        'Every thing that is pushed, with the direction in which it is pushed: [["crate", "left"], ["box", "right"]].'
    )


class RollingTable(Table):
    body: Text = key("The body that carries the wheel and moves along a level or a slope.")
    wheel: Text = key("The wheel that rolls without slipping; rolling to the right or upslope turns it clockwise.")
    symbol: SymbolName = key("Letter of the friction force that makes the wheel turn, like f.")


class ForceTable(Table):
    symbol: SymbolName = key("Letter of the force, like F.")
    on: Text = key("The body or wheel that it acts on.")
    direction: Annotated[str, _choice(*OPPOSITE)] = key("Direction word of the thing that it acts on.")
    size: ForceOrTorque = key('Size, like "40 N"; on a wheel a force at the rim, or a torque like "2 N m".')
    angle: Angle | None = key(
        "Tilt away from the surface (negative: pressed into it), -90 to 90 deg: symbol phi.", default=None
    )


class MotionTable(Table):
    distance: Length = key('Distance covered from rest, like "1.2 m"; asks for the time t and the speed v there.')


class AskTable(Table):
    values: list[SymbolName] = key('Symbols that the student must find, like ["a", "T"].', default=[])
    motion: MotionTable | None = key("Asks for time and speed.", default=None)


class NotationTable(Table):
    weight: Letter | None = key("Letter that the class writes for a weight: W, F_g, mg.", default=None)
    normal: Letter | None = key("Letter that the class writes for a normal force: N, R, F_N.", default=None)
    friction: Letter | None = key("Letter that the class writes for a friction force: f, F_f.", default=None)
    inertia: Letter | None = key("Letter that the class writes for rotational inertia: I, J.", default=None)


class SceneTable(Table):
    title: Text = key("One short line that names the problem.")
    story: Text = key("The problem as the student reads it.", default="")
    topic: Text = key("Heading under which the scene is listed.", default="")
    g: Acceleration | None = key('Acceleration of free fall; left out: "9.8 m/s^2".', default=None)
    decimal_comma: StrictBool = key("true where the class writes 2,5 for 2.5.", default=False)
    notation: NotationTable = key("Letters that the class writes in place of W, N, f and I.", default=NotationTable())
    bodies: dict[Name, BodyTable] = key("The bodies, each under its name.", default={})
    wheels: dict[Name, WheelTable] = key(
        "The pulleys and rollers with rotational inertia, each under its name.", default={}
    )
    ropes: list[RopeTable] = key("The ropes: one tension each.", default=[])
    contacts: list[ContactTable] = key("The places where things push on each other.", default=[])
    rolling: list[RollingTable] = key("The wheels that roll without slipping.", default=[])
    forces: list[ForceTable] = key("The forces from outside whose size is given.", default=[])
    ask: AskTable = key("What is asked.")
