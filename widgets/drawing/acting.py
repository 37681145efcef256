"""Which forces act on a thing, with size and direction, from a Setup: what a force diagram shows."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from ...autograde.algebra import Poly
from ...autograde.mechanics.setup import Setup
from ...autograde.mechanics.wording import rounded
from ...autograde.scene.model import OPPOSITE
from ...autograde.scene.words import DIRECTION_LABELS
from .words import tilt_in_words


@dataclass(frozen=True)
class Acting:
    """One force on one thing (on a wheel: one force at a rim, or one torque).

    direction: a direction word of the force itself; tilt: degrees away from the surface. size: in N (torque: N m), None where
    nothing settles it. strands: how many strands of one rope pull so, each with this size. arm: on a wheel, the radius in m
    at which it acts; None for a pure torque and on bodies.
    """

    symbol: str
    kind: str
    direction: str
    size: Fraction | None
    tilt: float = 0.0
    strands: int = 1
    torque: bool = False
    arm: Fraction | None = None

    @property
    def unit(self) -> str:
        return "N m" if self.torque else "N"

    def says(self) -> str:
        """ "T = 74.0 N up" """
        size = "of a size that nothing settles" if self.size is None else f"= {rounded(self.size)} {self.unit}"
        each = "" if self.strands == 1 else f", {'twice' if self.strands == 2 else f'{self.strands} times'}"
        tilted = f", {tilt_in_words(self.tilt)}" if self.tilt else ""
        arm = f", at {rounded(self.arm)} m from the axis" if self.arm is not None else ""
        return f"{self.symbol} {size} {DIRECTION_LABELS[self.direction]}{tilted}{each}{arm}"


def acting_on(setup: Setup, thing: str) -> list[Acting]:
    """Every force on a thing, those along its line first; forces of no size (a slack rope) are left out.

    Where mechanics needs no equation for a thing (its acceleration is given and its forces are not asked), only what is known of
    it is in the list.
    """
    values = {**setup.given, **setup.values}
    wheel = thing in setup.scene.wheels
    out: list[Acting] = []
    equation = setup.equations.get(thing)
    for term in equation.terms if equation else ():
        force = next((f for f in setup.scene.forces if f.symbol == term.symbol), None)
        torque = term.kind == "drag" or (force is not None and force.is_torque)
        arm = _arm(setup, term.symbol, thing, term.direction) if wheel and not torque else None
        tilt = float(force.angle.value) if force is not None and force.angle is not None and not wheel else 0.0
        size = None if term.symbol in setup.undetermined else values.get(term.symbol)
        if size is None and term.symbol not in setup.undetermined and torque:
            size = _torque_size(term.size.symbols, values)
        out.append(Acting(term.symbol, term.kind, term.direction, size, tilt, 1 if wheel else term.strands, torque, arm))
    balance = setup.balances.get(thing)
    for symbol, word, _, _ in balance.terms if balance else ():
        if not any(a.symbol == symbol for a in out):
            kind = "weight" if symbol == setup.scene.symbol_of("weight", thing) else "normal"
            force = next((f for f in setup.scene.forces if f.symbol == symbol), None)
            tilt = float(force.angle.value) if force is not None and force.angle is not None else 0.0
            out.append(Acting(symbol, "outside" if force else kind, word, values.get(symbol), tilt))
    return [a for a in out if a.size is None or a.size != 0]


def _torque_size(symbols: frozenset[str] | set[str], values: dict[str, Fraction]) -> Fraction | None:
    """A torque that is its own symbol: a bearing that holds has another letter than one that drags."""
    known = [values[s] for s in symbols if s in values]
    return known[0] if len(symbols) == 1 and known else None


def _arm(setup: Setup, symbol: str, wheel: str, direction: str) -> Fraction:
    for rope in setup.scene.ropes:
        if rope.symbol == symbol:
            for strand in rope.pulls:
                if strand.thing == wheel and strand.radius is not None and strand.direction == direction:
                    return strand.radius.value
    return setup.scene.wheels[wheel].radius.value


def together(setup: Setup, thing: str) -> str:
    """What the forces (on a wheel: the torques) come to along the thing's line: "Together 10.3 N up"; "" where unknown."""
    equation = setup.equations.get(thing)
    values = {**setup.given, **setup.values}
    if equation is None or not equation.terms:
        return ""
    total = Poly.sum(t.poly for t in equation.terms)
    if not total.symbols <= values.keys() or total.symbols & set(setup.undetermined):
        return ""
    size, plus = total.at(values), setup.positive[thing]
    what = "torques" if thing in setup.scene.wheels else "forces"
    if not size:
        return f"The {what} are in balance" if thing in setup.scene.wheels else "The forces along its line are in balance"
    way = plus if size > 0 else OPPOSITE[plus]
    return f"Together {rounded(abs(size))} {'N m' if thing in setup.scene.wheels else 'N'} {DIRECTION_LABELS[way]}"
